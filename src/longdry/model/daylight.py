"""The sun of one day at one place."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from enum import StrEnum


class SunDay(StrEnum):
    """What the sun does that day."""

    RISES_AND_SETS = "rises and sets"
    NEVER_SETS = "never sets"
    NEVER_RISES = "never rises"


@dataclass(frozen=True, slots=True)
class LocalTime:
    """How far the clocks of the trip are ahead of UTC."""

    utc_offset_h: float
    """East positive, -12 to 14."""
    assumed: bool
    """Whether it was guessed from the longitude."""

    @property
    def zone(self) -> dt.timezone:
        """The same for the standard library."""
        return dt.timezone(dt.timedelta(hours=self.utc_offset_h))

    @property
    def label(self) -> str:
        """Such as 'UTC+9:30'.

        >>> LocalTime(9.5, assumed=False).label, LocalTime(-3.0, assumed=True).label
        ('UTC+9:30', 'UTC-3:00')
        """
        minutes = round(abs(self.utc_offset_h) * 60.0)
        sign = "-" if self.utc_offset_h < 0 else "+"
        return f"UTC{sign}{minutes // 60}:{minutes % 60:02d}"


@dataclass(frozen=True, slots=True)
class Daylight:
    """Times of the sun on a date, by the clocks of the trip, without a zone of their own.

    A time is None where it does not come on that date; near the polar circles a dusk may belong
    to the next.
    """

    date: dt.date
    sun: SunDay
    dawn: dt.datetime | None
    """Civil: the sun 6 degrees below the horizon."""
    sunrise: dt.datetime | None
    sunset: dt.datetime | None
    dusk: dt.datetime | None
    """Civil: from here on it is dark."""
