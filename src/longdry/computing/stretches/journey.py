"""A trip along some water: its one clock, what it asks for, and its dry stretches."""

from __future__ import annotations

import bisect
import datetime as dt
import itertools
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from longdry.computing.clock.camps import camps_at_calls
from longdry.computing.clock.clock import MOST_DAYS, Call, Clock, EndlessTripError, Itinerary
from longdry.computing.heat.by_day import DayOfHeat, as_drinking, days_of_heat
from longdry.computing.needs.drinking import DrinkingHours, moving_by_waking_day
from longdry.computing.needs.needs import HeatDemand, WaterDemand
from longdry.computing.stretches.prepared import PreparedTrip
from longdry.computing.stretches.verdicts import capacity_l, ration_that_does, verdict_of
from longdry.errors import InputError, TripFileError
from longdry.model.plan.days import TravelDay
from longdry.model.plan.stretch import DryStretch, StretchEnd
from longdry.model.plan.travel import MOVES, Piece, TravelTime
from longdry.model.trip.trip import Trip
from longdry.model.words import Travel
from longdry.units import MINUTES_PER_HOUR


@dataclass(frozen=True, slots=True, eq=False)
class Journey:
    """The way from the start over some stops to the end."""

    prepared: PreparedTrip
    ends: tuple[StretchEnd, ...]
    """The start, the stops and the end, in travel order."""
    stop_minutes: tuple[float, ...]
    """Drawing and treating at each end but the last; at the start it is done before departure."""
    clock: Clock
    """With the camps that are away from water."""
    calls: tuple[Call, ...]
    """One for each stop."""
    itinerary: Itinerary
    days: tuple[TravelDay, ...]
    heat: tuple[DayOfHeat, ...]
    demand: WaterDemand
    capacity_l: float
    """All that can be carried: what the containers hold, within the payload left."""
    _stretches: list[DryStretch] = field(default_factory=list, init=False, repr=False)
    _reach_km: list[float] = field(default_factory=list, init=False, repr=False)

    @property
    def trip(self) -> Trip:
        """The trip that is gone."""
        return self.prepared.trip

    def date_of(self, hour: float) -> dt.date | None:
        """Return the date at an hour since the midnight before departure."""
        departs_on = self.prepared.departs_on
        return departs_on + dt.timedelta(hours=hour) if departs_on else None

    def hour_at_km(self, km: float) -> float:
        """Return when the party is at a km of the route for the first time."""
        if not self._reach_km:
            self._reach_km.extend(_reach_km(self.itinerary.travels))
        index = bisect.bisect_left(self._reach_km, km)
        if index == len(self._reach_km):
            return self.itinerary.arrives.hour
        return self.itinerary.travels[index].hour_at_km(km)

    def stretches(self) -> tuple[DryStretch, ...]:
        """Judge what lies between each two neighbouring ends, with all that can be carried."""
        if not self._stretches:
            self._stretches.extend(
                self.judged(number, begin, end, travel)
                for number, ((begin, end), travel) in enumerate(
                    zip(itertools.pairwise(self.ends), self.itinerary.travels, strict=True), 1
                )
            )
        return tuple(self._stretches)

    def judged(
        self,
        number: int,
        begin: StretchEnd,
        end: StretchEnd,
        travel: TravelTime,
        *,
        carried_l: float | None = None,
    ) -> DryStretch:
        """Return one stretch with its needs and its verdict.

        Parameters
        ----------
        carried_l
            What the party has on leaving the beginning; None: all that can be carried.
        """
        after_end = self.trip.policy.days_after_end if end is self.ends[-1] else 0.0
        needs = self.demand.needs(travel, extra_days=after_end)
        reserve_l = self.demand.reserve_l(travel)
        available_l = self.available_l(begin) if carried_l is None else carried_l
        return DryStretch(
            number=number,
            begin=begin,
            end=end,
            travel=travel,
            depart_h=self.itinerary.leaves.hour,
            needs=needs,
            reserve_l=reserve_l,
            capacity_l=self.capacity_l,
            available_l=available_l,
            verdict=verdict_of(
                needs,
                reserve_l,
                available_l,
                containers=bool(self.trip.containers),
                always_l=self.demand.always_l,
            ),
            ration_that_does=ration_that_does(needs, available_l - self.demand.always_l),
        )

    def off_plan(self) -> Journey:
        """Return the same to judge ways by that the plan does not go: see `WaterDemand`."""
        return replace(self, demand=self.demand.off_plan())

    @property
    def held_l(self) -> float:
        """What the containers are said to hold at the beginning."""
        return sum(box.count * (box.holds_l or 0.0) for box in self.trip.containers)

    def available_l(self, begin: StretchEnd) -> float:
        """Return the most that can be carried on leaving an end."""
        if begin.water is not None:
            return self.capacity_l
        if any(box.holds_l is not None for box in self.trip.containers):
            return min(self.held_l, self.capacity_l)
        at_start_l = self.trip.policy.start_on_board_l
        return self.capacity_l if at_start_l is None else min(at_start_l, self.capacity_l)


def _reach_km(travels: Sequence[TravelTime]) -> Iterator[float]:
    """Return how far along the route the party has been at the end of each of its travels."""
    ends_km = (travel.pieces[-1].to_km if travel.pieces else math.inf for travel in travels)
    return itertools.accumulate(ends_km, max)


