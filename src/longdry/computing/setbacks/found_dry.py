"""Following a party over stops that turn out dry.

A dry source is dry at every pass. The party finds out at the first pass, calls there in vain, and
does not call again before the next water. Up to there it lives on the ration that the plan has for
that stretch, from there on the bare one. It keeps its pinned camps and the minutes of its stops.
"""

from __future__ import annotations

import itertools
from collections.abc import Collection
from dataclasses import dataclass, replace

from longdry.computing.clock.clock import Call, Camp, Clock
from longdry.computing.clock.day_rules import Moment, ToHalt
from longdry.computing.setbacks.giving import gives_l, gives_without_end, taken_through
from longdry.computing.setbacks.supplied import SuppliedPlan
from longdry.computing.setbacks.water_in_reach import Reached, water_ahead, water_back
from longdry.model.plan.travel import TravelTime
from longdry.model.words import Ration

_FAR_AWAY = ToHalt(moving_h=float("inf"), stops_h=0.0)


@dataclass(frozen=True, slots=True)
class DryGroup:
    """Neighbouring stops that are all dry, between two ends that are not."""

    behind: int
    """Index of the last water (or the start) behind."""
    stops: tuple[int, ...]
    """Indices of the dry stops."""
    calls: tuple[int, ...]
    """Those of them at which the party calls: not again at what it knows to be dry."""
    ahead: int
    """Index of the next water (or the end)."""


@dataclass(frozen=True, slots=True)
class FoundDry:
    """The party at a dry stop."""

    stop: int
    """Its index."""
    now: Moment
    used_l: float
    """Since the water behind."""
    travels: tuple[TravelTime, ...]
    """From the water behind to here."""
    there_l: float = 0.0
    """What other water of the stop gives."""


@dataclass(frozen=True, slots=True)
class WaysFromDry:
    """The two ways to water from a dry stop."""

    found: FoundDry
    on: Reached
    back: Reached


def dry_groups(plan: SuppliedPlan, dry_ids: Collection[str]) -> tuple[DryGroup, ...]:
    """Return the groups of dry stops in travel order."""
    groups: list[list[int]] = []
    for index in plan.dry_stops(dry_ids):
        if groups and groups[-1][-1] == index - 1:
            groups[-1].append(index)
        else:
            groups.append([index])
    return tuple(
        DryGroup(group[0] - 1, tuple(group), tuple(_calls(plan, group)), group[-1] + 1)
        for group in groups
    )


def _calls(plan: SuppliedPlan, stops: list[int]) -> list[int]:
    found_dry: set[str] = set()
    calls = []
    for index in stops:
        if not plan.source_ids(index) <= found_dry:
            calls.append(index)
            found_dry |= plan.source_ids(index)
    return calls


def found_dry(
    plan: SuppliedPlan, group: DryGroup, first_l: float, arrives: Moment | None = None
) -> tuple[FoundDry, ...]:
    """Follow the party to every dry stop of a group, as if each were found dry there.

    The last call of the group is among them: see `at_last_call`.

    Parameters
    ----------
    first_l
        What it uses on the stretch to the first of them.
    arrives
        When it comes there; None: as planned.
    """
    first = group.stops[0]
    planned = plan.journey.itinerary.travels[group.behind]
    here = FoundDry(first, arrives or plan.arrives(first), first_l, (planned,))
    found = [here]
    for stop in group.stops[1:]:
        travel, now = onward(plan, here.now, here.stop, stop)
        used_l = here.used_l + plan.demand.off_plan().need_l(Ration.BARE, travel)
        there = FoundDry(stop, now, used_l, (*here.travels, travel))
        found.append(there)
        if stop in group.calls:
            here = there
    return tuple(found)


def at_last_call(group: DryGroup, found: tuple[FoundDry, ...]) -> FoundDry:
    """Return where the party is when it has found all of a group dry."""
    return next(one for one in found if one.stop == group.calls[-1])


def onward(plan: SuppliedPlan, now: Moment, here: int, there: int) -> tuple[TravelTime, Moment]:
    """Go from a dry stop to a later end, which is waited for where it opens soon.

    Camps pinned at the stops that are passed, and at the dry one, are kept without their water.
    """
    clock = plan.journey.clock
    passed = [plan.call(index) for index in range(here + 1, there)]
    camps = [Camp(call.km, _nights(call)) for call in passed if _nights(call)]
    if camps:
        by_km = sorted([*clock.camps, *camps], key=lambda camp: camp.km)
        clock = replace(clock, camps=tuple(by_km))
    call = plan.call(here)
    in_vain = Call(call.km, call.way_km, dry_nights=_nights(call))
    travel, arrived = clock.onward(now, in_vain, plan.call(there))
    return waited(clock, travel, arrived, plan.call(there))


def _nights(call: Call) -> int:
    return call.pinned_nights + call.dry_nights


def waited(
    clock: Clock, travel: TravelTime, arrived: Moment, call: Call
) -> tuple[TravelTime, Moment]:
    """Return the way to a call with the wait for it, and when that is over."""
    arrives = clock.stay(arrived, call, _FAR_AWAY).arrives
    return travel.waited(arrives.hour, arrives.day, call.km), arrives


def thin_stops(plan: SuppliedPlan, gone: SuppliedPlan, dry_ids: Collection[str]) -> list[int]:
    """Return the stops that keep some of their waters, none of them without limit."""
    dried = set(plan.dry_stops(dry_ids))
    near = {stop for one in dry_ids for stop in plan.stops_at(one)} - dried
    return sorted(stop for stop in near if not gives_without_end(gone, stop))


def found_thin(gone: SuppliedPlan, stop: int, used_l: float) -> FoundDry:
    """Return the party at a stop where only its other water is left.

    Parameters
    ----------
    gone
        The plan whose dry sources are spoilt.
    used_l
        Since the stop before.
    """
    now = gone.arrives(stop)
    there_l = gives_l(gone, stop, now.hour, taken_through(gone, stop - 1))
    return FoundDry(stop, now, used_l, (), there_l)


def left_at(plan: SuppliedPlan, group: DryGroup, found: FoundDry) -> float:
    """Return what the party has at a stop to go on or back with."""
    left_l = max(0.0, plan.free_l(group.behind) - found.used_l) + found.there_l
    return min(left_l, max(left_l - found.there_l, plan.journey.capacity_l - plan.demand.always_l))


def group_at(stop: int) -> DryGroup:
    """Return a stop as a group of its own."""
    return DryGroup(stop - 1, (stop,), (stop,), stop + 1)


def ways_from(
    gone: SuppliedPlan, group: DryGroup, found: FoundDry, *, sure_only: bool
) -> WaysFromDry:
    """Return the ways on and back from a dry stop of a group.

    Parameters
    ----------
    gone
        The plan whose dry sources are spoilt.
    sure_only
        Whether only such water counts ahead as holds where rain fails.
    """
    return WaysFromDry(
        found,
        on=water_ahead(gone, found.now, found.stop, sure_only=sure_only),
        back=water_back(gone, found.now, found.stop, group.behind),
    )


def as_one_travel(travels: tuple[TravelTime, ...]) -> TravelTime:
    """Return several parts of one way as one, nothing between them."""
    pieces = itertools.chain.from_iterable(travel.pieces for travel in travels)
    return TravelTime(travels[0].begin_h, travels[-1].end_h, tuple(pieces), travels[0].profile)
