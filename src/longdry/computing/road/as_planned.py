"""Litres with which the plan's own promises hold for a party that goes as planned.

The plan carries so much that the party lives on its ration up to the next water and, finding it
dry, on the bare one from there, on or back. Who has at least what the plan has here, and is no
later, is told no less. Who has less still goes on where saving from now makes up for it.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from typing import NamedTuple

from longdry.computing.clock.camps import with_kept
from longdry.computing.clock.clock import Call
from longdry.computing.clock.day_rules import Moment, hours_until_open
from longdry.computing.needs.drinking import WAKING_H
from longdry.computing.setbacks.dry_proof import LeftThere, left_to_bear_dry
from longdry.computing.setbacks.supplied import SuppliedPlan, planned_ration
from longdry.computing.setbacks.ways import moment_after, with_margin
from longdry.model.plan.least import PLANNED_EARLY_H, PLANNED_LATE_H, PlannedRow
from longdry.model.plan.travel import Doing, Piece, TravelTime
from longdry.model.words import Ration, Verdict

_STEP_H = {Doing.MOVING: 0.25, Doing.WAY: 0.25, Doing.BREAK: 1.0, Doing.NIGHT: 1.0}
"""Length of a row; waiting at a door is told by the water there."""
_LATE_H = (0.0, *PLANNED_LATE_H[:2], 1.0, 1.5, PLANNED_LATE_H[-1])
"""How late those come who are asked what they need should the next water be dry."""
_JUST_BEFORE_H = 0.03
"""Who is so little before a row may be told by it: places and hours are told rounded."""
_GONE_ON = (Verdict.CLEAR, Verdict.INTO_RESERVE, Verdict.SHORT_RATION)
_SAME_H = 1e-6


def planned_rows(plan: SuppliedPlan) -> tuple[PlannedRow, ...]:
    """Return the rows of all stretches whose verdict lets the party go on, in travel order."""
    return tuple(
        row
        for index in range(plan.last)
        if plan.stretch(index).verdict in _GONE_ON
        for row in _PlannedWay(plan, index).rows()
    )


class _Part(NamedTuple):
    """A part of a piece of the way."""

    piece: Piece
    from_h: float
    to_h: float
    nights_kept: int
    """Of a camp that the trip pins there, this night among them."""


class _PlannedWay:
    """One stretch as the plan goes it."""

    def __init__(self, plan: SuppliedPlan, index: int) -> None:
        self.plan, self.index = plan, index
        self.stretch = plan.stretch(index)
        self.travel = plan.journey.itinerary.travels[index]
        self.clock, self.demand = plan.journey.clock, plan.demand
        self.ration = planned_ration(self.stretch)
        self.bare_l = self.stretch.needs[-1].need.total_l
        self.arrives = plan.arrives(index + 1)
        heat = self.demand.heat
        asked_l = heat.most_l(self.demand.own_l_per_day) if heat.is_asking else 0.0
        hour_l = self.demand.waiting_l_per_day(asked_l) / WAKING_H
        self.early_l = PLANNED_EARLY_H * hour_l
        self._left: dict[float, LeftThere] = {}

    def rows(self) -> Iterator[PlannedRow]:
        """Cut the stretch into pieces of the way and hours of its camps."""
        begin_h, km = self.travel.begin_h, self.stretch.begin.km
        came_h = self.plan.arrives(self.index).hour if self.index else begin_h
        leaving = _Part(Piece(Doing.WAIT, came_h, begin_h, 0, km, km), came_h, begin_h, 0)
        yield self._row(leaving)
        kept, kept_km = 0, math.nan
        for piece in self.travel.pieces:
            if piece.doing is Doing.NIGHT:
                kept, kept_km = kept + 1 if piece.from_km == kept_km else 1, piece.from_km
            if piece.doing in _STEP_H:
                yield from map(self._row, _parts(piece, kept))

    def _row(self, part: _Part) -> PlannedRow:
        from_km, to_km = (self._km_at(part.piece, hour) for hour in (part.from_h, part.to_h))
        used_l = self._used_l(self.ration, part.to_h)
        has_l = max(self.plan.carried_l[self.index] - used_l, 0.0)
        begin_bare_l, end_bare_l = self._bare_at_begin_l(part), self._bare_ahead_l(part.to_h)
        return PlannedRow(
            from_km,
            to_km,
            part.from_h,
            part.to_h,
            self.stretch.end.label,
            self.stretch.end.km,
            is_clear=self.stretch.verdict is Verdict.CLEAR,
            has_l=has_l,
            saving_l=self._promised_l(end_bare_l, has_l),
            hardest_l=tuple(
                self._hardest_l(part, begin_bare_l, end_bare_l, late_h) for late_h in PLANNED_LATE_H
            ),
        )

    def _promised_l(self, on_l: float, has_l: float) -> float:
        """Return what must be left, with the margin, for who saves from there on.

        Where no dry water must be borne, what the plan has is enough: its reserve is the margin.
        """
        left_l = self._left_there(0.0).with_margin_l
        if left_l > 0.0:
            return on_l + left_l
        return min(with_margin(on_l, self.plan.trip) + self.demand.always_l, has_l)

    def _km_at(self, piece: Piece, hour: float) -> float:
        if piece.doing is not Doing.MOVING:
            return piece.from_km
        return piece.to_km if hour >= piece.end_h else self.travel.km_at(hour)

    def _used_l(self, ration: Ration, hour: float) -> float:
        if hour <= self.travel.begin_h:
            return 0.0
        return self.demand.need_l(ration, self.travel.until(hour))

    def _bare_ahead_l(self, hour: float) -> float:
        return self.bare_l - self._used_l(Ration.BARE, hour)

    def _bare_at_begin_l(self, part: _Part) -> float:
        """Return the litres ahead where a part begins, or just before."""
        ahead_l = self._bare_ahead_l(part.from_h - _JUST_BEFORE_H)
        if part.piece.doing is Doing.NIGHT:  # what goes by nights may not be used yet
            return max(ahead_l, self._bare_before_night_l(part))
        return ahead_l

    def _hardest_l(self, part: _Part, on_bare_l: float, end_bare_l: float, late_h: float) -> float:
        """Return what the hardest place and minute of a part asks for.

        Up to half an hour early, and so much late. Without any margin; who is more than half an
        hour late has it from the end of the part on.

        Parameters
        ----------
        on_bare_l, end_bare_l
            What the way ahead takes on the bare ration from the beginning of the part, and its end.
        """
        travel, arrived = self._late(part, late_h)
        if hours_until_open(self.plan.call(self.index + 1).open_h, arrived.hour) > (
            self.clock.rules.longest_wait_h
        ):
            return math.inf
        early_l = self._left_there(-PLANNED_EARLY_H).bare_l - self.early_l
        left = [self._left_there(one) for one in _LATE_H if one <= late_h]
        if arrived.hour > self.arrives.hour + late_h + _SAME_H:
            after_end = self.plan.trip.policy.days_after_end if self._is_last else 0.0
            asked_l = self.demand.need_l(Ration.BARE, travel, extra_days=after_end)
            on_bare_l, end_bare_l = (max(one, asked_l) for one in (on_bare_l, end_bare_l))
            left.append(self._dry_from(arrived))
        most_l = max(early_l, *(one.bare_l for one in left), self.demand.always_l)
        hardest_l = on_bare_l + self.early_l + most_l
        if late_h <= PLANNED_EARLY_H:
            return hardest_l
        return max(hardest_l, end_bare_l + max(one.with_margin_l for one in left))

    def _bare_before_night_l(self, part: _Part) -> float:
        """Return the litres ahead in a camp whose night is not counted yet."""
        done = self.travel.until(part.from_h)
        if part.from_h <= part.piece.begin_h:
            return self._bare_ahead_l(part.from_h)
        awake = done.pieces[-1]._replace(doing=Doing.WAIT)
        done = done._replace(pieces=(*done.pieces[:-1], awake))
        return self.bare_l - self.demand.need_l(Ration.BARE, done)

    def _late(self, part: _Part, late_h: float) -> tuple[TravelTime, Moment]:
        """Go on to the next water so much later than planned."""
        km = self._km_at(part.piece, part.from_h)
        if part.piece.doing is Doing.NIGHT:
            now = self.clock.rules.day_begun(part.piece.day + 1, km)
        elif part.from_h <= self.travel.begin_h:
            now = self.plan.leaves(self.index)
        else:
            done = self.travel.until(part.from_h)
            now = moment_after(self.clock, self.plan.leaves(self.index), done)
        now = now._replace(hour=now.hour + late_h, left_h=now.left_h - late_h)
        is_away = part.piece.doing in (Doing.WAIT, Doing.WAY)
        here = Call(km, self.stretch.begin.way_km if is_away else 0.0)
        clock = with_kept(self.clock, km, part.nights_kept)
        return clock.onward(now, here, self.plan.call(self.index + 1))

    @property
    def _is_last(self) -> bool:
        return self.index + 1 == self.plan.last

    def _left_there(self, late_h: float) -> LeftThere:
        """Return what must be left at the next water for who comes so much later than planned."""
        if late_h not in self._left:
            come = self.arrives
            come = come._replace(hour=come.hour + late_h, left_h=come.left_h - late_h)
            self._left[late_h] = self._dry_from(come)
        return self._left[late_h]

    def _dry_from(self, arrived: Moment) -> LeftThere:
        if self._is_last:
            return LeftThere(0.0, 0.0)
        return left_to_bear_dry(self.plan, self.index + 1, arrived)


def _parts(piece: Piece, kept: int) -> Iterator[_Part]:
    count = max(math.ceil(piece.hours / _STEP_H[piece.doing] - _SAME_H), 1)
    hours = (piece.begin_h + piece.hours * number / count for number in range(count))
    for from_h, to_h in itertools.pairwise((*hours, piece.end_h)):
        yield _Part(piece, from_h, to_h, kept)
