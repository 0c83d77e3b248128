"""What is combined, and what its plan comes to."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from enum import StrEnum

from longdry.model.plan.headline import HeadlineLevel
from longdry.model.words import Verdict


@dataclass(frozen=True, slots=True, order=True)
class Combination:
    """One trip along one route, in one direction, on one day of departure."""

    trip: int
    """Index of the trip among those that are compared."""
    route: int
    """Index of the route."""
    reverse: bool
    """Whether the route is travelled from its end to its start."""
    depart: dt.datetime | None
    """Local time; None: the trip names no day, and none was asked for."""

    @property
    def key(self) -> str:
        """A short name that no other combination has, for links and files.

        >>> Combination(0, 2, True, dt.datetime(2027, 5, 3, 8)).key
        'trip1-route3-back-2027-05-03'
        """
        way = "back" if self.reverse else "there"
        day = self.depart.date().isoformat() if self.depart else "undated"
        return f"trip{self.trip + 1}-route{self.route + 1}-{way}-{day}"

    @property
    def line(self) -> Line:
        """What it has in common with the same journey on other days."""
        return Line(self.trip, self.route, self.reverse)


@dataclass(frozen=True, slots=True, order=True)
class Line:
    """One trip along one route in one direction, on whatever day: a line of the calendar."""

    trip: int
    route: int
    reverse: bool


@dataclass(frozen=True, slots=True)
class WorstStretch:
    """The worst stretch of a plan and what is missing on it."""

    from_name: str
    from_km: float
    to_name: str
    to_km: float
    length_km: float
    """Ways off the route included."""
    days: float
    need_l: float
    """On the full ration, losses included."""
    reserve_l: float
    missing_l: float
    """Of need and reserve."""
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class WithoutWaterFor:
    """The longest way between two neighbouring passes that count."""

    from_km: float
    to_km: float
    days: float

    @property
    def length_km(self) -> float:
        """Along the route."""
        return self.to_km - self.from_km


@dataclass(frozen=True, slots=True)
class CarriedFrom:
    """The most that must be carried, need and reserve, and where it is taken."""

    litres: float
    km: float
    source_id: str
    """Empty at the start."""
    name: str
    """Of the source; empty at the start."""


class HeatVerdict(StrEnum):
    """What the heat of a trip comes to."""

    NOT_GIVEN = "no heat given"
    WITHIN = "within the limits"
    BEYOND = "beyond the limits"


@dataclass(frozen=True, slots=True)
class Hottest:
    """The hottest day, the first of equals."""

    day: int
    """From 1."""
    shade_max_c: float


@dataclass(frozen=True, slots=True)
class Chances:
    """How often the party runs short or must turn back, by simulation, 0 to 1."""

    short: float
    turn_back: float
    standard_error: float
    """The larger of the two figures'."""


@dataclass(frozen=True, slots=True)
class SourceAt:
    """A source at a km of the route."""

    id: str
    name: str
    km: float


@dataclass(frozen=True, slots=True)
class NotCounted:
    """A source near the route that does not count on the day when the party comes."""

    source: SourceAt
    on: dt.date | None
    why: str


@dataclass(frozen=True, slots=True)
class Outcome:
    """What one plan comes to: the figures that are compared."""

    level: HeadlineLevel
    because: tuple[str, ...]
    """Whole sentences, the gravest first."""
    length_km: float
    worst: WorstStretch
    longest: WithoutWaterFor
    most: CarriedFrom
    calls: int
    """Stops at water."""
    days: int
    """Calendar days of the trip."""
    heat: HeatVerdict
    hottest: Hottest | None
    """None where the trip gives no heat."""
    no_way: tuple[SourceAt, ...]
    """Sources whose loss, of each alone, leaves no way to water, on or back; in travel order."""
    chances: Chances | None
    """None where the trip names no containers."""
    grave: tuple[str, ...]
    """Warnings that life may hang on and that no verdict tells, but for calls that cost more hours
    than they save."""
    not_counted: tuple[NotCounted, ...]
    """By the day alone: by its months or by what visits say of the season."""
    dark_days: int
    """Days on which dark ends the moving before the hours of the day are used."""


@dataclass(frozen=True, slots=True)
class Row:
    """A combination with what its plan comes to, or why there is none."""

    of: Combination
    outcome: Outcome | None
    failed: str = ""
    """Why it could not be planned, one sentence; empty where it was."""
    page: str = ""
    """Name of the file with its whole plan; empty where none was written."""
