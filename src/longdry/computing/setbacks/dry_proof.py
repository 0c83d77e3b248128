"""What must be on board so that any one uncertain source may be dry.

On finding it dry the party goes on to the next source that gives water or back to the last,
whichever asks for less, on the bare ration; the reserve may be used. Up to the dry source it lives
on the full ration.

Also here:

- a fill plan that holds when any one uncertain source is dry.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace

from longdry.computing.setbacks.dry import DryRun, counted_sources, dry_runs, dry_together, stranded
from longdry.computing.setbacks.supplied import SuppliedPlan
from longdry.model.plan.fills import FillProblem, GradeNeed, Leg
from longdry.model.plan.setbacks import DryProof
from longdry.model.plan.stretch import DryStretch
from longdry.model.water.source import WaterSource
from longdry.model.words import Ration

_PLENTY_L = 1e12
TOLERANCE_L = 1e-9


def proof_against_one_dry(
    plan: SuppliedPlan, uncertain_ids: Collection[str], *, can_hold_l: float
) -> DryProof:
    """Return the least litres on leaving each stop, for the fill plan to keep.

    Parameters
    ----------
    plan
        As it goes; what it has on board is only compared.
    uncertain_ids
        Ids of the sources that may be dry; others are taken to have water.
    can_hold_l
        What the party can have on board at most. At the start of the route, where the plan leaves
        with less because the trip says so, that is the most.

    Examples
    --------
    Nothing uncertain, nothing asked: every ``least_l`` is 0 and the proof holds.
    """
    filled, planned = _as_it_may_be_filled(plan), plan.stretches()
    least_l = [0.0] * len(plan.on_board_l)
    breaks = []
    for source in counted_sources(plan):
        if source.id not in uncertain_ids:
            continue
        asked = {
            run.behind: _asked_l(filled, planned[run.behind], run, source.id)
            for run in dry_runs(plan, {source.id})
        }
        for index, litres in asked.items():
            least_l[index] = max(least_l[index], litres)
        if any(litres > _most_l(plan, index, can_hold_l) for index, litres in asked.items()):
            breaks.append(source)
    return _proof(plan, least_l, breaks)


def _as_it_may_be_filled(plan: SuppliedPlan) -> tuple[SuppliedPlan, ...]:
    """Return the plan filled plentifully, and as it is where that empties other limited sources."""
    plenty = replace(plan, on_board_l=(_PLENTY_L,) * len(plan.on_board_l))
    limited = any(end.water and end.water.source.limit_l is not None for end in plan.ends)
    return (plenty, plan) if limited else (plenty,)


def _asked_l(plans: Sequence[SuppliedPlan], first: DryStretch, run: DryRun, dry_id: str) -> float:
    ways = (stranded(plan, first, run, Ration.FULL, {dry_id}) for plan in plans)
    return max(there.used_l + there.least_bare_l for there in ways)


def _most_l(plan: SuppliedPlan, index: int, can_hold_l: float) -> float:
    at_start_l = plan.going.trip.policy.start_on_board_l
    if index > 0 or at_start_l is None:
        return can_hold_l + TOLERANCE_L
    return min(at_start_l, can_hold_l) + TOLERANCE_L


def _proof(plan: SuppliedPlan, least_l: list[float], breaks: list[WaterSource]) -> DryProof:
    extra_l = (max(0.0, least - has) for least, has in zip(least_l, plan.on_board_l, strict=True))
    return DryProof(tuple(least_l), tuple(extra_l), tuple(breaks))


def raised_problem(problem: FillProblem, least_l: Sequence[float]) -> FillProblem:
    """Return the fill problem with reserves so large that every stop is left with the least.

    The litres on top are of the grades of the bare ration, in its proportion. A leg that then
    eats into the reserve need not eat into the party's own: judge that by the first problem.

    Parameters
    ----------
    least_l
        For each leg, litres on leaving its beginning: ``DryProof.least_l``.

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


def not_survived(plan: SuppliedPlan, uncertain_ids: Collection[str]) -> tuple[WaterSource, ...]:
    """Return the uncertain sources whose loss leaves neither way with what is on board.

    The proof of a fill plan that is to survive: there must be none. They break it where what can
    be had, treated or carried does not do.
    """
    return tuple(
        source
        for source in counted_sources(plan)
        if source.id in uncertain_ids and dry_together(plan, [source]).leaves_neither
    )
