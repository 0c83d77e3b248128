"""Fill plans that treat no more than can be treated: at a stop and on the leg after it together.

First both are given all that can be treated in the time of the leg. A plan that uses no more than
that in sum is the best there is. Else what can be treated is shared out between stop and leg in a
few ways; every share is a plan that keeps up, and the best of them is kept. It is proved best only
where it comes to the same as the plan that was given too much.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice

from longdry.computing.fills.plan import SearchedProblem, plan_fills, search_verdicts
from longdry.computing.fills.stocks import plan_fills_from_stocks
from longdry.model.plan.fills import FillPlan, FillProblem
from longdry.model.words import ContainerGrade, FillHabit
from longdry.units import TOLERANCE_L

_EVEN_SHARES = (0.0, 0.5, 1.0)
"""Of what can be treated, at the stop."""

_VERDICT_PARTS = 7
"""Leading parts of the objective that are about verdicts and litres missing."""
_GOOD_PLANS_ENOUGH = 2
_MOST_LEGS = 240
"""Legs planned in all shares together, so that a long way is tried in fewer of them."""
_THOROUGH_LEGS = 24
"""A way of more legs is looked at quickly in each share: the search for the best of bad verdicts
grows with its length, and a share is proved best by the plan given too much alone."""

Shares = Sequence[float | None]
"""For each leg the litres to be treated at the stop before it; None: no limit in common."""


def best_fills(
    problem: FillProblem,
    habit: FillHabit = FillHabit.LEAST,
    *,
    whole_containers: bool = False,
    least: FillPlan | None = None,
) -> FillPlan:
    """Plan what to take at every stop, with stocks and treating in common heeded.

    Where nothing is in common this is :func:`plan_fills`.

    Parameters
    ----------
    least
        For another habit: the plan of the habit ``least``, if it is known already.

    Raises
    ------
    ValueError
        Where the problem contradicts itself.
    """
    relaxed = _relaxed_problem(problem)
    if habit is FillHabit.LEAST:
        return _best(problem, relaxed, whole=whole_containers)
    return _treating_as_least(problem, relaxed, habit, least, whole=whole_containers)


@dataclass(frozen=True, slots=True, eq=False)
class _RelaxedProblem:
    """The problem with each stop and each leg given all that can be treated in the leg's time."""

    problem: FillProblem
    known: SearchedProblem

    def planned(self, habit: FillHabit, *, whole: bool) -> FillPlan:
        return _planned(self.problem, habit, whole=whole, known=self.known)


def _relaxed_problem(problem: FillProblem) -> _RelaxedProblem:
    relaxed = _with_full_limits(problem)
    return _RelaxedProblem(relaxed, search_verdicts(relaxed))


def _treating_as_least(
    problem: FillProblem,
    relaxed: _RelaxedProblem,
    habit: FillHabit,
    least: FillPlan | None,
    *,
    whole: bool,
) -> FillPlan:
    """Plan for another habit, treating at the stops as the least plan does where it must."""
    relaxed_plan = relaxed.planned(habit, whole=whole)
    if keeps_up(problem, relaxed_plan):
        return relaxed_plan
    as_in = least or _best(problem, relaxed, whole=whole)
    shares = [fill.treated_l for fill in as_in.fills]
    shared = _shared_out(problem, shares)
    plan = _planned(shared, habit, whole=whole, thorough=_is_short_way(problem))
    return replace(plan, is_proved=_is_as_good(plan, relaxed_plan))


