"""Stops that a careful party calls at whatever the trouble, and stops that it must pass by.

Also here:

- why a pass that counts is passed by.
"""

from __future__ import annotations

import itertools
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from longdry.computing.calls.dry_lists import most_carried_l
from longdry.computing.calls.groups import is_named, means
from longdry.computing.clock.camps import SAID_AT_WATER_KM
from longdry.computing.clock.day_rules import SNAP_H
from longdry.computing.needs.needs import day_l
from longdry.computing.stretches.journey import Journey
from longdry.errors import TripFileError
from longdry.like_names import nearest_name
from longdry.model.plan.stretch import DryStretch, StretchEnd
from longdry.model.trip.named_pass import named_pass
from longdry.model.trip.trip import Trip
from longdry.model.water.passes import WaterPass
from longdry.model.words import Certainty, Grade, Ration, Travel, Verdict
from longdry.units import HOURS_PER_DAY, UNSEEN_L

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
    refills: Mapping[int, float]
    """By vehicle, potable stops on the way or nearly, not near the end; for each the km of
    the next, or of the end. Called at wherever `wants_refill`."""

    @property
    def must_call(self) -> frozenset[int]:
        """What the trip says, and the last sure water."""
        return self.told | self.last_sure

    def among(self, stops: Sequence[int], journey: Journey) -> Wishes:
        """Return the same where only some stops are looked at."""
        found = [index for index in stops if index in self.refills]
        return replace(self, refills=_each_with_the_next(found, journey))


def wishes_of(journey: Journey) -> Wishes:
    """Return what the trip says, pinned camps at water, and the last sure water of long ways.

    Parameters
    ----------
    journey
        Along all stops that count.

    Raises
    ------
    TripFileError
        Where the trip names a source to call at or to pass by that does not count, or one to do
        both.
    """
    trip = journey.trip
    called = _named(trip.policy.call_at, journey.ends, trip, "call_at")
    passed = _named(trip.policy.pass_by, journey.ends, trip, "pass_by")
    _refuse_both(trip, journey.ends)
    told = called | _camps_at_water(journey)
    return Wishes(
        told=frozenset(told),
        last_sure=frozenset(_last_sure(journey) - passed - told),
        must_pass=frozenset(passed - told),
        refills=_refills(journey, passed),
    )


def unkept(
    journey: Journey,
    wishes: Wishes,
    called: Collection[int],
    gone: Journey,
    stretches: Sequence[DryStretch],
) -> int:
    """Return how many of the wishes that a trip does not state are not kept.

    Parameters
    ----------
    journey
        Along all stops that count.
    called
        Stops, by index.
    gone
        Along those that are called at.
    stretches
        Of that journey.
    """
    passed = sorted(index for index in wishes.refills if index not in called)
    number = len(wishes.last_sure.difference(called))
    left_l = gone.held_l
    for stretch in stretches:
        carried_l = most_carried_l(gone, stretch.begin, left_l)
        for index in passed:
            km = journey.ends[index + 1].km
            if stretch.begin.km < km < stretch.end.km:
                used_l = gone.demand.need_l(Ration.FULL, stretch.travel.until_km(km))
                room_l = gone.capacity_l - max(carried_l - used_l, 0.0)
                number += wants_refill(journey, wishes, stretch.begin.km, index, room_l=room_l)
        left_l = max(carried_l - stretch.need.total_l, 0.0)
    return number


def wants_refill(
    journey: Journey, wishes: Wishes, here_km: float, index: int, *, room_l: float
) -> bool:
    """Whether a day's water fits, or would before the next such water comes.

    That is where a day's moving hours lie behind since the last call, or half of them and all of
    them before the next such water or the end; and where a day's litres have been used.

    Parameters
    ----------
    here_km
        Of the last call.
    index
        Of the stop, one of those that `Wishes.refills` names.
    room_l
        In the containers, on arriving there.
    """
    profile, day_h = journey.clock.profile, journey.clock.rules.hours_per_day
    used_h = profile.between(here_km, journey.ends[index + 1].km)
    until_next_h = profile.between(here_km, wishes.refills[index])
    is_last_before_a_day = used_h >= day_h / 2.0 and until_next_h > day_h + SNAP_H
    return (
        used_h >= day_h - SNAP_H
        or is_last_before_a_day
        or room_l >= day_l(journey.demand) - UNSEEN_L
    )


