"""Which water counts, when the party is there, and what it fills: settled in rounds.

Dates decide what counts, and litres decide how long a stop takes. From round to round a source's
standing may only get worse and a stop only longer, so the rounds end.
"""

from __future__ import annotations

import copy
import math
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import replace
from functools import partial

from longdry.computing.calls.dry_lists import dry_lists
from longdry.computing.calls.groups import stretch_ends
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
from longdry.computing.fills.filling import Filling, filling_of, stretches_as_filled
from longdry.computing.fills.safe import raised_to
from longdry.computing.fills.settled import CLOSED, SettledTrip, Water
from longdry.computing.needs.needs import day_l
from longdry.computing.plan.stop_minutes import (
    fills_by_stop,
    gets_longer,
)
from longdry.computing.setbacks.dry_proof import safe_floor
from longdry.computing.stretches.journey import Journey, journey_of
from longdry.computing.stretches.prepared import PreparedTrip
from longdry.computing.water.opening import is_open_at
from longdry.computing.water.passes import passes_of
from longdry.model.plan.fills import FillWay
from longdry.model.plan.stretch import DryStretch, StretchEnd
from longdry.model.trip.trip import Trip
from longdry.model.water.passes import WaterPass
from longdry.model.words import CountOn, FillHabit, Travel

_PassKey = tuple[str, float]
"""Source and km of a pass."""
_WorthOf = Callable[[Calls, Journey, Sequence[DryStretch], Sequence[WaterPass]], Worth]


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
            return settled


class _Rounds:
    """What is known after each round: standing, minutes and calls."""

    def __init__(self, prepared: PreparedTrip, water: Water, fill: FillWay) -> None:
        self.prepared, self.water = prepared, water
        self.fill = replace(fill, habit=habit_of(prepared.trip, fill))
        self.out: dict[_PassKey, str] = {}
        """Passes that have lost their standing, and why."""
        self.minutes: dict[float, float] = {}
        """Of each stop, by its km."""
        self.passes = _undated(prepared, water)
        self.ends_of: tuple[tuple[WaterPass, ...], tuple[StretchEnd, ...]] | None = None
        """Passes, and the ends that were made of them."""
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
            self.out, self.passes = self._failed.out, self._failed.passes
        return settled

    def along_the_calls(self) -> SettledTrip | None:
        """Settle dates and stops along the calls; None where one of them loses its standing."""
        while True:
            journey = self._journey(self.minutes, self.calls)
            if self._loses_standing(journey):
                return None
            bare = journey.stretches()
            if not self.prepared.trip.containers:
                told = self._told(journey, bare)
                return SettledTrip(journey, told, bare, bare, None, self.fill)
            filling = self._filled(journey, bare)
            if gets_longer(journey, filling, self.minutes):
                continue
            stretches = stretches_as_filled(bare, filling)
            if idle := self._idle_call(journey, filling, stretches):
                self.calls -= {idle}
                continue
            told = self._told(journey, stretches)
            return SettledTrip(journey, told, bare, stretches, filling, self.fill)

    def _everywhere(self) -> Journey:
        return self._journey(self.minutes)

    def _journey(
        self, minutes: Mapping[float, float], calls: Collection[float] | None = None
    ) -> Journey:
        """Go along all stops that count, or along those at the km of ``calls``."""
        trip = self.prepared.trip
        if self.ends_of is None or self.ends_of[0] is not self.passes:
            ends = stretch_ends(self.passes, self.prepared.length_km, trip)
            self.ends_of = (self.passes, ends)
        start, *stops, end = self.ends_of[1]
        ends = (start, *(one for one in stops if calls is None or one.km in calls), end)
        usual = math.ceil(trip.pace.fill_minutes)
        return journey_of(self.prepared, ends, [minutes.get(one.km, usual) for one in ends[:-1]])

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
        worth = worth_of(kept, settled.journey, settled.stretches, settled.passes)
        return Planned(kept, replace(worth, unkept=worth.unkept + idle), settled)

    def _may_be(self, worth_of: _WorthOf, calls: Calls) -> Worth:
        """Return the worth of a plan by what the containers hold, stops as long as seen so far."""
        journey = self._journey(self.minutes_seen, self._kms_of(calls))
        return worth_of(calls, journey, journey.stretches(), self.passes)

    def _worth(
        self,
        everywhere: Journey,
        calls: Calls,
        journey: Journey,
        stretches: Sequence[DryStretch],
        passes: Sequence[WaterPass],
    ) -> Worth:
        return Worth(
            list_of(stretches),
            dry_lists(journey, stretches, passes),
            unkept(everywhere, self.wishes, calls, journey, stretches),
            trouble_of(journey, stretches),
        )

    def _filled(self, journey: Journey, bare: Sequence[DryStretch]) -> Filling:
        """Fill by the habit; a safe one carries what one dry source asks for."""
        filling = filling_of(bare, journey.demand, self.fill)
        if self.fill.habit is not FillHabit.SAFE:
            return filling
        carried_l = [filling.chosen.fills[index].leaving.total_l for index in filling.last_of_stop]
        return raised_to(filling, safe_floor(journey, self.passes, carried_l))

    def _loses_standing(self, journey: Journey) -> bool:
        dated = _dated(self.prepared, self.water, journey, self.passes, self.out)
        if dated != self.passes:
            self.passes = dated
        if not _gets_worse(self.passes, journey, self.out):
            return False
        self.passes = _without(self.passes, self.out)
        return True

    def _idle_call(
        self, journey: Journey, filling: Filling, stretches: Sequence[DryStretch]
    ) -> float | None:
        """Return the km of a call for nothing, or of an idle one without which nothing is worse."""
        if_dry = all_in_whole_litres(dry_lists(journey, stretches, self.passes))
        for km, taken_l in self.idle_calls(journey, filling):
            if taken_l <= 0.0 or self._is_no_worse_without(km, stretches, if_dry):
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

    def _is_no_worse_without(
        self, km: float, stretches: Sequence[DryStretch], if_dry: list[WorstFirst]
    ) -> bool:
        journey = self._journey(self.minutes, self.calls - {km})
        bare = journey.stretches()
        without = stretches_as_filled(bare, self._filled(journey, bare))
        is_worse = in_whole_litres(list_of(without)) > in_whole_litres(list_of(stretches))
        without_dry = dry_lists(journey, without, self.passes)
        return not is_worse and all_in_whole_litres(without_dry) <= if_dry

    def _told(self, journey: Journey, stretches: Sequence[DryStretch]) -> tuple[WaterPass, ...]:
        """Return the passes with which of them are called at, and why the others are not."""
        called = {_key(end.water): end for end in journey.ends if end.water}
        beside = {_key(one): end for end in journey.ends for one in end.waters}

        def told(one: WaterPass) -> WaterPass:
            if not one.counted:
                return one
            if _key(one) in called:
                return replace(one, call=True)
            if stop := beside.get(_key(one)):
                return replace(one, passed_by_because=why_beside(stop))
            here = self.prepared.trip.here
            if here is not None and one.km <= here.km:
                return replace(one, passed_by_because="it lies behind")
            because = why_passed(one, stretches, is_told=one.km in self.told_to_pass)
            return replace(one, passed_by_because=because)

        return tuple(told(one) for one in self.passes)


