"""What stands out among many plans, against second computations by brute force."""

from __future__ import annotations

import dataclasses
import datetime as dt
import itertools
import random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from make import pace, straight_route, trip
from pyproj import Geod

from longdry.computing.compare.combinations import (
    SourcePlaces,
    combinations_of,
    days_between,
    departures,
    leaving_at,
)
from longdry.computing.compare.side_by_side import best_first_key, side_by_side, unbeaten
from longdry.model.compare.combination import (
    CarriedFrom,
    Chances,
    Combination,
    HeatVerdict,
    NotCounted,
    Outcome,
    Row,
    SourceAt,
    WithoutWaterFor,
    WorstStretch,
)
from longdry.model.compare.comparison import ComparedRoute
from longdry.model.plan.headline import HeadlineLevel
from longdry.model.route import Route
from longdry.model.trip.trip import Contact
from longdry.model.water.source import WaterLayer, WaterSource
from longdry.model.words import Verdict

LEVELS = (HeadlineLevel.LASTS, HeadlineLevel.ONLY_IF, HeadlineLevel.NOT_SAFE)
MONDAY = dt.datetime(2027, 5, 3, 8)
GEOD = Geod(ellps="WGS84")


def outcome(level=HeadlineLevel.LASTS, litres=20.0, short=0.1, no_way=(), out=()):
    """Make the figures of a plan, most of them the same."""
    return Outcome(
        level=level,
        because=("Why.",),
        length_km=100.0,
        worst=WorstStretch("a", 0.0, "b", 50.0, 50.0, 1.0, 10.0, 2.0, 0.0, Verdict.CLEAR),
        longest=WithoutWaterFor(0.0, 50.0, 1.0),
        most=CarriedFrom(litres, 0.0, "", ""),
        calls=1,
        days=3,
        heat=HeatVerdict.NOT_GIVEN,
        hottest=None,
        no_way=tuple(SourceAt(one, one.upper(), 5.0) for one in no_way),
        chances=None if short is None else Chances(short, 0.0, 0.01),
        grave=(),
        not_counted=tuple(NotCounted(SourceAt(one, one.upper(), 5.0), None, "dry") for one in out),
        dark_days=0,
    )


def rows_of(*outcomes, step_days=7):
    """Lay outcomes on one line, a week apart."""
    return [
        Row(Combination(0, 0, False, MONDAY + dt.timedelta(days=step_days * n)), one,
            "" if one else "No.")
        for n, one in enumerate(outcomes)
    ]  # fmt: skip


def compared(rows):
    """Lay rows of one route and one trip side by side."""
    return side_by_side(rows, [ComparedRoute("R", "r.gpx")], ["T"])


points = st.lists(
    st.tuples(st.sampled_from(LEVELS), st.integers(1, 4), st.sampled_from([None, 0, 1, 2, 3])),
    max_size=12,
)


@given(points)
def test_the_unbeaten_are_those_that_no_other_beats(worth):
    """By the definition, pair by pair; what must not be started is never among them."""
    rows = rows_of(*(outcome(level, float(litres), short) for level, litres, short in worth))
    may = {
        index: (LEVELS.index(level), litres, short)
        for index, (level, litres, short) in enumerate(worth)
        if short is not None and level is not HeadlineLevel.NOT_SAFE
    }
    beaten = {
        one
        for one, other in itertools.permutations(may, 2)
        if may[other] != may[one] and all(a <= b for a, b in zip(may[other], may[one], strict=True))
    }

    assert unbeaten(rows) == set(may) - beaten


@given(points, st.randoms(use_true_random=False))
def test_rows_in_any_order_give_one_comparison(worth, dice):
    """Best and worst week hold the best and the worst of the best; of weeks all alike none is."""
    rows = rows_of(*(outcome(level, float(litres), short) for level, litres, short in worth))
    mixed = rows[:]
    dice.shuffle(mixed)
    found = compared(rows)

    assert compared(mixed) == found
    assert sorted(found.ranked) == list(range(len(rows)))
    if len({best_first_key(row.outcome) for row in rows}) < 2:
        assert found.best_week is found.worst_week is None
    else:
        assert found.weeks[found.best_week].best == found.ranked[0]
        assert found.weeks[found.worst_week].best == found.ranked[-1]


