"""Each source dry, one at a time, any two neighbours, and all that rain fills together.

A party that knows beforehand that a source is dry does not call there: its stretches are those of
the plan made without it, the other calls and their minutes kept.
"""

from __future__ import annotations

import itertools
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from longdry.computing.clock.camps import camps_at_calls
from longdry.computing.clock.clock import Call, Clock, camped_at
from longdry.computing.needs.drinking import moving_by_waking_day
from longdry.computing.setbacks.found_dry import (
    DryGroup,
    WaysFromDry,
    as_one_travel,
    at_last_call,
    dry_groups,
    found_dry,
    found_thin,
    group_at,
    left_at,
    onward,
    thin_stops,
    ways_from,
)
from longdry.computing.setbacks.giving import gives_without_end, low_stretches
from longdry.computing.setbacks.supplied import SuppliedPlan, left_of, used_of
from longdry.computing.setbacks.sure_water import is_rain_fed, is_sure
from longdry.computing.setbacks.water_in_reach import Reached
from longdry.computing.setbacks.ways import way_between, way_out
from longdry.computing.stretches.verdicts import (
    fullest_that_does,
    worst_verdict,
)
from longdry.model.plan.setbacks import DryPass, WhatIf, WhatIfKind
from longdry.model.plan.stretch import DryStretch, worst_first_key
from longdry.model.plan.travel import TravelTime
from longdry.model.trip.what_if import Drought, DrySource
from longdry.model.water.source import WaterSource
from longdry.units import HOURS_PER_DAY

_DAYS_BEYOND = 2
"""On foot and by bicycle what is drunk on a stretch hangs on the hours of its days; what is done so
many days after or before it changes none of it."""


@dataclass(frozen=True, slots=True, eq=False)
class _Dry:
    """Some sources dry at once."""

    plan: SuppliedPlan
    gone: SuppliedPlan
    """The same with these sources spoilt, and what fails with them."""
    ids: frozenset[str]
    """Of all these."""
    sources: tuple[WaterSource, ...]
    kind: WhatIfKind
    words: str
    sure_only: bool
    """Whether only such water counts ahead as holds where rain fails."""


def dry_sources(plan: SuppliedPlan) -> tuple[WhatIf, ...]:
    """Return what becomes of the plan with each source dry, then with each two neighbouring stops.

    Examples
    --------
    A route without sources has none that could be dry.
    """
    singles = [(source,) for source in plan.sources()]
    return tuple(dry_together(plan, dry) for dry in [*singles, *_neighbours(plan)])


def _neighbours(plan: SuppliedPlan) -> list[tuple[WaterSource, ...]]:
    """Return all the sources of each two neighbouring stops that do not share one."""
    found: dict[frozenset[str], tuple[WaterSource, ...]] = {}
    for one, other in itertools.pairwise(plan.ends[1:-1]):
        waters = (*one.waters, *other.waters)
        sources = {water.source.id: water.source for water in waters}
        if len(sources) == len(waters):
            found.setdefault(frozenset(sources), tuple(sources.values()))
    return list(found.values())


def rain_fed_sources(plan: SuppliedPlan) -> tuple[WaterSource, ...]:
    """Return the sources that rain alone fills, in the order of their first passes."""
    waters = (water for end in plan.ends[1:-1] for water in end.waters if is_rain_fed(water))
    return tuple({water.source.id: water.source for water in waters}.values())


def drought(plan: SuppliedPlan) -> WhatIf:
    """Return what becomes of the plan when all that rain fills is dry at once."""
    sources = rain_fed_sources(plan)
    ids = frozenset(source.id for source in sources)
    gone = plan.with_spoilt(ids)
    return _worst_of(
        _Dry(plan, gone, ids, sources, WhatIfKind.DROUGHT, Drought().words, sure_only=False)
    )


