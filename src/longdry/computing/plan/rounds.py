"""Which water counts, when the party is there, and what it fills: settled in rounds.

Dates decide what counts, and litres decide how long a stop takes. From round to round a source's
standing may only get worse and a stop only longer, so the rounds end.
"""

from __future__ import annotations

import copy
from collections.abc import Callable, Collection, Sequence
from dataclasses import replace
from functools import partial

from longdry.computing.calls.dry_lists import dry_lists
from longdry.computing.calls.lists import (
    WorstFirst,
    all_in_whole_litres,
    in_whole_litres,
    list_of,
)
from longdry.computing.calls.neighbours import Calls, Neighbourhood, Planned, Worth
from longdry.computing.calls.preferences import (
    LEAST_FILL_DAYS,
    unkept,
    why_beside,
    why_passed,
    wishes_of,
)
from longdry.computing.calls.search import best_ways
from longdry.computing.calls.trouble import trouble_of
from longdry.computing.fills.filling import Filling, stretches_as_carried
from longdry.computing.fills.settled import CLOSED, SettledTrip, Water
from longdry.computing.needs.needs import day_l
from longdry.computing.plan.stop_minutes import (
    fills_by_stop,
    gets_longer,
)
from longdry.computing.plan.ways_travelled import Dates, KnownStops, PassKey, WayFilled, key_of
from longdry.computing.stretches.journey import Journey
from longdry.computing.stretches.prepared import PreparedTrip
from longdry.computing.water.opening import is_open_at
from longdry.model.plan.fills import FillWay
from longdry.model.plan.stretch import DryStretch
from longdry.model.trip.trip import Trip
from longdry.model.water.passes import WaterPass
from longdry.model.words import FillHabit, Travel

_WorthOf = Callable[[Calls, Journey, Sequence[DryStretch], tuple[WorstFirst, ...]], Worth]


def settled_trip(prepared: PreparedTrip, water: Water, fill: FillWay) -> SettledTrip:
    """Settle passes, calls, clock, stretches and fills of a trip.

    Raises
    ------
    TripFileError
        Where the trip takes more than ten years, or names a source to call at that does not count.
    """
    rounds = _Rounds(prepared, water, fill)
    rounds.settle_standing()
    while True:
        settled = rounds.along_the_best_calls()
        if settled is not None:
            return _with_what_is_carried(settled)


def _with_what_is_carried(settled: SettledTrip) -> SettledTrip:
    if settled.filling is None:
        return settled
    return replace(settled, stretches=stretches_as_carried(settled.stretches, settled.filling))


