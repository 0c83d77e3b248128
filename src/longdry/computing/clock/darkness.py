"""When dark falls on the days of a trip, and whether the trip moves by night all the same."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np

from longdry.computing.clock.daylight import dusk_hour, is_dark
from longdry.computing.route.chainage import place_at_km, places_at_km
from longdry.model.plan.days import LocalTime
from longdry.model.route import MeasuredRoute

SUN_ALIKE_KM = 20.0
"""Dusk is taken at the next lower multiple of this: it changes by less than a minute meanwhile."""
_LOOKS_PER_HOUR = 4
_JUNE, _DECEMBER = dt.date(2027, 6, 21), dt.date(2027, 12, 21)


@dataclass(frozen=True, slots=True, eq=False)
class Darkness:
    """Dusk along a route: the end of civil twilight, the sun 6 degrees below the horizon."""

    measured: MeasuredRoute
    clocks: LocalTime
    departs_on: dt.date | None
    """None: every day is the shortest of the year."""
    _known: dict[tuple[int, int], float] = field(default_factory=dict, init=False, repr=False)
    _places: list[tuple[float, float]] = field(default_factory=list, init=False, repr=False)
    """Latitude and longitude at each multiple of `SUN_ALIKE_KM`, once one is asked for."""

    def dusk_h(self, day: int, km: float) -> float:
        """Return the hour of the day at which dark falls at a km: 24 never, 0 all day."""
        key = (day if self.departs_on else 0, int(max(km, 0.0) // SUN_ALIKE_KM))
        hour = self._known.get(key)
        if hour is None:
            hour = self._known[key] = self._dusk_h(*key)
        return hour

    def moves_by_night(self, start_hour: float, hours: float) -> bool:
        """Whether more than half of some hours from a start hour on are dark on the first day."""
        lat_deg, lon_deg, _ = place_at_km(self.measured, 0.0)
        looks = max(round(hours * _LOOKS_PER_HOUR), 1)
        midnight = dt.datetime.combine(self._date(0, lat_deg), dt.time())
        dark = sum(
            is_dark(
                midnight + dt.timedelta(hours=start_hour + hours * (look + 0.5) / looks),
                lat_deg=lat_deg,
                lon_deg=lon_deg,
                clocks=self.clocks,
            )
            for look in range(looks)
        )
        return dark * 2 > looks

    def _dusk_h(self, day: int, near: int) -> float:
        if not self._places:
            self._places.extend(self._places_along())
        lat_deg, lon_deg = self._places[near]
        date = self._date(day, lat_deg)
        return dusk_hour(date, lat_deg=lat_deg, lon_deg=lon_deg, clocks=self.clocks)

    def _places_along(self) -> Iterator[tuple[float, float]]:
        length_km = self.measured.length_km
        km = np.arange(0.0, length_km + SUN_ALIKE_KM, SUN_ALIKE_KM)
        lat_deg, lon_deg, _ = places_at_km(self.measured, np.minimum(km, length_km))
        return zip(lat_deg.tolist(), lon_deg.tolist(), strict=True)

    def _date(self, day: int, lat_deg: float) -> dt.date:
        if self.departs_on is None:
            return _JUNE if lat_deg < 0.0 else _DECEMBER
        return self.departs_on + dt.timedelta(days=day)


@lru_cache(maxsize=8)
def darkness_along(
    measured: MeasuredRoute, clocks: LocalTime, departs_on: dt.date | None
) -> Darkness:
    """Return the darkness along a line from a day on: one for all plans that have both in common.

    A trip that is tried again and again, by a search for mends or at the desk, looks at each dusk
    once.
    """
    return Darkness(measured, clocks, departs_on)


def dark_from_of(
    darkness: Darkness, *, start_hour: float, hours_per_day: float, after_dark: bool
) -> Callable[[int, float], float] | None:
    """Return when dark ends the moving of a day; None where it does not stop the party."""
    if after_dark or darkness.moves_by_night(start_hour, hours_per_day):
        return None
    return darkness.dusk_h
