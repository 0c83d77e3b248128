"""What to fill, where, into which container: the question and its answer.

The question is a :class:`FillProblem`: stops in the order of travel, the legs between them, the
containers one by one, and what carries them. The answer is a :class:`FillPlan`. Beside it stand
the load of each carrier and what drawing the water takes.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from longdry.model.trip.party import Vehicle
from longdry.model.water.passes import WaterPass
from longdry.model.words import ContainerGrade, FillHabit, Grade, Ration, Verdict


class GradeNeed(NamedTuple):
    """Litres by the lowest grade that their uses take, losses included."""

    potable_l: float = 0.0
    """For uses that want potable or treated water."""
    treat_l: float = 0.0
    """For uses that take water to be treated as it is."""
    any_l: float = 0.0
    """For uses that take any water."""

    @property
    def total_l(self) -> float:
        """All of it."""
        return self.potable_l + self.treat_l + self.any_l


@dataclass(frozen=True, slots=True)
class Stop:
    """A place where water can be taken, in the order of travel; also the start and the end."""

    km: float
    name: str | None
    """The source's name; None at a start or an end that is no source."""
    grade: Grade | None = None
    """``potable`` or ``treat-before-drinking``; None: no water here."""
    limit_l: float | None = None
    """What may be taken at this stop; None: as much as wanted."""
    treat_l: float | None = 0.0
    """What can be treated while the party is here; None: as much as wanted."""
    flow_l_per_min: float | None = None
    """Of the slower of source and pump. Tells how long a stop takes; `limit_l` heeds it."""
    cost_per_l: float = 0.0
    top_up_l: float | None = None
    """What a party that fills all takes at most beyond the need, so that others find some; None:
    no such limit."""
    stock: str | None = None
    """Stops of the same stock share one limit, as two passes of one cache do."""
    water: WaterPass | None = None
    """What is drawn on; None at the start and the end."""


@dataclass(frozen=True, slots=True)
class Leg:
    """The way from one stop to the next, with what it needs on each ration."""

    km: float
    days: float
    full: GradeNeed
    lean: GradeNeed
    bare: GradeNeed
    reserve: GradeNeed
    """What must still be carried at its end."""
    treat_l: float | None = None
    """What can be treated on the way, at the time of use; None: as much as wanted."""
    reserve_treat_l: float | None = None
    """What can be treated in the days of the reserve; None: as much as wanted."""
    treat_with_stop_l: float | None = None
    """What can be treated on it and at the stop before it together; None: no such limit."""

    def need(self, ration: Ration) -> GradeNeed:
        """Give the need on a ration."""
        return {Ration.FULL: self.full, Ration.LEAN: self.lean, Ration.BARE: self.bare}[ration]


@dataclass(frozen=True, slots=True)
class Vessel:
    """One single container."""

    name: str
    size_l: float
    """To the mark that the party fills it to."""
    grade: ContainerGrade
    carrier: str | None = None
    tare_kg: float = 0.0
    cleanable: bool = False
    """Whether it may be cleaned at a stop, so that potable water may follow other water."""
    holds_l: float = 0.0
    """What it holds on arriving at the first stop."""
    holds_grade: Grade = Grade.POTABLE
    """Of what it holds; also of what it held last where it is empty."""


@dataclass(frozen=True, slots=True)
class FillProblem:
    """Everything that the fill plan depends on; ``len(legs) == len(stops) - 1``."""

    stops: tuple[Stop, ...]
    legs: tuple[Leg, ...]
    vessels: tuple[Vessel, ...]
    carriers: tuple[Vehicle, ...] = ()


class OnBoard(NamedTuple):
    """Litres carried by grade."""

    potable_l: float
    treat_l: float

    @property
    def total_l(self) -> float:
        """Both grades."""
        return self.potable_l + self.treat_l


class VesselLevel(NamedTuple):
    """What one container holds."""

    vessel: str
    litres: float
    grade: Grade
    """Of its content; of an empty one the grade that it last held since it was clean."""


class Pour(NamedTuple):
    """Water taken here that goes into one container."""

    vessel: str
    litres: float
    grade: Grade
    """What it counts as once it is in the container."""


class Decant(NamedTuple):
    """Water poured from one container into another at a stop.

    From a container into itself: what is in it counts as the lower grade from here on.
    """

    from_vessel: str
    into_vessel: str
    litres: float
    grade: Grade
    """What it counts as from here on."""


