"""Km along a route, the place at a km, and points on its legs.

A leg is the geodesic between two neighbouring points of the route. A point on it is named by the
leg and the fraction of its length, 0 to 1.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from longdry.computing.route.jumps import faults_of_jumps, jumps_of
from longdry.errors import Fault, RouteFileError
from longdry.geodesy import azimuths_and_lengths, leg_lengths_km, points_along
from longdry.model.arrays import FloatArray, IntArray, frozen_floats
from longdry.model.route import TOUCHING_KM, Bridge, MeasuredRoute, Route
from longdry.units import TOLERANCE_KM

STRAIGHT_LEG_KM = 2.0
"""A longer leg is taken as drawn straight over a way that winds."""
LONGEST_BRIDGE_KM = 20.0
"""A wider break between parts is no gap in a recording but another journey."""
"""One millimetre, the accuracy of chainage: a km that far beyond an end is the end."""


def measure_route(route: Route, *, winding_factor: float = 1.0) -> MeasuredRoute:
    """Measure a route on the WGS 84 ellipsoid.

    Breaks between parts are bridged by a straight geodesic and listed. Legs longer than 2 km,
    bridges too, are taken as drawn straight: ``winding_factor`` lengthens them in chainage.

    Parameters
    ----------
    route
        The line to be travelled.
    winding_factor
        Length of the way on the ground over that of a straight leg, 1 or more.

    Returns
    -------
    MeasuredRoute
        With ``leg_km`` of shape (n - 1,) and ``chainage_km`` of shape (n,), within 1 mm or
        1e-9 of the geodesic lengths of Karney (2013), J. Geodesy 87:43-55.

    Raises
    ------
    RouteFileError
        A break between two parts is wider than 20 km, or a jump of a recording.
    ValueError
        ``winding_factor`` is below 1 or not finite.

    Examples
    --------
    >>> here = Route("walk", "walk.gpx", [0.0, 0.0], [0.0, 0.01], [np.nan, np.nan], [0])
    >>> round(measure_route(here).length_km, 6)
    1.113195
    """
    if not 1.0 <= winding_factor < np.inf:
        raise ValueError(f"winding_factor {winding_factor} is not a finite number of 1 or more")
    leg_km = leg_lengths_km(route.lat_deg, route.lon_deg)
    straight = leg_km > STRAIGHT_LEG_KM
    travelled_km = np.where(straight, leg_km * winding_factor, leg_km)
    chainage_km = np.concatenate([[0.0], np.cumsum(travelled_km)])
    faults = faults_of_jumps(route, jumps_of(route, leg_km, chainage_km))
    if faults:
        raise RouteFileError(route.origin, faults)
    return MeasuredRoute(
        route=route,
        leg_km=frozen_floats(leg_km),
        chainage_km=frozen_floats(chainage_km),
        bridges=_bridges(route, leg_km, chainage_km),
        straight_km=float(leg_km[straight].sum()),
        winding_factor=winding_factor,
    )


def place_at_km(measured: MeasuredRoute, km: float) -> tuple[float, float, float]:
    """Return latitude, longitude (degrees) and height (m, NaN where unknown) at a km.

    Raises
    ------
    ValueError
        The km lies beyond an end of the route.

    Examples
    --------
    >>> here = Route("walk", "walk.gpx", [0.0, 0.0], [0.0, 0.01], [10.0, 20.0], [0])
    >>> place_at_km(measure_route(here), 0.0)
    (0.0, 0.0, 10.0)
    """
    lat_deg, lon_deg, height_m = places_at_km(measured, np.array([km], dtype=np.float64))
    return float(lat_deg[0]), float(lon_deg[0]), float(height_m[0])


def places_at_km(
    measured: MeasuredRoute, km: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return latitudes, longitudes (degrees) and heights (m) at many km, each of shape (m,).

    The place is exact on the geodesic of its leg; the height runs evenly from the leg's
    beginning to its end and is NaN (unknown) where one of the two is.

    Raises
    ------
    ValueError
        A km lies beyond an end of the route.
    """
    leg, fraction = _legs_at(measured, np.asarray(km, dtype=np.float64))
    lat_deg, lon_deg, _ = ChosenLegs.of(measured.route, leg).at(fraction)
    return lat_deg, lon_deg, _heights_m(measured.route.height_m, leg, fraction)


def _legs_at(measured: MeasuredRoute, km: FloatArray) -> tuple[IntArray, FloatArray]:
    last_km = measured.length_km
    beyond = ~((km >= -TOLERANCE_KM) & (km <= last_km + TOLERANCE_KM))
    if beyond.any():
        raise ValueError(f"km {km[beyond][0]} is not on the route, which is {last_km:.3f} km long")
    chainage_km = measured.chainage_km
    leg = np.searchsorted(chainage_km, km, side="right") - 1
    leg = np.clip(leg, 0, chainage_km.size - 2)
    travelled_km = chainage_km[leg + 1] - chainage_km[leg]
    into_km = km - chainage_km[leg]
    fraction = np.divide(into_km, travelled_km, out=np.zeros_like(km), where=travelled_km > 0.0)
    return leg, np.clip(fraction, 0.0, 1.0)


def _heights_m(height_m: FloatArray, leg: IntArray, fraction: FloatArray) -> FloatArray:
    begin_m, end_m = height_m[leg], height_m[leg + 1]
    between_m = begin_m + fraction * (end_m - begin_m)
    return np.where(fraction == 0.0, begin_m, np.where(fraction == 1.0, end_m, between_m))


def _bridges(route: Route, leg_km: FloatArray, chainage_km: FloatArray) -> tuple[Bridge, ...]:
    legs = route.part_starts[1:] - 1
    bridges = tuple(
        Bridge(float(chainage_km[leg]), float(leg_km[leg]))
        for leg in legs
        if leg_km[leg] > TOUCHING_KM
    )
    faults = [_fault_of(bridge) for bridge in bridges if bridge.length_km > LONGEST_BRIDGE_KM]
    if faults:
        raise RouteFileError(route.origin, faults)
    return bridges


def _fault_of(bridge: Bridge) -> Fault:
    return Fault(
        where=f"km {bridge.km:.1f}",
        what=f"the line breaks off and goes on {bridge.length_km:.1f} km away, "
        f"more than the {LONGEST_BRIDGE_KM:.0f} km that are bridged",
        mend="draw the missing part; or plan what lies on one side alone: --track 'NAME#1' is the"
        " first unbroken part of the line called NAME, '#1#2' the second of the first line",
    )


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
