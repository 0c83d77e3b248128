"""The spans of all stretches at once, in arrays: what `Clock.span` says of one.

For the chance of running short, which asks for every stretch at many paces. The steps and their
order are those of the clock, so that every figure is the same to the last bit.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from longdry.computing.clock.clock import Camp, Clock
from longdry.computing.clock.moving_hours import SNAP_H, MovingHours
from longdry.computing.stretches.stretches import StretchContext
from longdry.model.arrays import FloatArray
from longdry.model.plan.stretch import Span, StretchEnd
from longdry.units import HOURS_PER_DAY

BoolArray = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Spans:
    """How long each of n stretches takes; arrays of shape (n,)."""

    start_h: FloatArray
    """Hours after departure."""
    end_h: FloatArray
    nights: FloatArray

    def hours(self) -> list[tuple[float, float]]:
        """Return begin and end of each."""
        return list(zip(self.start_h.tolist(), self.end_h.tolist(), strict=True))

    def each(self) -> list[Span]:
        """Return them one by one."""
        hours, nights = self.hours(), self.nights.tolist()
        return [Span(*both, int(some)) for both, some in zip(hours, nights, strict=True)]

    def of(self, chosen: BoolArray) -> Spans:
        """Return the chosen ones."""
        return Spans(self.start_h[chosen], self.end_h[chosen], self.nights[chosen])

    @property
    def days(self) -> FloatArray:
        """Elapsed time in units of 24 h, camps included."""
        return (self.end_h - self.start_h) / HOURS_PER_DAY


@dataclass(frozen=True, slots=True, eq=False)
class Moments:
    """Times on the clock and the days of the trip that they belong to; shape (n,)."""

    hour: FloatArray
    day: FloatArray

    def of(self, chosen: BoolArray) -> Moments:
        """Return the chosen ones."""
        return Moments(self.hour[chosen], self.day[chosen])

    def but(self, chosen: BoolArray, others: Moments) -> Moments:
        """Return these, and the others where they are chosen."""
        hour = np.where(chosen, others.hour, self.hour)
        return Moments(hour, np.where(chosen, others.day, self.day))


def spans_between(ends: Sequence[StretchEnd], going: StretchContext) -> Spans:
    """Return how long it takes from each water to the next.

    Parameters
    ----------
    ends
        In travel order, at least two; of n + 1 the spans are n.
    """
    km = np.array([end.km for end in ends])
    way_km = np.array([end.way_km for end in ends])
    begin, reached = begun_and_reached(km[:-1], way_km[:-1], km[1:], going)
    way_out_h = way_km[1:] / going.trip.pace.off_route_kmh
    return between(begin, after_moving(going.clock.moving, reached, way_out_h), going)


def begun_and_reached(
    from_km: FloatArray, way_km: FloatArray, to_km: FloatArray, going: StretchContext
) -> tuple[Moments, Moments]:
    """Return when parties leave some waters, and when they are at a km of the route after each.

    Parameters
    ----------
    from_km, way_km
        Where the way to each water leaves the route, and its length one way.
    """
    begin = _departures(going.clock, from_km)
    left = after_moving(going.clock.moving, begin, way_km / going.trip.pace.off_route_kmh)
    return begin, _run(going.clock, left, from_km, to_km, leaves_water=True)


def between(begin: Moments, end: Moments, going: StretchContext) -> Spans:
    """Return the spans of pairs of moments: see `Clock.between`."""
    depart_h = going.clock.depart.hour
    return Spans(begin.hour - depart_h, end.hour - depart_h, end.day - begin.day)


def _departures(clock: Clock, km: FloatArray) -> Moments:
    """Return when the stretches from some km begin: see `Clock.departure_from`."""
    at_start = Moments(np.full(km.shape, clock.depart.hour), np.full(km.shape, clock.depart.day))
    arrived = found = _run(clock, at_start, np.zeros(km.shape), km)
    for camp in reversed(clock.camps):
        if camp.at_water and camp.km in km:
            found = found.but(km == camp.km, _left(clock, arrived, camp))
    return found


def _run(
    clock: Clock,
    begin: Moments,
    from_km: FloatArray,
    to_km: FloatArray,
    *,
    leaves_water: bool = False,
) -> Moments:
    """Go along the route and keep the camps on the way.

    Who leaves the water at the beginning has kept the camp at it.
    """
    now, here_km = begin, from_km
    for camp in clock.camps:
        on_way = (from_km <= camp.km) & (camp.km < to_km)
        if leaves_water and camp.at_water:
            on_way &= camp.km != from_km
        if on_way.any():
            reached = _moved(clock, now, here_km, np.full(to_km.shape, camp.km))
            now = now.but(on_way, _left(clock, reached, camp))
            here_km = np.where(on_way, camp.km, here_km)
    return _moved(clock, now, here_km, to_km)


def _moved(clock: Clock, begin: Moments, from_km: FloatArray, to_km: FloatArray) -> Moments:
    hours = clock.profile.moving_h_at_each
    return after_moving(clock.moving, begin, hours(to_km) - hours(from_km))


def _left(clock: Clock, arrived: Moments, camp: Camp) -> Moments:
    day = arrived.day + camp.nights
    if camp.whole_days:
        return Moments(arrived.hour + HOURS_PER_DAY * camp.nights, day)
    return Moments(day * HOURS_PER_DAY + clock.moving.first_hour, day)


def after_moving(moving: MovingHours, begin: Moments, moving_h: FloatArray) -> Moments:
    """Return when so many more hours of moving are done: see `MovingHours.after_moving`."""
    ended = _moments_of(moving, _moved_by(moving, begin.hour) + moving_h)
    waits = ended.hour < begin.hour
    ended = ended.but(waits, Moments(begin.hour, np.maximum(begin.day, ended.day)))
    return ended.but(moving_h <= 0.0, begin)


def _moved_by(moving: MovingHours, hour: FloatArray) -> FloatArray:
    day = np.floor(hour / HOURS_PER_DAY)
    of_day = hour - day * HOURS_PER_DAY
    moved_h = day * moving.per_day_h
    for start, end in moving.windows_h:
        moved_h += np.minimum(np.maximum(of_day - start, 0.0), end - start)
    return moved_h


def _moments_of(moving: MovingHours, moved_h: FloatArray) -> Moments:
    per_day_h = moving.per_day_h
    day = np.maximum(np.ceil((moved_h - SNAP_H) / per_day_h) - 1.0, 0.0)
    left_h = np.minimum(moved_h - day * per_day_h, per_day_h)
    return Moments(day * HOURS_PER_DAY + _hours_of_day(moving, left_h), day)


def _hours_of_day(moving: MovingHours, moved_h: FloatArray) -> FloatArray:
    hour = np.full(moved_h.shape, moving.windows_h[-1][1])
    is_open = np.ones(moved_h.shape, dtype=np.bool_)
    for start, end in moving.windows_h:
        ends_here = is_open & (moved_h <= end - start + SNAP_H)
        hour = np.where(ends_here, np.minimum(start + moved_h, end), hour)
        is_open &= ~ends_here
        moved_h = moved_h - (end - start)
    return hour
