"""A page has room for hundreds of sources that the route never comes near, not for 200,000."""

from __future__ import annotations

import json
from dataclasses import replace

import numpy as np
from make import source_at, straight_route

from longdry.api import plan_trip
from longdry.model.route import Route
from longdry.showing.map.drawn_sources import (
    MOST_FAR,
    drawn_far_sources,
    drawn_sources,
    far_sources,
)
from longdry.showing.page.page import page_html

LENGTH_KM = 100.0


def plan_with(far):
    route = straight_route(LENGTH_KM, points=50)
    near = source_at(50.0, offset_km=0.5)
    places = (source_at(10.0, offset_km=60.0 + n / 10.0) for n in range(far))
    away = [replace(place, id=f"far {n}") for n, place in enumerate(places)]
    return plan_trip(route, (near, *away))


def test_few_far_sources_are_all_shown():
    """Up to the limit nothing is left out, and nothing is said about it."""
    plan = plan_with(3)

    assert drawn_sources(plan) == plan.sources
    assert "farther away and not on this page" not in page_html(plan)


def test_of_many_the_nearest_are_shown_and_the_rest_is_counted():
    """Those left out are the farthest, the source that is passed stays, and the page says so."""
    plan = plan_with(MOST_FAR + 1234)
    page = page_html(plan)

    assert drawn_far_sources(plan, far_sources(plan)) == plan.sources[1 : 1 + MOST_FAR]
    assert drawn_sources(plan) == plan.sources[: 1 + MOST_FAR]
    assert "1,234 sources more lie farther away and not on this page" in page


def test_km_marks_are_rounded_as_decimals():
    """As Python rounds the number itself; along a meridian each would be off alike."""
    lon_deg = 12.000025
    lat_deg = np.linspace(-25.0, -24.5, 60)
    route = Route(
        name="north",
        origin="north.gpx",
        lat_deg=lat_deg,
        lon_deg=np.full(60, lon_deg),
        height_m=np.full(60, np.nan),
        part_starts=np.array([0]),
    )
    page = page_html(plan_trip(route, ()))
    marks = json.loads(page.partition('"marks":')[2].partition("]]")[0] + "]]")

    assert {mark[2] for mark in marks} == {round(lon_deg, 5)}
