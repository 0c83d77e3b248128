"""Places along the route for other programs: on the ellipsoid, every point of the route kept."""

from __future__ import annotations

import numpy as np
import pyproj

from longdry.model.arrays import FloatArray
from longdry.model.route import MeasuredRoute

DECIMALS = 7
"""Of a degree: about 1 cm."""


def place_at(measured: MeasuredRoute, km: float) -> tuple[float, float]:
    """Latitude and longitude of a km of the route, in degrees, on the geodesic of its leg.

    A km before the start or behind the end is the start or the end.
    """
    chainage, route = measured.chainage_km, measured.route
    leg = int(np.clip(np.searchsorted(chainage, km, "right") - 1, 0, chainage.size - 2))
    travelled_km = float(chainage[leg + 1] - chainage[leg])
    share = (km - float(chainage[leg])) / travelled_km if travelled_km > 0.0 else 0.0
    if 0.0 < share < 1.0:
        return _on_leg(measured, leg, share)
    point = leg + 1 if share >= 1.0 else leg
    return float(route.lat_deg[point]), float(route.lon_deg[point])


def part_between(
    measured: MeasuredRoute, from_km: float, to_km: float
) -> tuple[FloatArray, FloatArray]:
    """Latitudes and longitudes between two km, their own places and all points between them."""
    inside = (measured.chainage_km > from_km) & (measured.chainage_km < to_km)
    first, last = place_at(measured, from_km), place_at(measured, to_km)
    lat = np.concatenate([[first[0]], measured.route.lat_deg[inside], [last[0]]])
    lon = np.concatenate([[first[1]], measured.route.lon_deg[inside], [last[1]]])
    return lat, lon


def _on_leg(measured: MeasuredRoute, leg: int, share: float) -> tuple[float, float]:

    lat, lon = measured.route.lat_deg, measured.route.lon_deg
    geod = pyproj.Geod(ellps="WGS84")
    azimuth, _, length_m = geod.inv(lon[leg], lat[leg], lon[leg + 1], lat[leg + 1])
    found = geod.fwd(lon[leg], lat[leg], azimuth, length_m * share)
    return float(found[1]), float(found[0])
