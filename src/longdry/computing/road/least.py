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
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from longdry.computing.clock.clock import Call
from longdry.computing.clock.day_rules import Moment, hours_until_open
from longdry.computing.needs.drinking import moving_by_waking_day
from longdry.computing.needs.rates import RATIONS
from longdry.computing.setbacks.giving import water_behind
from longdry.computing.setbacks.supplied import SuppliedPlan
from longdry.computing.setbacks.turn_back import always_open_behind
from longdry.computing.setbacks.waiting import help_of
from longdry.computing.setbacks.water_in_reach import certain_passed
from longdry.computing.setbacks.ways import with_margin
from longdry.computing.water.opening import has_hours
from longdry.model.arrays import frozen_floats
from longdry.model.plan.least import LATE_H, LeastRow, LeastTable, WaitingHere
from longdry.model.plan.stretch import StretchEnd
from longdry.model.plan.travel import Doing, Piece, TravelTime
from longdry.model.words import Certainty, Ration, Travel
from longdry.units import HOURS_PER_DAY

STEP_KM = {Travel.VEHICLE: 5.0, Travel.BICYCLE: 2.0, Travel.FOOT: 1.0}
"""Length of a row; no row takes longer than the half hour that counts as on time."""
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
        waiting=_waiting_of(plan),
    )


def _waiting_of(plan: SuppliedPlan) -> WaitingHere:
    """Return what waiting takes on the hottest day, and when help is there."""
    hottest_l = float(plan.demand.heat.resting_l.max())
    comes, by_due_back = help_of(plan)
    is_called = comes is not None and not by_due_back
    return WaitingHere(
        l_per_day=plan.demand.waiting_l_per_day(hottest_l),
        always_l=plan.demand.always_l,
        help_days=comes.after_days if comes and is_called else None,
        found_by_h=comes.overdue_h + comes.search_days * HOURS_PER_DAY
        if comes and by_due_back
        else None,
    )


