"""A route cut into short pieces gathered in chunks, and which chunks come near which places.

A chunk lies in a ball: a centre and a radius in space (earth-centred coordinates, so that poles
and the 180th meridian are places like any other). A place can only be near a route where it is
near such a ball, and a spatial hash over the balls finds those without trying them all.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from longdry.computing.route.chainage import ChosenLegs
from longdry.geodesy import ecef_km, squared_norms
from longdry.model.arrays import FloatArray, IntArray
from longdry.model.route import MeasuredRoute, Route

LONGEST_PIECE_KM = 1.0
"""The chord of such a piece runs 2 cm under the ground at its middle."""
PIECES_A_CHUNK = 64
_CHUNKS_A_BLOCK = 128
"""So few that what is worked out of them stays near the processor."""
_BULGE_KM = 2e-5
"""How far the ground of the longest piece rises above its chord."""


@dataclass(frozen=True, slots=True, eq=False)
class RouteChunks:
    """Pieces of legs in travel order, ``PIECES_A_CHUNK`` to a chunk; lengths in km, ECEF.

    The last chunk is filled up with pieces of no length at the route's end.
    """

    corners_km: FloatArray
    """Shape (chunks, pieces + 1, 3): where pieces begin and end. A view: chunks share corners."""
    squared_piece_km2: FloatArray
    """Shape (chunks, pieces): squared chords of the pieces."""
    centre_km: FloatArray
    """Shape (chunks, 3): the corner in the middle of each chunk."""
    radius_km: FloatArray
    """Shape (chunks,): no point of the chunk is farther from its centre."""
    leg: IntArray
    """Shape (corners,): the leg that each corner stands on."""
    fraction: FloatArray
    """Shape (corners,): where on that leg."""

    @classmethod
    def of(cls, measured: MeasuredRoute) -> RouteChunks:
        """Cut a route."""
        route = measured.route
        leg, fraction = _corners(measured.leg_km)
        chunks = -(-(leg.size - 1) // PIECES_A_CHUNK)
        filled = np.empty((chunks * PIECES_A_CHUNK + 1, 3))
        filled[: leg.size] = _corner_points(route, leg, fraction)
        filled[leg.size :] = filled[leg.size - 1]
        corners = _in_chunks(filled)
        squared = np.empty((chunks, PIECES_A_CHUNK))
        radius = np.empty(chunks)
        for begin in range(0, chunks, _CHUNKS_A_BLOCK):
            block = slice(begin, begin + _CHUNKS_A_BLOCK)
            squared[block], radius[block] = _pieces_and_radius(corners[block])
        centre = corners[:, PIECES_A_CHUNK // 2]
        return cls(corners, squared, centre, radius + _BULGE_KM, leg, fraction)

    def leg_and_fraction(self, piece: IntArray, share: FloatArray) -> tuple[IntArray, FloatArray]:
        """Return leg and fraction of the leg for shares (0 to 1) of pieces."""
        piece = np.minimum(piece, self.leg.size - 2)
        leg = self.leg[piece]
        begin = self.fraction[piece]
        end = np.where(self.leg[piece + 1] == leg, self.fraction[piece + 1], 1.0)
        return leg, begin + share * (end - begin)


def _corners(leg_km: FloatArray) -> tuple[IntArray, FloatArray]:
    """Return leg and fraction of every corner; the last is the end of the last leg."""
    pieces = np.maximum(np.ceil(leg_km / LONGEST_PIECE_KM), 1.0).astype(np.int64)
    if pieces.max() == 1:
        leg = np.minimum(np.arange(leg_km.size + 1), leg_km.size - 1)
        fraction = np.zeros(leg.size)
    else:
        leg = np.append(np.repeat(np.arange(leg_km.size), pieces), leg_km.size - 1)
        number = np.arange(leg.size) - (np.cumsum(pieces) - pieces)[leg]
        fraction = number / pieces[leg]
    fraction[-1] = 1.0
    return leg, fraction


def _pieces_and_radius(corners: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return squared chords of the pieces, and the radius of each chunk about its middle."""
    from_centre = corners - corners[:, PIECES_A_CHUNK // 2, np.newaxis]
    radius = np.sqrt(squared_norms(from_centre).max(axis=1))
    return squared_norms(np.diff(corners, axis=1)), radius


def _corner_points(route: Route, leg: IntArray, fraction: FloatArray) -> FloatArray:
    if leg.size == route.points:
        return ecef_km(route.lat_deg, route.lon_deg)
    points = np.empty((leg.size, 3))
    between = fraction > 0.0
    between[-1] = False
    points[~between] = ecef_km(route.lat_deg, route.lon_deg)
    lat_deg, lon_deg, _ = ChosenLegs.of(route, leg[between]).at(fraction[between])
    points[between] = ecef_km(lat_deg, lon_deg)
    return points


def _in_chunks(corners: FloatArray) -> FloatArray:
    """View corners of shape (chunks * pieces + 1, 3) as overlapping chunks."""
    windows = np.lib.stride_tricks.sliding_window_view(corners, PIECES_A_CHUNK + 1, axis=0)
    return windows[::PIECES_A_CHUNK].transpose(0, 2, 1)


_PAIRS_AT_ONCE = 500_000
_AXIS_CELLS = 1 << 20
"""More cells than fit across the earth at a cell of 0.5 km."""


@dataclass(frozen=True, slots=True, eq=False)
class SpatialHash:
    """Balls sorted into cubes as wide as the reach plus the largest radius.

    The centre of a ball within reach of a place is no farther from it than such a width, so it lies
    in the place's own cube or in one of the 26 around it: no other has to be looked at.
    """

    centre_km: FloatArray
    """Shape (balls, 3)."""
    radius_km: FloatArray
    """Shape (balls,)."""
    reach_km: float
    cell_km: float
    near_cells: IntArray
    """Ascending: every cell with a ball in it or beside it, once for each of those cells."""
    first_ball: IntArray
    """Where in ``balls`` the balls of that neighbour begin."""
    ball_count: IntArray
    balls: IntArray
    """Indices of balls, by cell."""

    @classmethod
    def of(cls, centre_km: FloatArray, radius_km: FloatArray, *, reach_km: float) -> SpatialHash:
        """Sort balls into cells, for places within ``reach_km`` of a ball's surface."""
        # Each filled cell is entered under its own number and under those of its 26 neighbours, so
        # that one look-up of a place's cell gives all balls that can be near it.
        cell_km = reach_km + float(radius_km.max())
        cells = _cells(centre_km, cell_km)
        balls = np.argsort(cells, kind="stable")
        filled, first, count = np.unique(cells[balls], return_index=True, return_counts=True)
        near = (filled[:, np.newaxis] + _NEIGHBOURS).ravel()
        order = np.argsort(near, kind="stable")
        return cls(
            centre_km=centre_km,
            radius_km=radius_km,
            reach_km=reach_km,
            cell_km=cell_km,
            near_cells=near[order],
            first_ball=np.repeat(first, _NEIGHBOURS.size)[order],
            ball_count=np.repeat(count, _NEIGHBOURS.size)[order],
            balls=balls,
        )

    def pairs(self, place_km: FloatArray) -> Iterator[tuple[IntArray, IntArray]]:
        """Give all (place, ball) within reach, in batches of whole places, both ascending.

        Parameters
        ----------
        place_km
            Shape (places, 3).
        """
        cells = _cells(place_km, self.cell_km)
        first = np.searchsorted(self.near_cells, cells, side="left")
        groups = np.searchsorted(self.near_cells, cells, side="right") - first
        near = np.flatnonzero(groups)
        place = np.repeat(near, groups[near])
        group = joined_ranges(first[near], groups[near])
        counts = self.ball_count[group]
        for begin, end in batches(place, counts, _PAIRS_AT_ONCE):
            yield self._within_reach(place_km, place[begin:end], group[begin:end])

    def _within_reach(
        self, place_km: FloatArray, place: IntArray, group: IntArray
    ) -> tuple[IntArray, IntArray]:
        counts = self.ball_count[group]
        ball = self.balls[joined_ranges(self.first_ball[group], counts)]
        place = np.repeat(place, counts)
        squared = squared_norms(place_km[place] - self.centre_km[ball])
        within = squared <= (self.reach_km + self.radius_km[ball]) ** 2
        pair = place[within] * self.radius_km.size + ball[within]
        pair.sort()
        return np.divmod(pair, self.radius_km.size)


def joined_ranges(first: IntArray, count: IntArray) -> IntArray:
    """Return first, first + 1, ... for ``count`` numbers each, one after the other.

    >>> joined_ranges(np.array([5, 0]), np.array([2, 3])).tolist()
    [5, 6, 0, 1, 2]
    """
    shift = np.cumsum(count) - count
    numbers: IntArray = np.arange(int(count.sum())) + np.repeat(first - shift, count)
    return numbers


def batches(owner: IntArray, cost: IntArray, most: int) -> Iterator[tuple[int, int]]:
    """Give slices of about ``most`` cost that never part the rows of one (sorted) owner.

    A slice may pass ``most`` by the cost of one owner.

    >>> list(batches(np.array([1, 1, 2, 3]), np.array([5, 5, 5, 5]), 10))
    [(0, 2), (2, 4)]
    """
    starts = np.flatnonzero(np.diff(owner, prepend=-1))
    spent = (np.cumsum(cost) - cost)[starts]
    begins = starts[np.diff(spent // most, prepend=-1) != 0]
    yield from pairwise([*begins.tolist(), owner.size])


def _cells(points_km: FloatArray, cell_km: float) -> IntArray:
    cell = np.floor(points_km / cell_km).astype(np.int64) + _AXIS_CELLS // 2
    return np.asarray((cell[:, 0] * _AXIS_CELLS + cell[:, 1]) * _AXIS_CELLS + cell[:, 2])


_CELL_STEPS = np.arange(-1, 2, dtype=np.int64)
_NEIGHBOURS: IntArray = (
    (_CELL_STEPS[:, np.newaxis, np.newaxis] * _AXIS_CELLS + _CELL_STEPS[:, np.newaxis])
    * _AXIS_CELLS
    + _CELL_STEPS
).ravel()
