"""The sample trips, planned once, and their pages, built once, for all tests that show them."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from project_places import SAMPLES

import longdry
from longdry.model.plan.plan import Plan
from longdry.model.trip.what_if import Inquiry
from longdry.showing.page.page import page_html
from longdry.showing.words.measures import METRIC, US

NAMES = ("gorge_walk", "saltbush_loop", "stock_route_ride")


def planned_from(folder: Path) -> Plan:
    """Plan a trip from its files."""
    layers = [folder / "water.geojson", folder / "more_water.csv"]
    return longdry.plan_trip(
        longdry.read_route(folder / "route.gpx"),
        longdry.read_water([layer for layer in layers if layer.exists()]),
        longdry.read_trip(folder / "trip.toml"),
        inquiry=Inquiry(least_litres=True),
    )


@cache
def planned(name: str) -> Plan:
    """Plan a sample; no test can change a plan, so one does for all."""
    return planned_from(SAMPLES / name)


@cache
def page_of(name: str, *, is_us: bool = False) -> str:
    """Build the page of a sample."""
    return page_html(planned(name), US if is_us else METRIC)