def _best(problem: FillProblem, relaxed: _RelaxedProblem, *, whole: bool) -> FillPlan:
    """Try shares until enough of them come to verdicts that nothing can better."""
    habit = FillHabit.LEAST
    relaxed_plan = relaxed.planned(habit, whole=whole)
    if keeps_up(problem, relaxed_plan):
        return relaxed_plan
    thorough = _is_short_way(problem)
    plans: list[FillPlan] = []
    tried = max(_GOOD_PLANS_ENOUGH, _MOST_LEGS // len(problem.legs))
    for shares in islice(_ways_of_sharing(problem, relaxed_plan), tried):
        shared = _shared_out(problem, shares)
        plans.append(_planned(shared, habit, whole=whole, thorough=thorough))
        if (
            sum(
                plan.objective[:_VERDICT_PARTS] == relaxed_plan.objective[:_VERDICT_PARTS]
                for plan in plans
            )
            >= _GOOD_PLANS_ENOUGH
        ):
            break
    best = min(plans, key=lambda plan: plan.objective)
    return replace(best, is_proved=_is_as_good(best, relaxed_plan))


def _is_short_way(problem: FillProblem) -> bool:
    return len(problem.legs) <= _THOROUGH_LEGS


def _is_as_good(plan: FillPlan, relaxed_plan: FillPlan) -> bool:
    """Whether nothing can better a plan: the best one that was given too much does not."""
    return relaxed_plan.is_proved and plan.objective == relaxed_plan.objective


def keeps_up(problem: FillProblem, plan: FillPlan) -> bool:
    """Whether no more is treated at any stop and on the leg after it than can be."""
    return not any(_falls_behind(problem, plan, k) for k in range(len(problem.legs)))


def _falls_behind(problem: FillProblem, plan: FillPlan, k: int) -> bool:
    most_l = problem.legs[k].treat_with_stop_l
    if most_l is None:
        return False
    return plan.fills[k].treated_l + plan.outcomes[k].treated_l > most_l + TOLERANCE_L


def _planned(
    problem: FillProblem,
    habit: FillHabit,
    *,
    whole: bool,
    thorough: bool = True,
    known: SearchedProblem | None = None,
) -> FillPlan:
    has_stocks = any(stop.stock is not None for stop in problem.stops)
    plan = plan_fills_from_stocks if has_stocks else plan_fills
    return plan(problem, habit, whole_containers=whole, thorough=thorough, known=known)


def _with_full_limits(problem: FillProblem) -> FillProblem:
    """Give each stop and each leg all that can be treated in the time of the leg."""
    limits = [leg.treat_with_stop_l for leg in problem.legs]
    return _with_limits(problem, [(limit, limit) for limit in limits])


def _shared_out(problem: FillProblem, shares: Shares) -> FillProblem:
    limits: list[tuple[float | None, float | None]] = []
    for leg, share_l in zip(problem.legs, shares, strict=True):
        most_l = leg.treat_with_stop_l
        if most_l is None or share_l is None:
            limits.append((None, None))
            continue
        here_l = min(max(share_l, 0.0), most_l)
        limits.append((here_l, most_l - here_l))
    return _with_limits(problem, limits)


def _with_limits(
    problem: FillProblem, limits: Sequence[tuple[float | None, float | None]]
) -> FillProblem:
    stops = (
        replace(stop, treat_l=smaller_known(stop.treat_l, here_l))
        for stop, (here_l, _) in zip(problem.stops, limits, strict=False)
    )
    legs = (
        replace(leg, treat_l=smaller_known(leg.treat_l, way_l), treat_with_stop_l=None)
        for leg, (_, way_l) in zip(problem.legs, limits, strict=True)
    )
    return replace(problem, stops=(*stops, problem.stops[-1]), legs=tuple(legs))


def smaller_known(one: float | None, other: float | None) -> float | None:
    """Return the smaller of two limits; None, where neither is known, is no limit."""
    known = [litres for litres in (one, other) if litres is not None]
    return min(known, default=None)


def _ways_of_sharing(problem: FillProblem, relaxed_plan: FillPlan) -> Iterator[Shares]:
    """Yield the shares to try: what the plan given too much would do, and shares of the whole.

    Legs on which that plan keeps up are given what it treats there; the others a share.
    """
    limits = [leg.treat_with_stop_l for leg in problem.legs]
    at_stops = [fill.treated_l for fill in relaxed_plan.fills]
    yield at_stops
    yield [
        most and most - o.treated_l for most, o in zip(limits, relaxed_plan.outcomes, strict=True)
    ]
    behind = [_falls_behind(problem, relaxed_plan, k) for k in range(len(limits))]
    for share in sorted({*_EVEN_SHARES, _share_kept_for_potable(problem)}):
        whole = [most and most * share for most in limits]
        yield [
            part if is_behind else stop_l
            for part, is_behind, stop_l in zip(whole, behind, at_stops, strict=True)
        ]
        yield whole


def _share_kept_for_potable(problem: FillProblem) -> float:
    """Give the share of all containers' litres that no untreated water goes into."""
    whole_l = sum(vessel.size_l for vessel in problem.vessels)
    kept_l = sum(v.size_l for v in problem.vessels if v.grade is ContainerGrade.POTABLE)
    return kept_l / whole_l if whole_l else 0.0
