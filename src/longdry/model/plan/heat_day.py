"""What the heat asks of one person in one day, and which published limits the day passes."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from longdry.units import L_PER_US_QUART, MINUTES_PER_HOUR

HOURLY_CEILING_L = 1.5 * L_PER_US_QUART
"""US Army TB MED 507 (2003): drinking should not pass 1.5 US qt in an hour, 1.42 L ..."""
DAILY_CEILING_L = 12.0 * L_PER_US_QUART
"""... nor 12 US qt in a day, 11.4 L: more in the body can kill by low sodium."""
RISING_CORE_C = 38.5
"""A core that is above this after eight hours counts as rising, not as settled. NIOSH (2016) and
ACGIH let nobody's core pass it, and only acclimatised and watched people's come near (from
memory)."""


class Phase(StrEnum):
    """What the hours of a day go on."""

    MOVING = "moving"
    WORKING = "working"
    RESTING_IN_SUN = "resting in the sun"
    RESTING_IN_SHADE = "resting in the shade"


class RemarkKind(StrEnum):
    """What a remark is about, for a page that wants to sort them."""

    KEEP_STILL = "keep-still"
    OUTSIDE_STANDARD = "outside-standard"
    COOLER_THAN_STANDARD = "cooler-than-standard"
    HOURLY_CEILING = "hourly-ceiling"
    DAILY_CEILING = "daily-ceiling"
    CORE_RISES = "core-rises"
    CORE_SETTLES_HIGH = "core-settles-high"
    WORK_REST = "work-rest"
    MONTH_NOT_LISTED = "month-not-listed"


GRAVE = frozenset(
    {
        RemarkKind.KEEP_STILL,
        RemarkKind.HOURLY_CEILING,
        RemarkKind.DAILY_CEILING,
        RemarkKind.CORE_RISES,
        RemarkKind.WORK_REST,
    }
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
    """Minutes until the core of the body passes 38 degrees, the limit of ISO 7933, by the stricter
    of its editions of 2004 and 2023; 480: it does not in a day's work."""
    core_c: float
    """Core after eight hours of the hottest hour, by the one of them that is hotter."""

    @property
    def passes_core_limit(self) -> bool:
        """Whether the core passes 38 degrees before the hours of the phase are over."""
        return self.core_limit_min < min(self.hours, 8.0) * MINUTES_PER_HOUR

    @property
    def rises(self) -> bool:
        """Whether the core passes 38 degrees and does not settle a little above it."""
        return self.passes_core_limit and self.core_c >= RISING_CORE_C

    @property
    def is_dangerous(self) -> bool:
        """Whether the core rises on, or more is lost in an hour than may be drunk in one."""
        return self.rises or self.worst_l_per_h > HOURLY_CEILING_L


@dataclass(frozen=True, slots=True)
class WorkRest:
    """Planned moving against the work and rest of US Army TB MED 507 (2003)."""

    wbgt_c: float
    """Wet-bulb globe temperature of the moving hours."""
    work: str
    """TB MED 507's word for the effort: easy, moderate or hard."""
    moving_min_per_h: float
    """Planned: a plan knows no rest within its moving hours, so 60 from an hour of moving on."""
    most_min_per_h: float
    """The row of 90 degrees Fahrenheit and more: easy 50, moderate 20, hard 10; 60 below that."""

    @property
    def is_passed(self) -> bool:
        """Whether more is planned than the row allows."""
        return self.moving_min_per_h > self.most_min_per_h


@dataclass(frozen=True, slots=True)
class DayInHeat:
    """What the heat asks of one person in one day."""

    phases: tuple[PhaseLoss, ...]
    """Those that take any time."""
    basic_l: float
    work_rest: WorkRest | None
    """None where nobody moves."""
    remarks: tuple[HeatRemark, ...]

    @property
    def litres(self) -> float:
        """To drink in the 24 hours, not rounded."""
        return litres_of_day(self.phases, self.basic_l)

    @property
    def passes_daily_ceiling(self) -> bool:
        """Whether a person would have to drink more than TB MED 507's 12 US qt."""
        return self.litres > DAILY_CEILING_L

    @property
    def passes_work_rest(self) -> bool:
        """Whether more moving in an hour is planned than TB MED 507's hottest row allows."""
        return self.work_rest is not None and self.work_rest.is_passed


def litres_of_day(phases: tuple[PhaseLoss, ...], basic_l: float) -> float:
    """Return the litres of a day's phases and its basic need."""
    return basic_l + sum(phase.litres for phase in phases)
