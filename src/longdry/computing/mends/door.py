"""Mend: wait for water that is closed when the party comes by."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from longdry.computing.fills.settled import CLOSED
from longdry.computing.mends.trials import MendSearch, Proposal
from longdry.model.plan.mends import MendFigures, MendKind
from longdry.model.plan.stretch import DryStretch
from longdry.model.water.passes import WaterPass
from longdry.units import HOURS_PER_DAY

_LATER_H = 1.0
"""The party may come by that much earlier than in the plan, where it calls there."""
_CAUTION = (
    "The hours are those of your layer: ring before you leave and ask when it is open, on that day"
    " of the week and that date. Locked means dry."
)


def by_door(search: MendSearch, stretch: DryStretch) -> Iterator[Proposal]:
    """Yield the water of a stretch that is closed when the party comes, the shortest wait first."""
    closed = [one for one in search.inside(stretch) if one.why_not == CLOSED]
    for water in sorted(closed, key=lambda one: _wait_h(search, one)):
        wait_h = min(math.ceil(_wait_h(search, water) + _LATER_H), HOURS_PER_DAY)
        policy = replace(search.trip.policy, longest_wait_h=float(wait_h))
        prepared = search.with_trip(replace(search.trip, policy=policy))
        promise = search.guess(stretch, prepared, search.with_counted(water))
        if promise is not None:
            opens = water.source.open_from_hour or 0.0
            yield Proposal(
                MendKind.DOOR,
                f"Wait at {water.source.name} (km {water.km:.1f}) until it opens at"
                f" {_clock_time(opens)}: longest_wait_h = {wait_h:g}.",
                _CAUTION,
                prepared,
                search.water,
                promise,
                MendFigures(at_km=water.km),
            )


def _wait_h(search: MendSearch, water: WaterPass) -> float:
    arrives_h = search.journey.hour_at_km(water.km) + water.way_km / search.trip.pace.off_route_kmh
    return ((water.source.open_from_hour or 0.0) - arrives_h) % HOURS_PER_DAY


def _clock_time(hour: float) -> str:
    minutes = round(hour * 60.0)
    return f"{minutes // 60:02d}:{minutes % 60:02d}"