def _named(names: Sequence[str], ends: Sequence[StretchEnd], trip: Trip, key: str) -> set[int]:
    """Return the stops that names mean; water of the start may be named, and is no stop."""
    at_start, *stops = ends[:-1]
    found: set[int] = set()
    for name in names:
        wanted = named_pass(name)
        here = {
            index
            for index, stop in enumerate(stops)
            if any(means(wanted, water) for water in stop.waters)
        }
        at = trip.here
        is_known = at is not None and name in (*at.names_behind, *at.names_ahead)
        if not here and not is_known and not any(means(wanted, one) for one in at_start.waters):
            raise TripFileError.single(
                trip.origin or "the trip",
                f"[policy] {key}",
                f'"{name}" is no pass that counts',
                _nearest_pass(name, ends),
            )
        found |= here
    return found


def _refuse_both(trip: Trip, ends: Sequence[StretchEnd]) -> None:
    """Refuse a pass that is to be called at and passed by, under its name and its id."""
    waters = [water for end in ends[:-1] for water in end.waters]
    for by in trip.policy.pass_by:
        for at in trip.policy.call_at:
            if any(is_named(by, water) and is_named(at, water) for water in waters):
                raise TripFileError.single(
                    trip.origin or "the trip",
                    "[policy] pass_by",
                    f'"{by}" is the same water as "{at}", which is to be called at',
                    "keep it in one of the two; SOURCE@KM names one pass of several",
                )


def _nearest_pass(name: str, ends: Sequence[StretchEnd]) -> str:
    source = named_pass(name).source.casefold()
    waters = [water for end in ends[:-1] for water in end.waters]
    kms = {f"{one.source.name}@{one.km:.1f}": one for one in waters}
    same = [told for told, one in kms.items() if is_named(source, one)]
    if same:
        return f"name {' or '.join(same[:3])}"
    near = nearest_name(source, (one.source.name for one in waters))
    hint = f'; the nearest name is "{near}"' if near else ""
    return f"name a source that counts, or SOURCE@KM for one of its passes{hint}"


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
    found: set[int] = set()
    last: set[int] = set()
    onward = zip(journey.ends[1:-1], journey.itinerary.travels[1:], strict=True)
    for index, (stop, travel) in enumerate(onward):
        last = {index} if is_certain(stop) else last
        if travel.end_h - travel.begin_h > ONE_DAY_H:
            found |= last
    return found


def is_certain(stop: StretchEnd) -> bool:
    """Whether any water of a stop is certain, be it by the user's word alone."""
    return any(water.judgement.certainty is Certainty.CERTAIN for water in stop.waters)


def _refills(journey: Journey, passed: Collection[int]) -> dict[int, float]:
    if journey.trip.pace.travel is not Travel.VEHICLE:
        return {}
    off_kmh, length_km = journey.trip.pace.off_route_kmh, journey.prepared.length_km
    near_end_h = journey.clock.rules.hours_per_day / 2.0 - SNAP_H
    found = [
        index
        for index, stop in enumerate(journey.ends[1:-1])
        if 2.0 * stop.way_km / off_kmh <= SHORT_WAY_H
        and any(water.source.trusted_grade is Grade.POTABLE for water in stop.waters)
        and journey.clock.profile.between(stop.km, length_km) >= near_end_h
        and index not in passed
    ]
    return _each_with_the_next(found, journey)


def _each_with_the_next(found: Sequence[int], journey: Journey) -> dict[int, float]:
    next_km = [*(journey.ends[index + 1].km for index in found[1:]), journey.prepared.length_km]
    return dict(zip(found, next_km, strict=False))


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


WORTH_TELLING_KM = 0.5
"""A shorter way off the route is no reason to pass water by."""


def why_beside(stop: StretchEnd) -> str:
    """Return why other water of a stop is not called at by its own name."""
    return f"drawn on at {'the stop of ' if stop.water else 'the '}{stop.label}"


def why_passed(water: WaterPass, stretches: Sequence[DryStretch], *, is_told: bool) -> str:
    """Return why a pass that counts is passed by.

    Parameters
    ----------
    stretches
        Of the plan, in travel order.
    is_told
        Whether the trip says so.
    """
    if is_told:
        return "the trip says so"
    stretch = next((one for one in stretches if water.km < one.end.km), stretches[-1])
    where = f"the next call, {stretch.end.label}" if stretch.end.water else "the end"
    if stretch.verdict is Verdict.CLEAR:
        because = f"what is carried lasts to {where}"
    else:
        because = f"water is missing on the way to {where}, and no call here was found to mend that"
    if water.way_km < WORTH_TELLING_KM:
        return because
    return f"{because}; the way out and back is {2.0 * water.way_km:.1f} km"
