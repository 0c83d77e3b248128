"""Stops that a careful party calls at whatever the trouble, and stops that it must pass by."""

from __future__ import annotations

import itertools
from collections.abc import Collection, Sequence
from dataclasses import dataclass

from longdry.computing.calls.groups import is_named
from longdry.computing.clock.camps import SAID_AT_WATER_KM
from longdry.computing.clock.day_rules import SNAP_H
from longdry.computing.stretches.journey import Journey
from longdry.errors import TripFileError
from longdry.model.plan.stretch import StretchEnd
from longdry.model.trip.trip import Trip
from longdry.model.words import Certainty, Grade, Travel
from longdry.units import HOURS_PER_DAY

SHORT_WAY_H = 0.25
"""By vehicle a potable source is called at where its way out and back takes no longer."""
LEAST_FILL_DAYS = 0.1
"""No fill is for less than this part of the party's day."""
ONE_DAY_H = HOURS_PER_DAY


@dataclass(frozen=True, slots=True)
class Wishes:
    """What is settled before the search, by index among the stops."""

    told: frozenset[int]
    """To be called at, by the trip."""
    last_sure: frozenset[int]
    """Not passed by for less trouble."""
    must_pass: frozenset[int]
    refills: frozenset[int]
    """Called at wherever a day's water has been used since the last call."""

    @property
    def must_call(self) -> frozenset[int]:
        """What the trip says, and the last sure water."""
        return self.told | self.last_sure


def wishes_of(journey: Journey) -> Wishes:
    """Return what the trip says, pinned camps at water, and the last sure water of long ways.

    Parameters
    ----------
    journey
        Along all stops that count.

    Raises
    ------
    TripFileError
        Where the trip names a source to call at or to pass by that does not count.
    """
    trip = journey.trip
    called = _named(trip.policy.call_at, journey.ends, trip, "call_at")
    passed = _named(trip.policy.pass_by, journey.ends, trip, "pass_by")
    told = called | _camps_at_water(journey)
    return Wishes(
        told=frozenset(told),
        last_sure=frozenset(_last_sure(journey) - passed - told),
        must_pass=frozenset(passed - told),
        refills=_refills(journey) - passed,
    )


def unkept(journey: Journey, wishes: Wishes, called: Collection[int]) -> int:
    """Return how many of the wishes that a trip does not state are not kept.

    Parameters
    ----------
    journey
        Along all stops that count.
    called
        Stops, by index.
    """
    number = len(wishes.last_sure.difference(called))
    here_km = journey.ends[0].km
    for index, stop in enumerate(journey.ends[1:-1]):
        if index in called:
            here_km = stop.km
        elif index in wishes.refills and wants_refill(journey, here_km, stop.km):
            number += 1
    return number


def wants_refill(journey: Journey, here_km: float, km: float) -> bool:
    """Whether a day's water has been used since a km, with a day to go."""
    profile, day_h = journey.clock.profile, journey.clock.rules.hours_per_day
    used_h = profile.between(here_km, km)
    to_go_h = profile.between(km, journey.prepared.length_km)
    return min(used_h, to_go_h) >= day_h - SNAP_H


def _named(names: Sequence[str], ends: Sequence[StretchEnd], trip: Trip, key: str) -> set[int]:
    """Return the stops that names mean; water of the start may be named, and is no stop."""
    at_start, *stops = ends[:-1]
    found: set[int] = set()
    for name in names:
        here = {
            index
            for index, stop in enumerate(stops)
            if any(is_named(name, water) for water in stop.waters)
        }
        behind = trip.here is not None
        if not here and not behind and not any(is_named(name, one) for one in at_start.waters):
            raise TripFileError.single(
                trip.origin or "the trip",
                f"[policy] {key}",
                f'"{name}" is no pass that counts',
                "name a source that counts, or SOURCE@KM for one of its passes",
            )
        found |= here
    return found


def _camps_at_water(journey: Journey) -> set[int]:
    kms = [camp.km for camp in journey.prepared.camps if camp.at_water]
    stops = journey.ends[1:-1]
    return {
        min(range(len(stops)), key=lambda index: abs(stops[index].km - km))
        for km in kms
        if any(abs(stop.km - km) <= SAID_AT_WATER_KM for stop in stops)
    }


def _last_sure(journey: Journey) -> set[int]:
    """Return the last certain stop before each way of more than a day to the next that counts."""
    travels = journey.itinerary.travels
    stops = journey.ends[1:-1]
    found: set[int] = set()
    for index, travel in enumerate(travels[1:]):
        if travel.end_h - travel.begin_h > ONE_DAY_H:
            sure = [i for i in range(index + 1) if _is_sure(stops[i])]
            found |= set(sure[-1:])
    return found


def _is_sure(stop: StretchEnd) -> bool:
    return any(water.judgement.certainty is Certainty.CERTAIN for water in stop.waters)


def _refills(journey: Journey) -> frozenset[int]:
    if journey.trip.pace.travel is not Travel.VEHICLE:
        return frozenset()
    off_kmh = journey.trip.pace.off_route_kmh
    return frozenset(
        index
        for index, stop in enumerate(journey.ends[1:-1])
        if 2.0 * stop.way_km / off_kmh <= SHORT_WAY_H
        and any(water.source.trusted_grade is Grade.POTABLE for water in stop.waters)
    )


def candidates(journey: Journey, wishes: Wishes, most: int) -> list[int]:
    """Return the stops that the search looks at: all, or the best of each part of the way.

    Parameters
    ----------
    most
        About how many at the most; what must be called at comes on top.
    """
    stops = journey.ends[1:-1]
    open_to = [index for index in range(len(stops)) if index not in wishes.must_pass]
    if len(open_to) <= most:
        return open_to
    hours = [journey.clock.profile.moving_h_at(stop.km) for stop in stops]
    part_h = max(hours[-1], 1e-9) / most
    best = [
        min(part, key=lambda index: _worth(stops[index]))
        for _, grouped in itertools.groupby(open_to, key=lambda index: int(hours[index] // part_h))
        for part in [list(grouped)]
    ]
    return sorted({*best, *wishes.must_call})


def _worth(stop: StretchEnd) -> tuple[bool, float, float]:
    water = stop.waters[0]
    is_raw = water.source.trusted_grade is not Grade.POTABLE
    return (is_raw, stop.way_km, -water.judgement.chance)
