"""The least litres to go on with, or back, all along the way and up to two days late.

How it is never optimistic between its points: who is farther from the water and starts later never
arrives sooner, since days end and begin for everybody at the same hours. So whoever stands in a
cell arrives no later than from its far end at its last minute, and uses no more than a party that
waits from its first minute and then goes that way. Wide cells are cut into spans of a few hours,
and the hardest of them stands for all.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import partial
from typing import NamedTuple

import numpy as np

from longdry.computing.clock.camps import with_kept
from longdry.computing.clock.clock import Call
from longdry.computing.clock.day_rules import Moment, hours_until_open
from longdry.computing.needs.rates import RATIONS
from longdry.computing.road.as_planned import planned_rows
from longdry.computing.road.doors import may_be_shut
from longdry.computing.road.stands import Stand, stands
from longdry.computing.road.wait_before import with_wait_before
from longdry.computing.setbacks.giving import water_behind
from longdry.computing.setbacks.supplied import SuppliedPlan
from longdry.computing.setbacks.sure_water import is_rain_fed, is_sure
from longdry.computing.setbacks.turn_back import always_open_behind
from longdry.computing.setbacks.waiting import waiting_here
from longdry.computing.setbacks.water_in_reach import certain_passed
from longdry.computing.setbacks.ways import with_margin
from longdry.computing.water.opening import has_hours
from longdry.model.arrays import frozen_floats
from longdry.model.plan.least import LATE_H, LeastRow, LeastTable
from longdry.model.plan.stretch import StretchEnd
from longdry.model.plan.travel import TravelTime
from longdry.model.words import Certainty, IfDry, Ration
from longdry.units import HOURS_PER_DAY

SPAN_H = 3.0
"""Wider cells are cut into spans of no more than this."""
FAR_SPAN_H = 12.0
"""The same for those who are early or more than a day late: a wide span only asks for more."""


def least_litres(plan: SuppliedPlan) -> LeastTable:
    """Work out the table of a plan.

    Parameters
    ----------
    plan
        Only its ways count; what it carries decides which limited water behind still gives any.
    """
    wanted = [row for index in range(plan.last) for row in _Onward(plan, index).rows()]
    by_row = np.array([figure for _, figure in wanted]).transpose(2, 0, 1)
    full_l, lean_l, bare_l, reserve_l, back_l, saving_l, past_l, out_l = map(frozen_floats, by_row)
    return LeastTable(
        rows=tuple(row for row, _ in wanted),
        full_l=full_l,
        lean_l=lean_l,
        bare_l=bare_l,
        reserve_l=reserve_l,
        back_l=back_l,
        saving_l=saving_l,
        past_l=past_l,
        out_l=out_l,
        waiting=waiting_here(plan),
        planned=planned_rows(plan),
        only_on=plan.trip.policy.if_dry is IfDry.ON,
    )


class _WayHome(NamedTuple):
    """The way back to water, the same at any hour."""

    hours: float
    off_km: float
    """Of it off the route."""
    from_km: float
    to_km: float


class _Onward:
    """One stretch of the plan, and all that may be asked on it."""

    def __init__(self, plan: SuppliedPlan, index: int) -> None:
        self.plan, self.index = plan, index
        self.clock = plan.journey.clock
        self.demand = plan.demand.off_plan()
        self._is_by_moving_hours = self.demand.asks_by_moving_hours
        self.end = plan.ends[index + 1]
        self.behind = self._water_behind()
        waters = (water.judgement.certainty for water in self.end.waters)
        self._is_sure = any(certainty is Certainty.CERTAIN for certainty in waters)
        self._past = self._place_past()

    def rows(self) -> Iterator[tuple[LeastRow, list[list[float]]]]:
        """Yield each row with its figures by column."""
        for block in self._blocks():
            if_dry = self._if_dry(block)
            for stand in block:
                yield self._row(stand, if_dry)

    def _row(
        self, stand: Stand, if_dry: list[tuple[float, float]]
    ) -> tuple[LeastRow, list[list[float]]]:
        back = self._back_to(stand)
        row = LeastRow(
            stand.from_km,
            stand.to_km,
            stand.hour,
            stand.is_halt,
            self.end.label,
            self.end.km,
            back.label,
            back.km,
            is_sure=not self._has_next or self._is_sure,
            is_on_arriving=stand.is_on_arriving,
        )
        figures = self._by_column(stand, back)
        return row, [[*one, *dry] for one, dry in zip(figures, if_dry, strict=True)]

    def _blocks(self) -> Iterator[list[Stand]]:
        """Put steps together that share what a dry next water asks for: it is worked out once."""
        block: list[Stand] = []
        for stand in stands(self.plan, self.index):
            if block and (stand.is_halt or block[0].is_halt or len(block) == _BLOCK):
                yield block
                block = []
            block.append(stand)
        yield block

    def _if_dry(self, block: Sequence[Stand]) -> list[tuple[float, float]]:
        """Return for each column the litres past the dry next water, and there and back.

        From the far end of the block, first minute to last: nobody in it asks for more.
        """
        if not self._has_next:
            return [(0.0, 0.0)] * (len(LATE_H) - 1)
        far, back = block[0], self._back_to(block[0])
        departs_h = self.clock.departs_h
        found = []
        for low_h, high_h in itertools.pairwise(LATE_H):
            hours = [max(one, departs_h) for one in (far.hour + low_h, block[-1].hour + high_h)]
            whole = replace(far, to_km=block[-1].to_km)
            past_l = max(
                self._past_l(place, *(self._on(far, hour, place) for hour in hours))
                for place in (self._past, *self._behind_doors(whole, hours, self._past))
            )
            out_first, out_last = (self._out(far, back, hour) for hour in hours)
            found.append((past_l, self._with_margin_l(out_first, out_last)))
        return found

    def _by_column(self, stand: Stand, back: StretchEnd) -> list[list[float]]:
        """Return the hardest span of each column."""
        departs_h = self.clock.departs_h
        edges = [max(stand.hour + late_h, departs_h) for late_h in _EDGES_H]
        on = [self._on(stand, hour, self.index + 1) for hour in edges]
        way = self._way_home(stand.to_km, stand.way_km, back)
        home = [self._home(self._moment(hour, stand.to_km), way) for hour in edges]
        spans = [
            self._hardest(stand, hours, ways, self._with_margin_l(*ways_home))
            for hours, ways, ways_home in zip(
                itertools.pairwise(edges),
                itertools.pairwise(on),
                itertools.pairwise(home),
                strict=True,
            )
        ]
        return [
            [max(figures) for figures in zip(*spans[first:last], strict=True)]
            for first, last in itertools.pairwise(_FIRST_SPANS)
        ]

    def _hardest(
        self,
        stand: Stand,
        hours: tuple[float, float],
        ways: tuple[TravelTime, TravelTime],
        back_l: float,
    ) -> list[float]:
        """Return the figures of a span, to the next water or to the one behind a shut door."""
        found = [self._span(self.index + 1, *ways, back_l)]
        for place in self._behind_doors(stand, hours, self.index + 1):
            first, last = (self._on(stand, hour, place) for hour in hours)
            found.append(self._span(place, first, last, back_l))
        return [max(figures) for figures in zip(*found, strict=True)]

    def _behind_doors(self, stand: Stand, hours: Sequence[float], place: int) -> Iterator[int]:
        """Yield the ends that somebody goes on to who finds shut what lies before them.

        Parameters
        ----------
        hours
            The first and the last at which they set out.
        place
            The end that they go to first.
        """
        wait_h = self.clock.rules.longest_wait_h
        while may_be_shut(
            self.plan.call(place).open_h, wait_h, partial(self._arrives_h, stand, hours, place)
        ):
            place += 1
            yield place

    def _arrives_h(self, stand: Stand, hours: Sequence[float], place: int, share: float) -> float:
        """Return when somebody arrives at an end, the earliest at share 0, the latest at 1.

        From near to far in the first minute, then from far in the first minute to the last.
        """
        far, late = min(2.0 * share, 1.0), max(2.0 * share - 1.0, 0.0)
        km = stand.to_km + (stand.from_km - stand.to_km) * far
        hour = hours[0] + (hours[1] - hours[0]) * late
        return self._gone_to(replace(stand, from_km=km), hour, place)[1].hour

    def _span(
        self, place: int, first: TravelTime, last: TravelTime, back_l: float
    ) -> tuple[float, ...]:
        """Return the litres of each ration, of the reserve, of going back and of saving.

        Parameters
        ----------
        place
            The end that is gone to.
        first, last
            The ways on from the first and the last minute.
        """
        after_end, always_l = self._days_after(place), self.demand.always_l
        waited = self._waited(last, first)
        asked = [self.demand.litres(way, extra_days=after_end) for way in (first, waited)]
        full_l, lean_l, bare_l = (max(asked[0][ration], asked[1][ration]) for ration in RATIONS)
        return (
            full_l + always_l,
            lean_l + always_l,
            bare_l + always_l,
            self.demand.reserve(waited).total_l - always_l,
            back_l,
            with_margin(bare_l, self.plan.trip) + always_l,
        )

    def _past_l(self, place: int, first: TravelTime, last: TravelTime) -> float:
        return self._with_margin_l(first, last, extra_days=self._days_after(place))

    def _days_after(self, place: int) -> float:
        return self.plan.trip.policy.days_after_end if place == self.plan.last else 0.0

    def _with_margin_l(self, first: TravelTime, last: TravelTime, extra_days: float = 0.0) -> float:
        """Return the litres of a way off the plan, gone in the first minute or waited for.

        Who walks or rides drinks most in the hours on the move: who sets out at once may ask for
        more than who waits.
        """
        litres = max(
            self.demand.need_l(Ration.BARE, way, extra_days=extra_days)
            for way in (first, self._waited(last, first))
        )
        return with_margin(litres, self.plan.trip) + self.demand.always_l

    @property
    def _has_next(self) -> bool:
        """Whether water lies ahead, and not only the end of the route."""
        return self.index + 1 < self.plan.last

    def _place_past(self) -> int:
        """Return the end that is gone on to past a dry next water; where rain fails a sure one."""
        plan, first = self.plan, self.index + 2
        if not any(is_rain_fed(water) for water in self.end.waters):
            return first
        sure = (
            place
            for place in range(first, plan.last)
            for on in [plan.journey.date_of(plan.arrives(place).hour)]
            if any(is_sure(water.source, on) for water in plan.ends[place].waters)
        )
        return next(sure, plan.last)

    def _on(self, stand: Stand, hour: float, place: int) -> TravelTime:
        """Go on to an end, in vain to all before it, and wait at its door where it opens soon."""
        travel, arrived = self._gone_to(stand, hour, place)
        call = self.plan.call(place)
        opens_h = hours_until_open(call.open_h, arrived.hour)
        if opens_h > self.clock.rules.longest_wait_h:
            return travel
        return travel.waited(travel.end_h + opens_h, arrived.day, call.km)

    def _gone_to(self, stand: Stand, hour: float, place: int) -> tuple[TravelTime, Moment]:
        now = self._moment(hour, stand.from_km)
        vain = [self.plan.call(one) for one in range(self.index + 1, place)]
        here = Call(stand.from_km, stand.way_km)
        clock = with_kept(self.clock, stand.from_km, stand.nights_kept)
        return clock.onward(now, here, self.plan.call(place), vain=vain)

    def _out(self, stand: Stand, back: StretchEnd, hour: float) -> TravelTime:
        """Go on to the next water, wait for its door, find it dry and go back from there."""
        call = self.plan.call(self.index + 1)
        out, arrived = self._gone_to(stand, hour, self.index + 1)
        opens_h = hours_until_open(call.open_h, arrived.hour)
        if 0.0 < opens_h <= self.clock.rules.longest_wait_h:
            out = out.waited(out.end_h + opens_h, arrived.day, call.km)
            arrived = self._moment(out.end_h, call.km)
        home = self._home(arrived, self._way_home(call.km, call.way_km, back))
        return out._replace(end_h=home.end_h, pieces=(*out.pieces, *home.pieces))

    def _way_home(self, km: float, way_km: float, back: StretchEnd) -> _WayHome:
        off_km = way_km + back.way_km
        hours = off_km / self.clock.off_route_kmh + self._back_h(back.km, km)
        return _WayHome(hours, off_km, km, back.km)

    def _home(self, leaves: Moment, way: _WayHome) -> TravelTime:
        travel, _ = self.clock.freely(
            leaves, way.hours, way_km=way.off_km, from_km=way.from_km, to_km=way.to_km
        )
        return travel

    def _back_h(self, to_km: float, from_km: float) -> float:
        return (self.plan.back or self.clock.profile).between(to_km, from_km)

    def _moment(self, hour: float, km: float) -> Moment:
        """Return the moment there, every hour since the start hour taken as used."""
        return self.clock.on_the_way(hour, km)

    def _waited(self, travel: TravelTime, first: TravelTime) -> TravelTime:
        return with_wait_before(
            travel,
            first,
            starts_h=self.clock.rules.start_hour,
            at_km=travel.pieces[0].from_km if travel.pieces else self.end.km,
            by_moving_hours=self._is_by_moving_hours,
        )

    def _water_behind(self) -> StretchEnd:
        plan = self.plan
        return plan.behind_at(always_open_behind(plan, water_behind(plan, self.index)))

    def _back_to(self, stand: Stand) -> StretchEnd:
        """Return the water behind that a party goes back to: certain, and open at any hour."""
        near = [
            end
            for end in certain_passed(self.plan, stand.from_km)
            if end.km >= self.behind.km and not any(has_hours(one.source) for one in end.waters)
        ]
        return min([self.behind, *near], key=lambda end: self._away_h(end, stand.to_km))

    def _away_h(self, end: StretchEnd, km: float) -> float:
        return end.way_km / self.clock.off_route_kmh + self._back_h(end.km, km)


def _cut(low_h: float, high_h: float) -> list[float]:
    """Cut a column into spans; its last edge is left to the next."""
    is_far = high_h <= 0.0 or low_h >= HOURS_PER_DAY
    count = max(math.ceil((high_h - low_h) / (FAR_SPAN_H if is_far else SPAN_H)), 1)
    return [low_h + (high_h - low_h) * number / count for number in range(count)]


_CUTS = [_cut(*column) for column in itertools.pairwise(LATE_H)]
_EDGES_H = (*itertools.chain.from_iterable(_CUTS), LATE_H[-1])
_FIRST_SPANS = (0, *itertools.accumulate(map(len, _CUTS)))
_BLOCK = 4
