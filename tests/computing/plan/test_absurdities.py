"""Plans that nobody would make, and that must not come back. All invented: not for navigation.

Distances and litres of each case are worked by hand in its docstring.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import itertools

import pytest
from how_many import proof
from make import container, pace, policy, source_at, straight_route, trip, use
from random_plans import settled_plan
from sample_plans import planned
from without_mends import plan_without_mends

from longdry.computing.setbacks.setbacks import Inquiry
from longdry.model.plan.headline import HeadlineLevel
from longdry.model.trip.trip import Contact, PinnedCamp
from longdry.model.words import Accrual, Certainty, FillHabit, Grade, Travel, Verdict


def sure(km, **more):
    """A source that the user's own word makes certain."""
    return dataclasses.replace(source_at(km, **more), certainty=Certainty.CERTAIN)


def stops_of(plan):
    return [stop.water.source.id for stop in plan.stops]


def test_nobody_turns_off_for_half_a_litre():
    """600 km are two days of 8 L in 100 L of cans: a tap 0.5 km off at km 20 is passed by."""
    plan = plan_without_mends(
        straight_route(600.0), [sure(20.0, offset_km=0.5), sure(300.0)], trip()
    )

    assert "s20" not in stops_of(plan)
    passed = next(one for one in plan.passes if one.source.id == "s20")
    assert passed.counted
    assert passed.passed_by_because.startswith("what is carried lasts to the next call, s300")
    assert "the way out and back is 1.3 km" in passed.passed_by_because


def test_no_call_is_made_for_the_last_hundred_metres():
    """Water 0.1 km before the end is passed by."""
    plan = plan_without_mends(straight_route(600.0), [sure(300.0), sure(599.9)], trip())

    assert "s599.9" not in stops_of(plan)
    assert plan.passes[-1].passed_by_because == "what is carried lasts to the end"


def test_a_reason_for_passing_by_is_true_where_water_is_missing():
    """20 L for 8 L a day and 3,000 km of ten days: a tap at km 2990 mends nothing before it."""
    its_trip = trip(containers=[container(20.0, 1)])
    plan = plan_without_mends(straight_route(3000.0), [sure(2990.0)], its_trip)
    (because,) = {one.passed_by_because for one in plan.passes if not one.call} or {""}

    assert plan.stretches[0].verdict is not Verdict.CLEAR
    assert "lasts" not in because


@proof(300)
def test_every_pass_by_has_its_reason_and_what_lasts_does(cases):
    """A reason for each pass that counts and is not called at, whatever the trip; a true one."""
    for seed in cases:
        settled = settled_plan(seed)
        for one in settled.passes:
            assert bool(one.passed_by_because) is (one.counted and not one.call), seed
            if "lasts to" in one.passed_by_because:
                stretch = next(s for s in settled.stretches if one.km < s.end.km)
                where = "the end" if stretch.end.water is None else stretch.end.label
                assert stretch.verdict is Verdict.CLEAR, seed
                assert f"{where}" in one.passed_by_because, seed


def test_a_survey_of_wells_gives_a_few_stops():
    """300 wells in 372 km: a party of 100 L and 8 L a day needs none of them twice a day."""
    wells = [source_at(372.0 * (n + 0.5) / 300, id=f"w{n}") for n in range(300)]
    plan = plan_without_mends(straight_route(372.0), wells, trip())

    assert len(plan.stops) <= 3
    assert {one.verdict for one in plan.stretches} == {Verdict.CLEAR}


def test_a_vehicle_leaves_the_last_town_with_full_cans():
    """By vehicle the usual habit is to fill all: 100 L leave, though the way asks for less."""
    its_trip = trip(policy=policy(fill=None))
    plan = plan_without_mends(straight_route(900.0), [sure(450.0)], its_trip)

    assert [one.on_board_l for one in plan.stretches] == [100.0] * len(plan.stretches)


def test_a_vehicle_does_not_pass_ten_taps_because_it_has_cans_enough():
    """Ten taps in 3000 km, a day's driving apart: cans for ten days pass none but the last."""
    taps = [sure(300.0 * n) for n in range(1, 10)]
    plan = plan_without_mends(straight_route(3000.0), taps, trip(containers=[container(20.0, 8)]))

    assert len(plan.stops) >= 8


