"""What the water of a call gives while the party is there, and what the party uses of it.

A night, or days of rest, at a call are lived on its water, as far as that reaches: only the rest is
taken along. What it does not reach for comes out of what is carried there.
"""

from __future__ import annotations

import itertools
import math
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from longdry.computing.fills.drawing import slower_flow_l_per_min
from longdry.computing.needs.needs import WaterDemand
from longdry.computing.water.opening import has_hours
from longdry.model.plan.stretch import DryStretch, StretchEnd
from longdry.model.plan.travel import Doing, Piece, TravelTime
from longdry.model.trip.trip import Trip
from longdry.model.water.passes import WaterPass
from longdry.model.water.source import WaterSource
from longdry.model.words import Ration
from longdry.units import HOURS_PER_DAY, MINUTES_PER_HOUR

WatersOf = Callable[[StretchEnd], Sequence[WaterPass]]


@dataclass(frozen=True, slots=True, eq=False)
class StayAtWater:
    """The time between two stretches."""

    end: StretchEnd
    travel: TravelTime
    """At a standstill, its nights as pieces."""

    @classmethod
    def between(cls, before: DryStretch, after: DryStretch) -> StayAtWater:
        """Return the stay between two neighbouring stretches."""
        return cls.of_travels(before.end, before.travel, after.travel)

    @classmethod
    def of_travels(cls, end: StretchEnd, before: TravelTime, after: TravelTime) -> StayAtWater:
        """Return the stay at an end between two travels."""
        begin_h, end_h, km = before.end_h, after.begin_h, end.km
        night = Piece(Doing.NIGHT, begin_h, end_h, 0, km, km)
        pieces = (night,) * _nights(before, after)
        return cls(end, TravelTime(begin_h, end_h, pieces, before.profile))

    def used_l(self, demand: WaterDemand, ration: Ration = Ration.FULL) -> float:
        """Return what the party uses here; 0 without a night."""
        return demand.need_l(ration, self.travel) if self.travel.nights else 0.0

    def flows_l(self, source: WaterSource, trip: Trip) -> float:
        """Return what can be drawn in the hours that it is open: no limit where no flow is told."""
        flow = slower_flow_l_per_min(source, trip)
        hours = self.open_h(source)
        return math.inf if flow is None or hours == math.inf else flow * MINUTES_PER_HOUR * hours

    def until(self, hour: float) -> StayAtWater:
        """Return what of it is over at a time; before it begins, nothing."""
        return StayAtWater(self.end, self.travel.until(hour))

    def open_h(self, source: WaterSource) -> float:
        """Return the hours in which water can be drawn: until it closes, or in the whole stay."""
        begin_h, end_h = self.travel.begin_h, self.travel.end_h
        opens_h = source.open_from_hour or 0.0
        closes_h = HOURS_PER_DAY if source.open_to_hour is None else source.open_to_hour
        open_h = (closes_h - opens_h) % HOURS_PER_DAY
        if open_h == 0.0 or not has_hours(source):
            return end_h - begin_h if self.travel.nights else math.inf
        opened_h = begin_h - (begin_h - opens_h) % HOURS_PER_DAY
        if not self.travel.nights:
            return max(opened_h + open_h - begin_h, 0.0)
        spans = []
        while opened_h < end_h:
            spans.append(min(opened_h + open_h, end_h) - max(opened_h, begin_h))
            opened_h += HOURS_PER_DAY
        return sum(max(span, 0.0) for span in spans)


def _nights(before: TravelTime, after: TravelTime) -> int:
    """Return the nights between two travels: by their days, else by the hours."""
    if before.pieces and after.pieces:
        return after.pieces[0].day - before.pieces[-1].day
    return math.floor((after.begin_h - before.end_h) / HOURS_PER_DAY + 0.5)


@dataclass(frozen=True, slots=True)
class Taken:
    """Litres of the water carried, and those of them that must be fit to drink."""

    total_l: float = 0.0
    potable_l: float = 0.0


NOTHING_TAKEN = Taken()


@dataclass(frozen=True, slots=True, eq=False)
class StayShare:
    """What a stay uses of its waters, and of the water carried there."""

    stay: StayAtWater
    used_l: Mapping[str, float]
    """Of each water that gives no more than so much, by the source's id."""
    left_l: Mapping[str, float]
    """Of the same waters: what may be taken along."""
    carried_l: Mapping[Ration, float]
    """What is used of the water carried there, on each ration."""

    def takes_until(self, hour: float, demand: WaterDemand) -> Taken:
        """Return what the bare ration has taken by a time beyond what the waters gave by then."""
        if hour <= self.stay.travel.begin_h:
            return NOTHING_TAKEN
        so_far = self.stay.until(hour)
        given_l = sum(
            min(so_far.flows_l(water.source, demand.trip), self._gives_l(water.source.id))
            for water in self.stay.end.waters
        )
        need = demand.need_on(Ration.BARE, so_far.travel)
        return Taken(max(need.total_l - given_l, 0.0), max(need.potable_l - given_l, 0.0))

    def _gives_l(self, source_id: str) -> float:
        """Return what a water gives in the whole stay."""
        if source_id not in self.used_l:
            return math.inf
        return self.used_l[source_id] + self.left_l[source_id]


def stay_shares(
    stretches: Sequence[DryStretch], demand: WaterDemand, waters_of: WatersOf
) -> list[StayShare]:
    """Share what each stay uses between its waters, in their order, and what is carried there.

    A water without limit gives all of it. A litre that an earlier stay has used is not there again.

    Parameters
    ----------
    waters_of
        Puts the waters of a call in the order in which they are used.
    """
    used_up: Counter[str] = Counter()
    shares = []
    for before, after in itertools.pairwise(stretches):
        stay = StayAtWater.between(before, after)
        share = share_of(stay, demand, [one.source for one in waters_of(stay.end)], used_up)
        used_up.update(share.used_l)
        shares.append(share)
    return shares


def share_of(
    stay: StayAtWater,
    demand: WaterDemand,
    sources: Sequence[WaterSource],
    used_up: Mapping[str, float],
) -> StayShare:
    """Share what one stay uses between some sources, in their order, and what is carried there.

    Parameters
    ----------
    used_up
        Litres of limited sources that are gone, by their ids.
    """
    gives = {
        source.id: min(stay.flows_l(source, demand.trip), _limit_l(source, used_up))
        for source in sources
    }
    in_all_l = sum(gives.values())
    carried = {ration: max(stay.used_l(demand, ration) - in_all_l, 0.0) for ration in Ration}
    rest_l = 0.0 if in_all_l == math.inf else stay.used_l(demand)
    used: dict[str, float] = {}
    left: dict[str, float] = {}
    for source_id, gives_l in gives.items():
        if gives_l < math.inf:
            used[source_id] = min(rest_l, gives_l)
            left[source_id] = gives_l - used[source_id]
            rest_l -= used[source_id]
    return StayShare(stay, used, left, carried)


def _limit_l(source: WaterSource, used_up: Mapping[str, float]) -> float:
    limit_l = math.inf if source.limit_l is None else source.limit_l
    return max(limit_l - used_up.get(source.id, 0.0), 0.0)
