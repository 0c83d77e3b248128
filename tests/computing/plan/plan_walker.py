"""Walk through a whole plan with the water it says, by sums written from the rules alone.

The hours are those of the plan's clock, which has a replay of its own. What is used in them is
added up here from the words of docs/why/stretches.md and docs/why/clock.md, for trips of one speed
without heat, and held against what the plan carries, leaves over and runs out of.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from longdry.computing.fills.settled import SettledTrip
from longdry.model.plan.stretch import DryStretch
from longdry.model.plan.travel import Doing, Piece, TravelTime
from longdry.model.trip.trip import Trip
from longdry.model.words import Accrual, Ration, Travel, Verdict

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

    def used_l(self, span: Span, ration: Ration, *, more_days: float = 0.0) -> float:
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
            if use.kept not in KEPT[ration]:
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


def walk_faults(settled: SettledTrip) -> list[str]:
    """Walk through a plan; give one sentence for everything that is not as it says."""
    walker = Walker(settled.trip, settled.journey.itinerary.travels)
    faults: list[str] = []
    for stretch in settled.stretches:
        faults += [f"stretch {stretch.number}: {what}" for what in _walked(walker, stretch)]
    return faults


def _walked(walker: Walker, stretch: DryStretch) -> Iterator[str]:
    is_last = stretch.end.water is None
    more_days = walker.trip.policy.days_after_end if is_last else 0.0
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
    yield from _runs_dry(walker, stretch, carried_l, more_days)


def _runs_dry(
    walker: Walker, stretch: DryStretch, carried_l: float, more_days: float
) -> Iterator[str]:
    whole = span_of(stretch.travel)
    lasts = walker.used_l(whole, Ration.BARE, more_days=more_days) <= carried_l + LITRE_TOLERANCE
    dry = stretch.runs_dry
    if dry is None:
        if not lasts:
            yield "the water does not last, and nothing is told of it"
        return
    before, after = (
        walker.used_l(
            span_of(stretch.travel, dry.hour + some_h),
            Ration.BARE,
            more_days=max(dry.hour + some_h - whole.end_h, 0.0) / 24.0,
        )
        for some_h in (-MINUTE_H, MINUTE_H)
    )
    if after < carried_l - LITRE_TOLERANCE:
        yield f"a minute after it is told to be dry {carried_l - after:.3f} L are left"
    if before > carried_l + LITRE_TOLERANCE:
        yield f"a minute before it is told to be dry {before - carried_l:.3f} L are lacking"
