"""The rise and fall of the ground along a route, without the noise of its heights.

Heights of a satellite receiver wander by metres from point to point; summed up raw they make
mountains of a plain. Two steps take that out, named in the assumptions of a plan:

1. window mean: the mean height over each 200 m of the route, on knots 200 m apart;
2. dead band: a reversal smaller than 15 m, up or down, is taken for noise.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from longdry.model.arrays import FloatArray, frozen_floats

WINDOW_KM = 0.2
"""Length that a height is the mean of. Common practice, no source."""
DEAD_BAND_M = 15.0
"""Smallest reversal that is believed. Common practice, no source. With a receiver's error of 5 m
that drifts over 100 m or more, it leaves under 2 m of false climb a km; of dunes 20 m high every
km it keeps more than four fifths. Shorter ups and downs are lost: set a slower speed for them."""
_M_PER_KM = 1000.0


@dataclass(frozen=True, slots=True, eq=False)
class Ground:
    """Heights on equal steps along the route; straight grades between them."""

    knot_km: FloatArray
    """Shape (knots,), from 0 to the length of the route."""
    height_m: FloatArray
    """Shape (knots,), smoothed."""

    @property
    def rise_m(self) -> FloatArray:
        """Shape (knots - 1,), rise of each grade, negative downhill."""
        return np.diff(self.height_m)

    @property
    def slope(self) -> FloatArray:
        """Shape (knots - 1,), rise over length of each grade."""
        return self.rise_m / (np.diff(self.knot_km) * _M_PER_KM)

    @property
    def climb_m(self) -> float:
        """All that is climbed."""
        return float(self.rise_m.clip(min=0.0).sum())


def chainage_of(leg_km: FloatArray) -> FloatArray:
    """Return the km at each end of each leg, from 0; shape (legs + 1,)."""
    return np.concatenate([[0.0], np.cumsum(leg_km)])


def smoothed_ground(chainage_km: FloatArray, height_m: FloatArray) -> Ground | None:
    """Smooth the heights of a route.

    Parameters
    ----------
    chainage_km
        Shape (n,), never falling.
    height_m
        Shape (n,), NaN where the route has none: a straight grade bridges the gap.

    Returns
    -------
    Ground or None
        None where no point has a height, or the route no length.

    Examples
    --------
    >>> smoothed_ground(np.array([0.0, 1.0]), np.array([np.nan, np.nan])) is None
    True
    """
    known = np.isfinite(height_m)
    length_km = float(chainage_km[-1])
    if not known.any() or length_km <= 0.0:
        return None
    heights = np.interp(chainage_km, chainage_km[known], height_m[known])
    steps = max(1, math.ceil(length_km / WINDOW_KM - 1e-9))
    knot_km = np.linspace(0.0, length_km, steps + 1)
    means = _window_means(chainage_km, heights, knot_km)
    return Ground(frozen_floats(knot_km), frozen_floats(without_small_reversals(means)))


def _window_means(chainage_km: FloatArray, heights: FloatArray, at_km: FloatArray) -> FloatArray:
    """Return the mean height over a window around each km, exact on the straight legs.

    Towards the ends of the route the window shrinks on both sides alike, so that a steady grade
    stays what it is.
    """
    half_km = np.minimum(WINDOW_KM / 2.0, np.minimum(at_km, chainage_km[-1] - at_km))
    narrow = half_km < 1e-9  # noqa: PLR2004 - a millionth of a metre: the route's ends
    half_km = np.where(narrow, 1.0, half_km)
    area = _area_to(chainage_km, heights, at_km + half_km)
    area = area - _area_to(chainage_km, heights, at_km - half_km)
    points = np.interp(at_km, chainage_km, heights)
    return np.where(narrow, points, area / (2.0 * half_km))


def _area_to(chainage_km: FloatArray, heights: FloatArray, at_km: FloatArray) -> FloatArray:
    """Return the integral of the height from the start to each km."""
    lengths = np.diff(chainage_km)
    pieces = lengths * (heights[:-1] + heights[1:]) / 2.0
    sums = np.concatenate([[0.0], np.cumsum(pieces)])
    at_km = np.clip(at_km, 0.0, chainage_km[-1])
    leg = np.clip(np.searchsorted(chainage_km, at_km, side="right") - 1, 0, lengths.size - 1)
    here = np.interp(at_km, chainage_km, heights)
    return sums[leg] + (at_km - chainage_km[leg]) * (heights[leg] + here) / 2.0


def without_small_reversals(height_m: FloatArray) -> FloatArray:
    """Return the heights with each reversal below the dead band levelled out.

    Between two believed turning points the ground only rises or only falls; the turning points
    themselves keep their heights, so that no believed climb is lost.

    >>> without_small_reversals(np.array([0.0, 30.0, 27.0, 50.0])).tolist()
    [0.0, 28.5, 28.5, 50.0]
    """
    turns = _turning_points(height_m)
    level = height_m.copy()
    for begin, end in pairwise(turns):
        part = height_m[begin : end + 1]
        sign = 1.0 if part[-1] >= part[0] else -1.0
        rising = np.clip(sign * part, min(sign * part[0], sign * part[-1]), sign * part[-1])
        above = np.maximum.accumulate(rising)
        below = np.minimum.accumulate(rising[::-1])[::-1]
        level[begin : end + 1] = sign * (above + below) / 2.0
    return level


def _turning_points(height_m: FloatArray) -> list[int]:
    """Return the indices of the ends and of the believed highs and lows between them."""
    turns = [0]
    high = low = 0
    way = 0
    for index, height in enumerate(height_m.tolist()):
        high = index if height > height_m[high] else high
        low = index if height < height_m[low] else low
        falls = way >= 0 and height_m[high] - height >= DEAD_BAND_M
        rises = way <= 0 and height - height_m[low] >= DEAD_BAND_M
        if falls or rises:
            if way != 0:
                turns.append(high if falls else low)
            way = -1 if falls else 1
            high = low = index
    turns.append(height_m.size - 1)
    return list(dict.fromkeys(turns))
