"""A layer whose lat and lon are exchanged puts its water elsewhere: that is told."""

from __future__ import annotations

from dataclasses import replace

import pytest
from make import source_at, straight_route

from longdry.api import plan_trip

LENGTH_KM = 80.0


def told_of(sources):
    plan = plan_trip(straight_route(LENGTH_KM, points=20), sources)
    return [warning.text for warning in plan.warnings if "exchanged" in warning.text]


def moved(source, lat_deg, lon_deg):
    return replace(source, lat_deg=lat_deg, lon_deg=lon_deg)


def test_no_word_where_the_route_comes_by_water():
    """A source beside the route is where it should be."""
    assert told_of((source_at(40.0),)) == []


def test_no_word_where_exchanging_would_not_help():
    """A source somewhere else altogether is no swap."""
    assert told_of((moved(source_at(40.0), 60.0, 10.0),)) == []


@pytest.mark.parametrize(("count", "words"), [(1, "One source would"), (3, "3 sources would")])
def test_exchanged_places_are_suspected_and_told(count, words):
    """Both numbers within 90 degrees: no reader can refuse them, the plan tells."""
    route = straight_route(LENGTH_KM, points=20)
    shift = 100.0
    westward = replace(route, lon_deg=route.lon_deg - shift)
    places = [replace(source_at(20.0 + n), id=f"s{n}") for n in range(count)]
    swapped = tuple(moved(p, p.lon_deg - shift, p.lat_deg) for p in places)
    plan = plan_trip(westward, swapped)
    told = [warning.text for warning in plan.warnings if "exchanged" in warning.text]

    assert len(told) == 1
    assert told[0].startswith(words)
