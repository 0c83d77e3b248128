"""What goes wrong on a planned trip, and fills that survive one dry source.

Also here:

- all that goes wrong, read like a table of contents.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial

from longdry.computing.clock.days import travel_days
from longdry.computing.fills.filling import Filling
from longdry.computing.fills.keeping_up import best_fills
from longdry.computing.heat.by_day import drinking_by_day
from longdry.computing.pace.on_ground import route_pace
from longdry.computing.route.chainage import measure_route
from longdry.computing.route.mirrored import mirrored_trip
from longdry.computing.setbacks.chance import Spread, chance_of_short
from longdry.computing.setbacks.changes import HeatOf
from longdry.computing.setbacks.dry import dry_sources
from longdry.computing.setbacks.dry_proof import not_survived, proof_against_one_dry, raised_problem
from longdry.computing.setbacks.supplied import SuppliedPlan, loaded_as_planned, profile_back
from longdry.computing.setbacks.turn_back import turn_backs
from longdry.computing.setbacks.waiting import sit_out, stranded_at_worst
from longdry.computing.setbacks.what_ifs import standard_changes, what_ifs
from longdry.computing.stretches.outlook import Ahead
from longdry.computing.stretches.verdicts import capacity_l, worst_of
from longdry.model.plan.fills import FillPlan
from longdry.model.plan.setbacks import Setbacks, Survival
from longdry.model.plan.stretch import DryStretch
from longdry.model.trip.what_if import Change, Inquiry
from longdry.model.water.passes import Judgement
from longdry.model.words import Certainty
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


def loaded(ahead: Ahead, stretches: Sequence[DryStretch]) -> SuppliedPlan:
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


@dataclass(frozen=True, slots=True)
class Asked:
    """What is to be found out beside the standard set."""

    changes: tuple[Change, ...] = ()
    more_changes: tuple[Change, ...] = ()
    """Asked for elsewhere than in the trip file."""
    more_origin: str = "what if"
    """Where these were written."""
    back_by_h: float | None = None
    """Hours after departure by which the party must be back at the start; None: no limit."""
    help_days: float | None = None
    """Days until help can be there; None: not known."""
    trials: int = 0
    """Of the simulation; 0: none."""
    seed: int = 1
    spread: Spread = field(default_factory=Spread)


def setbacks_of(
    plan: SuppliedPlan,
    judgements: Mapping[str, Judgement],
    *,
    heat_of: HeatOf | None = None,
    asked: Asked | None = None,
) -> Setbacks:
    """Work out dry sources, changes, turn-back km, sit-out, the dry proof and the chance.

    Parameters
    ----------
    judgements
        By source id; a source without one is uncertain and has no chance of water.
    heat_of
        Makes the heat again; None where the trip gives none.

    Raises
    ------
    TripFileError
        Where a change asks for something that the trip or the route does not have.
    """
    asked = asked or Asked()
    dry = dry_sources(plan)
    changes = what_ifs(plan, (*standard_changes(plan, heat_of), *asked.changes), heat_of)
    if asked.more_changes:
        elsewhere = _written_in(plan, asked.more_origin)
        changes += what_ifs(elsewhere, asked.more_changes, heat_of)
    chances = {one: judgement.chance for one, judgement in judgements.items()}
    return Setbacks(
        worst=worst_of((*dry, *changes)),
        dry=dry,
        changes=changes,
        turn_backs=turn_backs(plan, back_by_h=asked.back_by_h),
        sit_out=sit_out(plan, help_days=asked.help_days),
        proof=proof_against_one_dry(
            plan, uncertain_ids(plan, judgements), can_hold_l=capacity_l(plan.going.trip)
        ),
        chance=chance_of_short(
            plan, chances, trials=asked.trials, seed=asked.seed, spread=asked.spread
        )
        if asked.trials
        else None,
    )


def _written_in(plan: SuppliedPlan, origin: str) -> SuppliedPlan:
    """Return the same plan, whose complaints name another origin."""
    trip = replace(plan.going.trip, origin=origin)
    return replace(plan, going=replace(plan.going, trip=trip))


def uncertain_ids(plan: SuppliedPlan, judgements: Mapping[str, Judgement]) -> frozenset[str]:
    """Return the ids of the counted sources that are not judged certain."""
    return frozenset(
        end.water.source.id
        for end in plan.ends
        if end.water and not _is_certain(judgements.get(end.water.source.id))
    )


def _is_certain(judgement: Judgement | None) -> bool:
    return judgement is not None and judgement.certainty is Certainty.CERTAIN
