"""Who goes, what the water goes on, and what carries it.

A trip file that names no use is taken to have the usual ones (`USUAL_USES`).
"""

from __future__ import annotations

from dataclasses import dataclass

from longdry.model.words import Accrual, ContainerGrade, Grade, Ration

DRINKING = "drinking"
"""Name of the use that the heat has a say in."""
_FULLNESS = {Ration.BARE: 0, Ration.LEAN: 1, Ration.FULL: 2}


@dataclass(frozen=True, slots=True)
class Party:
    """The people, and whether they carry a way of making water safe."""

    people: int
    can_treat: bool


@dataclass(frozen=True, slots=True)
class Animal:
    """Animals of one sort, each at its own stated rate."""

    name: str
    count: int
    litres_per_day: float
    grade: Grade
    """The lowest grade that it may drink."""


@dataclass(frozen=True, slots=True)
class Use:
    """Something that water goes on."""

    name: str
    litres: float
    """Litres per unit of ``per``."""
    grade: Grade
    """The lowest grade that it takes."""
    per: Accrual
    kept: Ration
    """Down to which ration it is kept: ``bare`` always, ``full`` only on the full ration."""

    def kept_on(self, ration: Ration) -> bool:
        """Whether the use is kept on ``ration``."""
        return _FULLNESS[self.kept] <= _FULLNESS[ration]


@dataclass(frozen=True, slots=True)
class Container:
    """Containers of one sort."""

    name: str
    count: int
    rated_l: float
    """What each is sold as."""
    brimful_l: float
    """What each takes to the brim; the rated litres where nothing else is known."""
    grade: ContainerGrade
    tare_kg: float = 0.0
    """Weight of each when empty."""
    vehicle: str | None = None
    """Who or what carries it."""
    holds_l: float | None = None
    """What each holds at the start; None: as the start's water allows."""
    holds_grade: Grade | None = None
    """Grade of what it holds at the start."""
    cleanable: bool = False
    """Whether it may be cleaned on the way, so that potable water may follow other water."""
    drinking_only: bool = False
    """Whether raw water never enters it: only potable water, or water already treated."""


@dataclass(frozen=True, slots=True)
class Vehicle:
    """What carries containers: a vehicle, a bicycle, a person's back."""

    name: str
    payload_left_kg: float
    """Payload left for water and its containers."""
    people: int | None = None
    """How many of the party travel in it; None: not said."""


@dataclass(frozen=True, slots=True)
class Pump:
    """A pump that the party carries, to draw water with."""

    name: str
    l_per_min: float
    """What it lifts where the source gives as much."""
    amp: float | None = None
    """Current that it draws; None: not said, or driven by hand."""


@dataclass(frozen=True, slots=True)
class Kit:
    """Tools that the party carries, which the water of some sources asks for."""

    tap_key: bool = False
    rope_m: float = 0.0
    shovel: bool = False
    pump: bool = False
    other: tuple[str, ...] = ()
    """Whatever else, in the user's words."""


@dataclass(frozen=True, slots=True)
class UsualUse:
    """A use that is assumed, and why."""

    use: Use
    why: str


USUAL_USES = (
    UsualUse(
        Use(DRINKING, 6.0, Grade.POTABLE, Accrual.PERSON_DAY, Ration.BARE),
        "no [[use]] in the trip file; the South Australia parks authority asks for at least "
        "6 L per person and day in remote areas; heat and work can ask for much more",
    ),
    UsualUse(
        Use("cooking", 3.0, Grade.POTABLE, Accrual.PERSON_DAY, Ration.LEAN),
        "no [[use]] in the trip file; least for basic cooking in the Sphere handbook (2004, 2011)",
    ),
    UsualUse(
        Use("washing", 2.0, Grade.NOT_FOR_DRINKING, Accrual.PERSON_DAY, Ration.FULL),
        "no [[use]] in the trip file; least for basic hygiene in the Sphere handbook (2004, 2011)",
    ),
)