def dry_together(plan: SuppliedPlan, sources: Sequence[WaterSource]) -> WhatIf:
    """Return what becomes of the plan when ``sources`` are dry at once, each one of its stops.

    Raises
    ------
    ValueError
        Where the plan calls at none of them.
    """
    ids = {source.id for source in sources}
    if not any(plan.stops_at(one) for one in ids):
        raise ValueError("the plan calls at none of the sources")
    words = " and ".join(DrySource(source.name).words for source in sources)
    kind, sure_only = WhatIfKind.DRY_SOURCE, any_rain_fed(plan, ids)
    failing = failing_with(plan, ids)
    gone = plan.with_spoilt(failing)
    return _worst_of(_Dry(plan, gone, failing, tuple(sources), kind, words, sure_only))


def failing_with(plan: SuppliedPlan, ids: Collection[str]) -> frozenset[str]:
    """Return the ids of dry sources, and of water beside a dry rain-fed one that may fail too."""
    failing = set(ids)
    for stop in {stop for one in ids for stop in plan.stops_at(one)}:
        waters = plan.ends[stop].waters
        if any(water.source.id in ids and is_rain_fed(water) for water in waters):
            on = plan.journey.date_of(plan.arrives(stop).hour)
            failing |= {water.source.id for water in waters if not is_sure(water.source, on)}
    return frozenset(failing)


def any_rain_fed(plan: SuppliedPlan, ids: Collection[str]) -> bool:
    """Whether rain alone fills one of some sources."""
    waters = (
        water
        for one in ids
        for index in plan.stops_at(one)
        for water in plan.ends[index].waters
        if water.source.id == one
    )
    return any(is_rain_fed(water) for water in waters)


def _worst_of(dry: _Dry) -> WhatIf:
    """Return the worst of what happens along the route, with every pass of it."""
    groups = dry_groups(dry.plan, dry.ids)
    thin = _thin(dry)
    low = [stretch for one in thin for stretch in one.low]
    rest = _with_less(dry, low)
    if not groups and not thin:
        return rest
    known = known_stretches(dry.plan, groups) if groups else {}
    ways = [(group, _ways(dry, group)) for group in groups]
    passes = (
        *(_dry_pass(dry, group, one) for group, some in ways for one in some),
        *(one.way for one in thin),
    )
    found = [_what_if(dry, group, some, known[group.behind], low, passes) for group, some in ways]
    found += [
        replace(rest, go_on=one.way.go_on, go_back=one.way.go_back, passes=passes) for one in thin
    ]
    worst = min(found, key=_harder_first)
    return replace(
        worst,
        before=worst_verdict([rest.before, *(one.before for one in found)]),
        verdict=worst_verdict([rest.verdict, *(one.verdict for one in found)]),
    )


def _harder_first(found: WhatIf) -> tuple[bool, tuple[int, float, float, float]]:
    return (not found.leaves_neither, worst_first_key(found.worst))


@dataclass(frozen=True, slots=True, eq=False)
class _Thin:
    """A stop that keeps some of its waters, which give less than the plan draws there."""

    way: DryPass
    low: tuple[DryStretch, ...]
    """The stretches that begin with less."""


def _thin(dry: _Dry) -> list[_Thin]:
    found = []
    for stop in thin_stops(dry.plan, dry.gone, dry.ids):
        behind = dry.plan.stretch(stop - 1)
        there = found_thin(dry.gone, stop, used_of(behind))
        low = low_stretches(dry.gone, stop, left_of(behind), there.now.hour)
        if low:
            group = group_at(stop)
            ways = ways_from(dry.gone, group, there, sure_only=dry.sure_only)
            found.append(_Thin(_dry_pass(dry, group, ways), low))
    return found


def _with_less(dry: _Dry, low: Sequence[DryStretch]) -> WhatIf:
    """Return what becomes of a plan none of whose stops is without water.

    Of the stretches to and from stops at the dry sources, and of those that begin with less.
    """
    near = {stop for one in dry.ids for stop in dry.plan.stops_at(one)}
    around = {index for stop in near for index in (stop - 1, stop)}
    touched = around | {stretch.number - 1 for stretch in low}
    planned = map(dry.plan.stretch, sorted(touched) or range(dry.plan.last))
    before = min(planned, key=worst_first_key)
    worst = min([before, *low], key=worst_first_key)
    verdict = worst_verdict([before.verdict, worst.verdict])
    return WhatIf(dry.kind, dry.words, dry.sources, before.verdict, verdict, worst)


