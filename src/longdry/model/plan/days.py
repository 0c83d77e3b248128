"""One day of the trip, and the sun of one day at one place."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class TravelDay:
    """A calendar day of the trip, from one midnight (or the departure) to the next."""

    number: int
    """From 1."""
    date: dt.date | None
    """None where the trip names no departure."""
    from_km: float
    to_km: float
    moving_h: float
    camp: bool
    """Whether the day ends in a camp."""
    rest: bool
    """A day on which the party does not move."""
    at_water: bool = False
    """Whether the night is spent at a call and draws on it."""
    arrives_h: float | None = None
    """End of the day's last move, in hours since the midnight before departure; None: none."""
    drinking_l: float = 0.0
    """What the plan counts on for people to drink: the larger of the next two."""
    heat_asks_l: float | None = None
    """What the heat asks of the whole party; None where the trip gives no heat."""
    measured_l: float = 0.0
    """What the party itself counts on."""
    shade_max_c: float | None = None
    """Expected that day."""
    arrives: dt.datetime | None = None
    """Local time of the last moving minute; None on a rest day and without a date."""
    sunrise: dt.datetime | None = None
    """Local time at the day's last km; None without a date, or where the sun does not rise."""
    sunset: dt.datetime | None = None
    arrives_after_dark: bool = False
    """Whether the sun is more than 6 degrees below the horizon by then."""
    used_l: float | None = None
    """Taken from what is carried that day; None where the trip names no containers."""
    on_board_l: float | None = None
    """At midnight, or at the end of the trip, by the fill plan."""
    sources: tuple[str, ...] = ()
    """Names of the counted sources that are passed."""
    camp_name: str = ""
    """Of the source or waypoint at the camp, where it has one."""


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

    A time is None where it does not come on that date.
    """

    sunrise: dt.datetime | None
    sunset: dt.datetime | None
