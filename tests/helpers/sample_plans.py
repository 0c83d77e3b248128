"""The sample trips, planned once, and their pages, built once, for all tests that show them."""

from __future__ import annotations

import fcntl
import os
import pickle
from functools import cache
from pathlib import Path

from project_places import SAMPLES
from random_plans import Case

import longdry
from longdry.computing.fills.settled import SettledTrip
from longdry.computing.route.chainage import measure_route
from longdry.computing.route.mirrored import mirrored_trip
from longdry.model.plan.fills import USUAL_FILL_WAY, FillWay
from longdry.model.plan.plan import Plan
from longdry.model.route import Route
from longdry.model.trip.trip import Trip
from longdry.model.trip.what_if import Inquiry
from longdry.model.water.source import WaterLayer
from longdry.showing.page.page import page_html
from longdry.showing.words.measures import METRIC, US

NAMES = ("gorge_walk", "saltbush_loop", "stock_route_ride")
SHARED = "LONGDRY_SHARED_PLANS"
"""Names the folder in which the processes of one test run leave each other what they planned."""


def read_from(folder: Path) -> tuple[Route, WaterLayer, Trip]:
    """Read a trip from its files."""
    layers = [folder / "water.geojson", folder / "more_water.csv"]
    return (
        longdry.read_route(folder / "route.gpx"),
        longdry.read_water([layer for layer in layers if layer.exists()]),
        longdry.read_trip(folder / "trip.toml"),
    )


def planned_from(folder: Path, *, mends: bool = True) -> Plan:
    """Plan a trip from its files."""
    return longdry.plan_trip(*read_from(folder), inquiry=Inquiry(mends=mends, least_litres=True))


def settled(name: str, *, fill: FillWay = USUAL_FILL_WAY, reverse: bool = False) -> SettledTrip:
    """Settle calls, clock and fills of a sample, and nothing beyond: a tenth of the work."""
    route, water, trip = read_from(SAMPLES / name)
    if reverse:
        route = route.reversed()
        length_km = measure_route(route, winding_factor=trip.pace.winding_factor).length_km
        trip = mirrored_trip(trip, length_km)
    return Case(route, water.sources, trip).settled(fill)


@cache
def planned(name: str) -> Plan:
    """Plan a sample once in a test run: no test can change a plan, so one does for all."""
    shared = os.environ.get(SHARED)
    if shared is None:
        return planned_from(SAMPLES / name)
    with (Path(shared) / name).open("a+b") as kept:
        fcntl.flock(kept, fcntl.LOCK_EX)
        kept.seek(0)
        if pickled := kept.read():
            return pickle.loads(pickled)  # noqa: S301 - of this very test run
        plan = planned_from(SAMPLES / name)
        kept.write(pickle.dumps(plan))
    return plan


@cache
def page_of(name: str, *, is_us: bool = False) -> str:
    """Build the page of a sample."""
    return page_html(planned(name), US if is_us else METRIC)
