"""All the water near a route, and a trip whose dates, stops and litres agree with it."""

from __future__ import annotations

from dataclasses import dataclass

from longdry.computing.fills.filling import Filling
from longdry.computing.stretches.journey import Journey
from longdry.model.plan.fills import FillWay
from longdry.model.plan.stretch import DryStretch
from longdry.model.trip.trip import Trip
from longdry.model.water.passes import Approach, WaterPass
from longdry.model.water.source import WaterSource
from longdry.model.words import CountOn

CLOSED = "closed when the party comes by"
"""Why water that opens too late to be waited for does not count."""


@dataclass(frozen=True, slots=True, eq=False)
class Water:
    """All the water near the route, and how certain it must be to count."""

    approaches: tuple[Approach, ...]
    """By km."""
    sources: tuple[WaterSource, ...]
    count_on: CountOn


@dataclass(frozen=True, slots=True, eq=False)
class SettledTrip:
    """A trip whose dates, stops and litres agree."""

    journey: Journey
    passes: tuple[WaterPass, ...]
    """By km, counted or not."""
    bare: tuple[DryStretch, ...]
    """Judged by what the containers hold, the fills aside."""
    stretches: tuple[DryStretch, ...]
    """As filled; the bare ones where the trip names no containers."""
    filling: Filling | None
    """None where the trip names no containers."""
    fill: FillWay
    """How the party wants to fill."""

    @property
    def trip(self) -> Trip:
        """The trip that is gone."""
        return self.journey.trip