def journey_of(
    prepared: PreparedTrip,
    ends: Sequence[StretchEnd],
    stop_minutes: Sequence[float] | None = None,
    *,
    heat: HeatDemand | None = None,
) -> Journey:
    """Follow the clock over some stops, and work out what the heat asks for on each day.

    Parameters
    ----------
    ends
        The start, the stops and the end, in travel order.
    stop_minutes
        Drawing and treating at each end but the last; None: the usual minutes of a fill.
    heat
        What the days ask for, where it is known; None: worked out.

    Raises
    ------
    TripFileError
        Where the trip takes more than ten years.
    """
    trip = prepared.trip
    minutes = stop_minutes or (trip.pace.fill_minutes,) * (len(ends) - 1)
    bare_calls = [_call(*pair) for pair in zip(ends[1:-1], minutes[1:], strict=True)]
    calls, away = camps_at_calls(prepared.camps, bare_calls)
    clock = replace(prepared.clock, camps=away)
    try:
        itinerary = clock.follow(calls, Call(ends[0].km, ends[0].way_km))
    except EndlessTripError:
        raise _endless(trip) from None
    moved_h = clock.rules.hours_per_day - itinerary.leaves.left_h if trip.here else 0
    days = travel_days(itinerary, prepared.departs_on, moved_h)
    hot_days = () if heat else days_of_heat(trip, days)
    demand = WaterDemand(
        trip,
        heat or as_drinking(hot_days, prepared.clock.rules.hours_per_day),
        drinking_hours(trip, itinerary.travels, {itinerary.leaves.day: moved_h}),
    )
    return Journey(
        prepared,
        tuple(ends),
        tuple(minutes),
        clock,
        calls,
        itinerary,
        days,
        hot_days,
        demand,
        capacity_l(trip),
    )


def drinking_hours(
    trip: Trip, travels: Sequence[TravelTime], moved_h: Mapping[int, float] | None = None
) -> DrinkingHours:
    """Return how the party's drinking is spread over its days.

    Parameters
    ----------
    moved_h
        Hours that it moved before these travels, by day.
    """
    start_hour = trip.pace.start_hour
    if trip.pace.travel is Travel.VEHICLE:
        return DrinkingHours(start_hour)
    return DrinkingHours(
        start_hour,
        trip.party.people * trip.pace.drink_l_per_moving_h,
        moving_by_waking_day(travels, start_hour, moved_h),
    )


def call_of(end: StretchEnd, stop_h: float = 0.0) -> Call:
    """Return the call at a stop; where its waters have hours, those of the one it is named by."""
    source = end.water.source if end.water else None
    has_hours = source and (source.open_from_hour is not None or source.open_to_hour is not None)
    open_h = (
        (source.open_from_hour or 0.0, _closes(source.open_to_hour))
        if source and has_hours
        else None
    )
    return Call(end.km, end.way_km, stop_h, open_h)


def _closes(hour: float | None) -> float:
    return 24.0 if hour is None else hour


def _call(end: StretchEnd, minutes: float) -> Call:
    return call_of(end, minutes / MINUTES_PER_HOUR)


def _endless(trip: Trip) -> InputError:
    return TripFileError.single(
        trip.origin or "the trip",
        "[pace]",
        f"at this pace and these hours the route takes more than {MOST_DAYS:,} days",
        "check speed_kmh, hours_per_day and start_hour (nobody moves after dark), or cut the route",
    )


def travel_days(
    itinerary: Itinerary, departs_on: dt.date | None, moved_h: float = 0
) -> tuple[TravelDay, ...]:
    """Return every day from the departure to the arrival, days of rest included.

    Days before the itinerary begins are told as if the party rested where it goes on from.

    Parameters
    ----------
    departs_on
        Date of the first day; None leaves all dates open.
    moved_h
        Moving hours of its first day before the itinerary begins.
    """
    moves = [p for travel in itinerary.travels for p in travel.pieces if p.doing in MOVES]
    by_day = {day: list(own) for day, own in itertools.groupby(moves, key=lambda piece: piece.day)}
    at_water = _days_that_end_at_water(itinerary)
    last = itinerary.arrives.day
    days: list[TravelDay] = []
    first, here_km = itinerary.leaves.day, itinerary.leaves.begun_km
    for number in range(last + 1):
        today: Sequence[Piece] = by_day.get(number, ())
        to_km = today[-1].to_km if today else here_km
        before_h = moved_h if number == first else 0
        days.append(
            TravelDay(
                number=number + 1,
                date=departs_on + dt.timedelta(days=number) if departs_on else None,
                from_km=here_km,
                to_km=to_km,
                moving_h=sum((piece.hours for piece in today), before_h),
                camp=number < last,
                rest=not today and before_h <= 0,
                at_water=number in at_water,
                arrives_h=today[-1].end_h if today else None,
            )
        )
        here_km = to_km
    return tuple(days)


def _days_that_end_at_water(itinerary: Itinerary) -> set[int]:
    return {
        stay.leaves.day - night for stay in itinerary.stays for night in range(1, stay.nights + 1)
    }
