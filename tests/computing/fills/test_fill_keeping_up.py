"""What can be treated holds for a stop and the leg after it together."""

from __future__ import annotations

import dataclasses
import random

import pytest
from fill_cases import random_problem
from fill_replay import plan_fills, replay_faults
from how_many import proof

from longdry.computing.fills.shared_limits import best_fills
from longdry.model.plan.fills import FillProblem, GradeNeed, Leg, Stop, Vessel
from longdry.model.words import ContainerGrade, FillHabit, Grade, Verdict

CREEK = Stop(0.0, "creek", Grade.TREAT, treat_l=None)
CANS = tuple(Vessel(f"can {n}", 10.0, ContainerGrade.POTABLE) for n in range(3))
DRUM = Vessel("drum", 20.0, ContainerGrade.ANY)


def _leg(need_l: float, most_l: float | None) -> Leg:
    need = GradeNeed(need_l)
    return Leg(80.0, 2.0, need, need, need, GradeNeed(), None, None, most_l)


def _keeping(seed: int) -> FillProblem:
    """Give the legs of a random problem a limit in common with their stops."""
    dice = random.Random(seed)
    problem = random_problem(seed)
    legs = tuple(
        dataclasses.replace(leg, treat_with_stop_l=dice.choice((0.0, 2.0, 6.0, 12.0, None)))
        for leg in problem.legs
    )
    return dataclasses.replace(problem, legs=legs)


def _treated_l(problem: FillProblem, plan, k: int) -> float:
    """Work out from the levels alone what goes from lower to potable at a stop and on its leg."""
    fill, leg = plan.fills[k], problem.legs[k]
    poured = sum(p.litres for p in fill.into if p.grade is Grade.POTABLE)
    here = 0.0 if fill.grade is Grade.POTABLE else poured
    after = plan.fills[k + 1].levels_arriving if k + 1 < len(plan.fills) else plan.end_levels
    lower_l = [
        sum(level.litres for level in levels if level.grade is not Grade.POTABLE)
        for levels in (fill.levels_leaving, after)
    ]
    need = leg.need(plan.outcomes[k].ration)
    if plan.outcomes[k].verdict is Verdict.TOO_LONG:
        return here
    return here + max(0.0, lower_l[0] - lower_l[1] - need.treat_l - need.any_l)


def _keeps_up(problem: FillProblem, plan) -> bool:
    """Whether what is told as treated at each stop and on its leg is no more than can be."""
    told = zip(problem.legs, plan.fills, plan.outcomes, strict=True)
    return all(
        leg.treat_with_stop_l is None
        or fill.treated_l + outcome.treated_l <= leg.treat_with_stop_l + 1e-6
        for leg, fill, outcome in told
    )


@proof(80)
@pytest.mark.parametrize("habit", list(FillHabit))
def test_never_more_is_treated_than_can_be(cases, habit):
    """At a stop and on the leg after it, by the levels of the containers alone."""
    for seed in cases:
        problem = _keeping(seed)
        plan = best_fills(problem, habit)

        assert _keeps_up(problem, plan), seed
        for k, leg in enumerate(problem.legs):
            if leg.treat_with_stop_l is not None:
                assert _treated_l(problem, plan, k) <= leg.treat_with_stop_l + 0.005, (seed, k)


@proof(80)
@pytest.mark.parametrize("habit", list(FillHabit))
def test_replay_finds_nothing_wrong_with_plans_that_keep_up(cases, habit):
    """The replay pours and drinks through them as through any other."""
    found = {seed: replay_faults(p := _keeping(seed), best_fills(p, habit)) for seed in cases}

    assert {seed: told for seed, told in found.items() if told} == {}


@proof(80)
def test_a_limit_never_betters_a_plan(cases):
    """Verdicts and litres missing are no better than without the limit in common."""
    for seed in cases:
        problem = _keeping(seed)
        without = dataclasses.replace(
            problem,
            legs=tuple(dataclasses.replace(leg, treat_with_stop_l=None) for leg in problem.legs),
        )

        assert best_fills(problem).objective[:6] >= plan_fills(without).objective[:6], seed