def test_a_better_headline_outranks_every_figure():
    """A plan that must not be started is behind all others, however little it carries."""
    rows = rows_of(
        outcome(HeadlineLevel.NOT_SAFE, 1.0, 0.0), None, outcome(HeadlineLevel.ONLY_IF, 90.0, 0.9)
    )

    assert compared(rows).ranked == (2, 0)
    assert compared(rows).weeks[1].best is None


def test_an_unknown_chance_is_worse_than_any():
    """Unknown is worse."""
    rows = rows_of(outcome(short=None), outcome(short=0.99))

    assert compared(rows).ranked == (1, 0)


def test_sources_matter_by_the_plans_that_their_loss_leaves_without_a_way():
    """Counted over all rows, the most first."""
    rows = rows_of(outcome(no_way=["a", "b"]), outcome(no_way=["b"]), outcome(), None)
    found = compared(rows).sources

    assert [(one.id, one.combinations, one.routes) for one in found] == [("b", 2, 1), ("a", 1, 1)]


def test_out_of_season_is_what_counts_on_another_day_of_the_line():
    """A source that never counts is no matter of the season."""
    rows = rows_of(outcome(out=["never"]), outcome(out=["never", "creek"]))
    found = compared(rows).out_of_season

    assert found == {rows[1].of: ("CREEK",)}


def test_days_end_no_later_than_the_last():
    """An empty span has its one day."""
    first = dt.date(2027, 12, 30)

    assert days_between(first, first, 7) == (first,)
    assert days_between(first, first + dt.timedelta(days=8), 7)[-1] == dt.date(2028, 1, 6)


def test_a_trip_without_a_departure_leaves_at_its_start_hour():
    """To the second, never before it."""
    its_trip = trip(pace=pace(start_hour=7.5))

    assert departures(its_trip, [MONDAY.date()]) == (MONDAY.replace(hour=7, minute=30),)
    assert departures(its_trip, []) == (None,)


def test_who_leaves_later_is_due_back_as_much_later():
    """The day moves with the departure; the trip itself is not changed."""
    due = Contact(due_back=dt.date(2027, 5, 10))
    its_trip = dataclasses.replace(trip(), depart=MONDAY, contact=due)
    later = leaving_at(its_trip, MONDAY + dt.timedelta(days=14))

    assert later.contact.due_back == dt.date(2027, 5, 24)
    assert leaving_at(its_trip, MONDAY) is its_trip


def test_combinations_are_every_trip_both_ways_on_every_day():
    """Two trips, two ways, three days: twelve, each with a key of its own."""
    days = days_between(MONDAY.date(), MONDAY.date() + dt.timedelta(days=14), 7)
    found = list(combinations_of([trip(), trip()], 3, days, both_ways=True))

    assert len({one.key for one in found}) == len(found) == 12


def route_through(lon_deg: list[float], lat_deg: float) -> Route:
    """Make a route along a parallel."""
    route = straight_route(1.0, points=len(lon_deg))
    lat = np.full(len(lon_deg), lat_deg)
    return dataclasses.replace(route, lon_deg=np.array(lon_deg), lat_deg=lat)


@pytest.mark.parametrize("lon_deg", [[10.0, 11.0], [179.5, -179.6], [-179.9, 179.9, 178.0]])
@pytest.mark.parametrize("lat_deg", [-25.0, 0.0, 69.0])
def test_no_source_within_reach_is_cut_away(lon_deg, lat_deg):
    """Places up to the reach from a point of the line, also across the date line.

    Placed by pyproj's geodesics; those that are far off are cut.
    """
    dice = random.Random(7)
    route = route_through(lon_deg, lat_deg)
    near = [
        GEOD.fwd(dice.choice(lon_deg), lat_deg, dice.uniform(0.0, 360.0), dice.uniform(0.0, 80e3))
        for _ in range(200)
    ]
    places = [(lat, lon) for lon, lat, _ in near] + [(lat_deg + 5.0, lon_deg[0]), (lat_deg, 60.0)]
    sources = tuple(WaterSource(f"s{n}", "s", *place) for n, place in enumerate(places))
    kept = SourcePlaces.of(WaterLayer(sources)).near(route, 80.0).sources

    assert {one.id for one in kept} == {f"s{n}" for n in range(200)}


def test_sources_with_exchanged_coordinates_are_kept():
    """A plan that comes by no water warns of them."""
    route = route_through([10.0, 11.0], -25.0)
    swapped = WaterSource("s", "s", lat_deg=10.5, lon_deg=-25.2)

    assert SourcePlaces.of(WaterLayer((swapped,))).near(route, 25.0).sources == (swapped,)
