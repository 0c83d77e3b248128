"""Minima of the distance from places along the pieces of a route near them.

Any set of minima that holds all approaches will do, with true ridges between: every other
minimum has a lower one behind too low a ridge, and the lowest that can be reached from it in
that way is an approach. So chunks without approaches are left out, and minima too many at the
edges of what is left do no harm.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from longdry.computing.chunk_bounds import BoolArray, ChunkBounds, NearChunks
from longdry.computing.geodesy import MEAN_RADIUS_KM, squared_norms
from longdry.computing.route_chunks import PIECES_A_CHUNK, RouteChunks
from longdry.model.arrays import FloatArray, IntArray

_GUESS_KM = 1e-3
"""More than a straight distance within reach of a piece's chord is off."""


@dataclass(frozen=True, slots=True, eq=False)
class Valleys:
    """Minima in travel order, place by place; arrays of shape (n,)."""

    place: IntArray
    piece: IntArray
    share: FloatArray
    """Where on the piece, 0 to 1."""
    squared_km2: FloatArray
    """Squared straight distance from the minimum, on the ground, to the place."""
    ridge_km2: FloatArray
    """Squared chord to the farthest point between this minimum and the next; infinite where
    the route is out of reach between."""

    @classmethod
    def near(
        cls, chunks: RouteChunks, place_km: FloatArray, near: NearChunks, *, max_detour_km: float
    ) -> Valleys:
        """Find the minima within the detour, among them all approaches."""
        bounds = ChunkBounds.of(chunks, place_km, near)
        looked_at = bounds.may_hold_approach(near.goes_on, max_detour_km=max_detour_km)
        rows = near.rows(looked_at)
        pieces = _Pieces.of(chunks, place_km, rows)
        row, column = np.nonzero(pieces.hold_minima(rows.goes_on, max_detour_km))
        _add_ridges(pieces, chunks, place_km, near, bounds.ridges(looked_at))
        return cls(
            place=rows.place[row],
            piece=rows.chunk[row] * PIECES_A_CHUNK + column,
            share=pieces.share[row, column],
            squared_km2=_from_the_ground(
                pieces.nearest_km2[row, column],
                pieces.share[row, column],
                chunks.squared_piece_km2[rows.chunk[row], column],
            ),
            ridge_km2=pieces.ridges_after(row, column, near.runs[looked_at]),
        )


@dataclass(frozen=True, slots=True, eq=False)
class _Pieces:
    """Squared chords from places to the pieces of chunks, row by row."""

    corner_km2: FloatArray
    """Shape (rows, pieces + 1), to each corner."""
    share: FloatArray
    """Shape (rows, pieces), where on the piece its nearest point is, 0 to 1."""
    nearest_km2: FloatArray
    """Shape (rows, pieces), to that point."""

    @classmethod
    def of(cls, chunks: RouteChunks, place_km: FloatArray, rows: NearChunks) -> _Pieces:
        corner = _corners_km2(chunks, place_km, rows)
        length = chunks.squared_piece_km2[rows.chunk]
        twice = corner[:, :-1] - corner[:, 1:] + length
        share = np.divide(twice, 2.0 * length, out=np.zeros_like(length), where=length > 0.0)
        np.clip(share, 0.0, 1.0, out=share)
        nearest = np.maximum(corner[:, :-1] + share * (share * length - twice), 0.0)
        return cls(corner, share, nearest)

    def hold_minima(self, goes_on: BoolArray, max_detour_km: float) -> BoolArray:
        """Return which pieces hold a minimum within the detour, shape (rows, pieces).

        A minimum at a corner is counted to the piece that ends there, or to the first of a run.
        """
        descends = self.share > 0.0
        descends[1:, 0] |= ~goes_on[:-1]
        descends[:1, 0] = True
        next_share = np.zeros_like(self.share)
        next_share[:, :-1] = self.share[:, 1:]
        next_share[:-1, -1] = np.where(goes_on[:-1], self.share[1:, 0], 0.0)
        turns = (self.share < 1.0) | (next_share == 0.0)
        within = self.nearest_km2 <= (max_detour_km + _GUESS_KM) ** 2
        return np.asarray(descends & turns & within)

    def ridges_after(self, row: IntArray, column: IntArray, runs: IntArray) -> FloatArray:
        """Return the squared chord to the farthest corner between each minimum and the next."""
        if not row.size:
            return np.empty(0)
        end_of_piece = row * (PIECES_A_CHUNK + 1) + column + 1
        ridge_km2 = np.maximum.reduceat(self.corner_km2.ravel(), end_of_piece)
        ridge_km2[np.flatnonzero(np.diff(runs[row], append=-1))] = np.inf
        return np.asarray(ridge_km2)


def _from_the_ground(
    nearest_km2: FloatArray, share: FloatArray, length_km2: FloatArray
) -> FloatArray:
    """Lift nearest points from the chords of their pieces to the ground, up to 2 cm above.

    A place at distance d on a sphere lies d^2 / 2R under the level of the ground at the
    nearest point, which rises share (1 - share) length^2 / 2R above the chord.
    """
    rise_km = share * (1.0 - share) * length_km2 / (2.0 * MEAN_RADIUS_KM)
    lifted_km2 = nearest_km2 + rise_km * (nearest_km2 / MEAN_RADIUS_KM - rise_km)
    return np.asarray(np.maximum(lifted_km2, 0.0))


def _add_ridges(
    pieces: _Pieces,
    chunks: RouteChunks,
    place_km: FloatArray,
    near: NearChunks,
    ridges: tuple[IntArray, IntArray],
) -> None:
    """Let the last corner of a row stand for the chunks left out after it."""
    left_out, after = ridges
    farthest = _corners_km2(chunks, place_km, near.rows(left_out)).max(axis=1)
    np.maximum.at(pieces.corner_km2[:, -1], after, farthest)


def _corners_km2(chunks: RouteChunks, place_km: FloatArray, rows: NearChunks) -> FloatArray:
    return squared_norms(chunks.corners_km[rows.chunk] - place_km[rows.place][:, np.newaxis])
