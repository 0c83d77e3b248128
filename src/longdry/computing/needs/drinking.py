"""When the people drink: in their waking hours, and more of it while they walk or ride.

A day runs from waking, two hours before the start hour, to waking, and has 16 waking hours. Both
are common practice, no source.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from longdry.model.plan.travel import TravelTime
from longdry.units import HOURS_PER_DAY

WAKES_BEFORE_H = 2.0
WAKING_H = 16.0


@dataclass(frozen=True, slots=True, eq=False)
class DrinkingHours:
    """How a day's drinking is spread over it."""

    start_hour: float
    l_per_moving_h: float = 0.0
    """Of the whole party, on foot and by bicycle (Parks Australia: at least 1 L per person per hour
    of walking); 0 by vehicle, whose people drink evenly."""
    moving_h: Mapping[int, float] | None = None
    """Of each waking day of the whole trip. None: of a way off the plan, on whose days nobody knows
    what else the party does; what asks for most is taken."""

    def days_of(self, travel: TravelTime, litres_per_day: float) -> float:
        """Return how many days' worth of drinking a stretch asks for.

        By vehicle a day's litres go evenly over its waking hours. On foot and by bicycle a stretch
        asks of each day the larger of two: its moving hours at the litres of an hour (never more
        than the day holds), with its share of what is left over the other waking hours; and its
        share of all waking hours. So the parts of a day may add up to more than the day.

        Parameters
        ----------
        litres_per_day
            What the party counts on.
        """
        wakes_h = self._wakes_h
        begin_h, end_h = travel.begin_h, travel.end_h
        first = int((begin_h - wakes_h) // HOURS_PER_DAY)
        last = int((end_h - wakes_h) // HOURS_PER_DAY)
        days = range(first, last + 1)
        if self.l_per_moving_h <= 0.0:
            return sum(
                [_awake_h(begin_h, end_h, wakes_h + day * HOURS_PER_DAY) / WAKING_H for day in days]
            )
        moved_h = self._moved(travel)
        return sum(
            self._part_of_day(travel, day, moved_h.get(day, (0.0, 0.0)), litres_per_day)
            for day in days
        )

    @property
    def _wakes_h(self) -> float:
        return self.start_hour - WAKES_BEFORE_H

    def _moved(self, travel: TravelTime) -> Mapping[int, tuple[float, float]]:
        """Return the moving hours of each waking day, and those of them that are waking hours."""
        hours: dict[int, tuple[float, float]] = defaultdict(lambda: (0.0, 0.0))
        for day, begin_h, end_h in travel.moving_by_day(self._wakes_h):
            sleeps_h = self._wakes_h + day * HOURS_PER_DAY + WAKING_H
            all_h, waking_h = hours[day]
            awake_h = max(min(end_h, sleeps_h) - begin_h, 0.0)
            hours[day] = (all_h + end_h - begin_h, waking_h + awake_h)
        return hours

    def _part_of_day(
        self, travel: TravelTime, day: int, moved_h: tuple[float, float], litres_per_day: float
    ) -> float:
        wakes_h = self._wakes_h + day * HOURS_PER_DAY
        awake_h = _awake_h(travel.begin_h, travel.end_h, wakes_h)
        evenly = awake_h / WAKING_H
        here_h, here_awake_h = moved_h
        if here_h <= 0.0 or litres_per_day <= 0.0:
            return evenly
        resting_h = awake_h - here_awake_h

        def with_hours(of_day_h: float) -> float:
            a_moving_hour = min(self.l_per_moving_h / litres_per_day, 1.0 / of_day_h)
            others_h = max(WAKING_H - of_day_h, 0.0)
            left = max(1.0 - a_moving_hour * of_day_h, 0.0)
            share = min(resting_h / others_h, 1.0) if others_h > 0.0 else evenly
            return a_moving_hour * here_h + left * share

        return max(evenly, *map(with_hours, self._hours_of_day(day, here_h, resting_h)))

    def _hours_of_day(self, day: int, here_h: float, resting_h: float) -> tuple[float, ...]:
        """Return the moving hours that a day may have in all.

        Of a way off the plan its own, the fewest, and the most: from one to the other what a part
        of the day asks for only falls, or grows where people drink less on the move than at rest.
        """
        if self.moving_h is None:
            return here_h, max(WAKING_H - resting_h, here_h)
        return (max(self.moving_h.get(day, here_h), here_h),)


def _awake_h(begin_h: float, end_h: float, wakes_h: float) -> float:
    """Return the waking hours that a stretch has of the day that begins at an hour."""
    return max(min(end_h, wakes_h + WAKING_H) - max(begin_h, wakes_h), 0.0)


def moving_by_waking_day(
    travels: Sequence[TravelTime], start_hour: float, moved_h: Mapping[int, float] | None = None
) -> Mapping[int, float]:
    """Return the moving hours of each waking day of a whole trip.

    Parameters
    ----------
    moved_h
        Hours of moving before the travels, by day.
    """
    hours: dict[int, float] = defaultdict(float, moved_h or {})
    for travel in travels:
        for day, begin_h, end_h in travel.moving_by_day(start_hour - WAKES_BEFORE_H):
            hours[day] += end_h - begin_h
    return hours
