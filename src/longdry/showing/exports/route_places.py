"""Places along the route for other programs: on the ellipsoid, every point of the route kept."""

from __future__ import annotations

import numpy as np

from longdry.geodesy import point_between
from longdry.model.arrays import FloatArray
from longdry.model.route import MeasuredRoute

PLACE_DECIMALS = 7
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
        begin = float(route.lat_deg[leg]), float(route.lon_deg[leg])
        end = float(route.lat_deg[leg + 1]), float(route.lon_deg[leg + 1])
        return point_between(begin, end, share)
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
