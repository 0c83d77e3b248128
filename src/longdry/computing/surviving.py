"""A fill plan that holds when any one uncertain source is dry."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace

from longdry.computing.dry_source import counted_sources, dry_together
from longdry.computing.loaded_plan import LoadedPlan
from longdry.model.fill import FillProblem, GradeNeed, Leg
from longdry.model.water_source import WaterSource


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


def not_survived(plan: LoadedPlan, uncertain_ids: Collection[str]) -> tuple[WaterSource, ...]:
    """Return the uncertain sources whose loss leaves neither way with what is on board.

    The proof of a fill plan that is to survive: there must be none. They break it where what can
    be had, treated or carried does not do.
    """
    return tuple(
        source
        for source in counted_sources(plan)
        if source.id in uncertain_ids and dry_together(plan, [source]).leaves_neither
    )
