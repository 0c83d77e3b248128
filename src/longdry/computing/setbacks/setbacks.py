"""All that goes wrong on a planned trip, read like a table of contents."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from longdry.computing.fills.filling import Filling
from longdry.computing.setbacks.chance import chance_of_short
from longdry.computing.setbacks.chance_tables import USUAL_SPREAD, Spread
from longdry.computing.setbacks.changes import PlanUnderChange, heat_of
from longdry.computing.setbacks.dry import dry_sources
from longdry.computing.setbacks.dry_proof import proof_against_one_dry, uncertain_ids
from longdry.computing.setbacks.in_need import water_in_need
from longdry.computing.setbacks.supplied import SuppliedPlan, as_planned, carried_of
from longdry.computing.setbacks.turn_back import turn_backs
from longdry.computing.setbacks.waiting import sit_out, stranded_at_worst
from longdry.computing.setbacks.what_ifs import standard_changes, what_ifs
from longdry.computing.stretches.journey import Journey
from longdry.computing.stretches.verdicts import capacity_l, worst_of
from longdry.model.plan.setbacks import Setbacks, WhatIf
from longdry.model.plan.stretch import DryStretch
from longdry.model.trip.what_if import Change, Delay, DrySource, Inquiry
from longdry.model.water.passes import WaterPass
from longdry.model.water.source import WaterSource
from longdry.units import HOURS_PER_DAY


@dataclass(frozen=True, slots=True, eq=False)
class KnownWater:
    """What is known beside the plan."""

    sources: tuple[WaterSource, ...] = ()
    """All of them, near the route or not."""
    passes: tuple[WaterPass, ...] = ()
    """Those that were judged, counted or not."""
    spread: Spread = USUAL_SPREAD


NOTHING_MORE = KnownWater()


def setbacks_of_plan(
    journey: Journey,
    stretches: Sequence[DryStretch],
    inquiry: Inquiry,
    *,
    filling: Filling | None = None,
    known: KnownWater = NOTHING_MORE,
) -> Setbacks:
    """Work out what goes wrong, with the water that the plan carries.

    Parameters
    ----------
    stretches
        As filled.
    filling
        Tells of which grade the water is and in which vehicle; None: see `PlanUnderChange`.
    known
        Water that does not count, to be named.

    Raises
    ------
    TripFileError
        Where a change asks for something that the trip or the route does not have.
    """
    plan = supplied(journey, stretches, known.passes)
    trip, carried = journey.trip, carried_of(filling) if filling else None
    dry = dry_sources(plan)
    named = PlanUnderChange(plan, carried, trip.origin or "what if")
    usual = tuple(dict.fromkeys((*standard_changes(plan), *_ahead_of(plan, trip.what_ifs))))
    asked = tuple(one for one in dict.fromkeys(inquiry.changes) if one not in usual)
    changes = what_ifs(named, usual)
    changes += what_ifs(replace(named, origin=inquiry.origin), asked)
    back_days = trip.policy.back_by_days
    wait = sit_out(plan)
    return Setbacks(
        worst=worst_of((*dry, *changes)),
        dry=dry,
        changes=changes,
        turn_backs=turn_backs(
            plan,
            back_by_h=None if back_days is None else back_days * HOURS_PER_DAY,
            goes_back_from=_goes_back_from(plan, dry),
        ),
        sit_out=wait,
        proof=proof_against_one_dry(plan, uncertain_ids(plan), can_hold_l=capacity_l(trip)),
        chance=chance_of_short(
            plan, chances(plan), trials=inquiry.trials, seed=inquiry.seed, spread=known.spread
        )
        if inquiry.trials
        else None,
        stranded=stranded_at_worst(wait, _hot_days(journey), trip.party.people),
        in_need=water_in_need(plan, known.sources, known.passes),
    )


def supplied(
    journey: Journey, stretches: Sequence[DryStretch], passes: Sequence[WaterPass]
) -> SuppliedPlan:
    """Return the plan with what it carries; in need the party moves on rest days too."""
    if journey.trip.heat is not None and any(day.rest for day in journey.days):
        demand = replace(journey.demand, heat=heat_of(journey.trip, journey.days))
        journey = replace(journey, demand=demand)
    return as_planned(journey, stretches, passes)


def _hot_days(journey: Journey) -> list[tuple[float, float]]:
    if not journey.heat:
        return []
    return [
        (day.to_km, heat.expected.shade_max_c)
        for day, heat in zip(journey.days, journey.heat, strict=True)
    ]


def chances(plan: SuppliedPlan) -> Mapping[str, float]:
    """Return the chance of water at each source on the way; of two passes the worse."""
    worse: dict[str, float] = {}
    for end in (*plan.ends[1:-1], *plan.passed):
        for water in end.waters:
            known = worse.get(water.source.id, 1.0)
            worse[water.source.id] = min(known, water.judgement.chance)
    return worse


def _ahead_of(plan: SuppliedPlan, changes: Sequence[Change]) -> list[Change]:
    """Return what may still go wrong on a party's way; all of it before it has left."""
    if plan.trip.here is None:
        return list(changes)
    here_km = plan.ends[0].km
    known = {name.strip().casefold() for one in plan.sources() for name in (one.name, one.id)}
    return [
        one
        for one in changes
        if not (isinstance(one, Delay) and one.km is not None and one.km < here_km)
        and not (isinstance(one, DrySource) and one.name.strip().casefold() not in known)
    ]


def _goes_back_from(plan: SuppliedPlan, dry: Sequence[WhatIf]) -> Mapping[int, bool]:
    """Return for each stop whether the party can go back where any one water of it is dry."""
    stops = {end.km: index for index, end in enumerate(plan.ends)}
    can: dict[int, bool] = {}
    for found in dry:
        for one in found.passes if len(found.sources) == 1 else ():
            can[stops[one.km]] = can.get(stops[one.km], True) and one.go_back.possible
    return can
