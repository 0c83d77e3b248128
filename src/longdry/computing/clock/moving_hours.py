"""The hours of each day in which the party moves.

Times are hours since the midnight before departure, so that 24 x day + hour of the day holds.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from longdry.units import HOURS_PER_DAY

SNAP_H = 0.5 / 3600.0
"""Half a second: moving that runs on for less than that begins no new day and waits for no break.
Routes are written with so many decimals that a day's way may be longer by centimetres."""


@dataclass(frozen=True, slots=True)
class Moment:
    """A time on the clock and the day of the trip that it belongs to.

    An arrival at the last moving minute of a day belongs to that day, however long its night.
    """

    hour: float
    """Hours since the midnight before departure."""
    day: int
    """0 on the day of departure."""


@dataclass(frozen=True, slots=True)
class MovingHours:
    """The same moving windows every day.

    Parameters
    ----------
    windows_h
        Hours of the day, ascending and apart: ``((8.0, 11.0), (15.0, 18.0))``.
    """

    windows_h: tuple[tuple[float, float], ...]
    per_day_h: float = field(init=False, repr=False, compare=False)
    """Moving hours of a whole day."""

    def __post_init__(self) -> None:
        object.__setattr__(self, "per_day_h", sum(end - start for start, end in self.windows_h))

    @property
    def first_hour(self) -> float:
        """Hour of the day at which moving begins."""
        return self.windows_h[0][0]

    def moved_by(self, hour: float) -> float:
        """Moving hours that the windows offer between hour 0 and ``hour``.

        >>> MovingHours(((8.0, 14.0),)).moved_by(24 + 10.0)
        8.0
        """
        day = math.floor(hour / HOURS_PER_DAY)
        of_day = hour - day * HOURS_PER_DAY
        moved_h = day * self.per_day_h
        for start, end in self.windows_h:
            moved_h += min(max(of_day - start, 0.0), end - start)
        return moved_h

    def moment_of(self, moved_h: float) -> Moment:
        """Earliest moment by which ``moved_h`` moving hours have been offered.

        >>> MovingHours(((8.0, 14.0),)).moment_of(12.0)
        Moment(hour=38.0, day=1)
        """
        day = max(math.ceil((moved_h - SNAP_H) / self.per_day_h) - 1, 0)
        left_h = min(moved_h - day * self.per_day_h, self.per_day_h)
        return Moment(day * HOURS_PER_DAY + self._hour_of_day(left_h), day)

    def _hour_of_day(self, moved_h: float) -> float:
        for start, end in self.windows_h:
            if moved_h <= end - start + SNAP_H:
                return min(start + moved_h, end)
            moved_h -= end - start
        return self.windows_h[-1][1]

    def after_moving(self, begin: Moment, moving_h: float) -> Moment:
        """Return when ``moving_h`` more hours of moving from ``begin`` on are done.

        >>> MovingHours(((8.0, 14.0),)).after_moving(Moment(8.0, 0), 7.0)
        Moment(hour=33.0, day=1)
        >>> MovingHours(((8.0, 14.0),)).after_moving(Moment(9.5, 0), 0.0)
        Moment(hour=9.5, day=0)
        """
        if moving_h <= 0.0:
            return begin
        ended = self.moment_of(self.moved_by(begin.hour) + moving_h)
        return ended if ended.hour >= begin.hour else Moment(begin.hour, max(begin.day, ended.day))

    def after_camp(self, arrived: Moment, nights: int) -> Moment:
        """Return when moving begins again after ``nights`` nights where the party arrived."""
        day = arrived.day + nights
        return Moment(day * HOURS_PER_DAY + self.first_hour, day)


def daily_windows(
    *, start_hour: float, hours_per_day: float, break_h: tuple[float, float] | None = None
) -> MovingHours:
    """Lay the day's moving hours from the start hour on, around a break of no moving.

    Raises
    ------
    ValueError
        Where the moving hours do not end by midnight.

    >>> daily_windows(start_hour=8.0, hours_per_day=6.0).windows_h
    ((8.0, 14.0),)
    >>> daily_windows(start_hour=6.0, hours_per_day=8.0, break_h=(11.0, 15.0)).windows_h
    ((6.0, 11.0), (15.0, 18.0))
    >>> daily_windows(start_hour=12.0, hours_per_day=4.0, break_h=(11.0, 15.0)).windows_h
    ((15.0, 19.0),)
    """
    windows = _around_break(start_hour, hours_per_day, break_h)
    if windows[-1][1] > HOURS_PER_DAY:
        raise ValueError("the moving hours run past midnight")
    return MovingHours(windows)


def _around_break(
    start_hour: float, hours_per_day: float, break_h: tuple[float, float] | None
) -> tuple[tuple[float, float], ...]:
    if break_h is None or start_hour + hours_per_day <= break_h[0] or start_hour >= break_h[1]:
        return ((start_hour, start_hour + hours_per_day),)
    before_h = max(break_h[0] - start_hour, 0.0)
    after = (break_h[1], break_h[1] + hours_per_day - before_h)
    return ((start_hour, break_h[0]), after) if before_h else (after,)
