"""When the party is where: the base clock along the route, and the spans of stretches.

The base clock knows no ways off the route. It gives every km a time; a stretch begins at the
time of its first km and runs on through the moving hours of its ways and of the route between.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, field

from longdry.computing.clock.moving_hours import Moment, MovingHours
from longdry.computing.pace.profile import PaceProfile
from longdry.model.plan.stretch import Span
from longdry.units import HOURS_PER_DAY


@dataclass(frozen=True, slots=True)
class Camp:
    """A pinned camp, on the route by km."""

    km: float
    nights: int
    at_water: bool = False
    """Whether the stretch that begins at this km begins only when the camp is left."""
    whole_days: bool = False
    """Whether the party leaves at the hour at which it came, that many days later: days lost."""


@dataclass(frozen=True, slots=True)
class Call:
    """A way off the route and back to it."""

    km: float
    hours: float
    """Moving hours out and back."""


@dataclass(frozen=True, slots=True, eq=False)
class Clock:
    """The base clock."""

    moving: MovingHours
    profile: PaceProfile
    depart: Moment
    camps: tuple[Camp, ...]
    """By km, each inside the route."""
    _arrivals: dict[float, Moment] = field(default_factory=dict, init=False, repr=False)
    """By km, as asked for before: the ends of stretches are asked for again and again."""

    def arrival(self, km: float) -> Moment:
        """Return the time at which the party reaches ``km``, before any camp pinned there."""
        known = self._arrivals.get(km)
        if known is None:
            known = self._run(self.depart, 0.0, km, self._camps_from(0.0, km))
            self._arrivals[km] = known
        return known

    def departure_from(self, km: float) -> Moment:
        """Return when a stretch from ``km`` begins: after a camp at the water there."""
        return self.after_camp_at_water(self.arrival(km), km)

    def span(
        self,
        from_km: float,
        to_km: float,
        *,
        way_back_h: float = 0.0,
        way_out_h: float = 0.0,
        calls: Sequence[Call] = (),
    ) -> Span:
        """Return how long it takes from water at ``from_km`` to water at ``to_km``.

        Parameters
        ----------
        way_back_h, way_out_h
            Moving hours from the first water to the route, and from the route to the second.
        calls
            Ways off the route in between, by km.
        """
        begin = self.departure_from(from_km)
        end = self.onward(
            begin, from_km, to_km, way_back_h=way_back_h, way_out_h=way_out_h, calls=calls
        )
        return self.between(begin, end)

    def between(self, begin: Moment, end: Moment) -> Span:
        """Return the span of two moments."""
        return Span(
            start_h=begin.hour - self.depart.hour,
            end_h=end.hour - self.depart.hour,
            nights=end.day - begin.day,
        )

    def onward(
        self,
        begin: Moment,
        from_km: float,
        to_km: float,
        *,
        way_back_h: float = 0.0,
        way_out_h: float = 0.0,
        calls: Sequence[Call] = (),
    ) -> Moment:
        """Return when a party that leaves the water at ``from_km`` is at that of ``to_km``."""
        camps = [c for c in self._camps_from(from_km, to_km) if not _left_at(c, from_km)]
        now, here_km = self.moving.after_moving(begin, way_back_h), from_km
        for call in calls:
            reached = self._run(now, here_km, call.km, _between(camps, here_km, call.km))
            now, here_km = self.moving.after_moving(reached, call.hours), call.km
        reached = self._run(now, here_km, to_km, _between(camps, here_km, to_km))
        return self.moving.after_moving(reached, way_out_h)

    def after_camp_at_water(self, arrived: Moment, km: float) -> Moment:
        """Return when the party leaves the water at ``km``: after a camp at it, if there is one."""
        for camp in self.camps:
            if camp.at_water and camp.km == km:
                return self.left(arrived, camp)
        return arrived

    def left(self, arrived: Moment, camp: Camp) -> Moment:
        """Return when the party leaves a camp at which it arrived."""
        if camp.whole_days:
            return Moment(arrived.hour + HOURS_PER_DAY * camp.nights, arrived.day + camp.nights)
        return self.moving.after_camp(arrived, camp.nights)

    def _camps_from(self, from_km: float, to_km: float) -> Sequence[Camp]:
        return _between(self.camps, from_km, to_km)

    def _run(self, begin: Moment, from_km: float, to_km: float, camps: Sequence[Camp]) -> Moment:
        now, here_km = begin, from_km
        for camp in camps:
            now = self.moving.after_moving(now, self.profile.between(here_km, camp.km))
            now = self.left(now, camp)
            here_km = camp.km
        return self.moving.after_moving(now, self.profile.between(here_km, to_km))


def _between(camps: Sequence[Camp], from_km: float, to_km: float) -> Sequence[Camp]:
    first = bisect_left(camps, from_km, key=_km_of)
    return camps[first : bisect_left(camps, to_km, lo=first, key=_km_of)]


def _km_of(camp: Camp) -> float:
    return camp.km


def _left_at(camp: Camp, km: float) -> bool:
    return camp.at_water and camp.km == km
