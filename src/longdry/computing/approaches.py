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
from dataclasses import dataclass

import numpy as np

from longdry.computing.geodesy import ecef_km, length_of_chord_km, squared_norms
from longdry.computing.leg_grid import BallGrid, batches
from longdry.computing.nearest_point import NearestPoints, nearest_points
from longdry.computing.prominence import LEAST_RISE_KM, standing_apart
from longdry.computing.route_chunks import PIECES_A_CHUNK, RouteChunks
from longdry.model.arrays import FloatArray, IntArray
from longdry.model.route import MeasuredRoute
from longdry.model.water_pass import Approach

_CHUNKS_AT_ONCE = 4_000
"""Keeps the working arrays within a processor's cache."""
_GUESS_KM = 1e-3
"""More than a first guess of a distance is off."""


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
        _standing_apart_in(_Stretch.of(chunks, place_km, place, chunk), max_detour_km)
        for place, chunk in _batches(grid, place_km)
    ]
    if not found:
        return np.empty(0, np.int64), np.empty(0, np.int64), np.empty(0)
    places, pieces, shares = zip(*found, strict=True)
    return np.concatenate(places), np.concatenate(pieces), np.concatenate(shares)


def _batches(grid: BallGrid, place_km: FloatArray) -> Iterator[tuple[IntArray, IntArray]]:
    for place, chunk in grid.pairs(place_km):
        for begin, end in batches(place, np.ones_like(place), _CHUNKS_AT_ONCE):
            yield place[begin:end], chunk[begin:end]


@dataclass(frozen=True, slots=True, eq=False)
class _Stretch:
    """Distances from places to the pieces of chunks near them, row by row."""

    place: IntArray
    """Shape (rows,)."""
    chunk: IntArray
    """Shape (rows,), ascending for each place."""
    goes_on: np.ndarray
    """Shape (rows,): whether the next row is of the next chunk and the same place."""
    corner_km2: FloatArray
    """Shape (rows, pieces + 1), squared chord to each corner."""
    share: FloatArray
    """Shape (rows, pieces), where on the piece its nearest point is, 0 to 1."""
    nearest_km2: FloatArray
    """Shape (rows, pieces), squared chord to that point."""

    @classmethod
    def of(
        cls, chunks: RouteChunks, place_km: FloatArray, place: IntArray, chunk: IntArray
    ) -> _Stretch:
        goes_on = np.zeros(place.size, dtype=np.bool_)
        goes_on[:-1] = (np.diff(chunk) == 1) & (np.diff(place) == 0)
        corner = squared_norms(chunks.corners_km[chunk] - place_km[place][:, np.newaxis])
        length = chunks.squared_piece_km2[chunk]
        twice = corner[:, :-1] - corner[:, 1:] + length
        share = np.divide(twice, 2.0 * length, out=np.zeros_like(length), where=length > 0.0)
        np.clip(share, 0.0, 1.0, out=share)
        nearest = np.maximum(corner[:, :-1] + share * (share * length - twice), 0.0)
        return cls(place, chunk, goes_on, corner, share, nearest)


def _standing_apart_in(
    stretch: _Stretch, max_detour_km: float
) -> tuple[IntArray, IntArray, FloatArray]:
    row, column = np.nonzero(_valleys(stretch, max_detour_km))
    if not row.size:
        return row, row, np.empty(0)
    ridge_km2 = np.maximum.reduceat(
        stretch.corner_km2.ravel(), row * (PIECES_A_CHUNK + 1) + column + 1
    )
    run = np.cumsum(~stretch.goes_on)[row] - ~stretch.goes_on[row]
    ridge_km2[np.flatnonzero(np.diff(run, append=-1))] = np.inf
    valley_km2 = stretch.nearest_km2[row, column]
    kept = standing_apart(_length_km(valley_km2), _length_km(ridge_km2))
    row, column = row[kept], column[kept]
    piece = stretch.chunk[row] * PIECES_A_CHUNK + column
    return stretch.place[row], piece, stretch.share[row, column]


def _valleys(stretch: _Stretch, max_detour_km: float) -> np.ndarray:
    """Return which pieces hold a minimum within the detour, shape (rows, pieces).

    A minimum at a corner is counted to the piece that ends there, or to the first of a run.
    """
    share = stretch.share
    descends = share > 0.0
    descends[1:, 0] |= ~stretch.goes_on[:-1]
    descends[0, 0] = True
    next_share = np.zeros_like(share)
    next_share[:, :-1] = share[:, 1:]
    next_share[:-1, -1] = np.where(stretch.goes_on[:-1], share[1:, 0], 0.0)
    turns = (share < 1.0) | (next_share == 0.0)
    near = stretch.nearest_km2 <= (max_detour_km + _GUESS_KM) ** 2
    return np.asarray(descends & turns & near)


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
