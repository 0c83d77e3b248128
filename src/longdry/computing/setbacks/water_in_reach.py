"""Which water a party in need makes for: the next that gives any, onward or back.

A source that is closed when the party comes, or gives less than a litre a head, is passed over. The
party does not know that beforehand: it calls there in vain, and goes on to the source after it.

Also here:

- what a party that comes to a limited source with less than planned can leave it with.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Collection
from dataclasses import replace
from typing import NamedTuple

from longdry.computing.clock.moving_hours import Moment
from longdry.computing.setbacks.supplied import SuppliedPlan
from longdry.computing.setbacks.ways import Way, need_on, planned_ration, way_between
from longdry.computing.water.opening import has_hours, is_open_at
from longdry.model.plan.stretch import DryStretch, StretchEnd
from longdry.model.water.source import WaterSource


class Reached(NamedTuple):
    """An end of a stretch, and the way to it."""

    place: int
    """Its index in the plan."""
    way: Way


def water_ahead(
    plan: SuppliedPlan, now: Moment, here: StretchEnd, ahead: int, dry_ids: Collection[str]
) -> Reached:
    """Return the first end from ``ahead`` on where there is water; the end of the route is one.

    Parameters
    ----------
    now
        When the party leaves ``here``.
    dry_ids
        Ids of the sources that are dry at every pass; the party has called at that of ``here``.
    """
    vain: list[StretchEnd] = []
    found_dry = {here.water.source.id} if here.water else set()
    for index in range(ahead, len(plan.ends) - 1):
        end = plan.ends[index]
        source_id = end.water.source.id if end.water else ""
        if source_id in found_dry:
            continue
        if source_id not in dry_ids:
            way = way_between(plan, now, here, end, vain)
            if gives_water_at(plan, index, way.arrived.hour, taken_through=index - 1):
                return Reached(index, way)
        else:
            found_dry.add(source_id)
        vain.append(end)
    last = len(plan.ends) - 1
    return Reached(last, way_between(plan, now, here, plan.ends[last], vain))


def water_back(plan: SuppliedPlan, now: Moment, here: StretchEnd, behind: int) -> Reached:
    """Return the last end up to ``behind`` where there is water again; the start is one.

    It gave water when the party came by, and is open when the party is back.
    """
    vain: list[StretchEnd] = []
    for index in range(behind, 0, -1):
        end = plan.ends[index]
        way = way_between(plan, now, here, end, vain)
        if water_behind(plan, index) == index and _is_open(end, way.arrived.hour):
            return Reached(index, way)
        vain.append(end)
    return Reached(0, way_between(plan, now, here, plan.ends[0], vain))


def _is_open(end: StretchEnd, hour: float) -> bool:
    return end.water is None or is_open_at(end.water.source, hour)


LEAST_THERE_L_A_HEAD = 1.0
"""A source that gives less is passed over by a party in need. Common practice, no source."""


def refilled(plan: SuppliedPlan) -> SuppliedPlan:
    """Return the plan with no more on board than what is left and what the sources give.

    Wherever there is water the party fills up to the plan's litres again, if the source gives
    that much: at all its passes together, in the minutes of a fill, and nothing where it is closed
    at the hour of arrival. At the start it has what the plan has.
    """
    on_board_l = list(plan.on_board_l)
    taken_l: dict[str, float] = defaultdict(float)
    for index in range(1, len(on_board_l)):
        water = plan.ends[index].water
        gives_l = _gives_l(plan, index)
        if water and math.isfinite(gives_l):
            left_l = _left_l(plan, index - 1, on_board_l[index - 1])
            still_l = max(0.0, gives_l - taken_l[water.source.id])
            on_board_l[index] = min(on_board_l[index], left_l + still_l)
            taken_l[water.source.id] += max(0.0, on_board_l[index] - left_l)
    return replace(plan, on_board_l=tuple(on_board_l))


def low_stretches(plan: SuppliedPlan, first: int, arriving_l: float) -> tuple[DryStretch, ...]:
    """Return the stretches that begin with less than planned, until one does not.

    Parameters
    ----------
    first
        Index of the stretch at whose beginning the party arrives with too little.
    arriving_l
        What it has there.
    """
    low = []
    taken_l: dict[str, float] = {}
    for index in range(first, len(plan.on_board_l)):
        water = plan.ends[index].water
        gives_l = _gives_l(plan, index)
        if water:
            if water.source.id not in taken_l:
                taken_l[water.source.id] = _taken_l(plan, water.source, first - 1)
            gives_l = max(0.0, gives_l - taken_l[water.source.id])
            taken_l[water.source.id] += gives_l
        leaving_l = arriving_l + gives_l
        if leaving_l >= plan.on_board_l[index]:
            break
        low.append(plan.stretch(index, leaving_l))
        arriving_l = _left_l(plan, index, leaving_l)
    return tuple(low)


def _taken_l(plan: SuppliedPlan, source: WaterSource, through: int) -> float:
    """Return the litres of a limit that the plan takes up to an end, that one included."""
    if source.limit_l is None:
        return 0.0
    taken_l = 0.0
    for index in plan.ends_at({source.id}):
        if index <= through:
            left_l = _left_of(plan.stretch(index - 1), plan.on_board_l[index - 1])
            taken_l += max(0.0, plan.on_board_l[index] - left_l)
    return taken_l


def _left_l(plan: SuppliedPlan, index: int, on_board_l: float) -> float:
    return _left_of(plan.stretch(index, on_board_l), on_board_l)


def _left_of(stretch: DryStretch, on_board_l: float) -> float:
    return max(0.0, on_board_l - need_on(stretch.needs, planned_ration(stretch)))


def gives_without_end(end: StretchEnd) -> bool:
    """Whether there is water without limit, at any hour: everybody fills up there.

    So it is at the end of the route, where no stretch begins.
    """
    source = end.water.source if end.water else None
    return source is None or (
        not has_hours(source) and source.limit_l is None and source.flow_l_per_min is None
    )


def _gives_l(plan: SuppliedPlan, index: int, hour: float | None = None) -> float:
    """Return what can be had at one pass; what its other passes take of a limit is not known.

    Without an hour, at that at which the plan comes there.
    """
    water = plan.ends[index].water
    if water is None or gives_without_end(plan.ends[index]):
        return math.inf
    source = water.source
    if has_hours(source):
        came = arrival_hour(plan, index) if hour is None else hour
        if not is_open_at(source, came):
            return 0.0
    minutes = plan.going.trip.pace.fill_minutes
    known = [source.limit_l]
    if source.flow_l_per_min is not None and (minutes > 0.0 or source.flow_l_per_min == 0.0):
        known.append(source.flow_l_per_min * minutes)
    return min((litres for litres in known if litres is not None), default=math.inf)


def water_behind(plan: SuppliedPlan, index: int) -> int:
    """Return the index of the last end up to ``index`` that a party can go back to for water.

    A source that was closed when the party came by, or that gives less than a litre a head after
    what the plan took there (common practice, no source), is none; the start always is one.
    """
    for behind in range(index, 0, -1):
        hour = arrival_hour(plan, behind)
        if gives_water_at(plan, behind, hour, taken_through=behind):
            return behind
    return 0


def gives_water_at(plan: SuppliedPlan, index: int, hour: float, *, taken_through: int) -> bool:
    """Whether a party finds a litre a head at an end, or more.

    Parameters
    ----------
    hour
        When it comes there, from the midnight before departure on.
    taken_through
        What the plan takes of a limit up to this end is gone.
    """
    water = plan.ends[index].water
    if water is None or gives_without_end(plan.ends[index]):
        return True
    there_l = _gives_l(plan, index, hour)
    if water.source.limit_l is not None:
        taken_l = _taken_l(plan, water.source, taken_through)
        there_l = min(there_l, water.source.limit_l - taken_l)
    return there_l >= LEAST_THERE_L_A_HEAD * plan.going.trip.party.people


def arrival_hour(plan: SuppliedPlan, index: int) -> float:
    """Return when the plan comes to an end but the start, from the midnight before departure."""
    return plan.going.clock.depart.hour + plan.stretch(index - 1).span.end_h


def without_sources(plan: SuppliedPlan, dry_ids: Collection[str]) -> SuppliedPlan:
    """Return the plan of what is left of the stops; the verdicts are by litres alone."""
    kept = [
        index
        for index, end in enumerate(plan.ends)
        if end.water is None or end.water.source.id not in dry_ids
    ]
    return SuppliedPlan(
        plan.going,
        tuple(plan.ends[index] for index in kept),
        tuple(plan.on_board_l[index] for index in kept[:-1]),
        back=plan.back,
    )