@dataclass(frozen=True, slots=True)
class _Stand:
    """A row before its litres: from where to where, and when."""

    from_km: float
    to_km: float
    hour: float
    way_km: float = 0.0
    """Off the route on leaving."""
    is_halt: bool = False


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
        self._next = plan.call(index + 1)
        self.end = plan.ends[index + 1]
        self.behind = self._water_behind()
        waters = (water.judgement.certainty for water in self.end.waters)
        self._is_sure = any(certainty is Certainty.CERTAIN for certainty in waters)

    def rows(self) -> Iterator[tuple[LeastRow, list[list[float]]]]:
        """Yield each row with its figures by column."""
        for block in self._blocks():
            if_dry = self._if_dry(block)
            for stand in block:
                yield self._row(stand, if_dry)

    def _row(
        self, stand: _Stand, if_dry: list[tuple[float, float]]
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
        )
        figures = self._by_column(stand, back)
        return row, [[*one, *dry] for one, dry in zip(figures, if_dry, strict=True)]

    def _blocks(self) -> Iterator[list[_Stand]]:
        """Put steps together that share what a dry next water asks for: it is worked out once."""
        block: list[_Stand] = []
        for stand in self._stands():
            if block and (stand.is_halt or block[0].is_halt or len(block) == _BLOCK):
                yield block
                block = []
            block.append(stand)
        yield block

    def _if_dry(self, block: Sequence[_Stand]) -> list[tuple[float, float]]:
        """Return for each column the litres past the dry next water, and there and back.

        From the far end of the block, first minute to last: nobody in it asks for more.
        """
        if not self._has_next:
            return [(0.0, 0.0)] * (len(LATE_H) - 1)
        far, back = block[0], self._back_to(block[0])
        departs_h = self.clock.departure().hour
        found = []
        for low_h, high_h in itertools.pairwise(LATE_H):
            hours = [
                max(far.hour + low_h, departs_h),
                max(block[-1].hour + high_h, departs_h),
            ]
            past = [self._on(far, hour, is_dry=True) for hour in hours]
            out_first, out_last = (self._out(far, back, hour) for hour in hours)
            found.append((self._past_l(*past), self._with_margin_l(out_first, out_last)))
        return found

    def _stands(self) -> Iterator[_Stand]:
        """Cut the stretch at its halts, and what lies between into steps."""
        travel = self.plan.journey.itinerary.travels[self.index]
        begin = self.plan.ends[self.index]
        yield _Stand(begin.km, begin.km, travel.begin_h, begin.way_km, is_halt=True)
        for piece in travel.pieces:
            if piece.doing is Doing.NIGHT:
                yield _Stand(piece.from_km, piece.from_km, piece.begin_h, is_halt=True)
            elif piece.doing is Doing.MOVING:
                yield from self._steps(piece)

    def _steps(self, piece: Piece) -> Iterator[_Stand]:
        step_km = STEP_KM[self.plan.trip.pace.travel]
        along_km = piece.to_km - piece.from_km
        count = max(math.ceil(along_km / step_km), math.ceil(piece.hours / _ON_TIME_H), 1)
        marks = [piece.from_km + along_km * number / count for number in range(count + 1)]
        for from_km, to_km in itertools.pairwise(marks):
            hour = piece.begin_h + self.clock.profile.between(piece.from_km, from_km)
            yield _Stand(from_km, to_km, hour)

    def _by_column(self, stand: _Stand, back: StretchEnd) -> list[list[float]]:
        """Return the hardest span of each column."""
        departs_h = self.clock.departure().hour
        edges = [max(stand.hour + late_h, departs_h) for late_h in _EDGES_H]
        on = [self._on(stand, hour) for hour in edges]
        way = self._way_home(stand.to_km, stand.way_km, back)
        home = [self._home(self._moment(hour, stand.to_km), way) for hour in edges]
        spans = [
            self._span(*ways, self._with_margin_l(*ways_home))
            for ways, ways_home in zip(
                itertools.pairwise(on), itertools.pairwise(home), strict=True
            )
        ]
        return [
            [max(figures) for figures in zip(*spans[first:last], strict=True)]
            for first, last in itertools.pairwise(_FIRST_SPANS)
        ]

    def _span(self, first: TravelTime, last: TravelTime, back_l: float) -> tuple[float, ...]:
        """Return the litres of each ration, of the reserve, of going back and of saving.

        Parameters
        ----------
        first, last
            The ways on from the first and the last minute.
        back_l
            Of going back.
        """
        after_end = self.plan.trip.policy.days_after_end if self.end is self.plan.ends[-1] else 0.0
        always_l = self.demand.always_l
        waited = self._waited(last, first)
        asked = [self.demand.litres(way, extra_days=after_end) for way in (first, waited)]
        return (
            *(max(litres[ration] for litres in asked) + always_l for ration in RATIONS),
            self.demand.reserve(waited).total_l - always_l,
            back_l,
            max(with_margin(litres[Ration.BARE], self.plan.trip) for litres in asked) + always_l,
        )

    def _past_l(self, first: TravelTime, last: TravelTime) -> float:
        """Return the litres of going past a dry next water, from the first and last minute."""
        is_to_end = self.index + 2 == self.plan.last
        after_end = self.plan.trip.policy.days_after_end if is_to_end else 0.0
        return self._with_margin_l(first, last, extra_days=after_end)

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

    def _on(self, stand: _Stand, hour: float, *, is_dry: bool = False) -> TravelTime:
        """Go on to the next water that is open then, or the end.

        Parameters
        ----------
        is_dry
            Whether the next one is found dry.
        """
        now = self._moment(hour, stand.from_km)
        here = Call(stand.from_km, stand.way_km)
        vain = [self._next] if is_dry else []
        for place in range(self.index + 1 + len(vain), self.plan.last + 1):
            call = self.plan.call(place)
            travel, arrived = self.clock.onward(now, here, call, vain=vain)
            opens_h = hours_until_open(call.open_h, arrived.hour)
            if opens_h <= self.clock.rules.longest_wait_h:
                return travel.waited(travel.end_h + opens_h, arrived.day, call.km)
            vain.append(call)
        return travel

    def _out(self, stand: _Stand, back: StretchEnd, hour: float) -> TravelTime:
        """Go on to the next water, wait for its door, find it dry and go back from there."""
        here, call = Call(stand.from_km, stand.way_km), self._next
        out, arrived = self.clock.onward(self._moment(hour, stand.from_km), here, call)
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
        return self.clock.rules.moment_on_the_way(hour, km)

    def _waited(self, travel: TravelTime, first: TravelTime) -> TravelTime:
        """Return the way with waiting before it, nights that begin in it counted.

        Of each day it has as many moving hours as the way from the first minute, where that has
        more: who sets out between the two moves long on the first day and on the last.
        """
        hour, first_h = travel.begin_h, first.begin_h
        if first_h >= hour:
            return travel
        km = travel.pieces[0].from_km if travel.pieces else self.end.km
        starts = self.clock.rules.start_hour
        nights = int((hour - starts) // HOURS_PER_DAY) - int((first_h - starts) // HOURS_PER_DAY)
        pieces = [Piece(Doing.NIGHT, first_h, first_h, 0, km, km) for _ in range(nights)]
        pieces.append(Piece(Doing.WAIT, first_h, hour, 0, km, km))
        if self._is_by_moving_hours:
            pieces += self._moved_more(first, travel, km)
        return travel._replace(begin_h=first_h, pieces=(*pieces, *travel.pieces))

    def _moved_more(self, first: TravelTime, last: TravelTime, km: float) -> list[Piece]:
        """Return the moving hours of each day that one way has and the other has not."""
        starts_h = self.clock.rules.start_hour
        by_first, by_last = (moving_by_waking_day([travel], starts_h) for travel in (first, last))
        pieces = []
        for day, hours in by_first.items():
            more_h = hours - by_last.get(day, 0.0)
            if more_h > 0.0:
                begin_h = starts_h + day * HOURS_PER_DAY
                pieces.append(Piece(Doing.MOVING, begin_h, begin_h + more_h, day, km, km))
        return pieces

    def _water_behind(self) -> StretchEnd:
        plan = self.plan
        return plan.behind_at(always_open_behind(plan, water_behind(plan, self.index)))

    def _back_to(self, stand: _Stand) -> StretchEnd:
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
_ON_TIME_H = 0.5
_BLOCK = 4
