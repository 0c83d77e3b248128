"""Mend: lay a cache of water beforehand, and what laying it costs."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from longdry.computing.calls.preferences import LEAST_FILL_DAYS
from longdry.computing.clock.clock import Call
from longdry.computing.clock.day_rules import Moment
from longdry.computing.fills.problem import start_has_water
from longdry.computing.fills.settled import Water
from longdry.computing.mends.trials import Cost, MendSearch, Proposal, is_better
from longdry.computing.needs.needs import day_l
from longdry.computing.route.chainage import place_at_km
from longdry.computing.stretches.verdicts import size_l
from longdry.model.plan.mends import MendFigures, MendKind
from longdry.model.plan.stretch import DryStretch, StretchEnd
from longdry.model.trip.party import Container
from longdry.model.trip.trip import Trip
from longdry.model.water.passes import Approach
from longdry.model.water.source import WaterSource
from longdry.model.words import Certainty, CountOn, Grade, Ration, Travel, Verdict
from longdry.units import (
    HOURS_PER_DAY,
    KG_PER_L_WATER,
    MINUTES_PER_HOUR,
    rounded_down,
    rounded_up,
)

CACHE_ID = "cache to be laid"
MOST_JOURNEYS = 3
MOST_LAYING_DAYS = 2.0
"""Of all journeys together. Common practice, no source: whoever needs more needs another plan."""
LEAST_AWAY_H = 0.5
"""Of moving, from the water at either end: nearer, nobody would lay one."""
_STEPS_PER_KM = 10
_CAUTION = (
    "Not seen again means not there: look at it again before you count on it, and never count on a"
    " cache of others. Ask the land manager first whether you may lay it; close, shade, mark and"
    " note its containers, which are beside those of the trip, and take them out again. How you"
    " come to {base} beforehand is not reckoned."
)


def by_cache(search: MendSearch, stretch: DryStretch) -> Iterator[Proposal]:
    """Yield the cache that costs least water, with as much as it needs and as its journeys lay.

    A cache is never better than likely: where only certain sources count, there is none. Nor is
    there one of so little that no plan would stop for it.
    """
    if search.water.count_on is CountOn.CERTAIN:
        return
    for goal in (Verdict.CLEAR, Verdict.INTO_RESERVE):
        if not is_better(goal, stretch.verdict):
            return
        laid = [
            laying
            for site in _sites(search, stretch, goal)
            if site.litres >= LEAST_FILL_DAYS * day_l(search.journey.demand)
            if (laying := laying_from(search, stretch, site)) is not None
        ]
        if not laid:
            continue
        least = min(laid, key=lambda one: one.litres + one.need_l)
        yield _proposal(search, least)
        if least.most_l > least.litres:
            yield _proposal(search, replace(least, litres=least.most_l))
        return


@dataclass(frozen=True, slots=True)
class _Site:
    base: StretchEnd
    km: float
    litres: float
    """The fewest that do, by their sum."""


class _Halves:
    """The two parts that a cache makes of a stretch, by litres alone."""

    def __init__(self, search: MendSearch, stretch: DryStretch) -> None:
        journey = search.journey
        index = stretch.number - 1
        calls = (
            Call(journey.ends[0].km, journey.ends[0].way_km),
            *journey.calls,
            Call(journey.prepared.length_km),
        )
        stays = journey.itinerary.stays
        self._journey = journey
        self._stretch = stretch
        self._here, self._there = calls[index], calls[index + 1]
        self._leaves = stays[index - 1].leaves if index else journey.itinerary.leaves
        self._carried_l = min(stretch.available_l, all_carried_l(search.trip))

    def need_before_l(self, km: float, goal: Verdict) -> float:
        """Return what the way to a cache asks for."""
        return _asked_l(self._before(km)[0], goal)

    def is_before_done(self, km: float, goal: Verdict) -> bool:
        """Whether the cache is reached."""
        return self.need_before_l(km, goal) <= self._carried_l

    def is_after_done(self, km: float, goal: Verdict) -> bool:
        """Whether the containers hold what the way on from the cache asks for."""
        after = self._after(km)
        return _asked_l(after, goal) <= min(after.capacity_l, self._journey.capacity_l)

    def fewest_l(self, km: float, goal: Verdict) -> float:
        """Return the whole litres that do for the way on from the cache."""
        left_l = max(self._carried_l - self._before(km)[0].need.total_l, 0.0)
        return max(rounded_up(_asked_l(self._after(km), goal) - left_l), 1.0)

    def _before(self, km: float) -> tuple[DryStretch, Moment]:
        journey = self._journey
        travel, there = journey.clock.onward(self._leaves, self._here, Call(km))
        begin, end = self._stretch.begin, StretchEnd(km)
        return journey.judged(self._stretch.number, begin, end, travel), there

    def _after(self, km: float) -> DryStretch:
        journey = self._journey
        _, there = self._before(km)
        stop_h = math.ceil(journey.trip.pace.fill_minutes) / MINUTES_PER_HOUR
        leaves = there.at(there.hour + stop_h)
        travel, _ = journey.clock.onward(leaves, Call(km), self._there)
        return journey.judged(self._stretch.number, StretchEnd(km), self._stretch.end, travel)


def _asked_l(stretch: DryStretch, goal: Verdict) -> float:
    return stretch.wanted_l if goal is Verdict.CLEAR else stretch.need.total_l


def _sites(search: MendSearch, stretch: DryStretch, goal: Verdict) -> Iterator[_Site]:
    """Yield the nearest places to either end at which a cache would do, by litres alone."""
    halves = _Halves(search, stretch)
    profile = search.prepared.clock.profile
    begin_h, end_h = (profile.moving_h_at(end.km) for end in (stretch.begin, stretch.end))
    first = math.ceil(profile.km_after(begin_h + LEAST_AWAY_H) * _STEPS_PER_KM)
    last = math.floor(profile.km_after(end_h - LEAST_AWAY_H) * _STEPS_PER_KM)
    if first > last:
        return
    earliest = _first_that(first, last, lambda step: halves.is_after_done(_km(step), goal))
    past = _first_that(first, last, lambda step: not halves.is_before_done(_km(step), goal))
    latest = last if past is None else past - 1
    if earliest is None or earliest > latest:
        return
    for base, step in ((stretch.begin, earliest), (stretch.end, latest)):
        if _can_lay_from(base, stretch, search.trip):
            yield _Site(base, _km(step), halves.fewest_l(_km(step), goal))


def _km(step: int) -> float:
    return step / _STEPS_PER_KM


def _can_lay_from(base: StretchEnd, stretch: DryStretch, trip: Trip) -> bool:
    """Whether all that the journeys take can be had there; a limit is left to the trip itself.

    Who walks or rides comes to the water behind a stretch over the stretch alone.
    """
    if base is stretch.end and trip.pace.travel is not Travel.VEHICLE:
        return False
    if base.water is not None:
        return base.water.source.limit_l is None
    is_start = base.km == 0.0
    return is_start and start_has_water(trip) and trip.policy.start_on_board_l is None


def _first_that(first: int, last: int, holds: Callable[[int], bool]) -> int | None:
    """Find by halving the first step for which something holds that then goes on holding."""
    if not holds(last):
        return None
    while first < last:
        middle = (first + last) // 2
        if holds(middle):
            last = middle
        else:
            first = middle + 1
    return last


@dataclass(frozen=True, slots=True)
class Laying:
    """The journeys that lay a cache."""

    base: StretchEnd
    """The water that it is laid from."""
    at_km: float
    litres: float
    """To lay."""
    journeys: int
    """Out and back, each."""
    most_l: float
    """Whole litres that so many journeys lay."""
    km: float
    """Of all journeys, out and back, ways off the route included."""
    hours: float
    """Elapsed, of all journeys, one after the other."""
    need_l: float
    """Used up by the party on all journeys, at its own rates on the full ration."""


@dataclass(frozen=True, slots=True)
class _Journeys:
    """So many journeys one after the other."""

    count: int = 0
    km: float = 0.0
    need_l: float = 0.0
    laid_l: float = 0.0


def laying_from(search: MendSearch, stretch: DryStretch, site: _Site) -> Laying | None:
    """Return what it takes to lay the litres of a site from its base, and go back to the base.

    The party goes as it travels, with its own containers and within its payload, and keeps its
    reserve. The first journey begins with the day on which the stretch begins, for the heat.

    Returns
    -------
    Laying or None
        None where more journeys or days are asked for than a party will make.
    """
    rules = search.prepared.clock.rules
    begins = rules.day_begun(int(stretch.travel.begin_h // HOURS_PER_DAY), site.base.km)
    on_route_h = search.prepared.clock.profile.between(
        min(site.base.km, site.km), max(site.base.km, site.km)
    )
    one_way_h = on_route_h + site.base.way_km / search.trip.pace.off_route_kmh
    if 2.0 * one_way_h > MOST_LAYING_DAYS * HOURS_PER_DAY:
        return None
    done, now = _Journeys(), begins
    while done.laid_l < site.litres:
        if done.count == MOST_JOURNEYS:
            return None
        done, now, is_worth_it = _one_more(search, site, one_way_h, done, now)
        if not is_worth_it or now.hour - begins.hour > MOST_LAYING_DAYS * HOURS_PER_DAY:
            return None
    return Laying(
        site.base,
        site.km,
        site.litres,
        done.count,
        rounded_down(done.laid_l),
        done.km,
        now.hour - begins.hour,
        done.need_l,
    )


def _one_more(
    search: MendSearch, site: _Site, one_way_h: float, done: _Journeys, now: Moment
) -> tuple[_Journeys, Moment, bool]:
    """Go out and back once more; whether anything is laid by it."""
    clock, demand = search.prepared.clock, search.journey.demand.off_plan()
    way_km, base_km = site.base.way_km, site.base.km
    out, there = clock.freely(now, one_way_h, way_km=way_km, from_km=base_km, to_km=site.km)
    back, then = clock.freely(there, one_way_h, way_km=way_km, from_km=site.km, to_km=base_km)
    need_l = demand.need_l(Ration.FULL, out) + demand.need_l(Ration.FULL, back)
    reserve_l = max(demand.reserve_l(out), demand.reserve_l(back))
    laid_l = all_carried_l(search.trip) - need_l - reserve_l
    length_km = 2.0 * (way_km + abs(site.km - base_km))
    more = _Journeys(
        done.count + 1, done.km + length_km, done.need_l + need_l, done.laid_l + laid_l
    )
    return more, then, laid_l > 0.0


def all_carried_l(trip: Trip) -> float:
    """Return the litres that the containers hold and the payload left can carry."""
    left_l = {
        vehicle.name: max(vehicle.payload_left_kg, 0.0) / KG_PER_L_WATER
        for vehicle in trip.vehicles
    }
    carried_l = 0.0
    for name, payload_l in left_l.items():
        boxes = tuple(box for box in trip.containers if box.vehicle == name)
        tare_l = sum(box.count * box.tare_kg for box in boxes) / KG_PER_L_WATER
        carried_l += min(_holding(trip, boxes), max(payload_l - tare_l, 0.0))
    loose = tuple(box for box in trip.containers if box.vehicle not in left_l)
    return carried_l + _holding(trip, loose)


def _holding(trip: Trip, boxes: tuple[Container, ...]) -> float:
    return sum(box.count * size_l(trip, box) for box in boxes)


def _proposal(search: MendSearch, laying: Laying) -> Proposal:
    journeys = "one journey" if laying.journeys == 1 else f"{laying.journeys} journeys"
    base = f"{laying.base.label} (km {laying.base.km:.1f})"
    return Proposal(
        MendKind.CACHE,
        f"Lay a cache of {laying.litres:.0f} L{_treated(laying.base)} at km {laying.at_km:.1f},"
        f" from {base} out and back: {journeys}, together {rounded_up(laying.km, 0.1):.1f} km and"
        f" {rounded_up(laying.hours, 0.1):.1f} hours, on which the party uses up"
        f" {rounded_up(laying.need_l):.0f} L beside what it lays.",
        _CAUTION.format(base=laying.base.label),
        search.prepared,
        with_cache(search, laying.at_km, laying.litres),
        None,
        MendFigures(litres=laying.litres, at_km=laying.at_km),
        beforehand=Cost(laying.km, laying.hours, laying.need_l),
    )


def _treated(base: StretchEnd) -> str:
    must_be = base.water is not None and base.water.source.trusted_grade is not Grade.POTABLE
    return ", treated beforehand," if must_be else ""


def with_cache(search: MendSearch, km: float, litres: float) -> Water:
    """Return the water with a cache on the route, as the water layer would have it."""
    lat_deg, lon_deg, _ = place_at_km(search.prepared.measured, km)
    source = WaterSource(
        id=CACHE_ID,
        name=f"cache at km {km:.1f}",
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        grade=Grade.POTABLE,
        kind="cache",
        limit_l=litres,
        certainty=Certainty.LIKELY,
        laid_by_us=True,
        laid_on=search.journey.prepared.departs_on or dt.date.min,
    )
    water = search.water
    approach = Approach(len(water.sources), 0, 0.0, km, 0.0, lat_deg, lon_deg)
    approaches = sorted([*water.approaches, approach], key=lambda one: one.km)
    return replace(water, approaches=tuple(approaches), sources=(*water.sources, source))
