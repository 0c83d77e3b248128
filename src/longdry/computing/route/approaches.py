"""Every separate approach of a route to a place, and the point where it is nearest.

The distance to a place is followed along the route. A minimum of it, the route's ends included,
is an approach when it is prominent (see `minima`) and lies within the greatest detour D. The
lowest minimum always is one. First all approaches are found to a few metres, on straight chords;
then each is refined on the ellipsoid (`nearest_points`).

Why no approach can be missed, though only ground within D + max(D, 0.5 km) of the place is looked
at: where the route leaves that ground between two minima within D, it rises above either by more
than max(D, 0.5 km). That is no less than the rise that an approach at a distance up to D needs, so
the two are separate whatever lies outside.

The greatest distance between two minima (the saddle) is exact, too. On a geodesic leg the distance
to a place has no maximum but at the ends (on a sphere its second derivative,
cot(d / R) sin(angle)^2 / R, is never negative within a quarter of the globe), and all ends of legs
are looked at.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from longdry.computing.route.chainage import ChosenLegs
from longdry.computing.route.chunks import RouteChunks, SpatialHash, batches
from longdry.computing.route.minima import (
    LEAST_RISE_KM,
    DistanceMinima,
    NearChunks,
    prominent_minima,
)
from longdry.geodesy import (
    MEAN_RADIUS_KM,
    azimuths_and_lengths,
    ecef_km,
    length_of_chord_km,
)
from longdry.model.arrays import FloatArray, IntArray
from longdry.model.route import MeasuredRoute, Route
from longdry.model.water.passes import Approach

_CHUNKS_AT_ONCE = 8_000
"""Keeps the working arrays within a processor's cache."""


def find_approaches(
    measured: MeasuredRoute, lat_deg: FloatArray, lon_deg: FloatArray, *, max_detour_km: float
) -> tuple[Approach, ...]:
    """Find every approach of a route to places, sorted by km, then place.

    Parameters
    ----------
    measured
        The route.
    lat_deg, lon_deg
        Shape (places,), WGS 84.
    max_detour_km
        Greatest geodesic distance from the route at which a place is looked at.

    Returns
    -------
    tuple of Approach
        Nearest points and offsets are exact on the geodesics of the legs.

    Raises
    ------
    ValueError
        ``max_detour_km`` is negative or not finite.

    Examples
    --------
    >>> from longdry.computing.route.chainage import measure_route
    >>> from longdry.model.route import Route
    >>> there = Route("walk", "walk.gpx", [0.0, 0.0], [0.0, 0.01], [0.0, 0.0], [0])
    >>> walk = measure_route(there)
    >>> found = find_approaches(walk, np.array([0.01]), np.array([0.005]), max_detour_km=5.0)
    >>> [(round(one.km, 3), round(one.offset_km, 3)) for one in found]
    [(0.557, 1.106)]
    >>> find_approaches(walk, np.array([]), np.array([]), max_detour_km=5.0)
    ()
    """
    if not 0.0 <= max_detour_km < np.inf:
        raise ValueError(f"max_detour_km {max_detour_km} is not a finite number of 0 or more")
    lat_deg, lon_deg = np.asarray(lat_deg, np.float64), np.asarray(lon_deg, np.float64)
    chunks = RouteChunks.of(measured)
    place, piece, share = _approximate_approaches(chunks, ecef_km(lat_deg, lon_deg), max_detour_km)
    leg, fraction = chunks.leg_and_fraction(piece, share)
    nearest = nearest_points(
        measured.route, leg, fraction, lat_deg=lat_deg[place], lon_deg=lon_deg[place]
    )
    return _approaches(measured, place, leg, nearest, max_detour_km)


def _approximate_approaches(
    chunks: RouteChunks, place_km: FloatArray, max_detour_km: float
) -> tuple[IntArray, IntArray, FloatArray]:
    """Return place, piece and share of the piece of every approach, to a few metres."""
    # Places are gone through in batches, and a batch never parts the chunks near one place: what
    # is prominent can only be told from all minima of a place together.
    reach_km = max_detour_km + max(max_detour_km, LEAST_RISE_KM)
    grid = SpatialHash.of(chunks.centre_km, chunks.radius_km, reach_km=reach_km)
    found = [
        _prominent(DistanceMinima.near(chunks, place_km, near, max_detour_km=max_detour_km))
        for near in _near_chunks(grid, place_km)
    ]
    if not found:
        return np.empty(0, np.int64), np.empty(0, np.int64), np.empty(0)
    places, pieces, shares = zip(*found, strict=True)
    return np.concatenate(places), np.concatenate(pieces), np.concatenate(shares)


