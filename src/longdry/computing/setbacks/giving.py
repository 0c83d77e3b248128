"""What a stop gives to a party that comes to it otherwise than planned.

A source gives nothing while it is closed, no more than its limit in all, and no more than what it
gives in the minutes of a fill, or than the plan draws there. A stay at limited water is lived on
it: only the rest is there to be taken. Where it gives less than a litre a head (common practice, no
source), a party in need passes it over.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from longdry.computing.fills.problem import potable_first
from longdry.computing.fills.stays import StayAtWater, share_of
from longdry.computing.setbacks.supplied import SuppliedPlan, left_of
from longdry.computing.water.opening import has_hours, is_open_at
from longdry.model.plan.stretch import DryStretch, StretchEnd
from longdry.model.water.source import WaterSource
from longdry.model.words import Ration

LEAST_THERE_L_A_HEAD = 1.0


def gives_without_end(plan: SuppliedPlan, index: int) -> bool:
    """Whether there is water without limit, at any hour: everybody fills up there.

    So it is at the start, and at the end of the route, where no stretch begins.
    """
    if not 0 < index < plan.last:
        return True
    return any(_is_endless(source) for source in wet_sources(plan, plan.ends[index]))


def _is_endless(source: WaterSource) -> bool:
    has_limits = source.limit_l is not None or source.flow_l_per_min is not None
    return not has_hours(source) and not has_limits


def gives_l(
    plan: SuppliedPlan, index: int, hour: float, taken_l: Mapping[str, float] | None = None
) -> float:
    """Return what can be had at a stop, of all its waters together.

    Parameters
    ----------
    hour
        When the party comes there, since the midnight before departure.
    taken_l
        What was taken of each limited source before; None: nothing.
    """
    if gives_without_end(plan, index):
        return math.inf
    drawn_l = plan.drawn_at(index) if plan.is_drawn_known else 0.0
    return _gives_l(plan, plan.ends[index], hour, taken_l or {}, drawn_l)


def _gives_l(
    plan: SuppliedPlan, end: StretchEnd, hour: float, taken_l: Mapping[str, float], drawn_l: float
) -> float:
    minutes = plan.trip.pace.fill_minutes
    return sum(
        _source_gives_l(source, minutes, taken_l.get(source.id, 0.0), drawn_l)
        for source in wet_sources(plan, end)
        if is_open_at(source, hour)
    )


def after_stay(
    plan: SuppliedPlan, index: int, taken_l: Mapping[str, float]
) -> tuple[dict[str, float], float]:
    """Return what is taken of limited sources after the stay at an end, and what it lacks.

    What it lacks comes out of what is carried there. Without a night both are as before.

    Parameters
    ----------
    taken_l
        Before the stay.
    """
    if gives_without_end(plan, index):
        return dict(taken_l), 0.0
    before, after = plan.journey.itinerary.travels[index - 1 : index + 1]
    stay = StayAtWater.of_travels(plan.ends[index], before, after)
    if not stay.travel.nights:
        return dict(taken_l), 0.0
    waters = (one.source for one in potable_first(plan.ends[index]))
    wet = [source for source in waters if source.id not in plan.spoilt]
    share = share_of(stay, plan.demand, wet, taken_l)
    together = dict(taken_l)
    for source_id, used_l in share.used_l.items():
        together[source_id] = together.get(source_id, 0.0) + used_l
    return together, share.carried_l[Ration.FULL]


def wet_sources(plan: SuppliedPlan, end: StretchEnd) -> list[WaterSource]:
    """Return the sources of an end that are not spoilt."""
    sources = (water.source for water in end.waters)
    return [source for source in sources if source.id not in plan.spoilt]


def _source_gives_l(source: WaterSource, minutes: float, taken_l: float, drawn_l: float) -> float:
    """Return what one source gives; a slow one as much as the plan draws there, if that is more."""
    gives = math.inf if source.limit_l is None else max(0.0, source.limit_l - taken_l)
    flow = source.flow_l_per_min
    if flow is not None and (minutes > 0.0 or flow == 0.0):
        gives = min(gives, max(flow * minutes, drawn_l if flow > 0.0 else 0.0))
    return gives


def taken_through(plan: SuppliedPlan, through: int) -> Mapping[str, float]:
    """Return what the plan may have taken of each limited source up to an end, that one included.

    With what its stays there have used.

    Where a stop has several waters, each counts as the one that all was drawn from.
    """
    known = plan.taken_through_l
    for index in range(len(known) - 1, min(through, plan.last - 1) + 1):
        known.append(_taken_at(plan, index, known[-1]))
    return known[max(min(through, plan.last - 1) + 1, 0)]


def _taken_at(plan: SuppliedPlan, index: int, before_l: Mapping[str, float]) -> Mapping[str, float]:
    limited = [one for one in wet_sources(plan, plan.ends[index]) if one.limit_l is not None]
    if not limited:
        return before_l
    taken, _ = after_stay(plan, index, before_l)
    for source in limited:
        drawn_l = plan.drawn_at(index) if plan.is_drawn_known else math.inf
        taken[source.id] = taken.get(source.id, 0.0) + drawn_l
    return taken


def gives_after_stay_l(plan: SuppliedPlan, index: int) -> float:
    """Return what an end gives to be taken along as planned; below 0 what the stay there lacks."""
    taken_l, lacks_l = after_stay(plan, index, taken_through(plan, index - 1))
    return gives_l(plan, index, plan.arrives(index).hour, taken_l) - lacks_l


def has_water_at(plan: SuppliedPlan, index: int, hour: float, *, through: int) -> bool:
    """Whether a party finds a litre a head at an end, or more.

    Parameters
    ----------
    hour
        When it comes there, since the midnight before departure.
    through
        What the plan takes of limited sources up to this end is gone.
    """
    if gives_without_end(plan, index):
        return True
    return _is_enough(plan, gives_l(plan, index, hour, taken_through(plan, through)))


def has_water_passed_by(plan: SuppliedPlan, end: StretchEnd, hour: float, *, through: int) -> bool:
    """Whether a party finds as much at water that the plan passes by."""
    return _is_enough(plan, passed_by_gives_l(plan, end, hour, through=through))


def passed_by_gives_l(plan: SuppliedPlan, end: StretchEnd, hour: float, *, through: int) -> float:
    """Return what can be had at water that the plan passes by."""
    return _gives_l(plan, end, hour, taken_through(plan, through), drawn_l=0.0)


def _is_enough(plan: SuppliedPlan, there_l: float) -> bool:
    return there_l >= LEAST_THERE_L_A_HEAD * plan.trip.party.people


def water_behind(plan: SuppliedPlan, index: int) -> int:
    """Return the index of the last end up to ``index`` that a party can go back to for water.

    A source that was closed when the party came by, or that gives too little after what the plan
    took there, is none; the start always is one.
    """
    for behind in range(index, 0, -1):
        if has_water_at(plan, behind, plan.arrives(behind).hour, through=behind):
            return behind
    return 0


def refilled(plan: SuppliedPlan) -> SuppliedPlan:
    """Return the plan with no more carried than what is left and what the sources give.

    Wherever there is water the party fills up to the plan's litres again, if the sources give that
    much. At the start it has what the plan has.
    """
    carried_l = list(plan.carried_l)
    taken_l: dict[str, float] = {}
    for index in range(1, plan.last):
        taken_l, lacks_l = after_stay(plan, index, taken_l)
        gives = gives_l(plan, index, plan.arrives(index).hour, taken_l)
        if plan.journey.itinerary.stays[index - 1].is_closed:
            gives = 0.0
        if math.isfinite(gives):
            left_l = max(0.0, left_of(plan.stretch(index - 1, carried_l[index - 1])) - lacks_l)
            carried_l[index] = min(carried_l[index], left_l + gives)
            for source in wet_sources(plan, plan.ends[index]):
                drawn_l = max(0.0, carried_l[index] - left_l)
                taken_l[source.id] = taken_l.get(source.id, 0.0) + drawn_l
    return replace(plan, carried_l=tuple(carried_l), drawn_l=plan.all_drawn_l())


def low_stretches(
    plan: SuppliedPlan, first: int, arriving_l: float, hour: float
) -> tuple[DryStretch, ...]:
    """Return the stretches that begin with less than planned, until one does not.

    Parameters
    ----------
    plan
        Whose dry sources are spoilt.
    first
        Index of the stretch at whose beginning the party arrives with too little.
    arriving_l
        What it has there.
    hour
        When it arrives there; further on it comes when the plan comes.
    """
    low = []
    taken_l = taken_through(plan, first - 1)
    for index in range(first, plan.last):
        taken_l, lacks_l = after_stay(plan, index, taken_l)
        gives = gives_l(plan, index, hour, taken_l)
        leaving_l = max(0.0, arriving_l - lacks_l) + gives
        if leaving_l >= plan.carried_l[index]:
            break
        for source in wet_sources(plan, plan.ends[index]):
            taken_l[source.id] = taken_l.get(source.id, 0.0) + gives
        stretch = plan.stretch(index, leaving_l)
        low.append(stretch)
        arriving_l, hour = left_of(stretch), plan.arrives(index + 1).hour
    return tuple(low)
