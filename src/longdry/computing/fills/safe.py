"""Fills with which any one uncertain source may be dry: the least, raised to a floor."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from dataclasses import replace

from longdry.computing.fills.filling import Filling
from longdry.computing.fills.shared_limits import best_fills
from longdry.model.plan.fills import FillPlan, FillProblem, GradeNeed, Leg, LegOutcome
from longdry.model.words import FillHabit, Verdict


def raised_to(filling: Filling, floor_l: Sequence[float]) -> Filling:
    """Return the filling with what is carried on leaving each stop raised to a floor.

    Where the containers cannot hold it, as much as they can. Every leg stays on its own ration.

    Parameters
    ----------
    floor_l
        Litres on leaving, one for each stretch.
    """
    by_leg = [0.0] * len(filling.problem.legs)
    for index, litres in zip(filling.last_of_stop, floor_l, strict=True):
        by_leg[index] = litres
    own = _on_own_rations(filling.problem, filling.chosen.outcomes)
    raised = best_fills(raised_problem(own, by_leg), whole_containers=filling.whole_containers)
    return dataclasses.replace(filling, chosen=_judged_as(filling.chosen, raised))


def _on_own_rations(problem: FillProblem, outcomes: Sequence[LegOutcome]) -> FillProblem:
    """Return the problem with one ration for each leg; what is too long stays beyond all cans."""
    beyond_l = sum(vessel.size_l for vessel in problem.vessels) + 1.0
    legs = []
    for leg, outcome in zip(problem.legs, outcomes, strict=True):
        need = leg.need(outcome.ration)
        if outcome.verdict is Verdict.TOO_LONG:
            need = need._replace(potable_l=need.potable_l + beyond_l)
        legs.append(replace(leg, full=need, lean=need, bare=need))
    return replace(problem, legs=tuple(legs))


def _judged_as(own: FillPlan, raised: FillPlan) -> FillPlan:
    """Keep the verdicts that the party's own reserve gives: the raised one is only a means."""
    outcomes = tuple(
        more._replace(
            verdict=less.verdict,
            ration=less.ration,
            need_l=less.need_l,
            missing_l=less.missing_l,
            reserve_short_l=less.reserve_short_l,
        )
        for more, less in zip(raised.outcomes, own.outcomes, strict=True)
    )
    return dataclasses.replace(raised, habit=FillHabit.SAFE, outcomes=outcomes)


def raised_problem(problem: FillProblem, least_l: Sequence[float]) -> FillProblem:
    """Return the fill problem with reserves so large that every stop is left with the least.

    The litres on top are of the grades of the bare ration, in its proportion. A leg that then
    eats into the reserve need not eat into the party's own: judge that by the first problem.

    Parameters
    ----------
    least_l
        For each leg, litres on leaving its beginning.

    Raises
    ------
    ValueError
        Where they are not one for each leg.
    """
    legs = tuple(_raised(leg, litres) for leg, litres in zip(problem.legs, least_l, strict=True))
    return replace(problem, legs=legs)


def _raised(leg: Leg, least_l: float) -> Leg:
    more_l = least_l - leg.full.total_l - leg.reserve.total_l
    if more_l <= 0.0:
        return leg
    bare, reserve = leg.bare, leg.reserve
    parts = (bare.potable_l, bare.treat_l, bare.any_l) if bare.total_l > 0.0 else (1.0, 0.0, 0.0)
    potable, treat, lowest = (more_l * part / sum(parts) for part in parts)
    raised = GradeNeed(
        potable_l=reserve.potable_l + potable,
        treat_l=reserve.treat_l + treat,
        any_l=reserve.any_l + lowest,
    )
    return replace(leg, reserve=raised)
