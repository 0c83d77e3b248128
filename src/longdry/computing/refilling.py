"""What a party that comes to a limited source with less than planned can leave it with."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Collection
from dataclasses import replace

from longdry.computing.loaded_plan import LoadedPlan
from longdry.computing.opening import has_hours, is_open_at
from longdry.computing.ways_out import need_on, planned_ration
from longdry.model.dry_stretch import DryStretch, StretchEnd

_LEAST_LEFT_L_A_HEAD = 1.0


def refilled(plan: LoadedPlan) -> LoadedPlan:
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


def low_stretches(plan: LoadedPlan, first: int, arriving_l: float) -> tuple[DryStretch, ...]:
    """Return the stretches that begin with less than planned, until one does not.

    Parameters
    ----------
    first
        Index of the stretch at whose beginning the party arrives with too little.
    arriving_l
        What it has there.
    """
    low = []
    taken_l = _taken_before(plan, first)
    for index in range(first, len(plan.on_board_l)):
        water = plan.ends[index].water
        gives_l = _gives_l(plan, index)
        if water:
            gives_l = max(0.0, gives_l - taken_l[water.source.id])
            taken_l[water.source.id] += gives_l
        leaving_l = arriving_l + gives_l
        if leaving_l >= plan.on_board_l[index]:
            break
        low.append(plan.stretch(index, leaving_l))
        arriving_l = _left_l(plan, index, leaving_l)
    return tuple(low)


def _taken_before(plan: LoadedPlan, first: int) -> dict[str, float]:
    """Return the litres that the plan takes from each limited source before a stretch."""
    taken_l: dict[str, float] = defaultdict(float)
    for index in range(1, first):
        water = plan.ends[index].water
        if water and water.source.limit_l is not None:
            left_l = _left_l(plan, index - 1, plan.on_board_l[index - 1])
            taken_l[water.source.id] += max(0.0, plan.on_board_l[index] - left_l)
    return taken_l


def _left_l(plan: LoadedPlan, index: int, on_board_l: float) -> float:
    stretch = plan.stretch(index, on_board_l)
    return max(0.0, on_board_l - need_on(stretch.needs, planned_ration(stretch)))


def gives_without_end(end: StretchEnd) -> bool:
    """Whether there is water without limit, at any hour: everybody fills up there.

    So it is at the end of the route, where no stretch begins.
    """
    source = end.water.source if end.water else None
    return source is None or (
        not has_hours(source) and source.limit_l is None and source.flow_l_per_min is None
    )


def _gives_l(plan: LoadedPlan, index: int) -> float:
    """Return what can be had at one pass; what its other passes take of a limit is not known."""
    water = plan.ends[index].water
    if water is None or gives_without_end(plan.ends[index]):
        return math.inf
    source = water.source
    if has_hours(source) and not is_open_at(source, _arrival_hour(plan, index)):
        return 0.0
    minutes = plan.going.trip.pace.fill_minutes
    known = [source.limit_l]
    if source.flow_l_per_min is not None and (minutes > 0.0 or source.flow_l_per_min == 0.0):
        known.append(source.flow_l_per_min * minutes)
    return min((litres for litres in known if litres is not None), default=math.inf)


def water_behind(plan: LoadedPlan, index: int) -> int:
    """Return the index of the last end up to ``index`` that a party can go back to for water.

    A source that was closed when the party came by, or that the plan has left with less than a
    litre a head (common practice, no source), is none; the start always is one.
    """
    least_l = _LEAST_LEFT_L_A_HEAD * plan.going.trip.party.people
    for behind in range(index, 0, -1):
        if _left_there_l(plan, behind) >= least_l:
            return behind
    return 0


def _left_there_l(plan: LoadedPlan, index: int) -> float:
    water = plan.ends[index].water
    if water is None or _gives_l(plan, index) == 0.0:
        return 0.0
    if water.source.limit_l is None:
        return math.inf
    return water.source.limit_l - _taken_before(plan, index + 1)[water.source.id]


def _arrival_hour(plan: LoadedPlan, index: int) -> float:
    return plan.going.clock.depart.hour + plan.stretch(index - 1).span.end_h


def without_sources(plan: LoadedPlan, dry_ids: Collection[str]) -> LoadedPlan:
    """Return the plan of what is left of the stops; the verdicts are by litres alone."""
    kept = [
        index
        for index, end in enumerate(plan.ends)
        if end.water is None or end.water.source.id not in dry_ids
    ]
    return LoadedPlan(
        plan.going,
        tuple(plan.ends[index] for index in kept),
        tuple(plan.on_board_l[index] for index in kept[:-1]),
        back=plan.back,
    )
