"""Mend: lay a cache of water beforehand, and what laying it costs."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from longdry.computing.chainage import place_at_km
from longdry.computing.counting import passes_of
from longdry.computing.fill_problem import start_has_water
from longdry.computing.laying import Laying, laying_from
from longdry.computing.mend_trials import (
    Draft,
    Mending,
    PlannedAgain,
    asked_l,
    goals_beyond,
    is_better,
    kept,
)
from longdry.computing.stretches import judged
from longdry.model.dry_stretch import DryStretch, StretchEnd
from longdry.model.mend import Mend, MendFigures, MendKind
from longdry.model.trip import Trip
from longdry.model.water_pass import Approach, WaterPass
from longdry.model.water_source import WaterSource
from longdry.model.words import Certainty, Grade, Verdict
from longdry.units import rounded_up

CACHE_ID = "cache to be laid"
_STEPS_PER_KM = 10
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


def by_cache(mending: Mending, stretches: Sequence[DryStretch]) -> list[Mend]:
    """Return for each stretch the cache that costs least water, if one betters it."""
    return [mend for stretch in stretches for mend in _of_stretch(mending, stretch)]


def cache_pass(mending: Mending, km: float, litres: float) -> WaterPass:
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
    )
    approach = Approach(0, 0, 0.0, km, 0.0, lat_deg, lon_deg)
    return passes_of([approach], [source], mending.trip, mending.counting)[0]


def _of_stretch(mending: Mending, stretch: DryStretch) -> list[Mend]:
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


def _places(mending: Mending, stretch: DryStretch, goal: Verdict) -> Iterator[_Place]:
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


def _before(mending: Mending, stretch: DryStretch, km: float) -> DryStretch:
    return judged(stretch.number, stretch.begin, _end_at(mending, km), mending.ahead.going)


def _after(mending: Mending, stretch: DryStretch, km: float) -> DryStretch:
    return judged(stretch.number, _end_at(mending, km), stretch.end, mending.ahead.going)


def _end_at(mending: Mending, km: float) -> StretchEnd:
    return StretchEnd(km, cache_pass(mending, km, 0.0))


def _fits_before(mending: Mending, stretch: DryStretch, step: int, goal: Verdict) -> bool:
    before = _before(mending, stretch, step / _STEPS_PER_KM)
    return asked_l(before, goal) <= before.available_l


def _fits_after(mending: Mending, stretch: DryStretch, step: int, goal: Verdict) -> bool:
    after = _after(mending, stretch, step / _STEPS_PER_KM)
    return asked_l(after, goal) <= after.available_l


def _least_litres(
    mending: Mending, stretch: DryStretch, km: float, goal: Verdict
) -> list[tuple[float, PlannedAgain]]:
    """Return the fewest whole litres found that reach the goal, with the plan; or nothing."""
    before, after = _before(mending, stretch, km), _after(mending, stretch, km)
    most_l = rounded_up(after.available_l)
    left_l = max(before.available_l - before.need.total_l, 0.0)
    least_l = max(rounded_up(asked_l(after, goal) - left_l), 1.0)
    if (again := _with_cache(mending, stretch, km, least_l, goal)) is not None:
        return [(least_l, again)]
    if (found := _with_cache(mending, stretch, km, most_l, goal)) is None:
        return []
    for _ in range(_HALVINGS):
        middle_l = rounded_up((least_l + most_l) / 2.0)
        again = _with_cache(mending, stretch, km, middle_l, goal)
        if again is None:
            least_l = middle_l
        else:
            most_l, found = middle_l, again
    return [(most_l, found)]


def _with_cache(
    mending: Mending, stretch: DryStretch, km: float, litres: float, goal: Verdict
) -> PlannedAgain | None:
    again = mending.with_pass(cache_pass(mending, km, litres))
    return None if is_better(goal, again.verdict_on(stretch)) else again


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
