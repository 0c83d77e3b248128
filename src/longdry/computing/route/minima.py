"""Minima of the distance to a place along the route, and which of them are prominent.

As with summits in topography, only upside down: the *saddle* between two minima is the greatest
distance on the way from one to the other, and a minimum is prominent when the way to any lower one
leads over a saddle that rises high enough above it (`needed_rise_km`).

A route may have a million points and a layer 200,000 places, so most of the route is never looked
at closely. Why no approach is lost by that: any set of minima that holds all prominent ones will
do, as long as the saddles between them are true. Every other minimum has a lower one behind too
low a saddle, and the lowest that can be reached from it in that way is prominent. So chunks of the
route that can hold no prominent minimum are left out, told from bounds on their distances, and
minima too many at the edges of what is left do no harm.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from longdry.computing.route.chunks import PIECES_A_CHUNK, RouteChunks
from longdry.geodesy import MEAN_RADIUS_KM, length_of_chord_km, squared_norms
from longdry.model.arrays import BoolArray, FloatArray, IntArray

_CHORD_SLACK_KM = 1e-3
"""More than a straight distance within reach of a piece's chord is off."""


@dataclass(frozen=True, slots=True, eq=False)
class DistanceMinima:
    """Minima in travel order, place by place; arrays of shape (n,)."""

    place: IntArray
    piece: IntArray
    share: FloatArray
    """Where on the piece, 0 to 1."""
    squared_km2: FloatArray
    """Squared straight distance from the minimum, on the ground, to the place."""
    saddle_km2: FloatArray
    """Squared chord to the farthest point between this minimum and the next; infinite where
    the route is out of reach between."""

    @classmethod
    def near(
        cls, chunks: RouteChunks, place_km: FloatArray, near: NearChunks, *, max_detour_km: float
    ) -> DistanceMinima:
        """Find the minima within the detour, among them all approaches."""
        bounds = ChunkBounds.of(chunks, place_km, near)
        looked_at = bounds.may_hold_approach(near.continues, max_detour_km=max_detour_km)
        rows = near.rows(looked_at)
        pieces = _Pieces.of(chunks, place_km, rows)
        row, column = np.nonzero(pieces.holding_minima(rows.continues, max_detour_km))
        _add_saddles(pieces, chunks, place_km, near, bounds.saddles(looked_at))
        return cls(
            place=rows.place[row],
            piece=rows.chunk[row] * PIECES_A_CHUNK + column,
            share=pieces.share[row, column],
            squared_km2=_lifted_to_the_ground(
                pieces.nearest_km2[row, column],
                pieces.share[row, column],
                chunks.squared_piece_km2[rows.chunk[row], column],
            ),
            saddle_km2=pieces.saddles_after(row, column, near.runs[looked_at]),
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

    def holding_minima(self, continues: BoolArray, max_detour_km: float) -> BoolArray:
        """Return which pieces hold a minimum within the detour, shape (rows, pieces).

        A minimum at a corner is counted to the piece that ends there, or to the first of a run.
        """
        descends = self.share > 0.0
        descends[1:, 0] |= ~continues[:-1]
        descends[:1, 0] = True
        next_share = np.zeros_like(self.share)
        next_share[:, :-1] = self.share[:, 1:]
        next_share[:-1, -1] = np.where(continues[:-1], self.share[1:, 0], 0.0)
        turns = (self.share < 1.0) | (next_share == 0.0)
        within = self.nearest_km2 <= (max_detour_km + _CHORD_SLACK_KM) ** 2
        return np.asarray(descends & turns & within)

    def saddles_after(self, row: IntArray, column: IntArray, runs: IntArray) -> FloatArray:
        """Return the squared chord to the farthest corner between each minimum and the next."""
        if not row.size:
            return np.empty(0)
        end_of_piece = row * (PIECES_A_CHUNK + 1) + column + 1
        saddle_km2 = np.maximum.reduceat(self.corner_km2.ravel(), end_of_piece)
        saddle_km2[np.flatnonzero(np.diff(runs[row], append=-1))] = np.inf
        return np.asarray(saddle_km2)


def _lifted_to_the_ground(
    nearest_km2: FloatArray, share: FloatArray, length_km2: FloatArray
) -> FloatArray:
    """Lift nearest points from the chords of their pieces to the ground, up to 2 cm above.

    A place at distance d on a sphere lies d^2 / 2R under the level of the ground at the
    nearest point, which rises share (1 - share) length^2 / 2R above the chord.
    """
    rise_km = share * (1.0 - share) * length_km2 / (2.0 * MEAN_RADIUS_KM)
    lifted_km2 = nearest_km2 + rise_km * (nearest_km2 / MEAN_RADIUS_KM - rise_km)
    return np.asarray(np.maximum(lifted_km2, 0.0))


def _add_saddles(
    pieces: _Pieces,
    chunks: RouteChunks,
    place_km: FloatArray,
    near: NearChunks,
    saddles: tuple[IntArray, IntArray],
) -> None:
    """Let the last corner of a row stand for the chunks left out after it."""
    # So a saddle is true even where the greatest distance lies in a chunk that was left out.
    left_out, after = saddles
    farthest = _corners_km2(chunks, place_km, near.rows(left_out)).max(axis=1)
    np.maximum.at(pieces.corner_km2[:, -1], after, farthest)


def _corners_km2(chunks: RouteChunks, place_km: FloatArray, rows: NearChunks) -> FloatArray:
    return squared_norms(chunks.corners_km[rows.chunk] - place_km[rows.place][:, np.newaxis])


LEAST_RISE_KM = 0.5
_TIE_DECIMALS = 5
"""Distances that agree to 1 cm are equal, and the first on the route stays."""


def needed_rise_km(distance_km: FloatArray) -> FloatArray:
    """Return the rise that makes an approach at a distance one of its own."""
    return np.maximum(LEAST_RISE_KM, distance_km)


def prominent_minima(minimum_km: FloatArray, saddle_km: FloatArray) -> IntArray:
    """Return the indices of the minima that are prominent.

    Parameters
    ----------
    valley_km
        Shape (n,), distances at the minima in travel order.
    ridge_km
        Shape (n,), greatest distance between a minimum and the next; infinite where
        the two have nothing to do with each other.

    Returns
    -------
    IntArray
        Ascending. Of equal minima without a sufficient rise between, the first.

    Examples
    --------
    A wiggle of 0.2 km is one approach, a loop of 2 km is two; the empty case:

    >>> prominent_minima(np.array([0.1, 0.0, 0.3]), np.array([0.2, 2.0, np.inf])).tolist()
    [1, 2]
    >>> prominent_minima(np.array([]), np.array([])).tolist()
    []
    """
    kept = np.arange(minimum_km.size)
    minimum_km = np.round(minimum_km, _TIE_DECIMALS)
    while kept.size > 1:
        stays = ~_lacks_prominence(minimum_km, saddle_km)
        if stays.all():
            break
        kept, minimum_km, saddle_km = _merged_over(kept, minimum_km, saddle_km, stays)
    return kept


def _lacks_prominence(minimum_km: FloatArray, saddle_km: FloatArray) -> np.ndarray:
    """Return which minima have a lower neighbour behind too low a saddle."""
    # All of them can go at once. Where the lower neighbour goes too, it has a still lower one
    # behind a saddle too low for it, and so too low for this one: the saddle that is needed grows
    # with the distance. What is left is measured again, until nothing more goes.
    needed_saddle_km = minimum_km + needed_rise_km(minimum_km)
    between_km = saddle_km[:-1]
    earlier_wins = minimum_km[:-1] <= minimum_km[1:]
    lacking = np.zeros(minimum_km.size, dtype=np.bool_)
    lacking[1:] |= earlier_wins & (between_km < needed_saddle_km[1:])
    lacking[:-1] |= ~earlier_wins & (between_km < needed_saddle_km[:-1])
    return lacking


def _merged_over(
    kept: IntArray, minimum_km: FloatArray, saddle_km: FloatArray, stays: np.ndarray
) -> tuple[IntArray, FloatArray, FloatArray]:
    """Take minima out; the saddle over them is the highest of those that they stood between."""
    left = np.flatnonzero(stays)
    return kept[left], minimum_km[left], np.maximum.reduceat(saddle_km, left)


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
    def continues(self) -> BoolArray:
        """Whether the next row is of the same place and the next chunk, shape (rows,)."""
        continues = np.zeros(self.place.size, dtype=np.bool_)
        continues[:-1] = (np.diff(self.chunk) == 1) & (np.diff(self.place) == 0)
        return continues

    @property
    def runs(self) -> IntArray:
        """Number of the unbroken run of chunks that each row is part of, shape (rows,)."""
        return np.cumsum(~self.continues) - ~self.continues

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
        centre = _distances_km(chunks.centre_km, near.chunk, at_km)
        begin = _distances_km(chunks.corners_km[:, 0], near.chunk, at_km)
        end = _distances_km(chunks.corners_km[:, -1], near.chunk, at_km)
        radius = chunks.radius_km[near.chunk]
        return cls(
            lowest_km=np.maximum(centre - radius, 0.0),
            highest_km=centre + radius,
            nearer_end_km=np.minimum(begin, end),
            farther_end_km=np.maximum(begin, end),
        )

    def may_hold_approach(self, continues: BoolArray, *, max_detour_km: float) -> BoolArray:
        """Return which rows may hold an approach within the detour.

        Nearer ground is looked for up to six chunks away on either side.
        """
        # A chunk is left out only where another one surely comes nearer and the route between the
        # two surely stays below the saddle that a minimum here would need. That saddle grows with
        # the distance of the minimum, so the lowest possible distance asks for the least.
        lowest_km = length_of_chord_km(self.lowest_km)
        needed_saddle_km = lowest_km + needed_rise_km(lowest_km)
        highest_km = length_of_chord_km(self.highest_km)
        between_km = highest_km
        holds = self.lowest_km <= max_detour_km
        for hop in range(1, min(_FARTHEST_HOP, holds.size - 1) + 1):
            linked = np.where(continues[hop - 1 : -1], between_km[:-1], np.inf)
            between_km = np.maximum(linked, highest_km[hop:])
            near, far = slice(None, -hop), slice(hop, None)
            for here, there in ((near, far), (far, near)):
                nearer = self.nearer_end_km[there] < self.lowest_km[here]
                holds[here] &= ~(nearer & (between_km < needed_saddle_km[here]))
        return holds

    def saddles(self, looked_at: BoolArray) -> tuple[IntArray, IntArray]:
        """Return rows left out that may hold the greatest distance of their gap.

        Returns
        -------
        rows
            Ascending.
        after
            For each of them, which of the rows looked at (0 for the first) its gap follows.
        """
        # Somewhere in the gap the route is as far away as the farthest end of its chunks. A chunk
        # that cannot reach that distance does not hold the greatest one.
        after = np.cumsum(looked_at) - 1
        left_out = np.flatnonzero(~looked_at & (after >= 0))
        if not left_out.size:
            return left_out, left_out
        gap = np.cumsum(np.diff(after[left_out], prepend=-1) != 0) - 1
        firsts = np.flatnonzero(np.diff(gap, prepend=-1))
        known_km = np.maximum.reduceat(self.farther_end_km[left_out], firsts)
        rows = left_out[self.highest_km[left_out] >= known_km[gap]]
        return rows, after[rows]


def _distances_km(points_km: FloatArray, index: IntArray, at_km: FloatArray) -> FloatArray:
    return np.sqrt(squared_norms(points_km[index] - at_km))
