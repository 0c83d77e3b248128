"""Potable water stays among potable water while anything else will do; nothing is poured for it."""

from __future__ import annotations

import dataclasses

import pytest
from fill_cases import random_problem
from fill_oracle import best_verdicts
from fill_replay import plan_fills
from how_many import proof
from make import container, policy, source_at, straight_route, trip, use
from without_mends import plan_without_mends

from longdry.model.plan.fills import FillProblem, FillWay, GradeNeed, Leg, Stop, Vessel
from longdry.model.trip.treatment import Treatment, TreatMethod
from longdry.model.words import ContainerGrade, FillHabit, Grade, Verdict

HABITS = (FillHabit.LEAST, FillHabit.TOP_UP)
TAP, WELL = Stop(0.0, "town", Grade.POTABLE), Stop(100.0, "well", Grade.TREAT)


def _leg(km, potable_l, any_l=0.0, reserve_l=0.0):
    need = GradeNeed(potable_l, 0.0, any_l)
    return Leg(km, 1.0, need, need, need, GradeNeed(reserve_l))


def _any(name, size_l, **changes):
    return Vessel(name, size_l, ContainerGrade.ANY, **changes)


def _fouled_l(fill):
    """Give the potable litres on board that give way to the water of a stop."""
    kept_l = min(fill.arriving.potable_l, fill.leaving.total_l)
    return 0.0 if fill.grade is Grade.POTABLE else max(0.0, kept_l - fill.leaving.potable_l)


def test_topping_up_never_fouls_105_litres_of_town_water_with_4_litres_of_brackish_water():
    """A tank of 109 L with 105 L of town water in it passes a well: its 4 L of room stay empty."""
    tank = _any("tank", 109.0)
    way = FillProblem(
        (TAP, WELL, Stop(200.0, None)), (_leg(100.0, 4.0), _leg(100.0, 50.0)), (tank,)
    )

    plan = plan_fills(way, FillHabit.TOP_UP)

    assert plan.fills[1].arriving.potable_l == 105.0
    assert plan.fills[1].take_l == 0.0
    assert (plan.end.potable_l, plan.end.treat_l) == (55.0, 0.0)


def test_topping_up_at_a_brackish_well_of_a_whole_trip_leaves_the_town_water_alone():
    """The same with a trip: nothing is taken at the well, and nothing is treated."""
    tank = dataclasses.replace(container(109.0, 1), grade=ContainerGrade.ANY)
    well = dataclasses.replace(source_at(250.0, grade=Grade.TREAT), tds_mg_per_l=1100.0)
    called = policy(call_at=("s250",))
    made = trip(can_treat=True, containers=[tank], uses=[use(litres=6.4)], policy=called)

    plan = plan_without_mends(straight_route(600.0), [well], made, fill=FillWay(FillHabit.TOP_UP))
    at_well = plan.fills.fills[1]

    assert at_well.arriving.potable_l == pytest.approx(105.0)
    assert at_well.take_l == 0.0
    assert plan.fills.treated_l == 0.0


def test_potable_water_is_fouled_where_nothing_else_will_do():
    """Worked by hand: 60 L of a tank of 60 L for 5 L and 58 L: 3 L more than it holds of town."""
    tank = _any("tank", 60.0)
    way = FillProblem(
        (TAP, WELL, Stop(200.0, None)), (_leg(100.0, 5.0), _leg(100.0, 58.0)), (tank,)
    )

    for habit in HABITS:
        plan = plan_fills(way, habit)
        assert {outcome.verdict for outcome in plan.outcomes} == {Verdict.CLEAR}
        assert plan.fills[1].leaving.potable_l == 0.0


