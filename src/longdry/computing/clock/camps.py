"""Camps that the trip names, put on the route."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

import numpy as np

from longdry.computing.clock.clock import Camp
from longdry.computing.route.approaches import find_approaches
from longdry.errors import Fault, TripFileError
from longdry.model.route import MeasuredRoute, Waypoint
from longdry.model.trip.trip import PinnedCamp, Trip
from longdry.model.water.passes import WaterPass

CAMP_NEAR_ROUTE_KM = 5.0
"""A camp farther from the route than this is a mistake, not a camp of this route."""
CAMP_NEAR_WATER_KM = 1.0
"""A camp at the water is taken to be at the nearest counted pass within this."""


def camps_on_route(
    trip: Trip, measured: MeasuredRoute, passes: Sequence[WaterPass]
) -> tuple[Camp, ...]:
    """Return the pinned camps by km, those at the water at the km of their pass.

    Raises
    ------
    TripFileError
        Where a camp lies beyond the route, away from it, or at a waypoint that it does not have.
    """
    faults: list[Fault] = []
    camps = [
        _moved_to_water(camp, f"[[camp]] {number}", passes, faults) if camp.at_water else camp
        for number, camp in enumerate(_in_trip_order(trip, measured), 1)
    ]
    if faults:
        raise TripFileError(trip.origin, faults)
    return _by_km(camps)


def pinned_on_route(trip: Trip, measured: MeasuredRoute) -> tuple[Camp, ...]:
    """Return the pinned camps by km, each where the trip pins it.

    Raises
    ------
    TripFileError
        Where a camp lies beyond the route, away from it, or at a waypoint that it does not have.
    """
    return _by_km(_in_trip_order(trip, measured))


def _by_km(camps: Sequence[Camp]) -> tuple[Camp, ...]:
    return tuple(sorted(camps, key=lambda camp: camp.km))


def _in_trip_order(trip: Trip, measured: MeasuredRoute) -> list[Camp]:
    faults: list[Fault] = []
    camps = []
    for number, pinned in enumerate(trip.camps, 1):
        km = _km_of(pinned, measured, f"[[camp]] {number}", faults)
        if km is not None:
            camps.append(Camp(km, 1 + pinned.rest_days, at_water=pinned.at_water is True))
    if faults:
        raise TripFileError(trip.origin, faults)
    return camps


def _km_of(
    pinned: PinnedCamp, measured: MeasuredRoute, where: str, faults: list[Fault]
) -> float | None:
    if pinned.km is not None:
        return _km_inside(pinned.km, measured, where, faults)
    if pinned.waypoint is not None:
        waypoint = _waypoint(pinned.waypoint, measured.route.waypoints)
        if waypoint is None:
            faults.append(_no_such_waypoint(pinned.waypoint, measured, where))
            return None
        return _km_near(waypoint.lat_deg, waypoint.lon_deg, measured, where, faults)
    if pinned.lat_deg is None or pinned.lon_deg is None:
        faults.append(Fault(where, "the camp has no place", "give km, waypoint, or lat and lon"))
        return None
    return _km_near(pinned.lat_deg, pinned.lon_deg, measured, where, faults)


def _km_inside(km: float, measured: MeasuredRoute, where: str, faults: list[Fault]) -> float | None:
    if 0.0 <= km <= measured.length_km:
        return km
    faults.append(
        Fault(
            where,
            f"km {km:g} is not on the route, which is {measured.length_km:.1f} km long",
            "give a km of this route",
        )
    )
    return None


def _waypoint(name: str, waypoints: Sequence[Waypoint]) -> Waypoint | None:
    wanted = name.strip().casefold()
    return next((w for w in waypoints if w.name.strip().casefold() == wanted), None)


def _no_such_waypoint(name: str, measured: MeasuredRoute, where: str) -> Fault:
    known = ", ".join(f'"{w.name}"' for w in measured.route.waypoints[:10]) or "none"
    return Fault(where, f'the route has no waypoint "{name}"', f"its waypoints are: {known}")


def _km_near(
    lat_deg: float, lon_deg: float, measured: MeasuredRoute, where: str, faults: list[Fault]
) -> float | None:
    near = find_approaches(
        measured, np.array([lat_deg]), np.array([lon_deg]), max_detour_km=CAMP_NEAR_ROUTE_KM
    )
    if near:
        return min(near, key=lambda approach: approach.offset_km).km
    faults.append(
        Fault(
            where,
            f"{lat_deg:g}, {lon_deg:g} is more than {CAMP_NEAR_ROUTE_KM:g} km from the route",
            "pin the camp by km, or check latitude and longitude",
        )
    )
    return None


def _moved_to_water(
    camp: Camp, where: str, passes: Sequence[WaterPass], faults: list[Fault]
) -> Camp:
    near = [p for p in passes if p.counted and abs(p.km - camp.km) <= CAMP_NEAR_WATER_KM]
    if near:
        return dataclasses.replace(camp, km=min(near, key=lambda p: abs(p.km - camp.km)).km)
    faults.append(
        Fault(
            where,
            f"at_water is set, but no water that counts is within {CAMP_NEAR_WATER_KM:g} km",
            "take at_water away, or move the camp to the water",
        )
    )
    return camp