class _Rounds:
    """What is known after each round: standing, minutes and calls."""

    def __init__(self, prepared: PreparedTrip, water: Water, fill: FillWay) -> None:
        self.prepared = prepared
        self.fill = replace(fill, habit=habit_of(prepared.trip, fill))
        self.known = KnownStops(prepared, water, self.fill)
        self.out: dict[PassKey, str] = {}
        """Passes that have lost their standing, and why."""
        self.minutes: dict[float, float] = {}
        """Of each stop, by its km."""
        self.stops = self.known.undated()
        self.calls: frozenset[float] = frozenset()
        """Km of the stops that the plan calls at."""
        self.minutes_seen: dict[float, float] = {}
        """Of each stop in the last plan that called there."""
        self.musts: frozenset[float] = frozenset()
        """Km of the stops that it must call at, whatever is drawn."""
        self.told_to_pass: frozenset[float] = frozenset()

    def settle_standing(self) -> None:
        """Judge every pass on the day on which a party comes by that calls at all of them."""
        while self._loses_standing(self._everywhere()):
            pass

    def along_the_best_calls(self) -> SettledTrip | None:
        """Choose the calls among the stops that count now; None where one loses its standing."""
        everywhere = self._everywhere()
        self.wishes = wishes_of(everywhere)
        self.kms = [stop.km for stop in everywhere.ends[1:-1]]
        self.musts = self._kms_of(self.wishes.must_call)
        self.told_to_pass = self._kms_of(self.wishes.must_pass)
        if not self.prepared.trip.containers:
            self.calls = self._kms_of(set(range(len(self.kms))) - self.wishes.must_pass)
            return self.along_the_calls()
        ways = [frozenset(way) for way in best_ways(everywhere, self.wishes)]
        settled_by = self.wishes.told | self.wishes.must_pass
        open_to = [index for index in range(len(self.kms)) if index not in settled_by]
        worth_of = partial(self._worth, everywhere)
        near = Neighbourhood(partial(self._planned, worth_of), partial(self._may_be, worth_of))
        settled = near.best(ways, open_to)
        if settled is None:
            self.out, self.stops = self._failed.out, self._failed.stops
        return settled

    def along_the_calls(self) -> SettledTrip | None:
        """Settle dates and stops along the calls; None where one of them loses its standing.

        What is carried on its stretches is not told yet.
        """
        while True:
            travelled = self.stops.travelled(self.minutes, self.calls)
            journey = travelled.journey
            if self._loses_standing(journey):
                return None
            bare = journey.stretches()
            if not self.prepared.trip.containers:
                told = self._told(journey, bare)
                return SettledTrip(journey, told, bare, bare, None, self.fill)
            filled = travelled.filled(self.stops)
            if gets_longer(journey, filled.filling, self.minutes):
                continue
            if idle := self._idle_call(journey, filled):
                self.calls -= {idle}
                continue
            self.if_dry = filled.if_dry
            told = self._told(journey, filled.stretches)
            return SettledTrip(journey, told, bare, filled.stretches, filled.filling, self.fill)

    def _everywhere(self) -> Journey:
        return self.stops.travelled(self.minutes).journey

    def _kms_of(self, calls: Collection[int]) -> frozenset[float]:
        return frozenset(self.kms[index] for index in calls)

    def _planned(self, worth_of: _WorthOf, calls: Calls) -> Planned[SettledTrip] | None:
        """Settle a trial of its own; None, and its standing noted, where a call loses it."""
        trial = copy.copy(self)
        trial.minutes, trial.out = dict(self.minutes), dict(self.out)
        trial.calls = self._kms_of(calls)
        settled = trial.along_the_calls()
        if settled is None:
            self._failed = trial
            return None
        self.minutes_seen |= trial.minutes
        kept = frozenset(index for index, km in enumerate(self.kms) if km in trial.calls)
        idle = len(self.idle_calls(settled.journey, settled.filling)) if settled.filling else 0
        worth = worth_of(kept, settled.journey, settled.stretches, trial.if_dry)
        return Planned(kept, replace(worth, unkept=worth.unkept + idle), settled)

    def _may_be(self, worth_of: _WorthOf, calls: Calls, near: SettledTrip) -> Worth:
        """Return the worth of a plan by what the containers hold.

        Stops are as long as in a plan near it, others as long as seen so far: a quarter of an hour
        may cost a day.
        """
        near_minutes = zip(near.journey.ends, near.journey.stop_minutes, strict=False)
        minutes = self.minutes_seen | {end.km: took for end, took in near_minutes}
        journey = self.stops.travelled(minutes, self._kms_of(calls)).journey
        bare = journey.stretches()
        return worth_of(calls, journey, bare, dry_lists(journey, bare, self.stops.passes))

    def _worth(
        self,
        everywhere: Journey,
        calls: Calls,
        journey: Journey,
        stretches: Sequence[DryStretch],
        if_dry: tuple[WorstFirst, ...],
    ) -> Worth:
        return Worth(
            list_of(stretches),
            if_dry,
            unkept(everywhere, self.wishes, calls, journey, stretches),
            trouble_of(journey, stretches),
        )

    def _loses_standing(self, journey: Journey) -> bool:
        dates = _dates_of(self.stops.passes, journey)
        self.stops = self.known.on_dates(dates, self.out)
        if not _gets_worse(self.stops.passes, journey, self.out):
            return False
        self.stops = self.known.on_dates(dates, self.out)
        return True

    def _idle_call(self, journey: Journey, filled: WayFilled) -> float | None:
        """Return the km of a call for nothing, or of an idle one without which nothing is worse."""
        for km, taken_l in self.idle_calls(journey, filled.filling):
            if taken_l <= 0.0 or self._is_no_worse_without(km, filled):
                return km
        return None

    def idle_calls(self, journey: Journey, filling: Filling) -> list[tuple[float, float]]:
        """Return km and litres of the calls for less than a tenth of a day, nobody's wish."""
        least_l = LEAST_FILL_DAYS * day_l(journey.demand)
        stops = zip(
            journey.ends[1:-1], journey.itinerary.stays, fills_by_stop(filling)[1:], strict=True
        )
        taken = [
            (end.km, sum(fill.take_l for fill in fills))
            for end, stay, fills in stops
            if not (end.km in self.musts or stay.nights)
        ]
        return [(km, litres) for km, litres in taken if litres < least_l]

    def _is_no_worse_without(self, km: float, filled: WayFilled) -> bool:
        without = self.stops.travelled(self.minutes, self.calls - {km}).filled(self.stops)
        worst, other_worst = list_of(filled.stretches), list_of(without.stretches)
        if in_whole_litres(other_worst) > in_whole_litres(worst):
            return False
        return all_in_whole_litres(without.if_dry) <= all_in_whole_litres(filled.if_dry)

    def _told(self, journey: Journey, stretches: Sequence[DryStretch]) -> tuple[WaterPass, ...]:
        """Return the passes with which of them are called at, and why the others are not."""
        called = {key_of(end.water): end for end in journey.ends if end.water}
        beside = {key_of(one): end for end in journey.ends for one in end.waters}

        def told(one: WaterPass) -> WaterPass:
            if not one.counted:
                return one
            if key_of(one) in called:
                return replace(one, call=True)
            if stop := beside.get(key_of(one)):
                return replace(one, passed_by_because=why_beside(stop))
            here = self.prepared.trip.here
            if here is not None and one.km <= here.km:
                return replace(one, passed_by_because="it lies behind")
            because = why_passed(one, stretches, is_told=one.km in self.told_to_pass)
            return replace(one, passed_by_because=because)

        return tuple(told(one) for one in self.stops.passes)