def _near_chunks(grid: SpatialHash, place_km: FloatArray) -> Iterator[NearChunks]:
    for place, chunk in grid.pairs(place_km):
        near = NearChunks(place, chunk)
        for begin, end in batches(place, np.ones_like(place), _CHUNKS_AT_ONCE):
            yield near.rows(slice(begin, end))


def _prominent(minima: DistanceMinima) -> tuple[IntArray, IntArray, FloatArray]:
    kept = prominent_minima(_ground_km(minima.squared_km2), _ground_km(minima.saddle_km2))
    return minima.place[kept], minima.piece[kept], minima.share[kept]


def _ground_km(squared_chord_km2: FloatArray) -> FloatArray:
    return length_of_chord_km(np.sqrt(squared_chord_km2))


def _approaches(
    measured: MeasuredRoute,
    place: IntArray,
    leg: IntArray,
    nearest: NearestPoints,
    max_detour_km: float,
) -> tuple[Approach, ...]:
    begin_km, end_km = measured.chainage_km[leg], measured.chainage_km[leg + 1]
    km = begin_km + nearest.fraction * (end_km - begin_km)
    order = np.lexsort((place, km))
    order = order[nearest.offset_km[order] <= max_detour_km]
    columns = (
        place,
        leg,
        nearest.fraction,
        km,
        nearest.offset_km,
        nearest.lat_deg,
        nearest.lon_deg,
    )
    return tuple(map(Approach, *(column[order].tolist() for column in columns)))


_REFINEMENTS = 2
"""Each step leaves less than a hundredth of the error; the first guess is good to metres."""


@dataclass(frozen=True, slots=True, eq=False)
class NearestPoints:
    """Nearest points on legs; arrays of shape (n,)."""

    fraction: FloatArray
    """Where on the leg, 0 to 1 by geodesic length."""
    offset_km: FloatArray
    lat_deg: FloatArray
    lon_deg: FloatArray


def nearest_points(
    route: Route, leg: IntArray, fraction: FloatArray, *, lat_deg: FloatArray, lon_deg: FloatArray
) -> NearestPoints:
    """Refine guesses of the nearest points on legs to places.

    From the point reached so far, the geodesic to the place makes an angle with the leg; the
    foot of the perpendicular lies atan(tan(d / R) cos(angle)) ahead on a sphere (Napier's rule
    for the right-angled triangle). Repeated on the ellipsoid's own geodesics this ends where
    the angle is right, or at an end of the leg.

    Parameters
    ----------
    route
        The route.
    leg, fraction
        Shape (n,), the guesses.
    lat_deg, lon_deg
        Shape (n,), the places.
    """
    legs = ChosenLegs.of(route, leg)
    for _ in range(_REFINEMENTS):
        fraction = np.clip(fraction + _ahead_on_leg(legs, fraction, lat_deg, lon_deg), 0.0, 1.0)
    on_lat_deg, on_lon_deg, _ = legs.at(fraction)
    _, offset_km = azimuths_and_lengths(on_lat_deg, on_lon_deg, lat_deg, lon_deg)
    return NearestPoints(fraction, offset_km, on_lat_deg, on_lon_deg)


def _ahead_on_leg(
    legs: ChosenLegs, fraction: FloatArray, lat_deg: FloatArray, lon_deg: FloatArray
) -> FloatArray:
    """Return how far ahead the foot of the perpendicular lies, in parts of the leg."""
    on_lat_deg, on_lon_deg, along_deg = legs.at(fraction)
    azimuth_deg, offset_km = azimuths_and_lengths(on_lat_deg, on_lon_deg, lat_deg, lon_deg)
    cos_angle = np.cos(np.radians(azimuth_deg - along_deg))
    ahead_km = MEAN_RADIUS_KM * np.arctan(np.tan(offset_km / MEAN_RADIUS_KM) * cos_angle)
    has_length = legs.length_km > 0.0
    return np.asarray(
        np.divide(ahead_km, legs.length_km, out=np.zeros_like(ahead_km), where=has_length)
    )
