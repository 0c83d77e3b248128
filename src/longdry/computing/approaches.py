"""Every separate approach of a route to a place.

The distance to a place is followed along the route. A minimum of it, the route's ends
included, is an approach when it stands apart (see ``prominence``) and lies within the greatest
detour D. The lowest minimum always is one.

Only ground within D + max(D, 0.5 km) of the place has to be looked at. Where the route leaves
it between two minima that are within D, it climbs above either by more than max(D, 0.5 km),
which is no less than the rise that an approach at a distance up to D needs: the two stand
apart whatever lies outside.

The ridge between two minima is exact, too. On a geodesic leg the distance to a place has no
maximum but at the ends (on a sphere its second derivative, cot(d / R) sin(angle)^2 / R, is
never negative within a quarter of the globe), and all ends of legs are looked at.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from longdry.computing.chunk_bounds import NearChunks
from longdry.computing.geodesy import ecef_km, length_of_chord_km
from longdry.computing.leg_grid import BallGrid, batches
from longdry.computing.nearest_point import NearestPoints, nearest_points
from longdry.computing.prominence import LEAST_RISE_KM, standing_apart
from longdry.computing.route_chunks import RouteChunks
from longdry.computing.valleys import Valleys
from longdry.model.arrays import FloatArray, IntArray
from longdry.model.route import MeasuredRoute
from longdry.model.water_pass import Approach

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
    >>> from longdry.computing.chainage import measure_route
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
    place, piece, share = _guesses(chunks, ecef_km(lat_deg, lon_deg), max_detour_km)
    leg, fraction = chunks.leg_and_fraction(piece, share)
    nearest = nearest_points(
        measured.route, leg, fraction, lat_deg=lat_deg[place], lon_deg=lon_deg[place]
    )
    return _approaches(measured, place, leg, nearest, max_detour_km)


def _guesses(
    chunks: RouteChunks, place_km: FloatArray, max_detour_km: float
) -> tuple[IntArray, IntArray, FloatArray]:
    """Return place, piece and share of the piece of every approach, to a few metres."""
    reach_km = max_detour_km + max(max_detour_km, LEAST_RISE_KM)
    grid = BallGrid.of(chunks.centre_km, chunks.radius_km, reach_km=reach_km)
    found = [
        _standing_apart(Valleys.near(chunks, place_km, near, max_detour_km=max_detour_km))
        for near in _batches(grid, place_km)
    ]
    if not found:
        return np.empty(0, np.int64), np.empty(0, np.int64), np.empty(0)
    places, pieces, shares = zip(*found, strict=True)
    return np.concatenate(places), np.concatenate(pieces), np.concatenate(shares)


def _batches(grid: BallGrid, place_km: FloatArray) -> Iterator[NearChunks]:
    for place, chunk in grid.pairs(place_km):
        near = NearChunks(place, chunk)
        for begin, end in batches(place, np.ones_like(place), _CHUNKS_AT_ONCE):
            yield near.rows(slice(begin, end))


def _standing_apart(valleys: Valleys) -> tuple[IntArray, IntArray, FloatArray]:
    kept = standing_apart(_length_km(valleys.squared_km2), _length_km(valleys.ridge_km2))
    return valleys.place[kept], valleys.piece[kept], valleys.share[kept]


def _length_km(squared_chord_km2: FloatArray) -> FloatArray:
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
