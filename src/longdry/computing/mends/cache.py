"""Mend: lay a cache of water beforehand, and what laying it costs.

Also here:

- what it costs in water to lay a cache from the water at one end of a stretch.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from longdry.computing.clock.moving_hours import Moment
from longdry.computing.fills.filling import with_best_verdicts
from longdry.computing.fills.problem import start_has_water
from longdry.computing.mends.trials import (
    Draft,
    MendSearch,
    PlannedAgain,
    asked_l,
    goals_beyond,
    is_better,
    kept,
)
from longdry.computing.route.chainage import place_at_km
from longdry.computing.stretches.stretches import StretchContext, judged
from longdry.computing.stretches.verdicts import capacity_l
from longdry.computing.water.passes import passes_of
from longdry.model.plan.mends import Mend, MendFigures, MendKind
from longdry.model.plan.stretch import DryStretch, Span, StretchEnd
from longdry.model.trip.party import Container
from longdry.model.trip.trip import Trip
from longdry.model.water.passes import Approach, WaterPass
from longdry.model.water.source import WaterSource
from longdry.model.words import Certainty, Grade, Ration, Verdict
from longdry.units import HOURS_PER_DAY, KG_PER_L_WATER, rounded_up

CACHE_ID = "cache to be laid"
_STEPS_PER_KM = 10
_SOME_L = 1.0
"""In a cache whose litres are not yet known; one of none would not count."""
_HALVINGS = 6
"""How often the litres are halved in on, where grades and limits ask for more than the sum."""
_CAUTION = (
    "Lay and check this cache yourselves, in containers that stay closed and shaded, marked and"
    " noted; one that you have not seen again may be gone. Never count on a cache of others. Ask"
    " the land manager first whether you may lay it, and take the containers out."
)


@dataclass(frozen=True, slots=True)
class _Place:
    km: float
    base: StretchEnd


def by_cache(mending: MendSearch, stretches: Sequence[DryStretch]) -> list[Mend]:
    """Return for each stretch the cache that costs least water, if one betters it."""
    return [mend for stretch in stretches for mend in _of_stretch(mending, stretch)]


def cache_pass(mending: MendSearch, km: float, litres: float) -> WaterPass:
    """Return the pass of a cache on the route, as a source of the water layer would have it."""
    lat_deg, lon_deg, _ = place_at_km(mending.ahead.outset.measured, km)
    source = WaterSource(
        id=CACHE_ID,
        name=f"cache at km {km:.1f}",
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        grade=Grade.POTABLE,
        kind="cache",
        limit_l=litres,
        certainty=Certainty.CERTAIN,
        laid_by_us=True,
        laid_on=mending.counting.date_at(0.0) or dt.date.min,
    )
    approach = Approach(0, 0, 0.0, km, 0.0, lat_deg, lon_deg)
    return passes_of([approach], [source], mending.trip, mending.counting)[0]


def _of_stretch(mending: MendSearch, stretch: DryStretch) -> list[Mend]:
    for goal in goals_beyond(stretch.verdict):
        laid = [
            (laying.need_l + litres, mend)
            for place in _places(mending, stretch, goal)
            for litres, again in _least_litres(mending, stretch, place.km, goal)
            if (laying := laying_from(place.base, place.km, litres, stretch, mending.ahead.going))
            for mend in kept(mending, stretch, _draft(place.km, litres, laying), again)
        ]
        if laid:
            return [min(laid, key=lambda pair: pair[0])[1]]
    return []


def _places(mending: MendSearch, stretch: DryStretch, goal: Verdict) -> Iterator[_Place]:
    """Yield the nearest places to either end at which a cache would do, by litres alone."""
    first = math.floor(stretch.begin.km * _STEPS_PER_KM) + 1
    last = math.ceil(stretch.end.km * _STEPS_PER_KM) - 1
    if first > last:
        return
    earliest = _first_that(first, last, lambda step: _fits_after(mending, stretch, step, goal))
    past = _first_that(first, last, lambda step: not _fits_before(mending, stretch, step, goal))
    latest = last if past is None else past - 1
    if earliest is None or earliest > latest:
        return
    if stretch.begin.water or _start_has_plenty(mending.trip):
        yield _Place(earliest / _STEPS_PER_KM, stretch.begin)
    if stretch.end.water:
        yield _Place(latest / _STEPS_PER_KM, stretch.end)


def _start_has_plenty(trip: Trip) -> bool:
    return start_has_water(trip) and trip.policy.start_on_board_l is None


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


def _before(mending: MendSearch, stretch: DryStretch, km: float) -> DryStretch:
    return judged(stretch.number, stretch.begin, _end_at(mending, km), mending.ahead.going)


def _after(mending: MendSearch, stretch: DryStretch, km: float) -> DryStretch:
    return judged(stretch.number, _end_at(mending, km), stretch.end, mending.ahead.going)


def _end_at(mending: MendSearch, km: float) -> StretchEnd:
    return StretchEnd(km, cache_pass(mending, km, _SOME_L))


def _fits_before(mending: MendSearch, stretch: DryStretch, step: int, goal: Verdict) -> bool:
    before = _before(mending, stretch, step / _STEPS_PER_KM)
    return asked_l(before, goal) <= before.available_l


def _fits_after(mending: MendSearch, stretch: DryStretch, step: int, goal: Verdict) -> bool:
    after = _after(mending, stretch, step / _STEPS_PER_KM)
    return asked_l(after, goal) <= after.available_l


@dataclass(frozen=True, slots=True)
class _Laid:
    """The plan with a cache, whatever it holds."""

    bare: tuple[DryStretch, ...]
    going: StretchContext

    def holding(self, litres: float) -> PlannedAgain:
        """Plan the fills with so many litres laid."""
        bare = [
            replace(s, begin=_limited(s.begin, litres), end=_limited(s.end, litres))
            for s in self.bare
        ]
        return PlannedAgain(with_best_verdicts(bare, self.going))

    def fewest_l(self, goal: Verdict) -> float:
        """Return the litres that do for both sides of the cache, by their sum."""
        (after,) = (number for number, s in enumerate(self.bare) if _is_cache(s.begin))
        before = self.bare[after - 1]
        used_l = before.wanted_l - before.reserve_l
        left_l = max(before.available_l - used_l, 0.0)
        return max(rounded_up(asked_l(self.bare[after], goal) - left_l), 1.0)


def _is_cache(end: StretchEnd) -> bool:
    return end.water is not None and end.water.source.id == CACHE_ID


def _limited(end: StretchEnd, litres: float) -> StretchEnd:
    if end.water is None or not _is_cache(end):
        return end
    source = replace(end.water.source, limit_l=litres)
    return replace(end, water=replace(end.water, source=source))


def _least_litres(
    mending: MendSearch, stretch: DryStretch, km: float, goal: Verdict
) -> list[tuple[float, PlannedAgain]]:
    """Return the fewest whole litres found that reach the goal, with the plan; or nothing."""
    ahead = mending.ahead_with_pass(cache_pass(mending, km, _SOME_L))
    laid = _Laid(ahead.stretches(), ahead.going)
    least_l, most_l = laid.fewest_l(goal), rounded_up(stretch.capacity_l)
    again = laid.holding(least_l)
    if not is_better(goal, again.verdict_on(stretch)):
        return [(least_l, again)]
    found = laid.holding(most_l)
    if is_better(goal, found.verdict_on(stretch)):
        return []
    for _ in range(_HALVINGS):
        middle_l = rounded_up((least_l + most_l) / 2.0)
        again = laid.holding(middle_l)
        if is_better(goal, again.verdict_on(stretch)):
            least_l = middle_l
        else:
            most_l, found = middle_l, again
    return [(most_l, found)]


def _draft(km: float, litres: float, laying: Laying) -> Draft:
    journeys = "one journey" if laying.journeys == 1 else f"{laying.journeys} journeys"
    return Draft(
        MendKind.CACHE,
        f"Lay a cache of {litres:.0f} L{_treated(laying.base)} at km {km:.1f}, from"
        f" {laying.base.label} (km {laying.base.km:.1f}) out and back: {journeys}, together"
        f" {rounded_up(laying.km, 0.1):.1f} km and {rounded_up(laying.days, 0.1):.1f} days, on"
        f" which the party uses up {rounded_up(laying.need_l):.0f} L beside what it lays.",
        MendFigures(
            litres=litres,
            at_km=km,
            extra_km=laying.km,
            extra_days=laying.days,
            extra_l=laying.need_l,
        ),
        _CAUTION,
    )


def _treated(base: StretchEnd) -> str:
    must_be = base.water is not None and base.water.source.trusted_grade is not Grade.POTABLE
    return ", treated beforehand," if must_be else ""


@dataclass(frozen=True, slots=True)
class Laying:
    """The journeys that lay a cache."""

    base: StretchEnd
    """The water that it is laid from."""
    journeys: int
    """Out and back, each."""
    km: float
    """Of all journeys, out and back, ways off the route included."""
    days: float
    """Elapsed, of all journeys."""
    need_l: float
    """Used up by the party on all journeys, at its own rates on the full ration."""


def laying_from(
    base: StretchEnd, at_km: float, litres: float, stretch: DryStretch, going: StretchContext
) -> Laying | None:
    """Return what it takes to lay litres at a km from a base, and go back to the base.

    The party goes as it travels, with its own containers, and keeps its reserve. Each journey
    begins with the moving hours of a day; of the days of the trip, those from the beginning of the
    stretch on are taken for the heat.

    Returns
    -------
    Laying or None
        None where the way out and back takes all that can be carried.
    """
    span = _out_and_back(base, at_km, stretch, going)
    length_km = 2.0 * (base.way_km + abs(at_km - base.km))
    need_l = going.asking.need_l(Ration.FULL, span, length_km)
    spare_l = _given_l(base, going.trip) - need_l - going.asking.reserve_l(span)
    if spare_l <= 0.0:
        return None
    journeys = math.ceil(litres / spare_l)
    return Laying(base, journeys, journeys * length_km, journeys * span.days, journeys * need_l)


def _given_l(base: StretchEnd, trip: Trip) -> float:
    """Return what can be taken from the base at one visit and carried."""
    limit_l = base.water.source.limit_l if base.water else None
    carried_l = most_carried_l(trip)
    return carried_l if limit_l is None else min(carried_l, limit_l)


def _out_and_back(
    base: StretchEnd, at_km: float, stretch: DryStretch, going: StretchContext
) -> Span:
    clock = going.clock
    on_route_h = clock.profile.between(min(base.km, at_km), max(base.km, at_km))
    one_way_h = on_route_h + base.way_km / going.trip.pace.off_route_kmh
    day = int((stretch.span.start_h + clock.depart.hour) // HOURS_PER_DAY)
    begin = Moment(clock.moving.first_hour + day * HOURS_PER_DAY, day)
    end = clock.moving.after_moving(begin, 2.0 * one_way_h)
    return Span(
        start_h=begin.hour - clock.depart.hour,
        end_h=end.hour - clock.depart.hour,
        nights=end.day - begin.day,
    )


def most_carried_l(trip: Trip) -> float:
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
    return capacity_l(replace(trip, containers=boxes))
