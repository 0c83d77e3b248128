"""Hours that each leg of the route takes on its ground.

On foot by Tobler's hiking function (W. Tobler, 1993, *Three presentations on geographical
analysis and modeling*, NCGIA Technical Report 93-1), scaled to the party's own speed on the flat;
by bicycle with hours on top for each metre climbed; by vehicle the ground has no say but by its
surface.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from longdry.computing.smoothed_ground import Ground, chainage_of, smoothed_ground
from longdry.model.arrays import FloatArray, frozen_floats
from longdry.model.words import Travel

FASTEST_KMH = 6.0
_STEEPNESS = 3.5
_BEST_SLOPE = -0.05
"""Tobler (1993): W = 6 exp(-3.5 |dh/dx + 0.05|) km/h, fastest at -0.05, which is -2.86 degrees."""
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
    return np.asarray(FASTEST_KMH * np.exp(-_STEEPNESS * np.abs(slopes - _BEST_SLOPE)))


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


def slope_degrees(slope: float) -> float:
    """Return the angle of a slope given as rise over length.

    >>> round(slope_degrees(-0.05), 2)
    -2.86
    """
    return math.degrees(math.atan(slope))