def test_the_least_carries_more_of_the_tap_rather_than_foul_what_is_left_of_it():
    """Worked by hand: 5 L, then 20 L, 2 L of reserve: 27 L of the tap, where 7 L would reach."""
    tank = _any("tank", 60.0)
    legs = (_leg(100.0, 5.0, reserve_l=2.0), _leg(100.0, 20.0, reserve_l=2.0))
    way = FillProblem((TAP, WELL, Stop(200.0, None)), legs, (tank,))

    plan = plan_fills(way)

    assert [fill.take_l for fill in plan.fills] == [27.0, 0.0]


def test_where_two_waters_stand_side_by_side_the_tap_is_drawn_on_first():
    """Worked by hand: of 20 L the tap gives its 12 L, the well beside it the other 8 L."""
    empty = GradeNeed()
    beside = Leg(0.0, 0.0, empty, empty, empty, empty, 0.0, None)
    tap = Stop(100.0, "tap", Grade.POTABLE, limit_l=12.0)
    way = FillProblem(
        (TAP, tap, WELL, Stop(200.0, None)),
        (_leg(100.0, 5.0), beside, _leg(100.0, 20.0)),
        (_any("can 1", 5.0), _any("can 2", 12.0), _any("can 3", 8.0)),
    )

    plan = plan_fills(way)

    assert [fill.take_l for fill in plan.fills] == [5.0, 12.0, 8.0]
    assert plan.fills[2].leaving.potable_l == 12.0


@pytest.mark.parametrize("habit", list(FillHabit))
def test_raw_water_never_enters_a_container_for_drinking_only_and_treated_water_may(habit):
    """Two bags of 6 L for drinking only and a flask of 1 L for any water, at a creek.

    Worked by hand: 12 L a day leave 9.25 of 13 L at the creek, and 12.75 L are needed on: 2.5 L
    more than the flask takes, less what is drunk while the filter runs.
    """
    bag = dataclasses.replace(
        container(6.0, 2), name="bag", grade=ContainerGrade.ANY, drinking_only=True
    )
    flask = dataclasses.replace(container(1.0, 1), name="flask", grade=ContainerGrade.ANY)
    creek = source_at(250.0, grade=Grade.TREAT)
    made = trip(can_treat=True, containers=[bag, flask], uses=[use(litres=6.0)],
                policy=policy(call_at=("s250",)))  # fmt: skip
    made = dataclasses.replace(made, treatment=Treatment(TreatMethod.FILTER, filter_l_per_min=1.0))

    plan = plan_without_mends(straight_route(600.0), [creek], made, fill=FillWay(habit))
    poured = [pour for fill in plan.fills.fills for pour in fill.into if pour.vessel != "flask"]

    assert {pour.grade for pour in poured} == {Grade.POTABLE}
    assert plan.fills.fills[1].treated_l > 2.4


@proof(800)
@pytest.mark.parametrize("habit", HABITS)
def test_whatever_is_fouled_buys_a_better_verdict(cases, habit):
    """Without the water of that stop HiGHS finds worse verdicts, or as much is fouled elsewhere.

    Stops of lower water that the plan passes by stay passed by.
    """
    for seed in cases:
        problem = random_problem(seed)
        plan = plan_fills(problem, habit)
        for k in [k for k, fill in enumerate(plan.fills) if _fouled_l(fill)]:
            without = _without(problem, plan, k)
            worse = _rounded(best_verdicts(without)) > _rounded(_verdicts_of(plan))
            elsewhere = sum(map(_fouled_l, plan_fills(without, habit).fills))
            assert worse or elsewhere >= sum(map(_fouled_l, plan.fills)), (seed, k)


def _without(problem, plan, k):
    """Take the water of stop k away, and that of all stops of lower water passed by."""
    idle = {f.stop for f in plan.fills if f.grade is Grade.TREAT and not f.take_l + f.treated_l}
    stops = (
        dataclasses.replace(stop, limit_l=0.0, treat_l=0.0) if n in {k, *idle} else stop
        for n, stop in enumerate(problem.stops)
    )
    return dataclasses.replace(problem, stops=tuple(stops))


def _rounded(verdicts):
    return [round(part, 2) for part in verdicts]