def _ways(dry: _Dry, group: DryGroup) -> list[WaysFromDry]:
    """Return the ways out at every stop of a group."""
    found = found_dry(dry.plan, group, used_of(dry.plan.stretch(group.behind)))
    return [ways_from(dry.gone, group, one, sure_only=dry.sure_only) for one in found]


def _dry_pass(dry: _Dry, group: DryGroup, there: WaysFromDry) -> DryPass:
    end = dry.plan.ends[there.found.stop]
    left_l, trip = left_at(dry.plan, group, there.found), dry.plan.trip
    return DryPass(
        km=end.km,
        label=end.label,
        go_on=way_out(there.on.way, there.on.end, left_l, trip),
        go_back=way_out(there.back.way, there.back.end, left_l, trip),
    )


def _what_if(
    dry: _Dry,
    group: DryGroup,
    ways: Sequence[WaysFromDry],
    known: DryStretch,
    low: Sequence[DryStretch],
    passes: tuple[DryPass, ...],
) -> WhatIf:
    plan = dry.plan
    last = at_last_call(group, tuple(one.found for one in ways))
    there = next(one for one in ways if one.found is last)
    to_ahead, _ = onward(plan, last.now, last.stop, group.ahead)
    worst = plan.journey.off_plan().judged(
        group.behind + 1,
        plan.ends[group.behind],
        plan.ends[group.ahead],
        as_one_travel((*last.travels, to_ahead)),
        carried_l=plan.carried_l[group.behind],
    )
    planned = map(plan.stretch, range(group.behind, group.ahead))
    before = min(planned, key=worst_first_key)
    beyond = [*low, *_low_beyond_ahead(dry, group, there)]
    later = min(beyond, key=worst_first_key, default=None)
    verdicts = [before.verdict, worst.verdict, *([later.verdict] if later else [])]
    here = _dry_pass(dry, group, there)
    return WhatIf(
        kind=dry.kind,
        words=dry.words,
        sources=dry.sources,
        before=before.verdict,
        verdict=worst_verdict(verdicts),
        worst=worst,
        known_dry=known,
        go_on=here.go_on,
        go_back=here.go_back,
        later=later,
        passes=passes,
    )


def _low_beyond_ahead(dry: _Dry, group: DryGroup, there: WaysFromDry) -> list[DryStretch]:
    """Return the stretches that begin with less than planned where the party went on.

    Such may begin at the next stop, and at the one that it goes on to.
    """
    found, ends = there.found, dry.plan.ends
    reached = [there.on]
    if there.on.place != group.ahead and not gives_without_end(dry.gone, group.ahead):
        way = way_between(dry.gone, found.now, ends[found.stop], ends[group.ahead])
        reached.append(Reached(ends[group.ahead], group.ahead, way))
    left_l = left_at(dry.plan, group, there.found)
    return [stretch for on in reached for stretch in _low_beyond(dry, on, left_l)]


def _low_beyond(dry: _Dry, on: Reached, left_l: float) -> Sequence[DryStretch]:
    ration = fullest_that_does(on.way.litres, left_l)
    if ration is None or on.place is None or gives_without_end(dry.gone, on.place):
        return ()
    arriving_l = max(0.0, left_l - on.way.litres[ration]) + dry.plan.demand.always_l
    return low_stretches(dry.gone, on.place, arriving_l, on.way.arrived.hour)


@dataclass(frozen=True, slots=True, eq=False)
class _CallsLeft:
    """What is left of the calls."""

    clock: Clock
    stops: tuple[int, ...]
    """Indices of the ends."""
    calls: tuple[Call, ...]
    """At them."""


