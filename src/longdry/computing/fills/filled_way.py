"""A way as filled: what it comes to, and the plan that tells it container by container.

Most of the ways that a plan tries are compared and not told.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from longdry.computing.fills.levels import Levels, grade_of, moves_between, store_of
from longdry.computing.fills.terms import Litres, Terms, rounded_down_ml, rounded_up_ml
from longdry.computing.fills.verdicts import (
    INTO_RESERVE,
    SHORT_BARE,
    SHORT_LEAN,
    TOO_LONG,
    LegResult,
    SearchResult,
)
from longdry.model.plan.fills import (
    Fill,
    FillObjective,
    FillPlan,
    FillProblem,
    Leg,
    LegOutcome,
    OnBoard,
    VesselLevel,
)
from longdry.model.words import FillHabit, Ration, Verdict

VERDICT_AND_RATION = (
    (Verdict.CLEAR, Ration.FULL),
    (Verdict.INTO_RESERVE, Ration.FULL),
    (Verdict.SHORT_RATION, Ration.LEAN),
    (Verdict.SHORT_RATION, Ration.BARE),
    (Verdict.TOO_LONG, Ration.BARE),
)
"""By severity."""


class Stage(NamedTuple):
    """One stop and the leg after it, as carried out."""

    before: Levels
    leaving: Levels
    arriving: Levels
    take_ml: int
    treated_ml: int
    """At the stop."""


@dataclass(frozen=True, slots=True, eq=False)
class FilledWay:
    """All stops and legs as carried out, by one habit."""

    problem: FillProblem
    terms: Terms
    habit: FillHabit
    stages: tuple[Stage, ...]
    results: tuple[LegResult, ...]
    objective: FillObjective
    is_proved: bool
    """False where the search for the best verdicts had to be cut off."""

    @classmethod
    def of(
        cls,
        problem: FillProblem,
        terms: Terms,
        habit: FillHabit,
        stages: Sequence[Stage],
        found: SearchResult,
    ) -> FilledWay:
        """Tell what the stages come to.

        Parameters
        ----------
        found
            The verdicts that they carry out.
        """
        results = tuple(step.result for step in found.steps)
        are_all_seen = terms.are_all_assignments or not terms.wants_potable[0]
        objective = _objective(terms, results, stages)
        is_proved = found.is_proved and are_all_seen
        return cls(problem, terms, habit, tuple(stages), results, objective, is_proved)

    def take_l(self, k: int) -> float:
        """Return what is taken at a stop."""
        return self.stages[k].take_ml / 1000.0

    def treated_l(self, k: int) -> float:
        """Return what is treated at a stop."""
        return self.stages[k].treated_ml / 1000.0

    def treated_on_leg_l(self, k: int) -> float:
        """Return what is treated on the leg after a stop, at the time of use."""
        stage, (_, ration) = self.stages[k], VERDICT_AND_RATION[self.results[k].severity]
        leg, before, after = self.problem.legs[k], stage.leaving.board, stage.arriving.board
        return _treated_ml(leg, ration, before, after) / 1000.0

    def told(self) -> FillPlan:
        """Tell it container by container."""
        count = range(len(self.stages))
        fills = tuple(self._fill(k) for k in count)
        outcomes = tuple(self._outcome(k) for k in count)
        store = store_of(self.problem.vessels, self.problem.carriers)
        end = self.stages[-1].arriving if self.stages else store.at_start()
        return FillPlan(
            habit=self.habit,
            fills=fills,
            outcomes=outcomes,
            end=_on_board(end),
            end_levels=_vessel_levels(self.problem, end),
            litre_km=sum(outcome.litre_km for outcome in outcomes),
            smallest_margin_l=min(
                (-f.missing_ml / 1000.0 if f.is_too_long else h.arriving.board.total / 1000.0
                 for f, h in zip(self.results, self.stages, strict=True)),
                default=0.0,
            ),
            treated_l=sum(f.treated_l for f in fills) + sum(o.treated_l for o in outcomes),
            is_proved=self.is_proved,
            objective=self.objective,
        )  # fmt: skip

    def _fill(self, k: int) -> Fill:
        stop, stage, problem = self.problem.stops[k], self.stages[k], self.problem
        is_potable = self.terms.stops[k].is_potable
        moves = moves_between(problem.vessels, stage.before, stage.leaving, is_potable=is_potable)
        take_l = self.take_l(k)
        return Fill(
            stop=k,
            km=stop.km,
            source=stop.name,
            grade=stop.grade,
            take_l=take_l,
            into=moves.into,
            treated_l=self.treated_l(k),
            decants=moves.decants,
            drawn_off=moves.drawn_off,
            left_l=moves.left_ml / 1000.0,
            cleaned=moves.cleaned,
            arriving=_on_board(stage.before),
            leaving=_on_board(stage.leaving),
            levels_arriving=_vessel_levels(problem, stage.before),
            levels_leaving=_vessel_levels(problem, stage.leaving),
            minutes=take_l / stop.flow_l_per_min if stop.flow_l_per_min else None,
            cost=take_l * stop.cost_per_l,
            water=stop.water,
        )

    def _outcome(self, k: int) -> LegOutcome:
        leg, result, stage = self.problem.legs[k], self.results[k], self.stages[k]
        verdict, ration = VERDICT_AND_RATION[result.severity]
        before, after = stage.leaving.board, stage.arriving.board
        return LegOutcome(
            verdict=verdict,
            ration=ration,
            need_l=result.need.total / 1000.0,
            used_l=(before.total - after.total) / 1000.0,
            missing_l=result.missing_ml / 1000.0,
            reserve_short_l=result.reserve_short_ml / 1000.0,
            treated_l=self.treated_on_leg_l(k),
            litre_km=leg.km * (before.total + after.total) / 2000.0,
        )


def _objective(
    terms: Terms, results: Sequence[LegResult], stages: Sequence[Stage]
) -> FillObjective:
    severities = [result.severity for result in results]
    return FillObjective(
        too_long=severities.count(TOO_LONG),
        short_bare=severities.count(SHORT_BARE),
        short_lean=severities.count(SHORT_LEAN),
        into_reserve=severities.count(INTO_RESERVE),
        missing_ml=sum(result.missing_ml for result in results),
        reserve_short_ml=sum(result.reserve_short_ml for result in results),
        order=sum(severity * 5**k for k, severity in enumerate(severities)),
        litre_m=sum(
            leg.length_m * (stage.leaving.board.total + stage.arriving.board.total)
            for leg, stage in zip(terms.legs, stages, strict=True)
        ),
        fills=sum(stage.take_ml > 0 or stage.treated_ml > 0 for stage in stages),
    )


def _on_board(levels: Levels) -> OnBoard:
    board = levels.board
    return OnBoard(board.potable / 1000.0, (board.total - board.potable) / 1000.0)


def _vessel_levels(problem: FillProblem, levels: Levels) -> tuple[VesselLevel, ...]:
    return tuple(
        VesselLevel(vessel.name, ml / 1000.0, grade_of(is_lower=is_lower))
        for vessel, ml, is_lower in zip(problem.vessels, levels.ml, levels.is_lower, strict=True)
    )


def _treated_ml(leg: Leg, ration: Ration, before: Litres, after: Litres) -> int:
    """Give the lower water that goes on potable uses."""
    need = leg.need(ration)
    lower_used = (before.total - before.potable) - (after.total - after.potable)
    treated = max(0, lower_used - rounded_up_ml(need.treat_l + need.any_l))
    return treated if leg.treat_l is None else min(treated, rounded_down_ml(leg.treat_l))