@pytest.mark.parametrize("length_km", [590.0, 890.0, 3190.0])
@pytest.mark.parametrize("cans", [5, 20])
def test_a_vehicle_passes_no_two_days_of_taps_before_the_end(length_km, cans):
    """Taps every 30 km, 300 km a day: never more than a day and one tap go by, to the end too.

    590 km are a day of 300 and 290 km more, and all of it can be carried from the start.
    """
    taps = [sure(30.0 * n) for n in range(1, int(length_km / 30.0))]
    its_trip = trip(containers=[container(20.0, cans)])
    plan = plan_without_mends(straight_route(length_km), taps, its_trip)

    calls_km = [0.0, *(stop.km for stop in plan.stops), length_km]
    assert max(b - a for a, b in itertools.pairwise(calls_km)) <= 330.0


def test_a_vehicle_that_leaves_with_little_fills_at_the_first_tap():
    """12 of 100 L leave: a day's 8 L fit at the tap of km 30, and it is on the way."""
    its_trip = trip(policy=policy(start_on_board_l=12.0, fill=None))
    plan = plan_without_mends(straight_route(400.0), [sure(30.0), sure(380.0)], its_trip)

    assert stops_of(plan) == ["s30"]


def test_a_day_of_rest_makes_room_for_a_day_of_water():
    """Camped from 8:00 of day 1 to 8:00 of day 3 at km 1: 16 L are gone, though hardly a km is."""
    resting = trip(camps=[PinnedCamp(km=1.0, rest_days=1, at_water=False)])
    plan = plan_without_mends(straight_route(400.0), [sure(30.0)], resting)

    assert stops_of(plan) == ["s30"]


def test_near_the_end_no_tap_is_called_at():
    """290 km are less than a day; at km 280 half a day lies behind, and hardly anything ahead."""
    assert (
        stops_of(plan_without_mends(straight_route(290.0), [sure(60.0), sure(280.0)], trip())) == []
    )


def test_the_last_sure_water_before_a_long_way_is_never_passed_by():
    """Behind km 250 there is none for 1,150 km, four days: the bore there is called at.

    Its water must be treated, so that no other rule asks for the call; 100 L would do for all.
    """
    bores = [sure(20.0, grade=Grade.TREAT), sure(250.0, grade=Grade.TREAT)]
    plan = plan_without_mends(straight_route(1400.0), bores, trip(can_treat=True))

    assert stops_of(plan) == ["s250"]


def test_start_and_tap_at_the_start_are_one_stop():
    """A tap 0.2 km off the route at km 0.1 is the start's own water."""
    plan = plan_without_mends(
        straight_route(600.0), [sure(0.1, offset_km=0.2), sure(300.0)], trip()
    )

    assert plan.stretches[0].begin.km == 0.0
    assert "s0.1" not in stops_of(plan)
    assert plan.stretches[0].end.km == 300.0


@pytest.mark.parametrize("reserve_days", [0.0, 0.75, 1.0])
def test_nobody_camps_ten_minutes_before_the_end(reserve_days):
    """308 km at 50 km/h are 6 h 10 min, 10 minutes more than the day: they go on, and it is told.

    With a reserve of a day the longer day needs no telling.
    """
    its_trip = trip(policy=policy(reserve_days=reserve_days))
    plan = plan_without_mends(straight_route(308.0), [], its_trip)
    told = [one.value for one in plan.assumptions if one.what == "last day"]

    assert len(plan.days) == 1
    assert told == ([] if reserve_days == 1.0 else ["10 minutes longer"])


def test_half_an_hour_before_the_end_is_a_camp_where_the_reserve_is_small():
    """325 km are 30 minutes more than the day: too far for a party without a dry night's water."""
    assert len(plan_without_mends(straight_route(325.0), [], trip()).days) == 2


def test_water_off_the_route_is_named_for_those_in_need():
    """A ranger's tap 6.5 km off is too far for a plan that looks 5 km, and may save a life."""
    plan = plan_without_mends(straight_route(600.0), [sure(300.0, offset_km=6.5)], trip())

    assert [(one.source.id, round(one.km)) for one in plan.setbacks.in_need] == [("s300", 300)]
    assert stops_of(plan) == []


def test_a_plan_never_lasts_beside_a_source_that_leaves_no_way():
    """One doubtful well halfway, cans for half the way: if it is dry, nobody gets out."""
    tight = trip(containers=[container(20.0, 1)], uses=[use(litres=4.0)])
    well = dataclasses.replace(source_at(450.0), certainty=Certainty.LIKELY)
    plan = plan_without_mends(straight_route(900.0), [well], tight)

    assert plan.headline.level is not HeadlineLevel.LASTS
    assert any("s450" in sentence for sentence in plan.headline.because)


