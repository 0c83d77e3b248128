"""How the party makes water safe: by which method, with which stove and fuel, and what it takes."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class TreatMethod(StrEnum):
    """The ways of treating water that the plan knows."""

    BOIL = "boil"
    CHLORINE_TABLETS = "chlorine tablets"
    IODINE_TABLETS = "iodine tablets"
    BLEACH = "bleach"
    FILTER = "filter"
    UV = "uv"


METHOD_WORDS = {
    TreatMethod.BOIL: "boiling",
    TreatMethod.CHLORINE_TABLETS: "treating with chlorine tablets",
    TreatMethod.IODINE_TABLETS: "treating with iodine tablets",
    TreatMethod.BLEACH: "treating with bleach",
    TreatMethod.FILTER: "filtering",
    TreatMethod.UV: "treating with UV light",
    None: "treating, by whatever method,",
}
"""What is done, to begin a sentence with; None: the method is not named."""


class Fuel(StrEnum):
    """Fuels whose heating value is known here."""

    PROPANE = "propane"
    BUTANE = "butane"


@dataclass(frozen=True, slots=True)
class Stove:
    """What water is boiled on."""

    efficiency: float
    """Share of the fuel's heat that reaches the water, above 0 and up to 1."""
    power_kw: float
    """Heat of the fuel burnt."""
    pot_l: float
    """Litres boiled at a time."""
    fuel: Fuel = Fuel.PROPANE


@dataclass(frozen=True, slots=True)
class Treatment:
    """A method and what the user says about it."""

    method: TreatMethod | None = None
    """None: not named; then what it takes cannot be told."""
    litres_per_day: float | None = None
    """What the party can treat in a day; None: as much as wanted, told as an assumption."""
    stove: Stove | None = None
    """For boiling."""
    litres_per_tablet: float | None = None
    """From the label."""
    wait_minutes: float | None = None
    """Standing time of tablets from the label; minutes a litre of a UV lamp."""
    filter_l_per_min: float | None = None
    is_cloudy_or_cold: bool = False
    """Cloudy, coloured or very cold water: bleach is doubled."""


@dataclass(frozen=True, slots=True)
class TreatEffort:
    """What treating some litres takes; None where the user has not said enough to tell."""

    litres: float
    minutes: float | None
    fuel_g: float | None = None
    tablets: int | None = None
    drops: int | None = None
    boil_minutes: float | None = None
    """Length of the rolling boil."""


@dataclass(frozen=True, slots=True)
class TreatLimits:
    """What a method leaves in the water, with the source of that."""

    not_removed: tuple[str, ...]
    source: str
