"""Water that does not count, named for those whose life hangs on it; nothing counts on it.

The party: 2 people at 4 L a day, off the route 10 km/h at 1.3 times the offset; half a litre in a
waking hour.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import random

import numpy as np
import pytest
from loaded import ON_FOOT, bore_at, carrying, journey_past, loaded, passes_at, prepared_trip
from make import container, pace, policy, straight_route, trip
from pyproj import Geod
from without_mends import plan_without_mends

from longdry.computing.setbacks.in_need import is_known_dry, water_in_need
from longdry.computing.setbacks.supplied import loaded_full
from longdry.model.water.source import Found, Visit
from longdry.model.words import Grade, Travel


def named(plan, *sources, counted=()):
    passes = passes_at(plan.journey.prepared, list(counted)) if counted else ()
    return water_in_need(plan, [*sources, *counted], passes)


def test_a_tap_beyond_the_detour_is_named_with_way_hours_and_litres():
    """6.5 km off, farther than the 5 km that the plan looks: 8.45 km, 0.845 h, 0.4225 L."""
    tap = bore_at(300.0, offset_km=6.5, kind="tap", id="ranger")
    (found,) = named(loaded(bore_at(250.0)), tap)

    assert (found.source.id, found.km) == ("ranger", pytest.approx(300.0, abs=0.01))
    assert found.way_km == pytest.approx(8.45, abs=0.01)
    assert found.hours == pytest.approx(0.845, abs=0.001)
    assert found.litres == pytest.approx(0.4225, abs=0.001)
    assert found.why_not == "farther from the route than the plan looks"


def test_on_foot_its_way_counts_its_own_hours_on_the_move():
    """0.845 h at a litre a head and hour: 1.69 L; by the plan's 6 h, 8/6 L an hour, 1.13 L."""
    tap = bore_at(300.0, offset_km=6.5, kind="tap")
    (found,) = named(loaded(bore_at(250.0), pace=ON_FOOT), tap)

    assert found.litres == pytest.approx(2.0 * 0.845, abs=0.001)


def test_what_counts_is_not_named_again_and_nothing_beyond_25_km():
    """The call at km 250; a tap 24 km off; one 26 km off."""
    call = bore_at(250.0)
    near, far = bore_at(300.0, offset_km=24.0, id="near"), bore_at(300.0, offset_km=26.0, id="far")

    assert [one.source.id for one in named(loaded(call), near, far, counted=[call])] == ["near"]


def test_the_trip_says_how_far_is_looked():
    """emergency_km 30: the tap 26 km off too."""
    plan = loaded(policy=policy(emergency_km=30.0))

    assert len(named(plan, bore_at(300.0, offset_km=26.0))) == 1


@pytest.mark.parametrize(
    "changes",
    [
        {"visits": (Visit(dt.date(2027, 3, 1), Found.DRY),)},
        {"visits": (Visit(dt.date(2027, 3, 1), Found.UNREACHABLE),)},
        {
            "visits": (
                Visit(dt.date(2026, 1, 1), Found.FLOWING),
                Visit(dt.date(2027, 3, 1), Found.DRY),
            )
        },
        {"flow_l_per_min": 0.0},
        {"limit_l": 0.0},
        {"retired": "pulled out"},
    ],
)
def test_what_is_known_to_be_dry_is_never_named(changes):
    """By its last visit, or by the layer."""
    source = bore_at(300.0, offset_km=6.0, **changes)

    assert is_known_dry(source)
    assert named(loaded(), source) == ()


def test_a_source_that_was_dry_once_and_flowed_since_is_named():
    """The last visit has the word."""
    visits = (Visit(dt.date(2026, 1, 1), Found.DRY), Visit(dt.date(2027, 3, 1), Found.LOW))

    assert len(named(loaded(), bore_at(300.0, offset_km=6.0, visits=visits))) == 1


def test_ungraded_salty_and_undrinkable_water_comes_last():
    """And within both by km."""
    sources = [
        dataclasses.replace(bore_at(100.0, offset_km=6.0, id="ungraded"), grade=None),
        bore_at(150.0, offset_km=6.0, id="salty", tds_mg_per_l=1300.0),
        bore_at(200.0, offset_km=6.0, id="not-for-drinking", grade=Grade.NOT_FOR_DRINKING),
        bore_at(400.0, offset_km=6.0, id="second"),
        bore_at(300.0, offset_km=6.0, id="first", tds_mg_per_l=1100.0),
    ]
    found = named(loaded(), *sources)

    assert [one.source.id for one in found] == [
        "first", "second", "ungraded", "salty", "not-for-drinking",
    ]  # fmt: skip
    assert found[2].why_not == "no grade given: counted as not for drinking"


