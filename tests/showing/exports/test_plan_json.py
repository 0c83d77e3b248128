"""The plan document: its keys, against sums made by hand.

By vehicle at 50 km/h, 6 hours a day from 8 o'clock, two people who drink 4 L each a day, spread
evenly over the 16 waking hours from 6 to 22: half a litre an hour for both.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import json

import pytest
from make import PACE, calling_at, container, source_at, straight_route, trip, use

from longdry.computing.plan.planning import plan_trip
from longdry.model.words import ContainerGrade, Grade, Ration, Verdict
from longdry.showing.exports.plan_json import plan_json

DEPARTS = dt.datetime(2027, 5, 3, 8)
L_PER_H = 0.5


def _document(sources, *, length_km=600.0, depart=DEPARTS, policies=(), **changes):
    """Plan a trip of a party that calls at every source of which it may drink."""
    called = [one for one in sources if one.grade is not Grade.NOT_FOR_DRINKING]
    made = trip(policy=calling_at(*called, **dict(policies)), **changes)
    plan = plan_trip(
        straight_route(length_km, 7), sources, dataclasses.replace(made, depart=depart)
    )
    return json.loads(plan_json(plan))


def _well(km=200.0, **changes):
    return dataclasses.replace(source_at(km, id="well"), **changes)


def test_a_stretch_tells_when_it_is_left_and_when_water_can_be_drawn():
    """200 km are 4 hours from 8 o'clock; the other 400 km are 2 hours that day and 6 the next."""
    first, second = _document([_well()])["stretches"]

    assert (first["leave"], first["arrive"]) == ("2027-05-03T08:00", "2027-05-03T12:00")
    assert (first["leave_h"], first["arrive_h"]) == pytest.approx((0.0, 4.0))
    assert (second["leave"], second["arrive"]) == ("2027-05-03T12:00", "2027-05-04T14:00")
    assert (second["moving_h"], second["wait_h"], second["nights"]) == pytest.approx((8.0, 0.0, 1))
    assert second["days"] == pytest.approx(26.0 / 24.0)


def test_without_a_date_hours_after_the_departure_are_told():
    """No date is made up."""
    document = _document([_well()], depart=None)

    assert {s[key] for s in document["stretches"] for key in ("leave", "arrive")} == {None}
    assert [s["arrive_h"] for s in document["stretches"]] == pytest.approx([4.0, 30.0])
    (stop,) = document["stops"]
    assert (stop["arrive"], stop["leave"]) == (None, None)
    assert (stop["arrive_h"], stop["leave_h"]) == pytest.approx((4.0, 4.0))


def test_water_carried_is_left_as_drinking_leaves_it():
    """Four waking hours are 2 L; a reserve of one day is 8 L: 10 L carried, 8 L left, 0 to spare.

    The second stretch goes on from 12 o'clock with 10 waking hours, and has 8 the next day: 9 L.
    """
    first, second = _document([_well()], policies={"reserve_days": 1.0})["stretches"]

    assert first["need_total_l"] == pytest.approx(4 * L_PER_H)
    assert second["need_total_l"] == pytest.approx(18 * L_PER_H)
    for stretch in (first, second):
        assert stretch["carried_l"] == pytest.approx(stretch["need_total_l"] + 8.0, abs=0.002)
        assert stretch["left_l"] == pytest.approx(8.0, abs=0.002)
        assert stretch["spare_l"] == pytest.approx(0.0, abs=0.002)
        assert stretch["dry_at"] is None
        assert (stretch["verdict"], stretch["missing_l"]) == ("clear", 0.0)


def test_a_stretch_that_is_too_long_tells_where_and_when_its_water_runs_out():
    """20 L last 40 waking hours from noon of day 1: 10, 16 and 14 of them, to 20:00 of day 3.

    The party has moved 2 hours on day 1 and 6 on each of the next two: 700 km behind the well.
    It does not come to the end, at km 1500, with nothing left just there.
    """
    document = _document([_well()], length_km=1500.0, containers=[container(20.0, 1)])
    stretch = document["stretches"][1]

    assert stretch["verdict"] == Verdict.TOO_LONG.value
    assert (stretch["carried_l"], stretch["left_l"]) == (20.0, 0.0)
    assert stretch["dry_at"]["at"] in {"2027-05-05T19:59", "2027-05-05T20:00"}
    assert stretch["dry_at"]["at_h"] == pytest.approx(60.0, abs=1.0 / 60.0)
    assert stretch["dry_at"]["km"] == pytest.approx(900.0, abs=0.1)
    assert stretch["missing_l"] == pytest.approx(stretch["need_total_l"] - 20.0)
    assert stretch["spare_l"] == pytest.approx(-stretch["missing_l"])


def test_a_stop_tells_its_wait_its_hours_and_its_minutes():
    """A well that opens at 13 is reached at 12; what is taken there runs at 0.2 L a minute."""
    slow = _well(open_from_hour=13.0, open_to_hour=17.5, flow_l_per_min=0.2)
    pace = dataclasses.replace(PACE, fill_minutes=15.0)
    document = _document([slow], pace=pace, policies={"start_on_board_l": 2.5})
    (stop,) = document["stops"]
    taken_l = document["fills"][1]["take_l"]

    assert (stop["source"], stop["km"]) == ("well", pytest.approx(200.0))
    assert stop["open"] == {"from_hour": 13.0, "to_hour": 17.5}
    assert (stop["arrive"], stop["wait_h"]) == ("2027-05-03T13:00", pytest.approx(1.0))
    assert document["stretches"][0]["wait_h"] == pytest.approx(1.0)
    assert taken_l / 0.2 <= stop["draw_min"] < taken_l / 0.2 + 10.0
    assert stop["leave_h"] - stop["arrive_h"] == pytest.approx(stop["draw_min"] / 60.0)
    assert stop["treat_min"] == 0.0


