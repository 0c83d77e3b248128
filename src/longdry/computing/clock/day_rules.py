"""When a day of the trip begins, when moving ends on it, and how much moving it has.

Times are hours since the midnight before departure, so that 24 x day + hour of the day holds.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple

from longdry.units import HOURS_PER_DAY

SNAP_H = 0.5 / 3600.0
"""Half a second: moving that runs on for less than that begins no new day and waits for no break.
Routes are written with so many decimals that a day's way may be longer by centimetres."""


class Moment(NamedTuple):
    """A time on the clock, and what is left of the day that it belongs to."""

    hour: float
    """Hours since the midnight before departure."""
    day: int
    """0 on the day of departure."""
    left_h: float
    """Moving hours left that day; below zero behind a longer day."""
    begun_km: float = 0.0
    """Of the route, where the day began."""

    def at(self, hour: float) -> Moment:
        """Return a later time of the same day on which nobody has moved meanwhile."""
        return Moment(hour, self.day, self.left_h, self.begun_km)


class Stay(NamedTuple):
    """A call as it comes about."""

    arrives: Moment
    """When water can be drawn: after a wait."""
    leaves: Moment
    wait_h: float
    nights: int
    """Spent at the water."""
    is_closed: bool
    """Whether it opens too late to be waited for."""


class ToHalt(NamedTuple):
    """What it takes from a call to the next pinned camp, or to the end where there is none."""

    moving_h: float
    stops_h: float
    """At the calls between, of the clock."""
    last_h: float = 0.0
    """Of the moving hours, those behind the last call before the end; 0 to a pinned camp."""


def hours_until_open(open_h: tuple[float, float] | None, hour: float) -> float:
    """Return the wait at a door for a party that is there at an hour; None is never shut.

    >>> hours_until_open((8.0, 18.0), 31.0), hours_until_open((20.0, 4.0), 3.0)
    (1.0, 0.0)
    """
    if open_h is None:
        return 0.0
    begin, end = open_h
    of_day = hour % HOURS_PER_DAY
    is_open = begin <= of_day <= end if begin <= end else of_day >= begin or of_day <= end
    return 0.0 if is_open else (begin - of_day) % HOURS_PER_DAY


def never_dark(_day: int, _km: float) -> float:
    """Return the end of the day: for parties that dark does not stop."""
    return HOURS_PER_DAY


@dataclass(frozen=True, slots=True, eq=False)
class DayRules:
    """The hours of every day."""

    start_hour: float
    """Hour of the day at which it begins."""
    hours_per_day: float
    """Moving hours of a day, ways to water included."""
    break_h: tuple[float, float] | None = None
    """Hours of the day in which nobody moves."""
    longer_day_h: float = 0.0
    """Moving hours on top where they reach the next call, a pinned camp or the end."""
    last_minutes_h: float = 0.0
    """The same where they reach the end, whatever the reserve: nobody camps minutes before it."""
    shorter_day_h: float = 0.0
    """At a call with no more moving left than this, the party camps there."""
    longest_wait_h: float = 0.0
    """A call that opens within this is waited for."""
    dark_from: Callable[[int, float], float] = never_dark
    """Hour of the day at which dark ends the moving of a day that begins at a km of the route; 24
    where it does not."""

    def begins(self, day: int) -> float:
        """Return the hour at which a day begins."""
        return day * HOURS_PER_DAY + self.start_hour

    def ends(self, now: Moment) -> float:
        """Return the hour at which nobody moves any more on the day of a moment."""
        dark_h = min(self.dark_from(now.day, now.begun_km), HOURS_PER_DAY)
        return now.day * HOURS_PER_DAY + dark_h

    def on_top_h(self, *, to_the_end: bool) -> float:
        """Return the moving hours by which a day may be longer to reach a halt."""
        return max(self.longer_day_h, self.last_minutes_h if to_the_end else 0.0)

    def day_begun(self, day: int, km: float) -> Moment:
        """Return the beginning of a day at a km, with all its moving hours."""
        return Moment(self.begins(day), day, self.hours_per_day, km)

    def moment_on_the_way(self, hour: float, km: float, moved_h: float | None = None) -> Moment:
        """Return the moment of a party that stands at a km at an hour.

        Before the start hour it is still in the camp of the day before.

        Parameters
        ----------
        moved_h
            Moving hours used on that day; None: all since its beginning, breaks left out.
        """
        day = int((hour - self.start_hour) // HOURS_PER_DAY)
        if day < 0:
            return self.day_begun(0, km)
        if moved_h is None:
            moved_h = self.moving_between(self.begins(day), hour)
            moved_h = min(moved_h, self.hours_per_day)
        if hour >= (day + 1) * HOURS_PER_DAY:
            moved_h = max(moved_h, self.hours_per_day)
        return Moment(hour, day, self.hours_per_day - moved_h, km)

    def until_break(self, hour: float) -> float:
        """Return the hours until the break of the day; infinite behind it, or without one."""
        if self.break_h is None:
            return math.inf
        begin = self.break_h[0]
        of_day = hour % HOURS_PER_DAY
        return begin - of_day if of_day < begin else math.inf

    def moving_left(self, now: Moment) -> float:
        """Return the hours of the clock in which the party may still move that day."""
        return self.moving_between(now.hour, self.ends(now))

    def moving_between(self, from_h: float, to_h: float) -> float:
        """Return the hours between two times of one day in which the party may move.

        >>> DayRules(8.0, 6.0, (12.0, 15.0)).moving_between(10.0, 16.0)
        3.0
        """
        span_h = max(to_h - from_h, 0.0)
        if self.break_h is None:
            return span_h
        midnight_h = from_h // HOURS_PER_DAY * HOURS_PER_DAY
        begin_h, end_h = (midnight_h + hour for hour in self.break_h)
        return span_h - max(min(to_h, end_h) - max(from_h, begin_h), 0.0)
