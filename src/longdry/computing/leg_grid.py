"""A hash grid over balls in space: which balls come near which places."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from longdry.computing.geodesy import squared_norms
from longdry.model.arrays import FloatArray, IntArray

_PAIRS_AT_ONCE = 500_000
_AXIS_CELLS = 1 << 20
"""More cells than fit across the earth at a cell of 0.5 km."""


@dataclass(frozen=True, slots=True, eq=False)
class BallGrid:
    """Balls sorted into cubes as wide as the reach plus the largest radius.

    All balls within reach of a place then lie in its cube or in one of the 26 around it.
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
    def of(cls, centre_km: FloatArray, radius_km: FloatArray, *, reach_km: float) -> BallGrid:
        """Sort balls into cells, for places within ``reach_km`` of a ball's surface."""
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
        group = ranges(first[near], groups[near])
        counts = self.ball_count[group]
        for begin, end in batches(place, counts, _PAIRS_AT_ONCE):
            yield self._within_reach(place_km, place[begin:end], group[begin:end])

    def _within_reach(
        self, place_km: FloatArray, place: IntArray, group: IntArray
    ) -> tuple[IntArray, IntArray]:
        counts = self.ball_count[group]
        ball = self.balls[ranges(self.first_ball[group], counts)]
        place = np.repeat(place, counts)
        squared = squared_norms(place_km[place] - self.centre_km[ball])
        within = squared <= (self.reach_km + self.radius_km[ball]) ** 2
        pair = place[within] * self.radius_km.size + ball[within]
        pair.sort()
        return np.divmod(pair, self.radius_km.size)


def ranges(first: IntArray, count: IntArray) -> IntArray:
    """Return first, first + 1, ... for ``count`` numbers each, one after the other.

    >>> ranges(np.array([5, 0]), np.array([2, 3])).tolist()
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


_STEPS = np.arange(-1, 2, dtype=np.int64)
_NEIGHBOURS: IntArray = (
    (_STEPS[:, np.newaxis, np.newaxis] * _AXIS_CELLS + _STEPS[:, np.newaxis]) * _AXIS_CELLS + _STEPS
).ravel()