def _verdicts_of(plan):
    o = plan.objective
    counts = (o.too_long, o.short_bare, o.short_lean, o.into_reserve)
    return (*counts, o.missing_ml / 1e3, o.reserve_short_ml / 1e3, o.order)


@proof(800)
@pytest.mark.parametrize("habit", HABITS)
def test_nothing_is_poured_between_containers_while_an_equal_one_stays_empty(cases, habit):
    """Nobody lifts a can to empty it for other water beside an empty one of its size."""
    for seed in cases:
        problem = dataclasses.replace(random_problem(seed), carriers=())
        vessels = {vessel.name: vessel for vessel in problem.vessels}
        for fill in plan_fills(problem, habit).fills:
            for decant in fill.decants:
                idle = _idle_like(vessels[decant.from_vessel], problem, fill)
                assert not (decant.from_vessel != decant.into_vessel and idle), (seed, fill.stop)


def _idle_like(vessel, problem, fill):
    """Name containers as good as one that are empty before and after a stop."""
    litres = [
        {level.vessel: level.litres for level in levels}
        for levels in (fill.levels_arriving, fill.levels_leaving)
    ]
    return [
        other.name
        for other in problem.vessels
        if not litres[0][other.name] + litres[1][other.name]
        and (other.size_l, other.grade, other.carrier, other.cleanable)
        == (vessel.size_l, vessel.grade, vessel.carrier, vessel.cleanable)
    ]


def test_creek_water_goes_into_the_empty_can_not_into_the_one_that_must_be_poured_out():
    """Three cans, the first half full of town water: the second and third take the creek."""
    cans = (_any("can 1", 10.0, holds_l=5.0), _any("can 2", 10.0), _any("can 3", 10.0))
    stops = (Stop(0.0, "creek", Grade.TREAT, treat_l=0.0), Stop(100.0, None))

    for habit in HABITS:
        plan = plan_fills(FillProblem(stops, (_leg(100.0, 5.0, any_l=15.0),), cans), habit)
        assert plan.fills[0].decants == ()
        assert {pour.vessel for pour in plan.fills[0].into} == {"can 2", "can 3"}


@proof(800)
@pytest.mark.parametrize("habit", HABITS)
def test_no_water_of_a_tap_is_told_as_to_be_treated_unless_it_goes_among_other_water(cases, habit):
    """What is poured in at a tap counts as lower only where the container holds or held such."""
    for seed in cases:
        for fill in plan_fills(random_problem(seed), habit).fills:
            grades = {level.vessel: level.grade for level in fill.levels_arriving}
            fouled = {vessel for vessel, grade in grades.items() if grade is Grade.TREAT}
            fouled |= {
                decant.into_vessel
                for decant in fill.decants
                if decant.grade is Grade.TREAT and decant.from_vessel in fouled
            }
            lower = {pour.vessel for pour in fill.into if pour.grade is Grade.TREAT}
            assert fill.grade is not Grade.POTABLE or lower <= fouled, (seed, fill.stop)


@pytest.mark.parametrize("habit", list(FillHabit))
def test_a_party_that_meets_taps_alone_treats_nothing(habit):
    """Not 0.1 L of shop water: clean cans for any water, taps that give little or cost money."""
    shop = dataclasses.replace(source_at(250.0), limit_l=8.0, cost_per_l=0.5)
    tap = dataclasses.replace(source_at(450.0), limit_l=7.9)
    cans = [dataclasses.replace(container(10.0, 3), grade=ContainerGrade.ANY, cleanable=True)]
    called = policy(call_at=("s250", "s450"), reserve_days=1.0)
    made = trip(can_treat=True, containers=cans, uses=[use(litres=3.05)], policy=called)

    plan = plan_without_mends(straight_route(800.0), [shop, tap], made, fill=FillWay(habit))

    assert plan.fills.treated_l == 0.0
    assert {p.grade for fill in plan.fills.fills for p in fill.into} == {Grade.POTABLE}
