"""Something that would turn a verdict."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from longdry.model.plan.headline import HeadlineLevel
from longdry.model.words import Verdict


class MendKind(StrEnum):
    """What is changed, the easiest first."""

    CAMP = "camp at the water"
    DOOR = "wait for the door"
    FILL = "fill more"
    RATION = "ration"
    CONTAINERS = "containers"
    CONFIRMED = "confirmed source"
    DETOUR = "detour"
    CACHE = "cache"
    MONTH = "another month"
    OTHER_WAY = "other way round"
    HOURS = "other hours"
    PACE = "pace"
    DO_NOT_GO = "do not go"
    """Where nothing else that was tried is enough."""


@dataclass(frozen=True, slots=True)
class Saving:
    """What giving up a use, in part or whole, saves on a stretch."""

    use: str
    litres: float


@dataclass(frozen=True, slots=True)
class MendFigures:
    """What a mend asks for or brings; None where a figure has no meaning for it."""

    litres: float | None = None
    """To carry more, to lay, or to save."""
    count: int | None = None
    """Containers to add."""
    kg: float | None = None
    """Weight of added containers when full."""
    at_km: float | None = None
    """Where on the route, in the direction of the plan."""
    extra_km: float | None = None
    """Gone beyond the plan, ways and journeys that lay a cache included; below zero: less."""
    extra_days: float | None = None
    """Time beyond the plan, in units of 24 h, by the clock; below zero: less."""
    extra_l: float | None = None
    """Needed beyond the plan on all stretches together; below zero: less."""
    km_per_day: float | None = None
    """The pace that does it, the mean over the route."""
    saved: tuple[Saving, ...] = ()
    """By each use that is given up."""


@dataclass(frozen=True, slots=True)
class Mend:
    """One change with which the trip was planned again, and what that plan says."""

    stretch: int
    """Number of the stretch that it is for."""
    what: MendKind
    change: str
    """What to do and what it costs, in whole sentences."""
    verdict_before: Verdict
    verdict_after: Verdict
    """Of the same part of the route; never worse than before."""
    missing_before_l: float
    missing_after_l: float
    """On the worst of that part; less than before where the verdict is the same, but for not
    going."""
    trip_after: Verdict
    """The worst of the whole trip then; never worse than before."""
    figures: MendFigures
    caution: str
    """What must be sure before anybody goes by it, in whole sentences; never show the change
    without it."""
    settles: tuple[str, ...] = ()
    """Of a plan whose stretches are all clear: the sentences of its headline that hold no more."""
    lowers: str = ""
    """Where it settles none of them: which chance it lowers by half or more, and how far."""
    headline_after: HeadlineLevel | None = None
    """The level of the headline then; None where it is a stretch that is to be mended."""

    @property
    def is_of_headline(self) -> bool:
        """Whether it is the headline that it betters, and not a stretch."""
        return bool(self.settles or self.lowers)


@dataclass(frozen=True, slots=True)
class Mends:
    """All that was found."""

    found: tuple[Mend, ...] = ()
    """The worst stretch first; of a stretch those that make it safe, the easiest first, then those
    that only lessen what is missing."""
    not_searched: tuple[int, ...] = ()
    """Numbers of stretches that are not clear and for which nothing, or not everything, was
    tried: only the worst are searched, and a trip is planned again so many times only."""
