"""Which chunks of a route have to be looked at closely, told from bounds on their distances.

A chunk holds no approach to a place when nothing in it is within the detour, or when ground of
a chunk not far off is nearer than all of it and everything from the one to the other stays below
the rim (distance plus needed rise, see ``prominence``) of its lowest possible minimum. What is
left out that way still has a say as a ridge: of the chunks left out between two others, those
that may hold the greatest distance are told.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from longdry.computing.geodesy import length_of_chord_km, squared_norms
from longdry.computing.prominence import needed_rise_km
from longdry.computing.route_chunks import RouteChunks
from longdry.model.arrays import FloatArray, IntArray

BoolArray = NDArray[np.bool_]
_FARTHEST_HOP = 6
"""Twice as fast as looking at next neighbours alone; more gains little."""


@dataclass(frozen=True, slots=True, eq=False)
class NearChunks:
    """Chunks near places, one row for each place and chunk, by place, then chunk."""

    place: IntArray
    """Shape (rows,)."""
    chunk: IntArray
    """Shape (rows,), ascending for each place."""

    @property
    def goes_on(self) -> BoolArray:
        """Whether the next row is of the same place and the next chunk, shape (rows,)."""
        goes_on = np.zeros(self.place.size, dtype=np.bool_)
        goes_on[:-1] = (np.diff(self.chunk) == 1) & (np.diff(self.place) == 0)
        return goes_on

    @property
    def runs(self) -> IntArray:
        """Number of the unbroken run of chunks that each row is part of, shape (rows,)."""
        return np.cumsum(~self.goes_on) - ~self.goes_on

    def rows(self, chosen: IntArray | BoolArray | slice) -> NearChunks:
        """Return some of the rows."""
        return NearChunks(self.place[chosen], self.chunk[chosen])


@dataclass(frozen=True, slots=True, eq=False)
class ChunkBounds:
    """Bounds on the straight distance of the chunks' points from the places, shape (rows,)."""

    lowest_km: FloatArray
    """No point is nearer."""
    highest_km: FloatArray
    """No point is farther."""
    nearer_end_km: FloatArray
    """Of the chunk's beginning and end, the nearer; so the nearest point is as near or nearer."""
    farther_end_km: FloatArray

    @classmethod
    def of(cls, chunks: RouteChunks, place_km: FloatArray, near: NearChunks) -> ChunkBounds:
        """Work the bounds out from centres, radii and ends of chunks."""
        at_km = place_km[near.place]
        centre = _apart_km(chunks.centre_km, near.chunk, at_km)
        begin = _apart_km(chunks.corners_km[:, 0], near.chunk, at_km)
        end = _apart_km(chunks.corners_km[:, -1], near.chunk, at_km)
        radius = chunks.radius_km[near.chunk]
        return cls(
            lowest_km=np.maximum(centre - radius, 0.0),
            highest_km=centre + radius,
            nearer_end_km=np.minimum(begin, end),
            farther_end_km=np.maximum(begin, end),
        )

    def may_hold_approach(self, goes_on: BoolArray, *, max_detour_km: float) -> BoolArray:
        """Return which rows may hold an approach within the detour.

        Nearer ground is looked for up to six chunks away on either side.
        """
        lowest_km = length_of_chord_km(self.lowest_km)
        rim_km = lowest_km + needed_rise_km(lowest_km)
        highest_km = length_of_chord_km(self.highest_km)
        between_km = highest_km
        holds = self.lowest_km <= max_detour_km
        for hop in range(1, min(_FARTHEST_HOP, holds.size - 1) + 1):
            linked = np.where(goes_on[hop - 1 : -1], between_km[:-1], np.inf)
            between_km = np.maximum(linked, highest_km[hop:])
            near, far = slice(None, -hop), slice(hop, None)
            for here, there in ((near, far), (far, near)):
                nearer = self.nearer_end_km[there] < self.lowest_km[here]
                holds[here] &= ~(nearer & (between_km < rim_km[here]))
        return holds

    def ridges(self, looked_at: BoolArray) -> tuple[IntArray, IntArray]:
        """Return rows left out that may hold the greatest distance of their gap.

        Returns
        -------
        rows
            Ascending.
        after
            For each of them, which of the rows looked at (0 for the first) its gap follows.
        """
        after = np.cumsum(looked_at) - 1
        left_out = np.flatnonzero(~looked_at & (after >= 0))
        if not left_out.size:
            return left_out, left_out
        gap = np.cumsum(np.diff(after[left_out], prepend=-1) != 0) - 1
        firsts = np.flatnonzero(np.diff(gap, prepend=-1))
        known_km = np.maximum.reduceat(self.farther_end_km[left_out], firsts)
        rows = left_out[self.highest_km[left_out] >= known_km[gap]]
        return rows, after[rows]


def _apart_km(points_km: FloatArray, index: IntArray, at_km: FloatArray) -> FloatArray:
    return np.sqrt(squared_norms(points_km[index] - at_km))
