"""Minutes of each stop: drawing, and treating what the party treats there."""

from __future__ import annotations

import math
from collections.abc import Sequence

from longdry.computing.fills.drawing import draw_minutes
from longdry.computing.fills.filling import Filling
from longdry.computing.fills.settled import SettledTrip
from longdry.computing.stretches.journey import Journey
from longdry.computing.treating.treating import effort_of, height_at
from longdry.model.plan.fills import Fill

_WHOLE = 1e-6
"""A stop is not a minute longer for the rounding of sums."""


def gets_longer(journey: Journey, filling: Filling, minutes: dict[float, float]) -> bool:
    """Note how long each stop takes for what is filled there; whether any takes longer now."""
    wanted = minutes_at_stops(journey, filling)
    is_longer = False
    for end, (draw_min, treat_min), known in zip(
        journey.ends[1:-1], wanted, journey.stop_minutes[1:], strict=True
    ):
        is_longer |= draw_min + treat_min > known
        minutes[end.km] = max(draw_min + treat_min, known)
    return is_longer


def minutes_by_stop(settled: SettledTrip) -> list[tuple[float, float]]:
    """Return the whole minutes of drawing and of treating at each call.

    A stop that was longer in an earlier round keeps its length: the rest counts as drawing.
    """
    journey = settled.journey
    if settled.filling is None:
        return [(known, 0.0) for known in journey.stop_minutes[1:]]
    wanted = minutes_at_stops(journey, settled.filling)
    return [
        (max(known - treat_min, draw_min), treat_min)
        for (draw_min, treat_min), known in zip(wanted, journey.stop_minutes[1:], strict=True)
    ]


def minutes_at_stops(journey: Journey, filling: Filling) -> list[tuple[float, float]]:
    """Return the same by the fills of a journey."""
    return [_minutes_at(fills, journey) for fills in fills_by_stop(filling)[1:]]


def fills_by_stop(filling: Filling) -> list[list[Fill]]:
    """Return the fills of each stop, one for each of its waters."""
    groups: list[list[Fill]] = []
    first = 0
    for last in filling.last_of_stop:
        groups.append(list(filling.chosen.fills[first : last + 1]))
        first = last + 1
    return groups


def _minutes_at(fills: Sequence[Fill], journey: Journey) -> tuple[float, float]:
    """Return the whole minutes of drawing and of treating at a stop."""
    trip = journey.trip
    drawn = sum(draw_minutes(fill.water, fill.take_l, trip) for fill in fills if fill.water)
    treated = _treat_minutes(sum(fill.treated_l for fill in fills), fills[0].km, journey)
    draw_min = math.ceil(max(trip.pace.fill_minutes, drawn) - _WHOLE)
    return float(draw_min), float(math.ceil(treated - _WHOLE))


def _treat_minutes(litres: float, km: float, journey: Journey) -> float:
    """Return what treating takes; 0 where the trip names no method."""
    treatment = journey.trip.treatment
    if litres <= 0.0 or treatment is None:
        return 0.0
    height_m = height_at(journey.prepared.measured, km)
    return effort_of(treatment, litres, height_m=height_m).minutes or 0.0
