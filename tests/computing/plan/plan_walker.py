"""Walk through a whole plan with the water it says, by sums written from the rules alone.

The hours are those of the plan's clock, which has a replay of its own. What is used in them is
added up here from the words of docs/why/stretches.md and docs/why/clock.md, for trips of one speed
without heat, and held against what the plan carries, leaves over and runs out of.
"""

from __future__ import annotations

import math
from collections.abc import Container, Iterator, Sequence
from dataclasses import dataclass, replace

from longdry.computing.fills.settled import SettledTrip
from longdry.model.plan.fills import Fill
from longdry.model.plan.stretch import DryStretch
from longdry.model.plan.travel import Doing, Piece, TravelTime
from longdry.model.trip.trip import Trip
from longdry.model.water.source import WaterSource
from longdry.model.words import Accrual, Grade, Ration, Travel, Verdict

MINUTE_H = 1.0 / 60.0
LITRE_TOLERANCE = 0.003
"""Fills are planned in whole millilitres."""
WAKES_BEFORE_H, AWAKE_H = 2.0, 16.0
KEPT = {
    Ration.FULL: {Ration.FULL, Ration.LEAN, Ration.BARE},
    Ration.LEAN: {Ration.LEAN, Ration.BARE},
    Ration.BARE: {Ration.BARE},
}
"""On each ration the uses that are kept down to one of these."""


@dataclass(frozen=True)
class Span:
    """What is done from one time to another, cut out of the pieces of a way."""

    begin_h: float
    end_h: float
    moving: tuple[tuple[float, float], ...]
    """From hour to hour, ways off the route included."""
    on_route_h: float
    off_route_h: float
    nights: int


def span_of(travel: TravelTime, until_h: float | None = None) -> Span:
    """Cut a way off at a time; a night that has begun is a night."""
    end_h = travel.end_h if until_h is None else min(until_h, travel.end_h)
    begun = [piece for piece in travel.pieces if piece.begin_h < end_h]
    return Span(
        travel.begin_h,
        end_h,
        tuple((p.begin_h, min(p.end_h, end_h)) for p in begun if _moves(p)),
        sum(min(p.end_h, end_h) - p.begin_h for p in begun if p.doing is Doing.MOVING),
        sum(min(p.end_h, end_h) - p.begin_h for p in begun if p.doing is Doing.WAY),
        sum(p.doing is Doing.NIGHT for p in begun),
    )


def _moves(piece: Piece) -> bool:
    return piece.doing in {Doing.MOVING, Doing.WAY}


def _shared_h(one: tuple[float, float], other: tuple[float, float]) -> float:
    return max(0.0, min(one[1], other[1]) - max(one[0], other[0]))