def known_stretches(plan: SuppliedPlan, groups: Sequence[DryGroup]) -> Mapping[int, DryStretch]:
    """Return the stretch past each group of dry stops, by the index of the end behind it."""
    left = _left(plan, groups)
    position = _first_that_differs(plan, left, groups[0].behind)
    demand = plan.demand
    by_hours = demand.hours.l_per_moving_h > 0.0
    walked = _walked(plan, left, position, groups[-1].ahead, _DAYS_BEYOND if by_hours else 0)
    journey = plan.journey
    if by_hours:
        before = _of_the_days_before(plan, position)
        moving_h = moving_by_waking_day([*before, *walked.values()], demand.hours.start_hour)
        hours = replace(demand.hours, moving_h=moving_h)
        journey = replace(journey, demand=replace(demand, hours=hours))
    return {
        group.behind: journey.judged(
            group.behind + 1,
            plan.ends[group.behind],
            plan.ends[group.ahead],
            walked[group.ahead],
            carried_l=plan.carried_l[group.behind],
        )
        for group in groups
    }


def _left(plan: SuppliedPlan, groups: Sequence[DryGroup]) -> _CallsLeft:
    dry = {stop for group in groups for stop in group.stops}
    stops = tuple(index for index in range(1, plan.last) if index not in dry)
    calls = tuple(plan.journey.calls[index - 1] for index in stops)
    clock = plan.journey.clock
    camps = plan.journey.prepared.camps
    if camps:
        bare = [call._replace(pinned_nights=0, dry_nights=0) for call in calls]
        calls, away = camps_at_calls(camps, bare)
        clock = replace(clock, camps=away)
    return _CallsLeft(clock, stops, calls)


def _first_that_differs(plan: SuppliedPlan, left: _CallsLeft, behind: int) -> int:
    """Return the position of the first stop that is left otherwise than planned, or that behind.

    Whether a party camps at a call may hang on what it has to go to the end.
    """
    near_day_end, kept = plan.stops_near_day_end(), camped_at(left.calls)
    for position, stop in enumerate(left.stops):
        if stop > behind:
            return position
        call, stay = left.calls[position], plan.journey.itinerary.stays[stop - 1]
        if plan.journey.prepared.camps and call != plan.call(stop):
            return position
        if stop in near_day_end:
            came = stay.arrives.at(stay.arrives.hour - stay.wait_h)
            if left.clock.stay_at(came, left.calls, position, kept).leaves != stay.leaves:
                return position
    return len(left.stops)


def _of_the_days_before(plan: SuppliedPlan, position: int) -> list[TravelTime]:
    travels = plan.journey.itinerary.travels
    from_h = travels[position].begin_h - _DAYS_BEYOND * HOURS_PER_DAY
    return [travel for travel in travels[:position] if travel.end_h > from_h]


def _walked(
    plan: SuppliedPlan, left: _CallsLeft, position: int, through: int, days_beyond: int
) -> dict[int, TravelTime]:
    """Go on from the stop before a position, and return the ways to the ends by their indices.

    Parameters
    ----------
    through
        Index of the last end that is asked for.
    days_beyond
        Days beyond it that are asked for too.
    """
    travels: dict[int, TravelTime] = {}
    here = left.calls[position - 1] if position else plan.call(0)
    now = plan.leaves(left.stops[position - 1]) if position else plan.leaves(0)
    enough_day: int | None = None
    legs = left.clock.from_call_to_call(now, here, left.calls[position:])
    for stop, call, (travel, stay) in zip(
        left.stops[position:], left.calls[position:], legs, strict=False
    ):
        travels[stop] = travel
        here, now = call, stay.leaves
        if stop >= through and enough_day is None:
            enough_day = stay.arrives.day + days_beyond
        if enough_day is not None and now.day >= enough_day:
            return travels
    travels[plan.last], _ = left.clock.onward(now, here, Call(left.clock.length_km))
    return travels
