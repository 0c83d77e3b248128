"""The route as it is drawn: unwrapped, cut at the stretches and simplified to 10 m.

Every figure of the page comes from the plan; only the drawing is simplified. Straight lines on
a Mercator map are what the browser draws, so the line is simplified in that projection: there
10 m are never more than 10 m on the ground (the scale is 1 / cos(latitude), J. P. Snyder (1987),
'Map Projections: A Working Manual', p. 41).
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray

from longdry.geodesy import WEB_MAP_EDGE_DEG, WGS84, points_between
from longdry.model.arrays import FloatArray, value_at
from longdry.model.plan.stretch import DryStretch
from longdry.model.route import MeasuredRoute

MOST_DEVIATION_M = 10.0
_SIMPLIFIED_TO_M = MOST_DEVIATION_M - 1.5
"""What is left for the rounding of coordinates (0.8 m) and the curve of legs of 2 km (0.3 m)."""
_LONGEST_LEG_KM = 2.0
MAP_DECIMALS = 5
LatLon = tuple[float, float]
"""A place, in degrees."""
DrawnLines = NDArray[np.object_]
"""Lines on the plane of web maps, in metres: shapely's, shape (n,)."""


def map_place(place: LatLon) -> list[float]:
    """Return a place as the map's script is told it, to a metre."""
    return [round(place[0], MAP_DECIMALS), round(place[1], MAP_DECIMALS)]


@dataclass(frozen=True, slots=True, eq=False)
class Track:
    """The whole line ready to be cut: longitudes run on beyond 180 where the route does."""

    km: FloatArray
    """Shape (n,), ascending."""
    lat_deg: FloatArray
    lon_deg: FloatArray

    def at(self, km: float) -> LatLon:
        """Latitude and longitude of a km, in degrees."""
        return value_at(km, self.km, self.lat_deg), value_at(km, self.km, self.lon_deg)

    def places(self, km: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Latitudes and longitudes of many km, in degrees."""
        return np.interp(km, self.km, self.lat_deg), np.interp(km, self.km, self.lon_deg)

    def headings_deg(self, km: FloatArray) -> FloatArray:
        """Directions of travel at many km, in degrees from north over east."""
        span = float(self.km[-1]) * 0.0005
        (lat_1, lon_1), (lat_2, lon_2) = self.places(km - span), self.places(km + span)
        east = (lon_2 - lon_1) * np.cos(np.radians(self.places(km)[0]))
        return np.degrees(np.arctan2(east, lat_2 - lat_1)) % 360.0

    def nearest_lon(self, lon_deg: FloatArray, km: FloatArray) -> FloatArray:
        """Longitudes of places beside the route, on the same side of the map as the route."""
        beside_deg = np.interp(km, self.km, self.lon_deg)
        return lon_deg + 360.0 * np.round((beside_deg - lon_deg) / 360.0)


@lru_cache(maxsize=2)
def drawn_track(measured: MeasuredRoute) -> Track:
    """Take the measured route, put points into long legs, and unwrap its longitudes."""
    route = measured.route
    km, lat, lon = measured.chainage_km, route.lat_deg, route.lon_deg
    if bool((measured.leg_km > _LONGEST_LEG_KM).any()):
        km, lat, lon = _densified(measured)
    unwrapped = np.unwrap(lon, period=360.0)
    return Track(km, np.clip(lat, -WEB_MAP_EDGE_DEG, WEB_MAP_EDGE_DEG), unwrapped)


def stretch_lines(stretches: Sequence[DryStretch], track: Track) -> DrawnLines:
    """Return the stretches as they are drawn, worked out once for the map and the still map."""
    return cut_lines(track, np.array([*(one.begin.km for one in stretches), stretches[-1].end.km]))


def cut_lines(track: Track, cuts_km: FloatArray) -> DrawnLines:
    """Return the parts of the route between neighbouring km, two or more, these included."""
    cut_lat, cut_lon = track.places(cuts_km)
    after = cuts_km.searchsorted(track.km, "right")
    is_inside = (after > 0) & (after < cuts_km.size) & (track.km > cuts_km[after - 1])
    parts = np.arange(cuts_km.size - 1)
    part_of = np.concatenate([parts, after[is_inside] - 1, parts])
    lat = np.concatenate([cut_lat[:-1], track.lat_deg[is_inside], cut_lat[1:]])
    lon = np.concatenate([cut_lon[:-1], track.lon_deg[is_inside], cut_lon[1:]])
    order = np.argsort(part_of, kind="stable")
    lines: DrawnLines = shapely.linestrings(
        np.column_stack(mercator_m(lat[order], lon[order])), indices=part_of[order]
    )
    return lines


def simplified(lines: DrawnLines, tolerance_m: float = _SIMPLIFIED_TO_M) -> list[list[list[float]]]:
    """Return ``[[lat, lon], ...]`` of each line, at most ``tolerance_m`` off it on the ground.

    Parameters
    ----------
    tolerance_m
        In metres on a Mercator map, which is more than on the ground.
    """
    thinned = shapely.simplify(lines, tolerance_m, preserve_topology=False)
    kept, line_of = shapely.get_coordinates(thinned, return_index=True)
    lat, lon = _from_mercator(kept[:, 0], kept[:, 1])
    places: list[list[float]] = np.column_stack([lat, lon]).round(MAP_DECIMALS).tolist()
    ends = np.searchsorted(line_of, np.arange(len(lines) + 1)).tolist()
    return [places[first:end] for first, end in itertools.pairwise(ends)]


def mercator_m(lat_deg: FloatArray, lon_deg: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Project onto the spherical Mercator plane of web maps (EPSG 1024), in metres."""
    x = WGS84.a * np.radians(lon_deg)
    y = WGS84.a * np.arctanh(np.sin(np.radians(lat_deg)))
    return x, y


def _from_mercator(x: FloatArray, y: FloatArray) -> tuple[FloatArray, FloatArray]:
    lat = np.degrees(np.arcsin(np.tanh(y / WGS84.a)))
    return lat, np.degrees(x / WGS84.a)


def _densified(measured: MeasuredRoute) -> tuple[FloatArray, FloatArray, FloatArray]:
    route, chainage = measured.route, measured.chainage_km
    kms, lats, lons = [chainage[:1]], [route.lat_deg[:1]], [route.lon_deg[:1]]
    for leg in range(measured.leg_km.size):
        extra = int(measured.leg_km[leg] // _LONGEST_LEG_KM)
        if extra:
            begin = float(route.lat_deg[leg]), float(route.lon_deg[leg])
            end = float(route.lat_deg[leg + 1]), float(route.lon_deg[leg + 1])
            between_lat, between_lon = points_between(begin, end, extra)
            shares = np.arange(1, extra + 1) / (extra + 1)
            kms.append(chainage[leg] + shares * (chainage[leg + 1] - chainage[leg]))
            lats.append(between_lat)
            lons.append(between_lon)
        kms.append(chainage[leg + 1 : leg + 2])
        lats.append(route.lat_deg[leg + 1 : leg + 2])
        lons.append(route.lon_deg[leg + 1 : leg + 2])
    return np.concatenate(kms), np.concatenate(lats), np.concatenate(lons)
