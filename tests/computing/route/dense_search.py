"""A dense geodesic search for the approaches of a route, to test against.

Every leg is walked in steps of 10 m at the most with pyproj's Geod (Karney 2013, J. Geodesy
87:43-55); all minima are looked at again in steps of 1 mm, and their prominences read off as they
are defined, by going both ways to lower ground. No code is shared with what is tested.
"""

from __future__ import annotations

import numpy as np
from pyproj import Geod

from longdry.model.route import Route

GEOD = Geod(ellps="WGS84")
STEP_M = 10.0
EQUAL_KM = 1e-5
"""Minima that agree to a centimetre are equal: either may stand for both."""
UNSURE_KM = 0.02
"""Twice the step: nearer to a threshold than this, the search cannot tell."""


def route_of(lat_deg, lon_deg, part_starts=(0,)):
    """Make a route without heights."""
    lat_deg, lon_deg = np.asarray(lat_deg, float), np.asarray(lon_deg, float)
    return Route("track", "track.gpx", lat_deg, lon_deg, np.full(lat_deg.size, np.nan), part_starts)


def track_from(lat_deg, lon_deg, headings_deg, lengths_m):
    """Walk geodesic legs of the given headings and lengths."""
    points = [(lat_deg, lon_deg)]
    for heading, length in zip(headings_deg, lengths_m, strict=True):
        points.append(place_off(*points[-1], heading, length))
    lats, lons = zip(*points, strict=True)
    return route_of(lats, lons)


def place_off(lat_deg, lon_deg, heading_deg, length_m):
    """Return the (lat, lon) that lies off a point."""
    lon, lat, _ = GEOD.fwd(lon_deg, lat_deg, heading_deg, length_m)
    return lat, lon


class DenseSearch:
    """A route as samples."""

    def __init__(self, route):
        self.lat, self.lon = route.lat_deg[:-1], route.lon_deg[:-1]
        self.azimuth, _, self.length_m = GEOD.inv(
            self.lon, self.lat, route.lon_deg[1:], route.lat_deg[1:]
        )
        self.begin_m = np.concatenate([[0.0], np.cumsum(self.length_m)])
        steps = (self.length_m / STEP_M).astype(int) + 1
        leg = np.repeat(np.arange(steps.size), steps)
        number = np.arange(leg.size) - (np.cumsum(steps) - steps)[leg] + 1
        along_m = np.append(0.0, self.length_m[leg] * number / steps[leg])
        self.samples = self.points(np.append(0, leg), along_m)

    def points(self, leg, along_m):
        """Return (m along the route, lat, lon)."""
        lon, lat, _ = GEOD.fwd(self.lon[leg], self.lat[leg], self.azimuth[leg], along_m)
        return self.begin_m[leg] + along_m, lat, lon

    def approaches(self, place, max_detour_km):
        """Return [(km, offset_km)] that are sure, and those too near a threshold to tell."""
        at_m, distance = self.samples[0], distances_km(self.samples, place)
        padded = np.concatenate([[np.inf], distance, [np.inf]])
        lowest = (padded[1:-1] < padded[:-2]) & (padded[1:-1] <= padded[2:])
        lowest &= distance < max_detour_km + 0.1
        minima = {int(at): self.refined(at_m[at], place) for at in np.flatnonzero(lowest)}
        for at, (_, offset_km) in minima.items():
            distance[at] = offset_km
        sure, unsure = [], []
        for at, (nearest_km, offset_km) in minima.items():
            lower = distance < offset_km - EQUAL_KM
            lower[:at] |= lowest[:at] & (distance[:at] <= offset_km + EQUAL_KM)
            rise = rise_km(distance, at, np.flatnonzero(lower))
            margin_km = min(rise - max(0.5, offset_km), max_detour_km - offset_km)
            if margin_km > -UNSURE_KM:
                (sure if margin_km > UNSURE_KM else unsure).append((nearest_km, offset_km))
        return sure, unsure

    def refined(self, at_m, place):
        """Look again around a sample, in steps of 10 cm, then of 1 mm."""
        for reach_m in (11.0, 0.11):
            window = self.window(at_m, reach_m)
            distance = distances_km(window, place)
            at_m, offset_km = window[0][np.argmin(distance)], distance.min()
        return at_m / 1000.0, offset_km

    def window(self, at_m, reach_m):
        """Return 221 samples on each of the legs around a place."""
        on = (self.begin_m[:-1] <= at_m + reach_m) & (self.begin_m[1:] >= at_m - reach_m)
        leg = np.repeat(np.flatnonzero(on), 221)
        wanted_m = at_m + np.tile(np.linspace(-reach_m, reach_m, 221), int(on.sum()))
        return self.points(leg, np.clip(wanted_m - self.begin_m[leg], 0.0, self.length_m[leg]))


def distances_km(points, place):
    """Return geodesic distances from samples to a place."""
    _, lat, lon = points
    return GEOD.inv(lon, lat, np.full_like(lon, place[1]), np.full_like(lat, place[0]))[2] / 1000.0


def rise_km(distance_km, at, lower):
    """Return the rise between a sample and the next lower one, over the easier side."""
    rises = []
    for side in (lower[lower < at][-1:], lower[lower > at][:1]):
        if side.size:
            begin, end = sorted((at, int(side[0])))
            rises.append(distance_km[begin : end + 1].max() - distance_km[at])
    return min(rises, default=np.inf)