@dataclass(frozen=True)
class Walker:
    """What a party uses on each ration."""

    trip: Trip
    travels: Sequence[TravelTime]
    """Of the whole trip."""

    def used_l(
        self,
        span: Span,
        ration: Ration,
        *,
        more_days: float = 0.0,
        grades: Container[Grade] = frozenset(Grade),
    ) -> float:
        """Add up what is used; ``more_days`` are days and nights on top, behind the end."""
        people, policy = self.trip.party.people, self.trip.policy
        days = (span.end_h - span.begin_h) / 24.0 + more_days
        nights = span.nights + more_days
        km = (
            span.on_route_h * self.trip.pace.speed_kmh
            + span.off_route_h * self.trip.pace.off_route_kmh
        )
        litres = 0.0
        for use in self.trip.uses:
            if use.kept not in KEPT[ration] or use.grade not in grades:
                continue
            if use.name == "drinking":
                litres += self.drunk_l(span, use.litres * people) + use.litres * people * more_days
            else:
                litres += {
                    Accrual.PERSON_DAY: use.litres * people * days,
                    Accrual.PARTY_DAY: use.litres * days,
                    Accrual.PERSON_NIGHT: use.litres * people * nights,
                    Accrual.PARTY_NIGHT: use.litres * nights,
                    Accrual.PARTY_100KM: use.litres * km / 100.0,
                }[use.per]
        return litres * (1.0 + policy.loss_percent / 100.0)

    def reserve_l(self) -> float:
        """Add up the days of the reserve, at a standstill."""
        policy, people = self.trip.policy, self.trip.party.people
        litres = 0.0
        for use in self.trip.uses:
            if use.kept in KEPT[policy.reserve_ration]:
                litres += {
                    Accrual.PERSON_DAY: use.litres * people,
                    Accrual.PARTY_DAY: use.litres,
                    Accrual.PERSON_NIGHT: use.litres * people,
                    Accrual.PARTY_NIGHT: use.litres,
                    Accrual.PARTY_100KM: 0.0,
                }[use.per]
        return litres * policy.reserve_days * (1.0 + policy.loss_percent / 100.0)

    def drunk_l(self, span: Span, day_l: float) -> float:
        """Add up what is drunk, waking day by waking day."""
        return sum(self._drunk_on(day, span, day_l) for day in self._waking_days(span))

    def _waking_days(self, span: Span) -> Iterator[int]:
        wakes_h = self.trip.pace.start_hour - WAKES_BEFORE_H
        first, last = (int((hour - wakes_h) // 24.0) for hour in (span.begin_h, span.end_h))
        return iter(range(first, last + 1))

    def _drunk_on(self, day: int, span: Span, day_l: float) -> float:
        wakes_h = self.trip.pace.start_hour - WAKES_BEFORE_H + 24.0 * day
        awake, whole_day = (wakes_h, wakes_h + AWAKE_H), (wakes_h, wakes_h + 24.0)
        awake_h = _shared_h((span.begin_h, span.end_h), awake)
        evenly_l = day_l * awake_h / AWAKE_H
        moved_h = sum(_shared_h(moving, whole_day) for moving in span.moving)
        if self.trip.pace.travel is Travel.VEHICLE or moved_h == 0.0:
            return evenly_l
        all_moved_h = sum(
            _shared_h(moving, whole_day)
            for travel in self.travels
            for moving in span_of(travel).moving
        )
        per_hour_l = min(
            self.trip.party.people * self.trip.pace.drink_l_per_moving_h, day_l / all_moved_h
        )
        moved_awake_h = sum(_shared_h(moving, awake) for moving in span.moving)
        other_h = AWAKE_H - all_moved_h
        left_l = (day_l - per_hour_l * all_moved_h) * (awake_h - moved_awake_h) / other_h
        return max(per_hour_l * moved_h + left_l, evenly_l)


def gives_l(source: WaterSource, stay: Span) -> float:
    """Add up what a water gives in a stay; in one without a night it is waited for.

    No source of these trips has a pump, or is on the route twice.
    """
    limit_l = math.inf if source.limit_l is None else source.limit_l
    if source.flow_l_per_min is None or not stay.nights:
        return limit_l
    opens_h, closes_h = source.open_from_hour or 0.0, source.open_to_hour or 24.0
    days = range(int(stay.begin_h // 24.0), int(stay.end_h // 24.0) + 1)
    open_h = sum(
        _shared_h((stay.begin_h, stay.end_h), (24.0 * day + opens_h, 24.0 * day + closes_h))
        for day in days
    )
    return min(limit_l, source.flow_l_per_min * 60.0 * open_h)


@dataclass(frozen=True)
class Alive:
    """What a party lives on from one water until it leaves the next, on the bare ration."""

    walker: Walker
    stretch: DryStretch
    fill: Fill
    """At the stop before it."""
    stay: Span | None
    """With its nights, at the water behind it; None where there is none."""

    @property
    def more_days(self) -> float:
        """Return the days after the end that its water is for."""
        is_last = self.stretch.end.water is None
        return self.walker.trip.policy.days_after_end if is_last else 0.0

    @property
    def until_h(self) -> float:
        """Return how long its water must last."""
        end_h = self.stretch.travel.end_h + 24.0 * self.more_days
        return self.stay.end_h if self.stay else end_h

    def lacks_l(self, hour: float) -> float:
        """Add up what is lacking by a time, in all or of water fit to drink; below 0: it is left.

        Raw water that cannot be treated in time is none to drink (docs/why/stretches.md).
        """
        all_l = self._asked_l(hour, frozenset(Grade)) - (self.stretch.on_board_l or 0.0)
        return max(all_l, self._asked_l(hour, {Grade.POTABLE}) - self._fit_l(hour))

    def _asked_l(self, hour: float, grades: Container[Grade]) -> float:
        way = span_of(self.stretch.travel, hour)
        after_h = max(hour - self.stretch.travel.end_h, 0.0) if self.more_days else 0.0
        asked_l = self.walker.used_l(way, Ration.BARE, more_days=after_h / 24.0, grades=grades)
        if self.stay is None or hour <= self.stay.begin_h:
            return asked_l
        so_far = replace(self.stay, end_h=min(hour, self.stay.end_h))
        given_l = sum(gives_l(water.source, so_far) for water in self.stretch.end.waters)
        used_l = self.walker.used_l(so_far, Ration.BARE, grades=grades)
        return asked_l + max(used_l - given_l, 0.0)

    def _fit_l(self, hour: float) -> float:
        """Add up what is potable, and what is treated: in daily lots, no more than its days allow.

        What was treated at the stop is a part of that (docs/why/fill-plan.md, rule 4).
        """
        trip, carried = self.walker.trip, self.fill.leaving
        if not trip.party.can_treat:
            return carried.potable_l
        per_day_l = trip.treatment.litres_per_day if trip.treatment else None
        if per_day_l is None:
            return carried.total_l
        lots = int((hour - self.stretch.travel.begin_h) / 24.0) + 1
        in_all_l = per_day_l * self.stretch.travel.days - self.fill.treated_l
        return carried.potable_l + min(per_day_l * lots, max(in_all_l, 0.0))


def walk_faults(settled: SettledTrip) -> list[str]:
    """Walk through a plan; give one sentence for everything that is not as it says."""
    walker = Walker(settled.trip, settled.journey.itinerary.travels)
    stays: list[Span | None] = [
        Span(stay.arrives.hour, stay.leaves.hour, (), 0.0, 0.0, stay.nights)
        if stay.nights
        else None
        for stay in settled.journey.itinerary.stays
    ]
    fills = [settled.filling.chosen.fills[index] for index in settled.filling.last_of_stop]
    faults: list[str] = []
    for stretch, fill, stay in zip(settled.stretches, fills, [*stays, None], strict=True):
        alive = Alive(walker, stretch, fill, stay)
        faults += [f"stretch {stretch.number}: {what}" for what in _walked(walker, alive)]
    return faults


def stop_faults(settled: SettledTrip) -> Iterator[str]:
    """Tell the stops that are over before all is drawn, and then treated, that is filled there.

    Each in whole minutes; the filter of these trips treats a litre a minute. A stop may be longer,
    since from round to round it never gets shorter.
    """
    filling, trip = settled.filling, settled.trip
    last = filling.last_of_stop
    for number, stay in enumerate(settled.journey.itinerary.stays):
        fills = filling.chosen.fills[last[number] + 1 : last[number + 1] + 1]
        flows = [(one.take_l, one.water.source.flow_l_per_min) for one in fills if one.water]
        draw_min = sum(litres / flow for litres, flow in flows if flow)
        treat_min = sum(one.treated_l for one in fills) if trip.treatment else 0.0
        least_min = math.ceil(max(15.0, draw_min) - 1e-6) + math.ceil(treat_min - 1e-6)
        if stay.leaves.hour < stay.arrives.hour + least_min * MINUTE_H - 1e-6:
            yield f"stop {number + 1} is over before its {least_min} minutes"


def _walked(walker: Walker, alive: Alive) -> Iterator[str]:
    stretch, more_days = alive.stretch, alive.more_days
    whole = span_of(stretch.travel)
    for one in stretch.needs:
        used_l = walker.used_l(whole, one.ration, more_days=more_days)
        if abs(used_l - one.need.total_l) > LITRE_TOLERANCE:
            yield f"{used_l:.3f} L used on the {one.ration} ration, {one.need.total_l:.3f} L told"
    reserve_l = walker.reserve_l()
    if abs(reserve_l - stretch.reserve_l) > LITRE_TOLERANCE:
        yield f"{reserve_l:.3f} L of reserve, {stretch.reserve_l:.3f} L told"
    carried_l, left_l = stretch.on_board_l or 0.0, stretch.left_l or 0.0
    if min(carried_l, left_l, stretch.missing_l) < 0.0:
        yield "something is below nothing"
    on_way_l = walker.used_l(whole, stretch.ration_told)
    is_dry_on_way = stretch.runs_dry and stretch.runs_dry.hour <= whole.end_h
    wanted_l = 0.0 if is_dry_on_way else carried_l - on_way_l
    if abs(wanted_l - left_l) > LITRE_TOLERANCE:
        yield f"{wanted_l:.3f} L are left, {left_l:.3f} L told"
    after_l = walker.used_l(whole, stretch.ration_told, more_days=more_days) - on_way_l
    if stretch.verdict is Verdict.CLEAR and left_l - after_l < reserve_l - LITRE_TOLERANCE:
        yield f"clear, but {left_l - after_l:.3f} L of {reserve_l:.3f} L of reserve are left"
    yield from _runs_dry(alive)


def _runs_dry(alive: Alive) -> Iterator[str]:
    dry = alive.stretch.runs_dry
    if dry is None:
        if alive.lacks_l(alive.until_h) > LITRE_TOLERANCE:
            yield "the water does not last, and nothing is told of it"
        return
    if dry.hour > alive.until_h:
        yield "it is told to be dry when it need last no longer"
    before_l, after_l = (alive.lacks_l(dry.hour + some_h) for some_h in (-MINUTE_H, MINUTE_H))
    if after_l < -LITRE_TOLERANCE:
        yield f"a minute after it is told to be dry {-after_l:.3f} L are left"
    if before_l > LITRE_TOLERANCE:
        yield f"a minute before it is told to be dry {before_l:.3f} L are lacking"
