"""Which passes are one stop, which belong to the start, and what the user names."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from make import calling_at, container, policy, source_at, straight_route, trip
from without_mends import plan_without_mends

from longdry.errors import TripFileError
from longdry.model.words import FillHabit, Grade

ROUTE = straight_route(600.0, points=7)


def planned(*sources, **how):
    return plan_without_mends(ROUTE, list(sources), trip(**how))


def test_waters_within_300_metres_are_one_stop_called_at_once():
    """A tap at km 300 and a well 0.2 km on are one stop; the tap gives the stop its name."""
    tap, well = source_at(300.0, id="tap"), source_at(300.2, id="well", grade=Grade.TREAT)
    plan = planned(well, tap, can_treat=True, policy=calling_at(tap))
    (stop,) = plan.stops

    assert [water.source.id for water in stop.waters] == ["tap", "well"]
    assert {one.source.id: one.call for one in plan.passes} == {"tap": True, "well": False}
    assert "drawn on at the stop of tap" in plan.passes[1].passed_by_because
    assert len(plan.stretches) == 2


def test_waters_farther_apart_are_two_stops():
    """0.4 km along the route; and 0.2 km along it, with 0.5 km between them across it."""
    along = [source_at(300.0, id="one"), source_at(300.4, id="two")]
    across = [source_at(300.0, id="one"), source_at(300.2, id="two", offset_km=0.46)]

    for pair in (along, across):
        assert len(planned(*pair, policy=calling_at(*pair)).stops) == 2


def test_water_within_a_kilometre_of_the_start_is_the_starts_own():
    """Km 0.4 and 0.3 km off, 0.39 km of way: the start draws on it, and it is no stop."""
    near, well = source_at(0.4, offset_km=0.3, id="near"), source_at(300.0, id="well")
    plan = planned(near, well, policy=calling_at(well))

    assert [water.source.id for water in plan.stretches[0].begin.waters] == ["near"]
    assert [stop.water.source.id for stop in plan.stops] == ["well"]


def test_the_start_gives_no_more_than_its_own_water():
    """A tank of 10 L at km 0 is all there is: of 100 L of cans 10 L leave the start."""
    tank = dataclasses.replace(source_at(0.0, id="tank"), limit_l=10.0)
    plan = planned(tank, source_at(300.0), policy=policy(fill=FillHabit.TOP_UP))

    assert plan.stretches[0].on_board_l == pytest.approx(10.0)


def test_water_a_kilometre_and_more_from_the_start_is_a_stop():
    """Km 0.4 and 0.6 km off, 0.78 km of way: 1.18 km."""
    far = source_at(0.4, offset_km=0.6, id="far")
    plan = planned(far, policy=calling_at(far))

    assert [stop.water.source.id for stop in plan.stops] == ["far"]


def test_what_is_stated_to_be_carried_at_the_start_is_not_topped_up_there():
    """With 5 L stated the tap at km 0.2 is a stop like any other."""
    tap = source_at(0.2, id="tap")
    plan = planned(tap, policy=calling_at(tap, start_on_board_l=5.0))

    assert plan.stretches[0].begin.waters == ()
    assert [stop.water.source.id for stop in plan.stops] == ["tap"]


def test_the_starts_own_water_may_be_named():
    """Who names the tap of the start to call at has it without a stop."""
    tap = source_at(0.2, id="tap")

    assert planned(tap, policy=calling_at(tap)).stops == ()


@pytest.mark.parametrize("key", ["call_at", "pass_by"])
def test_a_source_that_does_not_count_cannot_be_named(key):
    """Salty water, and a name that is no source."""
    salty = source_at(300.0, id="salty", grade=Grade.NOT_FOR_DRINKING)

    for name in ("salty", "elsewhere"):
        with pytest.raises(TripFileError, match=f'{key}: "{name}" is no pass that counts'):
            planned(salty, policy=policy(**{key: (name,)}))


def test_one_pass_of_two_can_be_named():
    """SOURCE@KM means the pass within half a kilometre of that km."""
    one, two = source_at(200.0, id="one"), source_at(400.0, id="two")
    plan = planned(one, two, policy=policy(call_at=("two@400.3",), pass_by=("one",)))

    assert [stop.water.source.id for stop in plan.stops] == ["two"]
    assert plan.passes[0].passed_by_because == "the trip says so"


def test_water_that_must_be_called_at_is_called_at_by_both_names():
    """Told by name, in capitals as well; a small can makes the party call at the other, too."""
    sources = [source_at(200.0, id="one"), source_at(400.0, id="two")]
    plan = planned(*sources, policy=policy(call_at=("ONE",)), containers=[container(5.0, 1)])

    assert "one" in [stop.water.source.id for stop in plan.stops]


@pytest.mark.parametrize(
    ("said", "calls"),
    [({"call_at": ("a", "b")}, ["a", "b"]), ({"call_at": ("b",), "pass_by": ("a",)}, ["b"])],
)
def test_two_waters_off_one_place_of_the_route_are_two_stops(said, calls):
    """A road leads 300 km out and back; a, slow to draw from, and b lie beyond where it turns."""
    a, b = (source_at(km, id=name) for km, name in ((300.5, "a"), (301.2, "b")))
    out = straight_route(300.0)
    lat, lon = (np.append(values, values[0]) for values in (out.lat_deg, out.lon_deg))
    road = dataclasses.replace(out, lat_deg=lat, lon_deg=lon, height_m=np.full(3, np.nan))
    slow = dataclasses.replace(a, flow_l_per_min=0.2)

    plan = plan_without_mends(road, [slow, b], trip(policy=policy(**said)))

    assert [one.source.id for one in plan.passes if one.call] == calls
    assert [stop.draw_min > 0.0 for stop in plan.stops] == [one == "a" for one in calls]
    assert [one.km for one in plan.passes] == pytest.approx([300.0, 300.0], abs=1e-8)
