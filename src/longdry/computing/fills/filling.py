"""The fill plans of a trip, and what they make of its verdicts."""

from __future__ import annotations

import dataclasses
import itertools
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from longdry.computing.fills.keeping_up import (
    best_fills,
    fills_of_both_habits,
)
from longdry.computing.fills.problem import NOTHING_BETWEEN, fill_problem
from longdry.computing.needs.needs import WaterDemand
from longdry.computing.stretches.halving import halved
from longdry.computing.stretches.verdicts import (
    TOLERANCE_L,
    held_l,
    severity,
    verdict_of,
)
from longdry.model.plan.fills import Fill, FillPlan, FillProblem, FillWay, LegOutcome, OnBoard
from longdry.model.plan.stretch import DryStretch, RunsDry
from longdry.model.plan.travel import Travel
from longdry.model.words import ContainerGrade, FillHabit, Grade, Ration, Verdict

_WITHIN_H = 1.0 / 3600.0


@dataclass(frozen=True, slots=True)
class Filling:
    """How the trip fills, under the habit asked for and under the other one."""

    stretches: tuple[DryStretch, ...]
    """As judged by what the containers hold."""
    demand: WaterDemand
    problem: FillProblem
    chosen: FillPlan
    other: FillPlan
    whole_containers: bool
    """Whether containers are filled to their mark only."""

    def without_payload(self) -> FillProblem:
        """Return the problem as if nothing were too heavy."""
        return fill_problem(self.stretches, self.demand, payload=False)

    @property
    def last_of_stop(self) -> tuple[int, ...]:
        """Indices of the last fill at each stop: the leg after it is the stretch."""
        return last_of_stops(self.problem)


def last_of_stops(problem: FillProblem) -> tuple[int, ...]:
    """Return the indices of the legs that are stretches, not the step between waters of a stop."""
    return tuple(
        index
        for index, (here, there) in enumerate(itertools.pairwise(problem.stops))
        if not (here.km == there.km and problem.legs[index] is NOTHING_BETWEEN)
    )


def filling_of(stretches: Sequence[DryStretch], demand: WaterDemand, fill: FillWay) -> Filling:
    """Plan the fills under both habits."""
    problem = fill_problem(stretches, demand)
    least, top_up = fills_of_both_habits(problem, whole_containers=fill.whole_containers)
    fills_all = fill.habit is FillHabit.TOP_UP
    return Filling(
        tuple(stretches),
        demand,
        problem,
        chosen=top_up if fills_all else least,
        other=least if fills_all else top_up,
        whole_containers=fill.whole_containers,
    )


def stretches_as_filled(
    stretches: Sequence[DryStretch], filling: Filling
) -> tuple[DryStretch, ...]:
    """Give each stretch what is carried on leaving, and the worse of the two verdicts.

    What the containers hold is one limit; what can be had before the stretch, of which grade,
    treated in time and carried, is the other.
    """
    plan = filling.chosen
    return tuple(
        _as_filled(stretch, plan.fills[index], plan.outcomes[index], filling.demand)
        for stretch, index in zip(stretches, filling.last_of_stop, strict=True)
    )


def _as_filled(
    stretch: DryStretch, fill: Fill, outcome: LegOutcome, demand: WaterDemand
) -> DryStretch:
    worse = severity(outcome.verdict) > severity(stretch.verdict)
    is_held_back = severity(outcome.verdict) > severity(_by_containers(stretch, demand))
    verdict = outcome.verdict if worse else stretch.verdict
    scarcer = worse or outcome.verdict is stretch.verdict is Verdict.SHORT_RATION
    carried_l = fill.leaving.total_l
    lacking_l = max(stretch.wanted_l - carried_l, outcome.missing_l + outcome.reserve_short_l)
    judged = dataclasses.replace(
        stretch,
        verdict=verdict,
        ration_that_does=_ration_that_does(outcome) if scarcer else stretch.ration_that_does,
        held_back=is_held_back,
        lacking_l=0.0 if verdict is Verdict.CLEAR else max(lacking_l, 0.0),
    )
    return as_carried(judged, demand, fill.leaving)


