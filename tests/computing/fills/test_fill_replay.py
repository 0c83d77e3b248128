"""A replay that knows nothing of the planner goes through its plans and finds nothing wrong."""

from __future__ import annotations

import dataclasses

import pytest
from fill_cases import random_problem
from fill_replay import plan_fills, replay_faults
from how_many import proof

from longdry.model.plan.fills import FillHabit, FillProblem, GradeNeed, Leg, Stop, Vessel
from longdry.model.words import ContainerGrade, Grade


@proof(500)
@pytest.mark.parametrize("habit", list(FillHabit))
def test_replay_finds_nothing_wrong(cases, habit):
    """No plan drives a container below empty, above its size or into two grades."""
    problems = [random_problem(seed) for seed in cases]

    found = {
        s: replay_faults(p, plan_fills(p, habit)) for s, p in zip(cases, problems, strict=True)
    }

    assert {seed: told for seed, told in found.items() if told} == {}


@proof(500)
def test_replay_of_whole_containers_finds_nothing_wrong(cases):
    """Filling containers to their marks breaks no rule either."""
    problems = [random_problem(seed) for seed in cases]

    found = {
        seed: replay_faults(problem, plan_fills(problem, whole_containers=True))
        for seed, problem in zip(cases, problems, strict=True)
    }

    assert {seed: told for seed, told in found.items() if told} == {}


def _with_fill(plan, k, **changes):
    fills = list(plan.fills)
    fills[k] = dataclasses.replace(fills[k], **changes)
    return dataclasses.replace(plan, fills=tuple(fills))


PLANTED = {
    "is poured into twice": ("into", lambda fill: fill.into * 2),
    "nothing is poured in": ("into", lambda _: ()),
    "what was taken is not told": ("take_l", lambda fill: fill.take_l / 2.0),
    "creek water is told as potable": (
        "into",
        lambda fill: tuple(p._replace(grade=Grade.POTABLE) for p in fill.into),
    ),
}


@pytest.mark.parametrize("fault", PLANTED)
def test_replay_finds_a_planted_fault(fault):
    """A plan in which one thing is changed does not get through."""
    problem = FillProblem(
        stops=(Stop(0.0, "creek", Grade.TREAT, treat_l=2.0), Stop(90.0, None)),
        legs=(Leg(90.0, 2.0, *[GradeNeed(6.0, 10.0)] * 3, GradeNeed(2.0), 5.0, 5.0),),
        vessels=(
            Vessel("can", 10.0, ContainerGrade.POTABLE),
            Vessel("drum", 25.0, ContainerGrade.ANY),
        ),
    )
    plan = plan_fills(problem)
    field, change = PLANTED[fault]

    spoilt = _with_fill(plan, 0, **{field: change(plan.fills[0])})

    assert replay_faults(problem, plan) == ()
    assert replay_faults(problem, spoilt) != ()
