"""What the heat asks of one person in one day."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Phase(StrEnum):
    """What the hours of a day go on."""

    MOVING = "moving"
    WORKING = "working"
    RESTING_IN_SUN = "resting in the sun"
    RESTING_IN_SHADE = "resting in the shade"


class RemarkKind(StrEnum):
    """What a remark is about, for a page that wants to sort them."""

    OUTSIDE_STANDARD = "outside-standard"
    COOLER_THAN_STANDARD = "cooler-than-standard"
    HOURLY_CEILING = "hourly-ceiling"
    DAILY_CEILING = "daily-ceiling"
    CORE_TEMPERATURE = "core-temperature"
    MONTH_NOT_LISTED = "month-not-listed"


GRAVE = frozenset(
    {RemarkKind.HOURLY_CEILING, RemarkKind.DAILY_CEILING, RemarkKind.CORE_TEMPERATURE}
)


@dataclass(frozen=True, slots=True)
class HeatRemark:
    """Something to tell about a day."""

    kind: RemarkKind
    text: str
    """Whole sentences."""

    @property
    def grave(self) -> bool:
        """Whether life may hang on it."""
        return self.kind in GRAVE


@dataclass(frozen=True, slots=True)
class PhaseLoss:
    """What one phase of the day takes."""

    phase: Phase
    hours: float
    litres: float
    worst_l_per_h: float
    """In its hottest hour."""
    outside: str
    """Why ISO 7933 does not hold there; empty where it does."""
    core_limit_min: float
    """Minutes until the core of a body that does not cope passes 38 degrees; 480: it copes."""


@dataclass(frozen=True, slots=True)
class DayInHeat:
    """What the heat asks of one person in one day."""

    phases: tuple[PhaseLoss, ...]
    """Those that take any time."""
    basic_l: float
    remarks: tuple[HeatRemark, ...]

    @property
    def litres(self) -> float:
        """To drink in the 24 hours, not rounded."""
        return self.basic_l + sum(phase.litres for phase in self.phases)
