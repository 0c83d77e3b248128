"""Which trips are planned on which days; and which sources a route may have to do with."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from longdry.model.arrays import BoolArray, FloatArray
from longdry.model.compare.combination import Combination
from longdry.model.route import Route
from longdry.model.trip.trip import Trip
from longdry.model.water.source import WaterLayer, WaterSource

KM_PER_DEGREE = 110.0
"""No degree of latitude is shorter (110.57 km at the equator of WGS 84)."""
_SWAPPED_WITHIN_DEG = 0.5
"""A plan that comes by no water looks so far beside its route for exchanged coordinates."""
_HAIR_DEG = 0.01
_MERIDIANS_MEET_DEG = 89.0
_FULL_TURN_DEG = 360.0


def days_between(first: dt.date, last: dt.date, step_days: int) -> tuple[dt.date, ...]:
    """Return every so many days from the first to no later than the last.

    >>> [str(day) for day in days_between(dt.date(2027, 4, 1), dt.date(2027, 4, 16), 7)]
    ['2027-04-01', '2027-04-08', '2027-04-15']
    """
    count = (last - first).days // step_days + 1
    return tuple(first + dt.timedelta(days=step_days * number) for number in range(count))


def departures(trip: Trip, days: Sequence[dt.date]) -> tuple[dt.datetime | None, ...]:
    """Return the departures of a trip: its own, or one on each day at its own time of the day.

    A trip without a departure leaves at its start hour.
    """
    if not days:
        return (trip.depart,)
    if trip.depart is not None:
        of_day = trip.depart.time()
        return tuple(dt.datetime.combine(day, of_day) for day in days)
    since_midnight = dt.timedelta(seconds=math.ceil(trip.pace.start_hour * 3600.0 - 1e-6))
    return tuple(dt.datetime.combine(day, dt.time()) + since_midnight for day in days)


def leaving_at(trip: Trip, depart: dt.datetime | None) -> Trip:
    """Return the trip with another departure, due back so many days later or sooner.

    A trip without a departure of its own keeps the day on which it is due back.
    """
    contact, before = trip.contact, trip.depart
    if depart is None or depart == before:
        return trip
    if contact.due_back and before:
        contact = replace(contact, due_back=contact.due_back + (depart.date() - before.date()))
    return replace(trip, depart=depart, contact=contact)


def combinations_of(
    trips: Sequence[Trip], route: int, days: Sequence[dt.date], *, both_ways: bool
) -> Iterator[Combination]:
    """Yield the combinations of one route, by trip, direction and day."""
    for number, trip in enumerate(trips):
        for reverse in (False, True) if both_ways else (False,):
            for depart in departures(trip, days):
                yield Combination(number, route, reverse, depart)


@dataclass(frozen=True, slots=True, eq=False)
class SourcePlaces:
    """A layer with the places of its sources, to be cut down to one route after another."""

    layer: WaterLayer
    lat_deg: FloatArray
    """Shape (sources,)."""
    lon_deg: FloatArray

    @classmethod
    def of(cls, layer: WaterLayer) -> SourcePlaces:
        """Gather the places."""
        lat = np.array([source.lat_deg for source in layer.sources], dtype=np.float64)
        lon = np.array([source.lon_deg for source in layer.sources], dtype=np.float64)
        return cls(layer, lat, lon)

    def near(self, route: Route, reach_km: float) -> WaterLayer:
        """Return the layer with only those sources that a plan of the route may tell anything of.

        Those in the box round the route that is wider by the reach on each side, and those that
        would lie there if latitude and longitude were exchanged: a plan warns of them.

        Parameters
        ----------
        reach_km
            The farthest from the route at which a plan looks for water.
        """
        margin_deg = max(reach_km / KM_PER_DEGREE, _SWAPPED_WITHIN_DEG) + _HAIR_DEG
        here = _in_box(route, self.lat_deg, self.lon_deg, margin_deg)
        swapped = _in_box(route, self.lon_deg, self.lat_deg, margin_deg)
        kept = np.flatnonzero(here | swapped).tolist()
        return replace(self.layer, sources=_picked(self.layer.sources, kept))


def _picked(sources: Sequence[WaterSource], kept: Sequence[int]) -> tuple[WaterSource, ...]:
    return tuple(sources[index] for index in kept)


def _in_box(route: Route, lat_deg: FloatArray, lon_deg: FloatArray, margin_deg: float) -> BoolArray:
    """Tell which places lie in the box round a route; the box may cross the date line."""
    south = float(route.lat_deg.min()) - margin_deg
    north = float(route.lat_deg.max()) + margin_deg
    lon = np.unwrap(route.lon_deg, period=_FULL_TURN_DEG)
    west, east = float(lon.min()), float(lon.max())
    narrowest = math.cos(math.radians(min(max(abs(south), abs(north)), _MERIDIANS_MEET_DEG)))
    wide_deg = east - west + 2.0 * margin_deg / narrowest
    beyond_west = (lon_deg - (west - margin_deg / narrowest)) % _FULL_TURN_DEG
    is_polar = max(abs(south), abs(north)) > _MERIDIANS_MEET_DEG
    in_width = beyond_west <= wide_deg if wide_deg < _FULL_TURN_DEG and not is_polar else True
    return np.asarray((lat_deg >= south) & (lat_deg <= north) & in_width)


def reach_of(trip: Trip) -> float:
    """Return how far from the route a plan of a trip looks for water, in km."""
    return max(trip.policy.max_detour_km, trip.policy.emergency_km)