def test_a_well_without_hours_is_open_null():
    """Not known is not always open."""
    assert _document([_well()])["stops"][0]["open"] is None


def test_each_water_of_a_stop_has_its_fill_and_one_alone_is_called_at():
    """Tap and well 100 m apart are one stop with two fills; the tap names it."""
    tap = source_at(200.0, id="tap")
    beside = dataclasses.replace(source_at(200.1, grade=Grade.TREAT), id="raw", name="raw")
    document = _document([tap, beside], can_treat=True)

    assert [stop["source"] for stop in document["stops"]] == ["tap"]
    assert document["stops"][0]["sources"] == ["tap", "raw"]
    assert [(one["source"], one["call"]) for one in document["passes"]] == [
        ("tap", True),
        ("raw", False),
    ]
    assert [(f["source"], f["stretch"]) for f in document["fills"]] == [
        (None, 1),
        ("tap", 2),
        ("raw", 2),
    ]
    assert document["fills"][-1]["on_board_l"]["leaving"] == document["stretches"][1]["carried_l"]


def test_each_water_of_a_stop_keeps_to_its_own_limit_and_flow():
    """By hand: 18 waking hours take 9 L. 6 L of the tap at 2 L/min and 3 L of the well at 4 L/min.

    3 min and 45 s: 4 min in all, in which nothing is drunk of it. The foul bore beside them serves
    the washing there, and no litre.
    """
    tap = dataclasses.replace(source_at(200.0, id="tap"), limit_l=6.0, flow_l_per_min=2.0)
    raw = dataclasses.replace(
        source_at(200.1, grade=Grade.TREAT, id="raw"), limit_l=50.0, flow_l_per_min=4.0
    )
    foul = source_at(200.2, grade=Grade.NOT_FOR_DRINKING, id="foul")
    washing = use("washing", 0.0, grade=Grade.NOT_FOR_DRINKING, kept=Ration.FULL)
    cans = [dataclasses.replace(container(), grade=ContainerGrade.ANY)]
    document = _document([tap, raw, foul], can_treat=True, containers=cans, uses=[use(), washing])
    (stop,), drawn = document["stops"], document["fills"][1:]

    assert [(one["source"], one["take_l"]) for one in drawn] == [
        ("tap", pytest.approx(6.0)),
        ("raw", pytest.approx(3.0 - L_PER_H * 4.0 / 60.0, abs=0.002)),
    ]
    assert all(sum(p["litres"] for p in f["into"]) == pytest.approx(f["take_l"]) for f in drawn)
    assert (stop["draw_min"], stop["sources"]) == (4.0, ["tap", "raw"])
    assert stop["not_for_drinking"] == ["foul"]


def test_what_is_drawn_stands_at_its_own_pass():
    """A pass that does not count takes nothing of what the next one gives."""
    foul = dataclasses.replace(source_at(100.0, grade=Grade.NOT_FOR_DRINKING), id="foul")
    foul_pass, pass_ = _document([foul, _well(flow_l_per_min=2.0)])["passes"]
    wanted_l = pass_["wanted_l"]

    assert (foul_pass["counted"], foul_pass["wanted_l"], foul_pass["minutes"]) == (
        False,
        None,
        None,
    )
    assert wanted_l > 0.0
    assert pass_["minutes"] == pytest.approx(wanted_l / 2.0)


def test_the_longest_way_without_water_is_measured_along_the_route():
    """From km 200 to the end at 600, which begins at noon and ends 26 hours later."""
    assert _document([_well(offset := 200.0)])["longest_without_water"] == {
        "from_km": pytest.approx(offset),
        "to_km": pytest.approx(600.0),
        "length_km": pytest.approx(400.0),
        "days": pytest.approx(26.0 / 24.0),
    }


def test_a_day_tells_whether_its_night_is_at_the_water():
    """300 km are a day: at a well at km 300 the party camps, elsewhere it does not."""
    at, away = (
        [day["at_water"] for day in _document([_well(km)])["days"]] for km in (300.0, 150.0)
    )

    assert at == [True, False]
    assert away == [False, False]


def test_without_containers_all_is_missing_and_nothing_is_carried():
    """What nothing can hold is missing; how much is left nobody can say."""
    for stretch in _document([_well()], containers=[])["stretches"]:
        assert stretch["verdict"] == "no containers given"
        assert stretch["missing_l"] == stretch["need_total_l"] + stretch["reserve_l"]
        assert [stretch[key] for key in ("carried_l", "left_l", "spare_l", "dry_at")] == [None] * 4


def test_nothing_is_not_told_as_missing_where_a_verdict_is_not_clear():
    """Litres enough, but not of a kind that can be drunk in time: null, not 0."""
    well = _well()
    plan = plan_trip(straight_route(600.0, 7), [well], trip(policy=calling_at(well)))
    held = dataclasses.replace(
        plan.stretches[1], verdict=Verdict.SHORT_RATION, held_back=True, lacking_l=0.0
    )
    plan = dataclasses.replace(plan, stretches=(plan.stretches[0], held))
    clear, unclear = json.loads(plan_json(plan))["stretches"]

    assert clear["missing_l"] == 0.0
    assert unclear["missing_l"] is None
