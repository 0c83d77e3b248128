"""The fill plans of a trip, and what they make of its verdicts.

Who asks often and needs no plan, as the search for mends does, asks for the verdicts alone
(`with_best_verdicts`).
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from longdry.computing.fills.keeping_up import (
    best_fills,
    best_verdicts,
    fills_of_both_habits,
    has_shared_limits,
)
from longdry.computing.fills.plan import VERDICT_AND_RATION
from longdry.computing.fills.problem import fill_problem
from longdry.computing.fills.terms import terms_of
from longdry.computing.fills.verdicts import best_steps
from longdry.computing.stretches.stretches import StretchContext
from longdry.computing.stretches.verdicts import severity, worst_verdict
from longdry.model.plan.fills import FillPlan, FillProblem, FillWay, LegOutcome
from longdry.model.plan.stretch import DryStretch
from longdry.model.words import ContainerGrade, FillHabit, Grade, Ration, Verdict


@dataclass(frozen=True, slots=True)
class Filling:
    """How the trip fills, under the habit asked for and under the other one."""

    stretches: tuple[DryStretch, ...]
    """As judged by what the containers hold."""
    going: StretchContext
    problem: FillProblem
    chosen: FillPlan
    other: FillPlan
    whole_containers: bool
    """Whether containers are filled to their mark only."""

    def on_base_clock(self) -> FillProblem:
        """Return the problem with what the base clock asks for, ways to water aside."""
        return fill_problem(self.stretches, self.going, ways_before=False)

    def without_payload(self) -> FillProblem:
        """Return the problem as if nothing were too heavy."""
        return fill_problem(self.stretches, self.going, payload=False)


def filling_of(stretches: Sequence[DryStretch], going: StretchContext, fill: FillWay) -> Filling:
    """Plan the fills under both habits."""
    problem = fill_problem(stretches, going)
    least, top_up = fills_of_both_habits(problem, whole_containers=fill.whole_containers)
    is_least = fill.habit is FillHabit.LEAST
    return Filling(
        tuple(stretches),
        going,
        problem,
        chosen=least if is_least else top_up,
        other=top_up if is_least else least,
        whole_containers=fill.whole_containers,
    )


def stretches_as_filled(
    stretches: Sequence[DryStretch], filling: Filling
) -> tuple[DryStretch, ...]:
    """Give each stretch what is on board on leaving, and the worse of the two verdicts.

    What the containers hold is one limit; what can be had before the stretch, of which grade,
    treated in time and carried, is the other.
    """
    plan = filling.chosen
    return tuple(
        _as_filled(stretch, fill.leaving.total_l, outcome)
        for stretch, fill, outcome in zip(stretches, plan.fills, plan.outcomes, strict=True)
    )


def _as_filled(stretch: DryStretch, on_board_l: float, outcome: LegOutcome) -> DryStretch:
    worse = severity(outcome.verdict) > severity(stretch.verdict)
    verdict = outcome.verdict if worse else stretch.verdict
    scarcer = worse or outcome.verdict is stretch.verdict is Verdict.SHORT_RATION
    lacking_l = max(stretch.wanted_l - on_board_l, outcome.missing_l + outcome.reserve_short_l)
    return dataclasses.replace(
        stretch,
        verdict=verdict,
        ration_that_does=_ration_that_does(outcome) if scarcer else stretch.ration_that_does,
        held_back=worse,
        on_board_l=on_board_l,
        lacking_l=0.0 if verdict is Verdict.CLEAR else max(lacking_l, 0.0),
    )


def _ration_that_does(outcome: LegOutcome) -> Ration | None:
    return None if outcome.verdict is Verdict.TOO_LONG else outcome.ration


def causes(filling: Filling, legs: Sequence[int]) -> list[tuple[str, ...]]:
    """Return for each of some legs which limits, each lifted alone, would better its verdict."""
    if not legs:
        return []
    lifted = [
        (words, best_fills(problem).outcomes) for words, problem in _each_limit_lifted(filling)
    ]
    now = filling.chosen.outcomes
    return [
        tuple(
            words
            for words, outcomes in lifted
            if severity(outcomes[leg].verdict) < severity(now[leg].verdict)
        )
        for leg in legs
    ]


def _each_limit_lifted(filling: Filling) -> Iterator[tuple[str, FillProblem]]:
    lifted: tuple[tuple[str, Callable[[FillProblem], FillProblem]], ...] = (
        (
            "the ways to water, which bring it there later in the day",
            lambda _: filling.on_base_clock(),
        ),
        ("what the sources give", _without_source_limits),
        ("the hours at which sources are closed", _with_every_source_open),
        ("the payload left", lambda _: filling.without_payload()),
        ("what can be treated", _without_treatment_limits),
        ("which containers may hold which water", _with_any_water_in_any_container),
    )
    for words, lift in lifted:
        changed = lift(filling.problem)
        if changed != filling.problem:
            yield words, changed


def _with_every_source_open(problem: FillProblem) -> FillProblem:
    stops = tuple(dataclasses.replace(stop, is_open=True) for stop in problem.stops)
    return dataclasses.replace(problem, stops=stops)


def _without_source_limits(problem: FillProblem) -> FillProblem:
    stops = tuple(
        dataclasses.replace(stop, limit_l=None, minutes=None, stock=None) for stop in problem.stops
    )
    return dataclasses.replace(problem, stops=stops)


def _without_treatment_limits(problem: FillProblem) -> FillProblem:
    return dataclasses.replace(
        problem,
        stops=tuple(dataclasses.replace(stop, treat_l=None) for stop in problem.stops),
        legs=tuple(
            dataclasses.replace(leg, treat_l=None, reserve_treat_l=None, treat_with_stop_l=None)
            for leg in problem.legs
        ),
    )


def _with_any_water_in_any_container(problem: FillProblem) -> FillProblem:
    stops = tuple(
        dataclasses.replace(stop, grade=Grade.POTABLE) if stop.grade else stop
        for stop in problem.stops
    )
    vessels = tuple(
        dataclasses.replace(vessel, grade=ContainerGrade.ANY, holds_grade=Grade.POTABLE)
        for vessel in problem.vessels
    )
    return dataclasses.replace(problem, stops=stops, vessels=vessels)


def with_best_verdicts(
    stretches: Sequence[DryStretch], going: StretchContext
) -> tuple[DryStretch, ...]:
    """Give each stretch the verdict that it has in a plan of the same trip.

    What is on board and what is lacking stay unsaid: only the verdict counts here.
    """
    if not going.trip.containers:
        return tuple(stretches)
    best = _best_verdicts_of(fill_problem(stretches, going))
    return tuple(
        replace(stretch, verdict=worst_verdict([stretch.verdict, verdict]))
        for stretch, verdict in zip(stretches, best, strict=True)
    )


def _best_verdicts_of(problem: FillProblem) -> list[Verdict]:
    if has_shared_limits(problem):
        return list(best_verdicts(problem))
    return [
        VERDICT_AND_RATION[step.result.severity][0] for step in best_steps(terms_of(problem)).steps
    ]
