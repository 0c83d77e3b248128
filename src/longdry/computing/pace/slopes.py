"""Hours that each leg of the route takes on its ground.

On foot by Tobler's hiking function (W. Tobler, 1993, *Three presentations on geographical
analysis and modeling*, NCGIA Technical Report 93-1), scaled to the party's own speed on the flat;
by bicycle with hours on top for each metre climbed; by vehicle the ground has no say but by its
surface. Heights are smoothed first: the noise of a receiver would add climbs that are not there.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike

from longdry.model.arrays import FloatArray, frozen_floats
from longdry.model.words import Travel
from longdry.units import M_PER_KM

TOBLER_FASTEST_KMH = 6.0
_STEEPNESS = 3.5
_BEST_SLOPE = -0.05
"""Tobler (1993): W = 6 exp(-3.5 |dh/dx + 0.05|) km/h, fastest at -0.05, which is -2.86 degrees."""
_AT_AN_END_KM = 1e-9
"""A millionth of a metre."""
STEEPEST = 1.0
"""Slopes count as no steeper than 45 degrees: beyond that nobody walks, and heights err."""


@dataclass(frozen=True, slots=True)
class GroundRules:
    """What the trip can set."""

    climb_h_per_m: float
    """Bicycle: hours on top for each metre climbed. An hour for 400 m is common practice, no
    source; lifting 110 kg by 400 m takes 432 kJ, 48 minutes of 150 W."""
    unknown_ground_margin: float
    """Share of the flat hours on top where heights are missing."""


@dataclass(frozen=True, slots=True, eq=False)
class GroundPace:
    """How long the legs take."""

    hours: FloatArray
    """Shape (legs,)."""
    climb_m: float
    """Climbed in all on the smoothed ground; 0 where no height is known."""
    assumed_flat_km: float
    """Length without heights, taken as flat with the margin; 0 for a vehicle."""


def tobler_kmh(slope: ArrayLike) -> FloatArray:
    """Return the walking speed of Tobler's hiking function.

    Parameters
    ----------
    slope
        Rise over horizontal length, negative downhill; any shape.

    Returns
    -------
    numpy.ndarray
        km/h, same shape.

    Examples
    --------
    >>> tobler_kmh([-0.05, 0.0]).round(2).tolist()
    [6.0, 5.04]
    """
    slopes = np.asarray(slope, dtype=np.float64)
    return np.asarray(TOBLER_FASTEST_KMH * np.exp(-_STEEPNESS * np.abs(slopes - _BEST_SLOPE)))


def hours_by_leg(
    *,
    leg_km: FloatArray,
    height_m: FloatArray,
    speed_kmh: ArrayLike,
    travel: Travel,
    rules: GroundRules,
) -> GroundPace:
    """Return the hours of each leg.

    Cutting a leg in two changes no hours: the ground belongs to the route, not to its legs.

    Parameters
    ----------
    leg_km
        Shape (legs,), lengths, none negative.
    height_m
        Shape (legs + 1,), heights at the ends of the legs, NaN where unknown. A leg has heights
        where both its ends do.
    speed_kmh
        Speed on the flat, one for all or one for each leg, above 0.
    travel
        How the party moves.
    rules
        What the trip sets.

    Returns
    -------
    GroundPace
        Hours, climb, and what was taken as flat.

    Raises
    ------
    ValueError
        Where the shapes do not fit or a speed is not above 0.
    """
    speeds = np.broadcast_to(np.asarray(speed_kmh, dtype=np.float64), leg_km.shape)
    if height_m.shape != (leg_km.size + 1,):
        raise ValueError(f"{leg_km.size} legs have {height_m.size} heights")
    if not (speeds > 0.0).all():
        raise ValueError("a speed is not above 0 km/h")
    flat_h = leg_km / speeds
    if travel is Travel.VEHICLE:
        return GroundPace(frozen_floats(flat_h), 0.0, 0.0)
    known = np.isfinite(height_m[:-1]) & np.isfinite(height_m[1:])
    chainage_km = chainage_of(leg_km)
    ground = smoothed_ground(chainage_km, height_m) if known.any() else None
    hours = flat_h * (1.0 + rules.unknown_ground_margin)
    climb_m = 0.0
    if ground is not None:
        climbs_m = _between(np.clip(ground.rise_m, 0.0, None), ground, chainage_km)
        climb_m = float(climbs_m[known].sum())
        if travel is Travel.FOOT:
            on_ground_h = _between(_flat_km(ground), ground, chainage_km) / speeds
        else:
            on_ground_h = flat_h + climbs_m * rules.climb_h_per_m
        hours = np.where(known, on_ground_h, hours)
    return GroundPace(frozen_floats(hours), climb_m, float(leg_km[~known].sum()))


def cut_at(
    chainage_km: FloatArray, height_m: FloatArray, cuts_km: ArrayLike
) -> tuple[FloatArray, FloatArray]:
    """Put points into a route where its speed changes, so that each leg has one speed.

    Parameters
    ----------
    chainage_km
        Shape (n,), never falling.
    height_m
        Shape (n,); a new point on a leg without heights has none.
    cuts_km
        Any number of km; those beyond the route or on a point of it add nothing.

    Returns
    -------
    tuple
        Chainage and heights with the new points, shape (n + new,) each.

    Examples
    --------
    >>> cut_at(np.array([0.0, 10.0]), np.array([0.0, 50.0]), [4.0, 12.0])[1].tolist()
    [0.0, 20.0, 50.0]
    """
    cuts = np.sort(np.asarray(cuts_km, dtype=np.float64))
    cuts = cuts[(cuts > chainage_km[0]) & (cuts < chainage_km[-1])]
    where = np.searchsorted(chainage_km, cuts)
    is_new = (chainage_km[where] != cuts) & (np.diff(cuts, prepend=-np.inf) > 0.0)
    cuts, where = cuts[is_new], where[is_new]
    heights = np.interp(cuts, chainage_km, height_m)
    return np.insert(chainage_km, where, cuts), np.insert(height_m, where, heights)


def _flat_km(ground: Ground) -> FloatArray:
    """Return for each grade the km on the flat that take as long on foot."""
    slopes = np.clip(ground.slope, -STEEPEST, STEEPEST)
    return np.diff(ground.knot_km) * (tobler_kmh(0.0) / tobler_kmh(slopes))


def _between(amounts: FloatArray, ground: Ground, chainage_km: FloatArray) -> FloatArray:
    """Share amounts of the grades out to the legs by length."""
    sums = np.concatenate([[0.0], np.cumsum(amounts)])
    return np.diff(np.interp(chainage_km, ground.knot_km, sums))


WINDOW_KM = 0.2
"""Length that a height is the mean of. Common practice, no source."""
DEAD_BAND_M = 15.0
"""Smallest reversal that is believed. Common practice, no source. With a receiver's error of 5 m
that drifts over 100 m or more, it leaves under 2 m of false climb a km; of dunes 20 m high every
km it keeps more than four fifths. Shorter ups and downs are lost: set a slower speed for them."""


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
        return self.rise_m / (np.diff(self.knot_km) * M_PER_KM)


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
    narrow = half_km < _AT_AN_END_KM
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
    heights = height_m.tolist()
    for index, height in enumerate(heights):
        high = index if height > heights[high] else high
        low = index if height < heights[low] else low
        falls = way >= 0 and heights[high] - height >= DEAD_BAND_M
        rises = way <= 0 and height - heights[low] >= DEAD_BAND_M
        if falls or rises:
            if way != 0:
                turns.append(high if falls else low)
            way = -1 if falls else 1
            high = low = index
    turns.append(height_m.size - 1)
    return list(dict.fromkeys(turns))
