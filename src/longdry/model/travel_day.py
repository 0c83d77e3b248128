"""One day of the base clock."""

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
    """Taken from what is on board that day; None where the trip names no containers."""
    on_board_l: float | None = None
    """At midnight, or at the end of the trip, by the fill plan."""
    sources: tuple[str, ...] = ()
    """Names of the counted sources that are passed."""
    camp_name: str = ""
    """Of the source or waypoint at the camp, where it has one."""
