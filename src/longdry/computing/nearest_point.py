"""The nearest point of a leg to a place, exact on the ellipsoid."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from longdry.computing.geodesy import MEAN_RADIUS_KM, azimuths_and_lengths
from longdry.computing.route_legs import ChosenLegs
from longdry.model.arrays import FloatArray, IntArray
from longdry.model.route import Route

_STEPS = 2
"""Each step leaves less than a hundredth of the error; the first guess is good to metres."""


@dataclass(frozen=True, slots=True, eq=False)
class NearestPoints:
    """Nearest points on legs; arrays of shape (n,)."""

    fraction: FloatArray
    """Where on the leg, 0 to 1 by geodesic length."""
    offset_km: FloatArray
    lat_deg: FloatArray
    lon_deg: FloatArray


def nearest_points(
    route: Route, leg: IntArray, fraction: FloatArray, *, lat_deg: FloatArray, lon_deg: FloatArray
) -> NearestPoints:
    """Refine guesses of the nearest points on legs to places.

    From the point reached so far, the geodesic to the place makes an angle with the leg; the
    foot of the perpendicular lies atan(tan(d / R) cos(angle)) ahead on a sphere (Napier's rule
    for the right-angled triangle). Repeated on the ellipsoid's own geodesics this ends where
    the angle is right, or at an end of the leg.

    Parameters
    ----------
    route
        The route.
    leg, fraction
        Shape (n,), the guesses.
    lat_deg, lon_deg
        Shape (n,), the places.
    """
    legs = ChosenLegs.of(route, leg)
    for _ in range(_STEPS):
        fraction = np.clip(fraction + _shift(legs, fraction, lat_deg, lon_deg), 0.0, 1.0)
    on_lat_deg, on_lon_deg, _ = legs.at(fraction)
    _, offset_km = azimuths_and_lengths(on_lat_deg, on_lon_deg, lat_deg, lon_deg)
    return NearestPoints(fraction, offset_km, on_lat_deg, on_lon_deg)


def _shift(
    legs: ChosenLegs, fraction: FloatArray, lat_deg: FloatArray, lon_deg: FloatArray
) -> FloatArray:
    """Return how far ahead the foot of the perpendicular lies, in parts of the leg."""
    on_lat_deg, on_lon_deg, along_deg = legs.at(fraction)
    azimuth_deg, offset_km = azimuths_and_lengths(on_lat_deg, on_lon_deg, lat_deg, lon_deg)
    cos_angle = np.cos(np.radians(azimuth_deg - along_deg))
    ahead_km = MEAN_RADIUS_KM * np.arctan(np.tan(offset_km / MEAN_RADIUS_KM) * cos_angle)
    has_length = legs.length_km > 0.0
    return np.asarray(
        np.divide(ahead_km, legs.length_km, out=np.zeros_like(ahead_km), where=has_length)
    )
