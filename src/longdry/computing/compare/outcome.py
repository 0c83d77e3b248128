"""From a whole plan to the figures that are compared."""

from __future__ import annotations

from collections.abc import Sequence

from longdry.computing.clock.day_rules import SNAP_H, DayRules
from longdry.computing.clock.daylight import local_time
from longdry.computing.stretches.prepared import day_rules
from longdry.computing.water.passes import why_not_counted
from longdry.model.compare.combination import (
    CarriedFrom,
    Chances,
    HeatVerdict,
    Hottest,
    NotCounted,
    Outcome,
    SourceAt,
    WithoutWaterFor,
    WorstStretch,
)
from longdry.model.plan.days import TravelDay
from longdry.model.plan.headline import HEAT_BEYOND_LIMITS
from longdry.model.plan.plan import Plan
from longdry.model.plan.setbacks import Setbacks


def outcome_of(plan: Plan) -> Outcome:
    """Return the figures of a plan that are compared; each is the plan's own."""
    longest, setbacks = plan.longest_without_water, plan.setbacks
    return Outcome(
        level=plan.headline.level,
        because=plan.headline.because,
        length_km=plan.measured.length_km,
        worst=_worst(plan),
        longest=WithoutWaterFor(longest.from_km, longest.to_km, longest.days),
        most=_most(plan),
        calls=len(plan.stops),
        days=len(plan.days),
        heat=_heat(plan),
        hottest=_hottest(plan.days),
        no_way=_no_way(plan, setbacks) if setbacks else (),
        chances=_chances(setbacks),
        grave=tuple(one.text for one in plan.warnings if one.grave and not one.of_verdict),
        not_counted=_not_counted(plan),
        dark_days=dark_days(plan),
    )


def _worst(plan: Plan) -> WorstStretch:
    worst = plan.stretches[plan.longest.worst - 1]
    return WorstStretch(
        from_name=worst.begin.label,
        from_km=worst.begin.km,
        to_name=worst.end.label,
        to_km=worst.end.km,
        length_km=worst.length_km,
        days=worst.days,
        need_l=worst.need.total_l,
        reserve_l=worst.reserve_l,
        missing_l=worst.missing_l,
        verdict=worst.verdict,
    )


def _most(plan: Plan) -> CarriedFrom:
    most = plan.most_to_carry
    if most.water is None:
        return CarriedFrom(most.litres, most.km, "", "")
    return CarriedFrom(most.litres, most.km, most.water.source.id, most.water.source.name)


def _heat(plan: Plan) -> HeatVerdict:
    if plan.trip.heat is None:
        return HeatVerdict.NOT_GIVEN
    is_beyond = HEAT_BEYOND_LIMITS in plan.headline.points
    return HeatVerdict.BEYOND if is_beyond else HeatVerdict.WITHIN


def _hottest(days: Sequence[TravelDay]) -> Hottest | None:
    hot = [(day.shade_max_c, -day.number) for day in days if day.shade_max_c is not None]
    if not hot:
        return None
    shade_max_c, number = max(hot)
    return Hottest(-number, shade_max_c)


def _no_way(plan: Plan, setbacks: Setbacks) -> tuple[SourceAt, ...]:
    first_km: dict[str, float] = {}
    for stop in plan.stops:
        for water in (*stop.waters, *stop.beside):
            first_km.setdefault(water.source.id, stop.km)
    return tuple(
        SourceAt(one.sources[0].id, one.sources[0].name, first_km.get(one.sources[0].id, 0.0))
        for one in setbacks.dry
        if len(one.sources) == 1 and one.leaves_neither
    )


def _chances(setbacks: Setbacks | None) -> Chances | None:
    chance = setbacks.chance if setbacks else None
    if chance is None:
        return None
    return Chances(chance.short, chance.turn_back, chance.standard_error)


def _not_counted(plan: Plan) -> tuple[NotCounted, ...]:
    """Return the sources of which no pass counts, for the day's sake alone."""
    counted = {one.source.id for one in plan.passes if one.counted}
    can_treat = plan.trip.party.can_treat
    found: dict[str, NotCounted] = {}
    for one in plan.passes:
        source = one.source
        if source.id in counted or why_not_counted(source, can_treat=can_treat):
            continue
        where = SourceAt(source.id, source.name, one.km)
        found.setdefault(source.id, NotCounted(where, one.on, one.why_not))
    return tuple(found.values())


def dark_days(plan: Plan) -> int:
    """Count the days on which dark ends the moving before the hours of the day are used.

    On such a day the party moves until it is dark. None without a date.
    """
    trip, measured = plan.trip, plan.measured
    if trip.depart is None:
        return 0
    clocks = local_time(trip.utc_offset_h, float(measured.route.lon_deg[0]))
    rules = day_rules(measured, trip, clocks)
    return sum(_is_cut_by_dark(day, rules) for day in plan.days)


def _is_cut_by_dark(day: TravelDay, rules: DayRules) -> bool:
    begun = rules.day_begun(day.number - 1, day.from_km)
    is_short = rules.moving_left(begun) < rules.hours_per_day - SNAP_H
    return is_short and day.arrives_h is not None and day.arrives_h >= rules.ends(begun) - SNAP_H
