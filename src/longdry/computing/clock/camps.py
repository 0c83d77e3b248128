"""Camps that the trip names, put on the route."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Sequence

import numpy as np

from longdry.computing.clock.clock import Call, Camp, Clock
from longdry.computing.route.approaches import find_approaches
from longdry.errors import Fault, TripFileError
from longdry.model.route import MeasuredRoute, Waypoint
from longdry.model.trip.trip import PinnedCamp, Trip

CAMP_NEAR_ROUTE_KM = 5.0
"""A camp farther from the route than this is a mistake, not a camp of this route."""
AT_WATER_KM = 0.3
"""A camp is at a call that lies within this along the route."""
SAID_AT_WATER_KM = 1.0
"""The same where the trip says that it is at water."""


def pinned_camps(trip: Trip, measured: MeasuredRoute) -> tuple[Camp, ...]:
    """Return the pinned camps by km, each where the trip pins it.

    Raises
    ------
    TripFileError
        Where a camp lies beyond the route, away from it, or at a waypoint that it does not have.
    """
    return tuple(sorted(_in_trip_order(trip, measured), key=lambda camp: camp.km))


def camps_at_calls(
    camps: Sequence[Camp], calls: Sequence[Call]
) -> tuple[tuple[Call, ...], tuple[Camp, ...]]:
    """Return the calls with the nights that camps pin there, and the camps away from water.

    A camp that is said to be at water, and is not at any that counts, is kept as a dry one.
    """
    nights: dict[int, tuple[int, int]] = {}
    away: list[Camp] = []
    for camp in camps:
        index = _call_of(camp, calls)
        if index is None:
            away.append(camp)
            continue
        pinned, dry = nights.get(index, (0, 0))
        is_dry = camp.at_water is False
        nights[index] = (pinned, dry + camp.nights) if is_dry else (pinned + camp.nights, dry)
    with_nights = [
        call._replace(pinned_nights=nights[index][0], dry_nights=nights[index][1])
        if index in nights
        else call
        for index, call in enumerate(calls)
    ]
    return tuple(with_nights), tuple(away)


def _call_of(camp: Camp, calls: Sequence[Call]) -> int | None:
    if camp.whole_days or not calls:
        return None
    nearest = min(range(len(calls)), key=lambda index: abs(calls[index].km - camp.km))
    return nearest if abs(calls[nearest].km - camp.km) <= within_km(camp) else None


def with_kept(clock: Clock, km: float, nights: int) -> Clock:
    """Return the clock of a party that has kept so many nights of the camp pinned at a km."""
    if not nights:
        return clock
    camps = (
        dataclasses.replace(camp, nights=max(camp.nights - nights, 0))
        if math.isclose(camp.km, km)
        else camp
        for camp in clock.camps
    )
    return dataclasses.replace(clock, camps=tuple(camps))


def within_km(camp: Camp) -> float:
    """Return how near along the route a call must be for the camp to be at it."""
    return SAID_AT_WATER_KM if camp.at_water else AT_WATER_KM


def _in_trip_order(trip: Trip, measured: MeasuredRoute) -> list[Camp]:
    faults: list[Fault] = []
    camps = []
    for number, pinned in enumerate(trip.camps, 1):
        km = _km_of(pinned, measured, f"[[camp]] {number}", faults)
        if km is not None:
            camps.append(Camp(km, 1 + pinned.rest_days, at_water=pinned.at_water))
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