@dataclass(frozen=True, slots=True)
class Fill:
    """What happens at one stop."""

    stop: int
    """Index of the stop."""
    km: float
    source: str | None
    grade: Grade | None
    take_l: float
    into: tuple[Pour, ...]
    treated_l: float
    """Treated here, before it goes into containers with potable water."""
    decants: tuple[Decant, ...]
    drawn_off: tuple[VesselLevel, ...]
    """Litres that come out of containers here, decanting aside: left at the stop, or treated."""
    left_l: float
    """Carried on arrival, not wanted on the way on: used up or left at the stop."""
    cleaned: tuple[str, ...]
    """Containers that must be cleaned before the water goes in."""
    arriving: OnBoard
    leaving: OnBoard
    levels_arriving: tuple[VesselLevel, ...]
    levels_leaving: tuple[VesselLevel, ...]
    minutes: float | None
    """For the litres taken at the source's flow; None where the flow is not known."""
    cost: float
    water: WaterPass | None = None
    """What is drawn on; None at the start."""


class LegOutcome(NamedTuple):
    """What becomes of one leg under the plan."""

    verdict: Verdict
    ration: Ration
    """The ration that the party is on; ``bare`` and short of it where the leg is too long."""
    need_l: float
    """On that ration."""
    used_l: float
    missing_l: float
    """Litres that even the bare ration lacks."""
    reserve_short_l: float
    """Litres by which the reserve is not kept at the end of the leg; 0 on a leg too long."""
    treated_l: float
    """Treated on the way, at the time of use."""
    litre_km: float


class FillObjective(NamedTuple):
    """What the plan makes least, the first first; exact, in whole millilitres and metres."""

    too_long: int
    """Legs that even the bare ration does not do."""
    short_bare: int
    """Legs on the bare ration."""
    short_lean: int
    """Legs on the lean ration."""
    into_reserve: int
    """Legs on the full ration that eat into the reserve."""
    missing_ml: int
    """Below the bare ration, all legs together."""
    reserve_short_ml: int
    """Below the reserve, all legs together that are not too long."""
    order: int
    """Severity (0 clear to 4 too long) of leg k times 5**k: of equal ones, the worse come first."""
    litre_m: int
    """Litres carried times the way, in half millilitre-metres: mean of leaving and arriving."""
    fills: int
    """Stops at which water is taken."""


@dataclass(frozen=True, slots=True)
class FillPlan:
    """The answer."""

    habit: FillHabit
    fills: tuple[Fill, ...]
    """One for each stop but the end, also where nothing is taken."""
    outcomes: tuple[LegOutcome, ...]
    end: OnBoard
    """Carried when the last leg has had all its need, that of days after the end too."""
    end_levels: tuple[VesselLevel, ...]
    litre_km: float
    smallest_margin_l: float
    """Least litres carried at the end of a leg; negative: litres missing; 0 without legs."""
    treated_l: float
    """At stops and on the way."""
    is_proved: bool
    """False where the search for the best verdicts had to be cut off: told as an assumption."""
    objective: FillObjective


@dataclass(frozen=True, slots=True)
class CarrierLoad:
    """The heaviest load of one carrier under a plan."""

    carrier: str
    payload_left_kg: float
    tare_kg: float
    """Of its containers."""
    load_kg: float
    """Water and containers."""
    stop: int
    """Index of the stop that it leaves with this load, the first of equal ones."""
    over_kg: float
    """By which the load passes the payload left; more than 0 is a verdict: too heavy."""


@dataclass(frozen=True, slots=True)
class Draw:
    """Drawing the water that the fill plan takes at one pass."""

    water: WaterPass
    litres: float
    minutes: float | None
    """None where neither the flow nor a pump tells."""
    charge_ah: float | None
    """Ampere-hours from a 12 V battery; None where no 12 V pump is needed."""


@dataclass(frozen=True, slots=True)
class FillWay:
    """How the party wants to fill."""

    habit: FillHabit | None = None
    """None: as the trip says, or as is usual by its way of travel."""
    whole_containers: bool = False
    """Fill containers to their mark only, so that the rest is known by counting."""


USUAL_FILL_WAY = FillWay()
