"""The choice of calls: whole ways through the stops, compared by their stretches, then by trouble.

A way through the stops is built call by call on the real clock. At each stop only the few best
ways to it are kept: fewer hours, more water and the better list so far rarely part company.
"""

from __future__ import annotations

from dataclasses import dataclass
from operator import attrgetter

from longdry.computing.calls.dry_lists import (
    is_uncertain,
    item_if_dry,
    most_carried_l,
    to_halt,
    until_drawn,
)
from longdry.computing.calls.lists import (
    Item,
    WorstFirst,
    in_whole_litres,
    item_of,
    worst_first_list,
)
from longdry.computing.calls.preferences import Wishes, candidates, wants_refill
from longdry.computing.calls.trouble import carrying_h
from longdry.computing.clock.day_rules import Moment
from longdry.computing.stretches.journey import Journey, call_of
from longdry.model.plan.stretch import DryStretch, StretchEnd
from longdry.model.words import Verdict
from longdry.units import MINUTES_PER_HOUR

MOST_STOPS = 32
"""Stops that are looked at; of more, the best of each part of the way."""
KEPT_WAYS = 3
"""Ways to one stop that are gone on with, besides those that are best in one thing."""
FEW_STOPS = 8
KEPT_WAYS_OF_FEW = 16
"""The same where there are no more stops than that: the work is little then."""
MOST_AHEAD = 12
"""Stops ahead that a way may go on to."""
BAD_AHEAD = 2
"""Stops that a way still looks at behind the first that it does not reach clear."""


@dataclass(frozen=True, slots=True, eq=False)
class _CallsSoFar:
    """A way from the start to a stop."""

    calls: tuple[int, ...]
    """Stops called at, the last one here."""
    arrived: Moment
    left_l: float
    """On arriving, of all that could be carried."""
    items: WorstFirst
    if_dry: WorstFirst
    """The merged stretches where one uncertain call of it is dry."""
    trouble_h: float
    last: DryStretch | None = None
    """The stretch that ends here."""
    carried_l: float = 0.0
    """On leaving the stop before."""

    @property
    def order(self) -> tuple[WorstFirst, WorstFirst, float]:
        """What the better way is smaller in."""
        return (in_whole_litres(self.items), in_whole_litres(self.if_dry), self.trouble_h)


@dataclass(frozen=True, slots=True, eq=False)
class _Search:
    journey: Journey
    """Along all stops that count."""
    wishes: Wishes
    stops: tuple[int, ...]
    """Indices of the stops that are looked at."""

    @property
    def end_index(self) -> int:
        return len(self.journey.ends) - 2

    def end_of(self, index: int) -> StretchEnd:
        return self.journey.ends[index + 1]

    def ahead_of(self, here: int) -> list[int]:
        """Return the stops that a way may go on to, the end among them, by the wishes."""
        found: list[int] = []
        for index in self.stops:
            if index <= here:
                continue
            found.append(index)
            if index in self.wishes.must_call:
                return found
            if len(found) >= MOST_AHEAD:
                return found
        return [*found, self.end_index]

    def wants_refill(self, here: int, there: int, arrived: _CallsSoFar) -> bool:
        """Whether a vehicle that comes to a stop from another should not drive on past it."""
        if there not in self.wishes.refills:
            return False
        here_km = self.journey.ends[here + 1].km
        room_l = self.journey.capacity_l - arrived.left_l
        return wants_refill(self.journey, self.wishes, here_km, there, room_l=room_l)


