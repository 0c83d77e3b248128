"""Mends: more moving hours a day, and as the last a higher speed."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from longdry.computing.calls.lists import Item
from longdry.computing.mends.trials import MendSearch, Proposal, may_be_enough
from longdry.computing.stretches.prepared import PreparedTrip
from longdry.computing.stretches.verdicts import severity
from longdry.model.plan.mends import MendFigures, MendKind
from longdry.model.plan.stretch import DryStretch
from longdry.model.trip.trip import Trip
from longdry.units import HOURS_PER_DAY, rounded_up

STEP_H = 0.5
LONGEST_DAY_H = 10.0
"""Moving hours beyond which no day is proposed. Common practice, no source."""
STEP_PERCENT = 5
MOST_FASTER_PERCENT = 15
"""Common practice, no source: what is in a party that has not been that fast is not known."""
MOST_PLANNED = 2
"""Steps planned: longer hours in the heat ask for more water than was guessed."""
_CAUTION = (
    "Faster is not safer: ground, load, heat, light and tired people set the pace. Go by it only"
    " where you have kept it before on such ground."
)


@dataclass(frozen=True, slots=True, eq=False)
class _ChangedPace:
    prepared: PreparedTrip
    words: str


def by_hours(search: MendSearch, stretch: DryStretch) -> Iterator[Proposal]:
    """Yield the fewest longer hours a day that may better a stretch."""
    now_h = search.trip.pace.hours_per_day
    count = max(0, math.floor((LONGEST_DAY_H - now_h) / STEP_H))
    longer = [now_h + STEP_H * step for step in range(1, count + 1)]
    steps = [
        _ChangedPace(
            search.with_trip(longer_days(search.trip, hours)),
            f"Move {hours:g} hours a day instead of {now_h:g}",
        )
        for hours in longer
        if _fits_a_day(search.trip, hours)
    ]
    yield from _least_that_helps(search, stretch, MendKind.HOURS, steps)


def by_pace(search: MendSearch, stretch: DryStretch) -> Iterator[Proposal]:
    """Yield the least higher speed that may better the verdict of a stretch.

    Nobody is told to hurry for fewer litres missing alone.
    """
    steps = [
        _ChangedPace(
            search.with_trip(faster(search.trip, percent)),
            f"Travel {percent} % faster, within the same hours",
        )
        for percent in range(STEP_PERCENT, MOST_FASTER_PERCENT + 1, STEP_PERCENT)
    ]
    now = severity(stretch.verdict)
    for proposal in _least_that_helps(search, stretch, MendKind.PACE, steps):
        if proposal.promise and proposal.promise[0] < now:
            yield proposal


def longer_days(trip: Trip, hours_per_day: float) -> Trip:
    """Return the trip with other moving hours a day."""
    return replace(trip, pace=replace(trip.pace, hours_per_day=hours_per_day))


def faster(trip: Trip, percent: float) -> Trip:
    """Return the trip with its speed and those of its sections higher; ways off it as they are."""
    pace, times = trip.pace, 1.0 + percent / 100.0
    sections = tuple(replace(part, speed_kmh=part.speed_kmh * times) for part in pace.sections)
    return replace(trip, pace=replace(pace, speed_kmh=pace.speed_kmh * times, sections=sections))


def _fits_a_day(trip: Trip, hours: float) -> bool:
    """Whether the day ends by midnight, and what is done in the heat fits into one day."""
    begin_h, end_h = trip.pace.break_h or (0.0, 0.0)
    by_midnight = trip.pace.start_hour + hours + end_h - begin_h <= HOURS_PER_DAY
    if trip.heat is None:
        return by_midnight
    others_h = trip.heat.working_h + trip.heat.resting_in_sun_h + trip.pace.longer_day_h
    return by_midnight and hours + others_h <= HOURS_PER_DAY


def _least_that_helps(
    search: MendSearch, stretch: DryStretch, kind: MendKind, steps: Sequence[_ChangedPace]
) -> Iterator[Proposal]:
    """Yield the lowest step that comes to what the highest may come to, and the one above it."""
    goal = search.guess(stretch, steps[-1].prepared) if steps else None
    if goal is None:
        return
    lowest = next(
        number for number, step in enumerate(steps) if _reaches(search, stretch, step, goal)
    )
    for step in steps[lowest : lowest + MOST_PLANNED]:
        km_per_day = _km_per_day(step.prepared)
        yield Proposal(
            kind,
            f"{step.words}: {rounded_up(km_per_day, 0.1):.1f} km a day over the whole route.",
            _CAUTION,
            step.prepared,
            search.water,
            goal,
            MendFigures(km_per_day=km_per_day),
            key=(kind, step.words),
        )


def _reaches(search: MendSearch, stretch: DryStretch, step: _ChangedPace, goal: Item) -> bool:
    """Whether a step comes to the same verdict, or to the same litres where none is enough."""
    may_be = search.guess(stretch, step.prepared)
    if may_be is None:
        return False
    return may_be[0] <= goal[0] if may_be_enough(goal) else may_be <= goal


def _km_per_day(prepared: PreparedTrip) -> float:
    profile = prepared.clock.profile
    moving_h = float(profile.moving_h[-1])
    return float(profile.km[-1]) / moving_h * prepared.trip.pace.hours_per_day
