"""What goes wrong on a planned trip, and fills that survive one dry source."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from functools import partial

from longdry.computing.chainage import measure_route
from longdry.computing.changed_trip import HeatOf
from longdry.computing.dry_proof import proof_against_one_dry
from longdry.computing.fill_keeping_up import best_fills
from longdry.computing.filling import Filling
from longdry.computing.ground_profile import route_pace
from longdry.computing.heat_by_day import drinking_by_day
from longdry.computing.loaded_plan import LoadedPlan, loaded_as_planned, profile_back
from longdry.computing.other_way_round import mirrored_trip
from longdry.computing.plan_steps import Ahead
from longdry.computing.setbacks import Asked, setbacks_of, uncertain_ids
from longdry.computing.stranded import stranded_at_worst
from longdry.computing.surviving import not_survived, raised_problem
from longdry.computing.travel_days import travel_days
from longdry.computing.verdicts import capacity_l
from longdry.model.dry_stretch import DryStretch
from longdry.model.fill import FillPlan
from longdry.model.inquiry import Inquiry
from longdry.model.judgement import Judgement
from longdry.model.setbacks import Setbacks, Survival
from longdry.units import HOURS_PER_DAY


def setbacks_of_plan(ahead: Ahead, stretches: Sequence[DryStretch], inquiry: Inquiry) -> Setbacks:
    """Work out what goes wrong, with the water that the plan has on board."""
    plan = loaded(ahead, stretches)
    policy = ahead.going.trip.policy
    back_days = policy.back_by_days
    setbacks = setbacks_of(
        plan,
        judgements_by_id(ahead),
        heat_of=_heat_of(ahead),
        asked=Asked(
            changes=ahead.going.trip.what_ifs,
            more_changes=inquiry.changes,
            more_origin=inquiry.origin,
            back_by_h=None if back_days is None else back_days * HOURS_PER_DAY,
            help_days=policy.help_days,
            trials=inquiry.trials,
            seed=inquiry.seed,
        ),
    )
    people = ahead.going.trip.party.people
    stranded = stranded_at_worst(setbacks.sit_out, _hot_days(ahead), people)
    return dataclasses.replace(setbacks, stranded=stranded)


def _hot_days(ahead: Ahead) -> list[tuple[float, float]]:
    if not ahead.heat:
        return []
    clock, length_km = ahead.going.clock, ahead.outset.measured.length_km
    days = travel_days(clock, length_km, None)
    return [
        (day.to_km, heat.expected.shade_max_c) for day, heat in zip(days, ahead.heat, strict=True)
    ]


def loaded(ahead: Ahead, stretches: Sequence[DryStretch]) -> LoadedPlan:
    """Return the plan with what it has on board; in need the party moves on rest days too."""
    going = ahead.going
    heat_of = _heat_of(ahead)
    if heat_of is not None:
        going = dataclasses.replace(going, heat=heat_of(going.trip, going.clock, 0.0))
    plan = loaded_as_planned(stretches, going)
    measured = ahead.outset.measured
    if ahead.pace.heights_used:
        back = route_pace(
            measure_route(measured.route.reversed(), winding_factor=measured.winding_factor),
            mirrored_trip(going.trip, measured.length_km).pace,
        ).profile
        plan = dataclasses.replace(plan, back=profile_back(back))
    return plan


def judgements_by_id(ahead: Ahead) -> Mapping[str, Judgement]:
    """Return what is known of each counted source; of two passes the worse."""
    worse: dict[str, Judgement] = {}
    for water in ahead.outset.passes:
        known = worse.get(water.source.id)
        if water.counted and (known is None or water.judgement.chance < known.chance):
            worse[water.source.id] = water.judgement
    return worse


def _heat_of(ahead: Ahead) -> HeatOf | None:
    return None if ahead.going.trip.heat is None else partial(drinking_by_day, ways=True)


def filling_that_survives(
    ahead: Ahead, stretches: Sequence[DryStretch], filling: Filling
) -> tuple[Filling, Survival]:
    """Raise the fills until any one uncertain source may be dry.

    The party then goes on to the next water or back to the last on the bare ration.

    Returns
    -------
    tuple
        The raised filling, and what it costs; sources that break it are named there.
    """
    plan = loaded(ahead, stretches)
    uncertain = uncertain_ids(plan, judgements_by_id(ahead))
    proof = proof_against_one_dry(plan, uncertain, can_hold_l=capacity_l(ahead.going.trip))
    raised = best_fills(
        raised_problem(filling.problem, proof.least_l),
        filling.chosen.habit,
        whole_containers=filling.whole_containers,
    )
    on_board_l = tuple(fill.leaving.total_l for fill in raised.fills)
    stocked = dataclasses.replace(plan, on_board_l=on_board_l)
    survival = Survival(
        extra_l=tuple(
            more.leaving.total_l - less.leaving.total_l
            for more, less in zip(raised.fills, filling.chosen.fills, strict=True)
        ),
        extra_litre_km=raised.litre_km - filling.chosen.litre_km,
        breaks=not_survived(stocked, uncertain),
    )
    return dataclasses.replace(filling, chosen=_judged_as_before(raised, filling)), survival


def _judged_as_before(raised: FillPlan, filling: Filling) -> FillPlan:
    """Keep the verdicts that the party's own reserve gives: the raised one is only a means."""
    outcomes = tuple(
        dataclasses.replace(more, verdict=own.verdict, ration=own.ration)
        for more, own in zip(raised.outcomes, filling.chosen.outcomes, strict=True)
    )
    return dataclasses.replace(raised, outcomes=outcomes)
