"""Mend: go off the route to a known source that is beyond the greatest detour."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from longdry.computing.calls.lists import Item
from longdry.computing.mends.trials import MendSearch, Proposal
from longdry.computing.water.passes import passes_of
from longdry.model.plan.mends import MendFigures, MendKind
from longdry.model.plan.stretch import DryStretch
from longdry.model.water.passes import Approach, WaterPass
from longdry.units import rounded_up

MOST_GUESSED, MOST_PLANNED = 8, 2
"""Guessed at are those that leave the shortest longest part."""


def by_detour(search: MendSearch, stretch: DryStretch) -> Iterator[Proposal]:
    """Yield the detours that better a stretch, best verdict and shortest way first."""
    hopeful = [
        (promise, water.way_km, approach, water)
        for approach, water in _nearest(search, stretch)
        if (promise := search.guess(stretch, search.prepared, search.with_counted(water)))
    ]
    hopeful.sort(key=lambda one: one[:2])
    for promise, _, approach, water in hopeful[:MOST_PLANNED]:
        yield _proposal(search, approach, water, promise)


def _nearest(search: MendSearch, stretch: DryStretch) -> list[tuple[Approach, WaterPass]]:
    """Return the water that counts and leaves the shortest longest part of a stretch."""
    inside = [one for one in search.farther if stretch.begin.km < one.km < stretch.end.km]
    factor = search.trip.pace.detour_factor
    inside.sort(key=lambda one: _longest_part_km(stretch, one, factor))
    journey = search.journey
    dates = [journey.date_of(journey.hour_at_km(one.km)) for one in inside]
    water = search.water
    passes = passes_of(inside, water.sources, search.trip, water.count_on, dates)
    counted = [pair for pair in zip(inside, passes, strict=True) if pair[1].counted]
    return counted[:MOST_GUESSED]


def _longest_part_km(stretch: DryStretch, approach: Approach, factor: float) -> float:
    longer_km = max(approach.km - stretch.begin.km, stretch.end.km - approach.km)
    return longer_km + approach.offset_km * factor


def _proposal(search: MendSearch, approach: Approach, water: WaterPass, promise: Item) -> Proposal:
    pace = search.trip.pace
    way_km = 2.0 * water.way_km
    approaches = sorted([*search.water.approaches, approach], key=lambda one: one.km)
    return Proposal(
        MendKind.DETOUR,
        f"Leave the route at km {water.km:.1f} for {water.source.name},"
        f" {water.offset_km:.1f} km off it: {rounded_up(way_km, 0.1):.1f} km and"
        f" {rounded_up(way_km / pace.off_route_kmh, 0.1):.1f} moving hours there and back.",
        f"The source is {water.judgement.certainty.value}: {water.judgement.why}. The way is"
        f" reckoned as {pace.detour_factor:g} times the straight line; find out whether there is"
        " one, and ask the land manager whether you may take it.",
        search.prepared,
        replace(search.water, approaches=tuple(approaches)),
        promise,
        MendFigures(at_km=water.km),
    )
