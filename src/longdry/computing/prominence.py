"""Which minima of a distance along a route stand apart.

The way to a place along a route is a chain of valleys (local minima) with a ridge (the
greatest distance) between each two. A valley stands apart when every way to a lower valley
climbs at least ``needed_rise_km``: 0.5 km or the valley's own distance, whichever is more.

Neighbours alone decide. Call the distance plus the needed rise a valley's rim; the lower the
valley, the lower its rim. If m is dropped for a lower neighbour m', over a ridge below m's rim,
and m' for a lower m'', over a ridge below the rim of m', then the ridges between m and m'' are
all below m's rim: m is dropped for m'' as well, and taking m' out of the chain loses nothing.
And if a ridge below m's rim leads to a lower valley far off, then some neighbours on the way
drop one another. So when no neighbour drops another, the valleys that are left stand apart.
"""

from __future__ import annotations

import numpy as np

from longdry.model.arrays import FloatArray, IntArray

LEAST_RISE_KM = 0.5
_TIE_DECIMALS = 5
"""Distances that agree to 1 cm are equal, and the first on the route stays."""


def needed_rise_km(distance_km: FloatArray) -> FloatArray:
    """Return the rise that makes an approach at a distance one of its own."""
    return np.maximum(LEAST_RISE_KM, distance_km)


def standing_apart(valley_km: FloatArray, ridge_km: FloatArray) -> IntArray:
    """Return the indices of the valleys that stand apart.

    Parameters
    ----------
    valley_km
        Shape (n,), distances at the minima in travel order.
    ridge_km
        Shape (n,), greatest distance between a valley and the next; infinite where
        the two have nothing to do with each other.

    Returns
    -------
    IntArray
        Ascending. Of equal valleys without a sufficient rise between, the first.

    Examples
    --------
    A wiggle of 0.2 km is one approach, a loop of 2 km is two; the empty case:

    >>> standing_apart(np.array([0.1, 0.0, 0.3]), np.array([0.2, 2.0, np.inf])).tolist()
    [1, 2]
    >>> standing_apart(np.array([]), np.array([])).tolist()
    []
    """
    kept = np.arange(valley_km.size)
    valley_km = np.round(valley_km, _TIE_DECIMALS)
    while kept.size > 1:
        stays = ~_outdone(valley_km, ridge_km)
        if stays.all():
            break
        kept, valley_km, ridge_km = _without(kept, valley_km, ridge_km, stays)
    return kept


def _outdone(valley_km: FloatArray, ridge_km: FloatArray) -> np.ndarray:
    """Return which valleys have a lower neighbour behind too low a ridge."""
    rim_km = valley_km + needed_rise_km(valley_km)
    between_km = ridge_km[:-1]
    earlier_wins = valley_km[:-1] <= valley_km[1:]
    outdone = np.zeros(valley_km.size, dtype=np.bool_)
    outdone[1:] |= earlier_wins & (between_km < rim_km[1:])
    outdone[:-1] |= ~earlier_wins & (between_km < rim_km[:-1])
    return outdone


def _without(
    kept: IntArray, valley_km: FloatArray, ridge_km: FloatArray, stays: np.ndarray
) -> tuple[IntArray, FloatArray, FloatArray]:
    """Take valleys out; the ridge over them is the highest of those they stood between."""
    left = np.flatnonzero(stays)
    return kept[left], valley_km[left], np.maximum.reduceat(ridge_km, left)
