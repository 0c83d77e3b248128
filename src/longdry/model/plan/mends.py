"""Something that would turn a verdict."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from longdry.model.words import Verdict


class MendKind(StrEnum):
    """What is changed."""

    RATION = "ration"
    CONTAINERS = "containers"
    DETOUR = "detour"
    CONFIRMED = "confirmed source"
    CACHE = "cache"
    PACE = "pace"
    OTHER_WAY = "other way round"


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
    """Travelled beyond the plan."""
    extra_days: float | None = None
    """Time beyond the plan, in units of 24 h; on a detour by its moving hours alone."""
    extra_l: float | None = None
    """Water that the mend itself costs."""
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
    """What to do, in whole sentences."""
    verdict_before: Verdict
    verdict_after: Verdict
    """Of the same part of the route; always better than before."""
    trip_after: Verdict
    """The worst of the whole trip then; never worse than before."""
    figures: MendFigures
    caution: str
    """What must be sure before anybody goes by it, in whole sentences; never show the change
    without it."""


@dataclass(frozen=True, slots=True)
class Mends:
    """All that was found."""

    found: tuple[Mend, ...] = ()
    """By stretch; the best verdicts first."""
    not_searched: tuple[int, ...] = ()
    """Numbers of stretches that are not clear and for which nothing was searched: the search is
    for the worst few only."""
