"""Points on the legs of a route, by leg and fraction of its geodesic."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from longdry.computing.geodesy import azimuths_and_lengths, points_along
from longdry.model.arrays import FloatArray, IntArray
from longdry.model.route import Route


@dataclass(frozen=True, slots=True, eq=False)
class ChosenLegs:
    """Legs of a route as geodesics, one for each place asked for; arrays of shape (n,)."""

    lat_deg: FloatArray
    """Of the leg's beginning, like ``lon_deg``."""
    lon_deg: FloatArray
    end_lat_deg: FloatArray
    end_lon_deg: FloatArray
    azimuth_deg: FloatArray
    """At its beginning."""
    length_km: FloatArray

    @classmethod
    def of(cls, route: Route, leg: IntArray) -> ChosenLegs:
        """Take the legs with the given indices."""
        lat_deg, lon_deg = route.lat_deg[leg], route.lon_deg[leg]
        end_lat_deg, end_lon_deg = route.lat_deg[leg + 1], route.lon_deg[leg + 1]
        azimuth_deg, length_km = azimuths_and_lengths(lat_deg, lon_deg, end_lat_deg, end_lon_deg)
        return cls(lat_deg, lon_deg, end_lat_deg, end_lon_deg, azimuth_deg, length_km)

    def at(self, fraction: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Return latitude, longitude and azimuth (degrees) at fractions 0 to 1 of the legs.

        At 0 and 1 the route's own points come back to the last bit.
        """
        lat_deg, lon_deg, azimuth_deg = points_along(
            self.lat_deg, self.lon_deg, self.azimuth_deg, fraction * self.length_km
        )
        at_begin, at_end = fraction == 0.0, fraction == 1.0
        return (
            np.where(at_begin, self.lat_deg, np.where(at_end, self.end_lat_deg, lat_deg)),
            np.where(at_begin, self.lon_deg, np.where(at_end, self.end_lon_deg, lon_deg)),
            azimuth_deg,
        )
