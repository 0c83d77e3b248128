"""What becomes of a plan where one uncertain call of it turns out dry."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from longdry.computing.calls.groups import stretch_ends
from longdry.computing.calls.lists import CLEAR, Item, WorstFirst, item_of, worst_first_list
from longdry.computing.clock.camps import camps_at_calls
from longdry.computing.clock.clock import Call, Clock
from longdry.computing.clock.day_rules import Moment, ToHalt
from longdry.computing.stretches.journey import Journey, call_of
from longdry.computing.stretches.verdicts import verdict_of_litres
from longdry.computing.water.opening import is_open_at
from longdry.model.plan.stretch import DryStretch, StretchEnd
from longdry.model.plan.travel import TravelTime
from longdry.model.water.passes import WaterPass
from longdry.units import MINUTES_PER_HOUR

MOST_PASSED = 12
"""Stops passed by that are looked at beyond a dry call, the nearest first."""


def dry_lists(
    journey: Journey, stretches: Sequence[DryStretch], passes: Sequence[WaterPass]
) -> tuple[WorstFirst, ...]:
    """Return the lists of a plan with each uncertain call dry in turn, the worst first.

    Those in which every stretch is clear are left out, as missing ones count as clear.
    The party calls in vain, and goes on with what could be carried from the call before: to the
    next call or, where that is better, over one water that the plan passes by before it.

    Parameters
    ----------
    passes
        All of the route: those that count and are no calls are passed by.
    """
    items = [item_of(one.verdict, one.missing_l) for one in stretches]
    always_l = journey.demand.always_l
    straight = {
        index: (item_if_dry(stretches[index - 1], stretches[index], carried_l, always_l), carried_l)
        for index, carried_l in _carried_before_uncertain(journey, stretches)
    }
    stops: Sequence[StretchEnd] = ()
    if any(item > CLEAR for item, _ in straight.values()):
        stops = stretch_ends(passes, journey.prepared.length_km, journey.trip)[1:-1]
    found: list[WorstFirst] = []
    for index, (item, carried_l) in straight.items():
        instead = worst_first_list([item])
        for over in _over_each(journey, stretches, index, carried_l, stops) if instead else ():
            instead = min(instead, worst_first_list(over))
            if not instead:
                break
        found.append(worst_first_list([*items[: index - 1], *instead, *items[index + 1 :]]))
    return tuple(sorted((one for one in found if one), reverse=True))


def _carried_before_uncertain(
    journey: Journey, stretches: Sequence[DryStretch]
) -> Iterator[tuple[int, float]]:
    """Yield each stretch that begins at an uncertain call, and what the call before fills to."""
    left_l = carried_l = 0.0
    for index, stretch in enumerate(stretches):
        if index and is_uncertain(stretch.begin):
            yield index, carried_l
        carried_l = most_carried_l(journey, stretch.begin, left_l)
        left_l = max(carried_l - stretch.need.total_l, 0.0)


def _over_each(
    journey: Journey,
    stretches: Sequence[DryStretch],
    index: int,
    carried_l: float,
    stops: Sequence[StretchEnd],
) -> Iterator[tuple[Item, Item]]:
    """Yield the ways to and from each stop passed by beyond a dry call, open when they come.

    Filling there takes its usual minutes, which lie in neither of the two, nor do the nights of a
    camp that is pinned at it.
    """
    before, after = stretches[index - 1 : index + 1]
    dry_call, stay = journey.calls[index - 1], journey.itinerary.stays[index - 1]
    used_l = before.need.total_l
    off_plan = journey.off_plan()
    for stop in _passed_beyond(after, stops):
        clock, call = _calling_at(journey, stop)
        travel, arrived = clock.onward(stay.leaves, dry_call, call)
        if not all(is_open_at(water.source, arrived.hour) for water in stop.waters):
            continue
        there = off_plan.judged(index, after.begin, stop, travel, carried_l=carried_l)
        filled_l = most_carried_l(journey, stop, max(carried_l - used_l - there.need.total_l, 0.0))
        leaves = clock.stay(arrived, call, to_halt(clock, stop)).leaves
        travel, _ = until_drawn(clock, leaves, call, after.end)
        on = off_plan.judged(index, stop, after.end, travel, carried_l=filled_l)
        yield (
            item_if_dry(before, there, carried_l, journey.demand.always_l),
            item_of(on.verdict, max(on.wanted_l - filled_l, 0.0)),
        )


def _calling_at(journey: Journey, stop: StretchEnd) -> tuple[Clock, Call]:
    """Return the call at a stop passed by, and the clock without the camps that are kept there."""
    call = call_of(stop, journey.trip.pace.fill_minutes / MINUTES_PER_HOUR)
    (call,), away = camps_at_calls(journey.clock.camps, [call])
    return replace(journey.clock, camps=away), call


def _passed_beyond(after: DryStretch, stops: Sequence[StretchEnd]) -> list[StretchEnd]:
    """Return the nearest stops between a dry call and the next, none of the dry source's own."""
    dry = {water.source.id for water in after.begin.waters}
    return [
        stop
        for stop in stops
        if after.begin.km < stop.km < after.end.km
        and dry.isdisjoint(water.source.id for water in stop.waters)
    ][:MOST_PASSED]


def is_uncertain(stop: StretchEnd) -> bool:
    """Whether no water of a stop is sure."""
    return not any(one.judgement.is_sure for one in stop.waters)


def item_if_dry(before: DryStretch, after: DryStretch, carried_l: float, always_l: float) -> Item:
    """Return the stretches before and after a dry call as one.

    Parameters
    ----------
    carried_l
        On leaving the call before.
    always_l
        Of the reserve, what is never spent.
    """
    rations_l = [
        one.need.total_l + other.need.total_l
        for one, other in zip(before.needs, after.needs, strict=True)
    ]
    wanted_l = rations_l[0] + after.reserve_l
    verdict = verdict_of_litres(rations_l, after.reserve_l, carried_l, always_l)
    return item_of(verdict, max(wanted_l - carried_l, 0.0))


def most_carried_l(journey: Journey, begin: StretchEnd, left_l: float) -> float:
    """Return the most that can be carried on leaving an end, with what was left on arriving."""
    if begin.water is None:
        return journey.available_l(begin)
    limits = [one.source.limit_l for one in begin.waters]
    if None in limits:
        return journey.capacity_l
    return min(journey.capacity_l, left_l + sum(limit or 0.0 for limit in limits))


def until_drawn(
    clock: Clock, leaves: Moment, here: Call, there: StretchEnd
) -> tuple[TravelTime, Moment]:
    """Go on to a stop or to the end, and wait there until water can be drawn."""
    call = call_of(there)
    travel, arrived = clock.onward(leaves, here, call)
    if there.water is None:
        return travel, arrived
    drawn = clock.stay(arrived, call, ToHalt(0.0, 0.0)).arrives
    return travel.waited(drawn.hour, drawn.day, call.km), drawn


def to_halt(clock: Clock, begin: StretchEnd) -> ToHalt:
    """Return what it takes from a stop to the next pinned camp, or to the end."""
    camp_km = min((c.km for c in clock.camps if c.km >= begin.km), default=None)
    km = clock.length_km if camp_km is None else camp_km
    hours = begin.way_km / clock.off_route_kmh + clock.profile.between(begin.km, km)
    return ToHalt(hours, 0.0, last_h=hours if camp_km is None else 0.0)
