"""The tally: what is left, read off the containers, where and when; and what was found."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from longdry.model.words import Grade


@dataclass(frozen=True, slots=True)
class LitresLeft:
    """Litres that are left."""

    litres: float
    container: str = ""
    """Which one holds them; empty: all containers together."""
    grade: Grade | None = None
    """None: not said."""


@dataclass(frozen=True, slots=True)
class NewSource:
    """Water that nobody had on the map."""

    name: str
    lat_deg: float
    lon_deg: float


@dataclass(frozen=True, slots=True)
class TallyEntry:
    """One reading, with all that happened since the one before."""

    at: dt.datetime
    """Local time of the trip."""
    km: float | None = None
    left: tuple[LitresLeft, ...] = ()
    """Empty: not read off."""
    took_l: float | None = None
    """Taken at ``source`` before what is left was read off."""
    source: str = ""
    """The source that was called at, by id or name."""
    lost_l: float | None = None
    """Spilt, leaked or given away, and no part of the rates."""
    why: str = ""
    found: str = ""
    """What was found at the source: flowing, low, dry or unreachable."""
    new_source: NewSource | None = None
    note: str = ""

    @property
    def left_l(self) -> float | None:
        """All that is left; None where it was not read off."""
        return sum(one.litres for one in self.left) if self.left else None


@dataclass(frozen=True, slots=True)
class Rate:
    """What was used between two readings, in litres a day."""

    from_at: dt.datetime
    to_at: dt.datetime
    used_l: float
    days: float
    planned_l: float | None = None
    """By the trip on the full ration, without heat; None where no trip is given."""

    @property
    def l_per_day(self) -> float:
        """Litres in 24 hours."""
        return self.used_l / self.days


@dataclass(frozen=True, slots=True)
class Speed:
    """How fast the party was between two readings of one day."""

    from_km: float
    to_km: float
    hours: float
    """In which it could move: breaks left out, calls not."""

    @property
    def kmh(self) -> float:
        """Km in an hour."""
        return (self.to_km - self.from_km) / self.hours


@dataclass(frozen=True, slots=True)
class TallyTold:
    """What the readings of a trip tell."""

    readings: int
    last: TallyEntry | None
    """The last one that reads off what is left."""
    rates: tuple[Rate, ...]
    mean_l_per_day: float | None
    """None: no two readings that are far enough apart."""
    planned_l_per_day: float | None
    """For the same days, on the full ration, without heat; None where no trip is given."""
    lost_l: float
    speeds: tuple[Speed, ...]
    """Of the days with two readings; empty where no trip is given."""
    planned_kmh: float | None
    """The trip's own speed; None where no trip is given."""