def test_salt_that_a_visit_measured_puts_a_source_last():
    """1,100 mg/L by the layer and 1,300 by a visit: more than people accept, so behind km 300."""
    visit = Visit(dt.date(2027, 3, 1), Found.FLOWING, tds_mg_per_l=1300.0)
    salty = bore_at(150.0, offset_km=6.0, id="salty", tds_mg_per_l=1100.0, visits=(visit,))
    sweet = bore_at(300.0, offset_km=6.0, id="sweet")

    assert [one.source.id for one in named(loaded(), salty, sweet)] == ["sweet", "salty"]


def test_a_way_longer_than_a_day_has_its_nights_in_it():
    """20 km off at 2 km/h and 1.3 times: 13 h, two nights on days of 6 h."""
    plan = loaded(pace=pace(off_route_kmh=2.0))
    (found,) = named(plan, bore_at(300.0, offset_km=20.0))

    assert found.hours == pytest.approx(24.0 + 24.0 + 1.0, abs=0.02)
    assert found.litres == pytest.approx(0.5 * (16.0 + 16.0 + 1.0), abs=0.02)


@pytest.mark.parametrize(
    ("travel", "litres", "count"),
    [
        (Travel.VEHICLE, 1.0, 1),
        (Travel.BICYCLE, 1.0, 1),
        (Travel.FOOT, 60.0, 1),
        (Travel.FOOT, 5.0, 0),
    ],
)
def test_on_foot_only_where_half_of_what_is_carried_there_takes_one_there(travel, litres, count):
    """A tap 6 km off the start of a walk: with 5 L that are not there any more it is not named."""
    plan = loaded(pace=pace(travel=travel, speed_kmh=5.0), carried_l=[litres])
    (at_start,) = named(loaded(), bore_at(1.0, offset_km=6.0))

    assert at_start.litres < 0.5
    assert len(named(plan, bore_at(60.0, offset_km=6.0))) == count


def test_the_nearest_approach_of_several_is_told():
    """100 random places against the nearest of 20,000 points of the route (pyproj's geodesics)."""
    rng = random.Random(9)
    geod = Geod(ellps="WGS84")
    sources = [
        bore_at(rng.uniform(5.0, 595.0), offset_km=rng.uniform(5.5, 24.0), id=f"w{n}")
        for n in range(100)
    ]
    plan = loaded()
    route = plan.journey.prepared.measured.route
    line = geod.npts(
        route.lon_deg[0], route.lat_deg[0], route.lon_deg[-1], route.lat_deg[-1], 19_999
    )
    lon, lat = np.array(line).T
    by_id = {one.source.id: one for one in named(plan, *sources)}

    for source in sources:
        here = np.full(lon.size, source.lon_deg), np.full(lon.size, source.lat_deg)
        nearest_km = geod.inv(*here, lon, lat)[2].min() / 1000.0
        assert by_id[source.id].way_km / 1.3 == pytest.approx(nearest_km, abs=0.001)


def test_naming_it_changes_nothing_else():
    """The plan with a tap 6.5 km off has the same setbacks as without it, but for its name."""
    call, tap = bore_at(250.0), bore_at(300.0, offset_km=6.5, kind="tap")
    party = trip(containers=[container(30.0, 1)])
    with_it, without = (
        plan_without_mends(straight_route(600.0, points=7), sources, party).setbacks
        for sources in ([call, tap], [call])
    )

    assert [one.source.name for one in with_it.in_need] == [tap.name]
    assert without.in_need == ()
    assert with_it.chance == without.chance
    assert with_it.turn_backs == without.turn_backs
    assert with_it.proof == without.proof
    assert [one.go_on for one in with_it.dry] == [one.go_on for one in without.dry]


def test_a_source_passed_by_is_no_emergency():
    """It counts: on and back may lead there, and it is not named."""
    prepared = prepared_trip()
    call, passed = bore_at(250.0), bore_at(300.0)
    plan = loaded_full(journey_past(prepared, [call]), passes_at(prepared, [call, passed]))

    assert [end.km for end in plan.passed] == pytest.approx([300.0])
    assert water_in_need(plan, [call, passed], passes_at(prepared, [call, passed])) == ()
    assert carrying(plan, plan.carried_l).passed == plan.passed