def settled_without(settled: SettledTrip, water: Water, km: float) -> SettledTrip | None:
    """Settle dates, stops and fills along the calls of a plan but for the one at a km.

    None where another call loses its standing by that.
    """
    rounds = _Rounds(settled.journey.prepared, water, settled.fill)
    rounds.out = {_key(one): one.why_not for one in settled.passes if not one.counted}
    rounds.passes = settled.passes
    rounds.calls = frozenset(end.km for end in settled.journey.ends[1:-1]) - {km}
    rounds.musts = rounds.calls
    return rounds.along_the_calls()


def habit_of(trip: Trip, fill: FillWay) -> FillHabit:
    """Return how the party fills: as asked, as the trip says, or as is usual by its travel."""
    usual = FillHabit.TOP_UP if trip.pace.travel is Travel.VEHICLE else FillHabit.SAFE
    return fill.habit or trip.policy.fill or usual


def _undated(prepared: PreparedTrip, water: Water) -> tuple[WaterPass, ...]:
    """Return the passes with all that may count, whatever the day."""
    nobody_knows = [None] * len(water.approaches)
    return passes_of(
        water.approaches, water.sources, prepared.trip, CountOn.ANY, nobody_knows, water.judge
    )


def _dated(
    prepared: PreparedTrip,
    water: Water,
    journey: Journey,
    passes: Sequence[WaterPass],
    out: Mapping[_PassKey, str],
) -> tuple[WaterPass, ...]:
    """Judge every pass on the day on which the party comes by."""
    hours = _hours_at(journey)
    dates = [
        journey.date_of(hours.get(_key(one), 0.0) or journey.hour_at_km(one.km)) for one in passes
    ]
    judged = passes_of(
        water.approaches, water.sources, prepared.trip, water.count_on, dates, water.judge
    )
    return _without(judged, out)


def _hours_at(journey: Journey) -> dict[_PassKey, float]:
    hours = {_key(one): journey.itinerary.leaves.hour for one in journey.ends[0].waters}
    for end, stay in zip(journey.ends[1:-1], journey.itinerary.stays, strict=True):
        hours |= {_key(one): stay.arrives.hour for one in end.waters}
    return hours


def _gets_worse(passes: Sequence[WaterPass], journey: Journey, out: dict[_PassKey, str]) -> bool:
    """Note what counted on this journey and does not on its dates, or is closed then."""
    before = len(out)
    counted_now = {_key(one) for one in passes if one.counted}
    reasons = {_key(one): one.why_not for one in passes}
    for end in journey.ends:
        for one in end.waters:
            if _key(one) not in counted_now:
                out[_key(one)] = reasons[_key(one)]
    for end, stay in zip(journey.ends[1:-1], journey.itinerary.stays, strict=True):
        for one in end.waters:
            is_shut = not is_open_at(one.source, stay.arrives.hour)
            if _key(one) not in out and (is_shut or (one is end.water and stay.is_closed)):
                out[_key(one)] = CLOSED
    return len(out) > before


def _without(passes: Sequence[WaterPass], out: Mapping[_PassKey, str]) -> tuple[WaterPass, ...]:
    return tuple(
        replace(one, counted=False, why_not=one.why_not or out[_key(one)])
        if _key(one) in out
        else one
        for one in passes
    )


def _key(water: WaterPass) -> _PassKey:
    return (water.source.id, water.km)