def _by_containers(stretch: DryStretch, demand: WaterDemand) -> Verdict:
    """Judge a stretch by what the containers hold, as if nothing were too heavy."""
    is_all = stretch.available_l >= stretch.capacity_l
    room_l = held_l(demand.trip) if is_all else stretch.available_l
    return verdict_of(
        stretch.needs, stretch.reserve_l, room_l, containers=True, always_l=demand.always_l
    )


def _ration_that_does(outcome: LegOutcome) -> Ration | None:
    return None if outcome.verdict is Verdict.TOO_LONG else outcome.ration


def causes(filling: Filling, stretches: Sequence[int]) -> list[tuple[str, ...]]:
    """Return for each of some stretches which limits, each lifted alone, would better its verdict.

    Parameters
    ----------
    stretches
        Their indices.
    """
    if not stretches:
        return []
    lifted = [
        (words, best_fills(problem).outcomes) for words, problem in _each_limit_lifted(filling)
    ]
    now, legs = filling.chosen.outcomes, filling.last_of_stop
    return [
        tuple(
            words
            for words, outcomes in lifted
            if severity(outcomes[legs[one]].verdict) < severity(now[legs[one]].verdict)
        )
        for one in stretches
    ]


def _each_limit_lifted(filling: Filling) -> Iterator[tuple[str, FillProblem]]:
    lifted: tuple[tuple[str, Callable[[FillProblem], FillProblem]], ...] = (
        ("what the sources give", _without_source_limits),
        ("the payload left", lambda _: filling.without_payload()),
        ("what can be treated", _without_treatment_limits),
        ("which containers may hold which water", _with_any_water_in_any_container),
    )
    for words, lift in lifted:
        changed = lift(filling.problem)
        if changed != filling.problem:
            yield words, changed


def _without_source_limits(problem: FillProblem) -> FillProblem:
    stops = tuple(
        dataclasses.replace(stop, limit_l=None, stock=None, top_up_l=None) for stop in problem.stops
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


def as_carried(stretch: DryStretch, demand: WaterDemand, carried: OnBoard) -> DryStretch:
    """Return the stretch with what is left on arriving, or where its water runs out.

    A stretch that even the bare ration does not do is lived through on it until no drinkable water
    is left.

    Parameters
    ----------
    carried
        On leaving, all of it drinkable once treated.
    """
    after_end = demand.trip.policy.days_after_end if stretch.end.water is None else 0.0
    need = next(n.need for n in stretch.needs if n.ration is stretch.ration_told)
    free_l = max(carried.total_l - demand.always_l, 0.0)
    if stretch.ration_that_does is not None or need.total_l <= free_l + TOLERANCE_L:
        left_l = max(carried.total_l - need.total_l, 0.0)
        return replace(stretch, on_board_l=carried.total_l, left_l=left_l)
    dry = runs_dry(stretch.travel, demand, free_l)
    if dry is None and after_end:
        dry = RunsDry(stretch.end.km, stretch.travel.end_h)
    return replace(stretch, on_board_l=carried.total_l, left_l=0.0, runs_dry=dry)


def runs_dry(travel: Travel, demand: WaterDemand, carried_l: float) -> RunsDry | None:
    """Return where water runs out on the bare ration, to the second; None where it lasts.

    What is used never shrinks with time, so the hour is found by halving.
    """

    def lasts_until(hour: float) -> bool:
        used_l = demand.need_l(Ration.BARE, travel.until(hour))
        return used_l <= carried_l + TOLERANCE_L

    if lasts_until(travel.end_h):
        return None
    wet_h = halved(lasts_until, travel.begin_h, travel.end_h, _WITHIN_H)
    return RunsDry(travel.km_at(wet_h), wet_h)