@proof(80)
def test_topping_up_is_no_worse_for_the_verdicts(cases):
    """Both ways of filling come to the same verdicts, whatever is treated where."""
    for seed in cases:
        problem = _keeping(seed)
        habits = (FillHabit.LEAST, FillHabit.TOP_UP)
        least, full = (best_fills(problem, habit).objective for habit in habits)

        assert full[:6] <= least[:6], seed


@proof(50)
def test_nothing_in_common_is_the_plain_plan(cases):
    """Without a stock or a limit in common, nothing is different."""
    for seed in cases:
        problem = random_problem(seed)

        assert {stop.stock for stop in problem.stops} == {None}
        assert {leg.treat_with_stop_l for leg in problem.legs} == {None}
        assert best_fills(problem) == plan_fills(problem)


def test_what_fits_is_proved_best():
    """Worked by hand: 12 L of potable uses, 14 L can be treated: clear, and nothing is better."""
    plan = best_fills(FillProblem((CREEK, Stop(80.0, None)), (_leg(12.0, 14.0),), (*CANS, DRUM)))

    assert plan.outcomes[0].verdict is Verdict.CLEAR
    assert plan.fills[0].treated_l + plan.outcomes[0].treated_l == pytest.approx(12.0)
    assert plan.is_proved


@pytest.mark.parametrize(("vessels", "where"), [(CANS, "stop"), ((DRUM,), "leg")])
def test_cans_for_potable_water_are_filled_with_treated_water(vessels, where):
    """Worked by hand: cans for potable water take treated water only, a drum treats on the way."""
    plan = best_fills(FillProblem((CREEK, Stop(80.0, None)), (_leg(12.0, 12.0),), vessels))

    treated = {"stop": plan.fills[0].treated_l, "leg": plan.outcomes[0].treated_l}
    assert plan.outcomes[0].verdict is Verdict.CLEAR
    assert treated[where] == pytest.approx(12.0)


def test_what_cannot_be_treated_is_missing():
    """Worked by hand: 12 L wanted and 7 L treated, at the stop and on the way: 5 L are missing."""
    plan = best_fills(FillProblem((CREEK, Stop(80.0, None)), (_leg(12.0, 7.0),), (*CANS, DRUM)))

    assert plan.outcomes[0].verdict is Verdict.TOO_LONG
    assert plan.outcomes[0].missing_l == pytest.approx(5.0)


def _long_way(legs: int) -> FillProblem:
    """Let creeks alone feed a long way of which no more than half can be treated in time."""
    stops = (
        Stop(0.0, None, Grade.POTABLE),
        *(dataclasses.replace(CREEK, km=80.0 * k) for k in range(1, legs)),
        Stop(80.0 * legs, None),
    )
    needs = GradeNeed(8.0, 4.0), GradeNeed(5.0, 2.0), GradeNeed(3.0, 0.0)
    dice = random.Random(legs)
    legs_ = tuple(
        Leg(80.0, 2.0, *needs, GradeNeed(2.0), None, None, dice.choice((2.0, 4.0, 6.0)))
        for _ in range(legs)
    )
    return FillProblem(stops, legs_, (*CANS, DRUM))


def test_a_long_way_that_falls_behind_is_looked_at_quickly_and_keeps_the_rules():
    """It is told as not proved, treats no more than can be, and no leg is too long for nothing.

    4 L a day on average are more than the 3 L that a leg asks for on the bare ration.
    """
    problem = _long_way(40)

    plan = best_fills(problem)

    assert not plan.is_proved
    assert replay_faults(problem, plan) == ()
    assert _keeps_up(problem, plan)
    assert plan.objective.too_long == 0


def test_top_up_comes_to_the_verdicts_of_the_least_plan():
    """On the long way too, where both treat at the stops as the least plan does."""
    problem = _long_way(40)
    least = best_fills(problem)

    full = best_fills(problem, FillHabit.TOP_UP)

    assert full.objective.too_long == least.objective.too_long
    assert replay_faults(problem, full) == ()
