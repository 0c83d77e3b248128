"""What must be carried so that any one uncertain source may be dry, and the fills that carry it.

On finding it dry the party goes on to the next water or, where `if_dry` lets it, back to the last,
whichever asks for less, on the bare ration and with the margin of turning back; the reserve may be
used. Up to the dry source it lives on the full ration. A fill problem is then made to ask for so
much.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from longdry.computing.clock.day_rules import Moment
from longdry.computing.setbacks.dry import any_rain_fed, failing_with
from longdry.computing.setbacks.found_dry import (
    FoundDry,
    WaysFromDry,
    dry_groups,
    found_dry,
    found_thin,
    group_at,
    thin_stops,
    ways_from,
)
from longdry.computing.setbacks.giving import gives_after_stay_l
from longdry.computing.setbacks.supplied import SuppliedPlan, loaded_full
from longdry.computing.setbacks.ways import with_margin
from longdry.computing.stretches.journey import Journey
from longdry.model.plan.setbacks import DryProof
from longdry.model.water.passes import WaterPass
from longdry.model.water.source import WaterSource
from longdry.model.words import IfDry, Ration
from longdry.units import TOLERANCE_L


def uncertain_ids(plan: SuppliedPlan) -> frozenset[str]:
    """Return the ids of the sources that are not sure at one of their stops at least."""
    waters = (water for end in plan.ends[1:-1] for water in end.waters)
    return frozenset(water.source.id for water in waters if not water.judgement.is_sure)


def safe_floor(
    journey: Journey,
    passes: Sequence[WaterPass] = (),
    carried_l: Sequence[float] | None = None,
) -> tuple[float, ...]:
    """Return the litres on leaving each end so that any one uncertain source may be dry.

    On, or back, by the trip's `if_dry`; 0 where none is asked. What the containers hold is not
    asked here: an amount beyond it cannot be kept.

    Parameters
    ----------
    passes
        All of the route: water that counts and is passed by may be gone on or back to.
    carried_l
        What is carried on leaving each end without regard to this: it decides what is left in
        sources with a limit, as does what is carried with regard to it. None: a limited source
        that was called at is empty.
    """
    plan = loaded_full(journey, passes)
    if carried_l is None:
        return _floor_of(replace(plan, is_drawn_known=False))
    floor = _floor_of(replace(plan, carried_l=tuple(carried_l)))
    if all(source.limit_l is None for source in plan.sources()):
        return floor
    most_l = (journey.available_l(end) for end in journey.ends[:-1])
    raised_l = tuple(map(min, map(max, carried_l, floor), most_l))
    return tuple(map(max, floor, _floor_of(replace(plan, carried_l=raised_l))))


def _floor_of(plan: SuppliedPlan) -> tuple[float, ...]:
    return _least_l(plan, _asked_by_source(plan, uncertain_ids(plan)))


def proof_against_one_dry(
    plan: SuppliedPlan, uncertain: Collection[str], *, can_hold_l: float
) -> DryProof:
    """Return the least litres on leaving each end, and what the plan lacks of them.

    Parameters
    ----------
    uncertain
        Ids of the sources that may be dry; others are taken to have water.
    can_hold_l
        What the party can carry at most. At the start of the route, where the plan leaves with
        less because the trip says so, that is the most.

    Examples
    --------
    Nothing uncertain, nothing asked: every ``least_l`` is 0 and the proof holds.
    """
    asked = _asked_by_source(plan, uncertain)
    breaks = [
        source
        for source in plan.sources()
        for by_end in [asked.get(source.id, {})]
        if any(litres > _most_l(plan, end, can_hold_l) for end, litres in by_end.items())
    ]
    least_l = _least_l(plan, asked)
    extra_l = (max(0.0, least - has) for least, has in zip(least_l, plan.carried_l, strict=True))
    return DryProof(least_l, tuple(extra_l), tuple(breaks))


def _least_l(plan: SuppliedPlan, asked: Mapping[str, Mapping[int, float]]) -> tuple[float, ...]:
    least_l = [0.0] * plan.last
    for by_end in asked.values():
        for end, litres in by_end.items():
            least_l[end] = max(least_l[end], litres)
    return tuple(least_l)


def _asked_by_source(
    plan: SuppliedPlan, uncertain: Collection[str]
) -> Mapping[str, Mapping[int, float]]:
    """Return what each uncertain source asks for on leaving the ends before it."""
    if plan.trip.policy.if_dry is IfDry.NONE:
        return {}
    return {
        source.id: _asked_l(plan, source) for source in plan.sources() if source.id in uncertain
    }


class LeftThere(NamedTuple):
    """What must be left at a stop so that any one of its uncertain sources may be dry."""

    with_margin_l: float
    bare_l: float
    """The same without any margin."""


def left_to_bear_dry(plan: SuppliedPlan, stop: int, arrives: Moment) -> LeftThere:
    """Return what must be left on coming to a stop: on, or back, by the trip's `if_dry`.

    What is always carried is in it; 0 where nothing there is uncertain, or nothing is asked.
    """
    if plan.trip.policy.if_dry is IfDry.NONE:
        return LeftThere(0.0, 0.0)
    ways = [
        way
        for source in (water.source for water in plan.ends[stop].waters)
        if source.id in uncertain_ids(plan)
        for way in _ways_where_dry(plan, source, stop, arrives)
    ]
    told, bare = (
        max((_of_ways(plan, way, margin=margin) for way in ways), default=0.0)
        for margin in (True, False)
    )
    return LeftThere(told, bare)


def _ways_where_dry(
    plan: SuppliedPlan, source: WaterSource, stop: int, arrives: Moment
) -> Iterator[WaysFromDry]:
    ids = failing_with(plan, {source.id})
    gone, sure_only = plan.with_spoilt(ids), any_rain_fed(plan, {source.id})
    for group in dry_groups(plan, ids):
        if group.stops[0] == stop:
            found = found_dry(plan, group, 0.0, arrives)
            called = (one for one in found if one.stop in group.calls)
            yield from (ways_from(gone, group, one, sure_only=sure_only) for one in called)
    if stop in thin_stops(plan, gone, ids) and not _gives_as_drawn(plan, gone, stop):
        there_l = found_thin(gone, stop, 0.0).there_l
        there = FoundDry(stop, arrives, 0.0, (), there_l)
        yield ways_from(gone, group_at(stop), there, sure_only=sure_only)


def _asked_l(plan: SuppliedPlan, source: WaterSource) -> Mapping[int, float]:
    asked: dict[int, float] = defaultdict(float)
    ids = failing_with(plan, {source.id})
    gone, sure_only = plan.with_spoilt(ids), any_rain_fed(plan, {source.id})
    for group in dry_groups(plan, ids):
        found = found_dry(plan, group, _full_l(plan, group.behind))
        called = [one for one in found if one.stop in group.calls]
        ways = [ways_from(gone, group, one, sure_only=sure_only) for one in called]
        asked[group.behind] = max(asked[group.behind], *(_of_ways(plan, way) for way in ways))
    for stop in thin_stops(plan, gone, ids):
        if _gives_as_drawn(plan, gone, stop):
            continue
        there = found_thin(gone, stop, _full_l(plan, stop - 1))
        way = ways_from(gone, group_at(stop), there, sure_only=sure_only)
        asked[stop - 1] = max(asked[stop - 1], _of_ways(plan, way))
    return asked


def _gives_as_drawn(plan: SuppliedPlan, gone: SuppliedPlan, stop: int) -> bool:
    """Whether the water that is left at a stop gives all that the plan draws there."""
    return plan.is_drawn_known and gives_after_stay_l(gone, stop) >= plan.drawn_at(stop)


def _full_l(plan: SuppliedPlan, index: int) -> float:
    needs = plan.stretch(index).needs
    return next(one.need.total_l for one in needs if one.ration is Ration.FULL)


def _of_ways(plan: SuppliedPlan, there: WaysFromDry, *, margin: bool = True) -> float:
    """Return what a way asks for on leaving the water before, less what other water gives here.

    It gives nothing to a way for which the containers are too small.
    """
    on_l, back_l = there.on.way.bare_l, there.back.way.bare_l
    if margin:
        on_l, back_l = (with_margin(litres, plan.trip) for litres in (on_l, back_l))
    only_on = plan.trip.policy.if_dry is IfDry.ON
    way_l = on_l if only_on else min(on_l, back_l)
    always_l = plan.demand.always_l
    can_fill = way_l + always_l <= plan.journey.capacity_l + TOLERANCE_L
    there_l = there.found.there_l if can_fill else 0.0
    return there.found.used_l + max(0.0, way_l - there_l) + always_l


def _most_l(plan: SuppliedPlan, index: int, can_hold_l: float) -> float:
    if index > 0:
        return can_hold_l + TOLERANCE_L
    return min(plan.journey.stretches()[0].available_l, can_hold_l) + TOLERANCE_L