def test_waiting_for_help_turns_the_headline():
    """Nobody can be called, and help takes ten days: 100 L for two people do not last so long."""
    alone = dataclasses.replace(
        trip(policy=policy(help_days=30.0)),
        contact=Contact(),
        depart=dt.datetime(2027, 5, 3, 8),
    )
    plan = plan_without_mends(straight_route(900.0), [sure(450.0)], alone)

    assert plan.headline.level is HeadlineLevel.NOT_SAFE
    assert any("waiting" in sentence for sentence in plan.headline.because)


def test_a_walker_carries_enough_to_go_on_or_back():
    """On foot the usual habit is safe: a well that may be dry leaves a way, on or back."""
    walker = trip(
        pace=pace(travel=Travel.FOOT, speed_kmh=4.0, hours_per_day=6.0, off_route_kmh=4.0),
        policy=policy(fill=None, reserve_days=1.0),
        containers=[container(10.0, 6)],
        can_treat=True,
    )
    wells = [
        dataclasses.replace(source_at(km, grade=Grade.POTABLE), kind="bore") for km in (20.0, 40.0)
    ]
    plan = plan_without_mends(straight_route(60.0), wells, walker)

    assert plan.fills.habit is FillHabit.SAFE
    assert not any("no way to water" in sentence for sentence in plan.headline.because)


def test_where_the_water_does_not_last_no_water_is_passed_by_because_it_lasts():
    """11 L for 22 waking hours and 8 L of reserve, 15.5 L carried: a cup at km 10 is no help."""
    drip = dataclasses.replace(sure(10.0), limit_l=0.1)
    made = trip(containers=[container(15.5, 1)], policy=policy(reserve_days=1.0))
    plan = plan_without_mends(straight_route(600.0), [drip], made)
    (water,) = plan.passes

    assert plan.stretches[0].verdict is Verdict.INTO_RESERVE
    assert (water.counted, water.call) == (True, False)
    assert "lasts" not in water.passed_by_because
    assert "no call here was found to mend that" in water.passed_by_because


def test_what_is_always_carried_is_never_drunk():
    """80 L of which 70 are the engine's: 10 L for four days of 8 L are too little by far."""
    engine = use("engine", 70.0, per=Accrual.ALWAYS)
    cans = [container(20.0, 4)]
    plan = plan_without_mends(
        straight_route(1200.0), [], trip(uses=[use(), engine], containers=cans)
    )
    without = plan_without_mends(straight_route(1200.0), [], trip(containers=cans))

    assert without.stretches[0].verdict is Verdict.CLEAR
    assert plan.stretches[0].verdict is Verdict.TOO_LONG
    assert plan.stretches[0].ration_that_does is None
    assert plan.stretches[0].runs_dry.km < 600.0
    assert plan.headline.level is HeadlineLevel.NOT_SAFE


def test_no_means_of_calling_in_words_is_none():
    """Who writes "none" cannot call, nor who does not know; a number may be a telephone's."""
    words = ("", " ", "none", "None.", "no", "-", "?", "n/a", "0", "nobody", "unknown")
    assert not any(Contact(call=word).can_call for word in words)
    assert Contact(call="112").can_call
    assert Contact(call="satellite telephone").can_call


@pytest.mark.parametrize(("trials", "is_known"), [(0, False), (299, False), (300, True)])
def test_a_chance_that_nobody_knows_is_no_good_news(trials, is_known):
    """Fewer trials than can tell 1 in 100 from none are told in the headline."""
    inquiry = Inquiry(trials=trials)
    plan = plan_without_mends(straight_route(300.0), [sure(150.0)], trip(), inquiry=inquiry)

    assert any("short is not known" in one for one in plan.headline.because) is not is_known


def test_help_that_nobody_knows_of_is_told():
    """Neither days of help nor a day due back: unknown means worse."""
    silent = dataclasses.replace(trip(policy=policy(help_days=None)), contact=Contact())
    plan = plan_without_mends(straight_route(300.0), [sure(150.0)], silent)

    assert plan.headline.level is not HeadlineLevel.LASTS
    assert any("Nobody knows when help comes" in one for one in plan.headline.because)


@pytest.mark.parametrize("name", ["saltbush_loop", "gorge_walk", "stock_route_ride"])
def test_nobody_stops_to_take_nothing(name):
    """At every stop of the samples water is drawn."""
    plan = planned(name)

    assert plan.stops
    for stop in plan.stops:
        assert sum(f.take_l for f in plan.fills.fills if f.km == stop.km) > 0.0