def best_ways(journey: Journey, wishes: Wishes) -> list[tuple[int, ...]]:
    """Return the indices of the stops that the best ways call at, the best first.

    Parameters
    ----------
    journey
        Along all stops that count.
    wishes
        What is settled beforehand.
    """
    stops = candidates(journey, wishes, MOST_STOPS)
    search = _Search(journey, wishes.among(stops, journey), tuple(stops))
    start = _CallsSoFar((), journey.itinerary.leaves, journey.held_l, (), (), 0.0)
    at: dict[int, list[_CallsSoFar]] = {-1: [start]}
    kept = KEPT_WAYS_OF_FEW if len(search.stops) <= FEW_STOPS else KEPT_WAYS
    for here in (-1, *search.stops):
        for way in _best(at.get(here, []), kept):
            _go_on(search, way, here, at)
    ended = sorted(at.get(search.end_index, []), key=attrgetter("order"))
    return [way.calls[:-1] for way in ended]


def _best(ways: list[_CallsSoFar], most: int) -> list[_CallsSoFar]:
    """Return the ways to one stop that are gone on with: the best, and the best in one thing each.

    Who comes sooner, with more water or with less trouble may be ahead in the end.
    """
    if not ways:
        return []
    by_order = sorted(ways, key=attrgetter("order"))
    kept = by_order[:most]
    kept.append(min(by_order, key=lambda way: way.arrived.hour))
    kept.append(max(by_order, key=lambda way: way.left_l))
    kept.append(min(by_order, key=attrgetter("trouble_h")))
    return list({id(way): way for way in kept}.values())


def _go_on(search: _Search, way: _CallsSoFar, here: int, at: dict[int, list[_CallsSoFar]]) -> None:
    bad = 0
    for there in search.ahead_of(here):
        further = _extended(search, way, here, there)
        at.setdefault(there, []).append(further)
        if further.last and further.last.verdict is not Verdict.CLEAR:
            bad += 1
        is_bad_enough = bad > BAD_AHEAD and there not in search.wishes.must_call
        if is_bad_enough or search.wants_refill(here, there, further):
            return


def _extended(search: _Search, way: _CallsSoFar, here: int, there: int) -> _CallsSoFar:
    """Stop here, fill up, and go on to the stop there."""
    journey = search.journey
    begin, end = journey.ends[here + 1], search.end_of(there)
    stop_h = _stop_h(journey, begin, way) if here >= 0 else 0.0
    call = call_of(begin, stop_h)
    leaves = way.arrived
    if here >= 0:
        leaves = journey.clock.stay(way.arrived, call, to_halt(journey.clock, begin)).leaves
    travel, arrived = until_drawn(journey.clock, leaves, call, end)
    carried_l = most_carried_l(journey, begin, way.left_l)
    stretch = journey.judged(len(way.calls) + 1, begin, end, travel, carried_l=carried_l)
    ways_h = 2.0 * begin.way_km / journey.trip.pace.off_route_kmh if here >= 0 else 0.0
    item = item_of(stretch.verdict, max(0.0, stretch.wanted_l - carried_l))
    return _CallsSoFar(
        calls=(*way.calls, there),
        arrived=arrived,
        left_l=max(carried_l - stretch.need.total_l, 0.0),
        items=worst_first_list([*way.items, item]),
        if_dry=worst_first_list([*way.if_dry, *_if_dry(journey, way, begin, stretch)]),
        trouble_h=way.trouble_h + ways_h + stop_h + carrying_h(journey.trip, stretch),
        last=stretch,
        carried_l=carried_l,
    )


def _stop_h(journey: Journey, begin: StretchEnd, way: _CallsSoFar) -> float:
    """Return how long filling up takes: what was used since the last call, at the flow."""
    used_l = way.last.need.total_l if way.last else 0.0
    flows = [w.source.flow_l_per_min for w in begin.waters if w.source.flow_l_per_min]
    minutes = used_l / max(flows) if flows else 0.0
    return max(minutes, journey.trip.pace.fill_minutes) / MINUTES_PER_HOUR


def _if_dry(
    journey: Journey, way: _CallsSoFar, begin: StretchEnd, stretch: DryStretch
) -> list[Item]:
    """Return the stretch before and this one as one, where the call between may be dry."""
    if way.last is None or not is_uncertain(begin):
        return []
    return [item_if_dry(way.last, stretch, way.carried_l, journey.demand.always_l)]