def settled_without(settled: SettledTrip, water: Water, km: float) -> SettledTrip | None:
    """Settle dates, stops and fills along the calls of a plan but for the one at a km.

    None where another call loses its standing by that.
    """
    rounds = _Rounds(settled.journey.prepared, water, settled.fill)
    rounds.out = {key_of(one): one.why_not for one in settled.passes if not one.counted}
    rounds.stops = rounds.known.of(settled.passes)
    rounds.calls = frozenset(end.km for end in settled.journey.ends[1:-1]) - {km}
    rounds.musts = rounds.calls
    return rounds.along_the_calls()


def habit_of(trip: Trip, fill: FillWay) -> FillHabit:
    """Return how the party fills: as asked, as the trip says, or as is usual by its travel."""
    usual = FillHabit.TOP_UP if trip.pace.travel is Travel.VEHICLE else FillHabit.SAFE
    return fill.habit or trip.policy.fill or usual


def _dates_of(passes: Sequence[WaterPass], journey: Journey) -> Dates:
    """Return the day on which the party comes by each pass; None for all where none departs."""
    if journey.prepared.departs_on is None:
        return (None,) * len(passes)
    hours = _hours_at(journey)
    return tuple(
        journey.date_of(hours.get(key_of(one), 0.0) or journey.hour_at_km(one.km)) for one in passes
    )


def _hours_at(journey: Journey) -> dict[PassKey, float]:
    hours = {key_of(one): journey.itinerary.leaves.hour for one in journey.ends[0].waters}
    for end, stay in zip(journey.ends[1:-1], journey.itinerary.stays, strict=True):
        hours |= {key_of(one): stay.arrives.hour for one in end.waters}
    return hours


def _why_out(one: WaterPass) -> str:
    """Return why a pass loses its standing: in the end the party may come by on another day."""
    when = f"with other calls the party comes on {one.on.isoformat()}: " if one.on else ""
    return f"{when}{one.why_not}"


def _gets_worse(passes: Sequence[WaterPass], journey: Journey, out: dict[PassKey, str]) -> bool:
    """Note what counted on this journey and does not on its dates, or is closed then."""
    before = len(out)
    now = {key_of(one): one for one in passes}
    counted_now = {key_of(one) for one in passes if one.counted}
    for end in journey.ends:
        for one in end.waters:
            if key_of(one) not in counted_now:
                out[key_of(one)] = _why_out(now[key_of(one)])
    for end, stay in zip(journey.ends[1:-1], journey.itinerary.stays, strict=True):
        for one in end.waters:
            is_shut = not is_open_at(one.source, stay.arrives.hour)
            if key_of(one) not in out and (is_shut or (one is end.water and stay.is_closed)):
                out[key_of(one)] = CLOSED
    return len(out) > before
