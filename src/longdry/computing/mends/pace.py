"""Mend: travel more km a day, by longer hours or by a higher speed."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from longdry.computing.clock.moving_hours import daily_windows
from longdry.computing.mends.trials import Draft, MendSearch, PlannedAgain, is_better, kept
from longdry.computing.stretches.outlook import going_in_known_heat
from longdry.computing.stretches.stretches import StretchContext, judged
from longdry.model.plan.mends import Mend, MendFigures, MendKind
from longdry.model.plan.stretch import DryStretch
from longdry.model.trip.trip import Pace, Trip
from longdry.model.words import Verdict
from longdry.units import rounded_up

STEP_H = 0.5
LONGEST_DAY_H = 12.0
"""Moving hours beyond which no day is proposed. Common practice, no source."""
STEP_PERCENT = 5
MOST_FASTER_PERCENT = 50
_TRIES_BEYOND = 2
"""Steps tried beyond the guess: longer hours in the heat ask for more water."""
_CAUTION = (
    "Faster is not safer: ground, load, heat, light and tired people set the pace. Go by it only"
    " where you have kept it before on such ground."
)


@dataclass(frozen=True, slots=True)
class _Rung:
    trip: Trip
    words: str


class _Ladder:
    """Trips at an ever higher pace; each is planned once, when it is asked for."""

    def __init__(self, mending: MendSearch, rungs: Sequence[_Rung]) -> None:
        self._mending = mending
        self.rungs = rungs
        self._guessed: dict[int, StretchContext] = {}
        self._again: dict[int, PlannedAgain] = {}

    def guess(self, rung: int, stretch: DryStretch) -> Verdict:
        """Return the verdict of a stretch by litres alone, with the heat of the plan as it is."""
        if rung not in self._guessed:
            outset = replace(self._mending.ahead.outset, trip=self.rungs[rung].trip)
            self._guessed[rung] = going_in_known_heat(outset, self._mending.ahead)
        return judged(stretch.number, stretch.begin, stretch.end, self._guessed[rung]).verdict

    def again(self, rung: int) -> PlannedAgain:
        """Plan again at a rung, its heat worked out anew."""
        if rung not in self._again:
            self._again[rung] = self._mending.again(trip=self.rungs[rung].trip)
        return self._again[rung]

    def km_per_day(self, rung: int) -> float:
        """Return the mean pace over the route."""
        clock = self._guessed[rung].clock
        moving_h = float(clock.profile.moving_h[-1])
        return float(clock.profile.km[-1]) / moving_h * clock.moving.per_day_h


def by_pace(mending: MendSearch, stretches: Sequence[DryStretch]) -> list[Mend]:
    """Return for each stretch the least longer hours and the least higher speed that better it."""
    ladders = [_Ladder(mending, _hours(mending.trip)), _Ladder(mending, _speeds(mending.trip))]
    return [
        mend
        for stretch in stretches
        for ladder in ladders
        if ladder.rungs
        for mend in _lowest_that_helps(mending, stretch, ladder)
    ]


def longer_days(trip: Trip, hours_per_day: float) -> Trip:
    """Return the trip with other moving hours a day."""
    return replace(trip, pace=replace(trip.pace, hours_per_day=hours_per_day))


def faster(trip: Trip, percent: float) -> Trip:
    """Return the trip with its speed and those of its sections higher; ways off it as they are."""
    pace, times = trip.pace, 1.0 + percent / 100.0
    sections = tuple(replace(part, speed_kmh=part.speed_kmh * times) for part in pace.sections)
    return replace(trip, pace=replace(pace, speed_kmh=pace.speed_kmh * times, sections=sections))


def _hours(trip: Trip) -> list[_Rung]:
    now_h = trip.pace.hours_per_day
    count = max(0, math.floor((LONGEST_DAY_H - now_h) / STEP_H))
    longer = [now_h + STEP_H * step for step in range(1, count + 1)]
    return [
        _Rung(longer_days(trip, hours), f"Move {hours:g} hours a day instead of {now_h:g}")
        for hours in longer
        if _ends_by_midnight(trip.pace, hours)
    ]


def _ends_by_midnight(pace: Pace, hours: float) -> bool:
    try:
        daily_windows(start_hour=pace.start_hour, hours_per_day=hours, break_h=pace.break_h)
    except ValueError:
        return False
    return True


def _speeds(trip: Trip) -> list[_Rung]:
    return [
        _Rung(faster(trip, percent), f"Travel {percent} % faster, within the same hours")
        for percent in range(STEP_PERCENT, MOST_FASTER_PERCENT + 1, STEP_PERCENT)
    ]


def _lowest_that_helps(mending: MendSearch, stretch: DryStretch, ladder: _Ladder) -> list[Mend]:
    guessed = _lowest_by_guess(stretch, ladder)
    if guessed is None:
        return []
    for rung in range(guessed, min(guessed + _TRIES_BEYOND, len(ladder.rungs) - 1) + 1):
        ladder.guess(rung, stretch)
        if found := kept(mending, stretch, _draft(ladder, rung), ladder.again(rung)):
            return found
    return []


def _lowest_by_guess(stretch: DryStretch, ladder: _Ladder) -> int | None:
    low, high = 0, len(ladder.rungs) - 1
    goal = ladder.guess(high, stretch)
    if not is_better(goal, stretch.verdict):
        return None
    while low < high:
        middle = (low + high) // 2
        if is_better(goal, ladder.guess(middle, stretch)):
            low = middle + 1
        else:
            high = middle
    return high


def _draft(ladder: _Ladder, rung: int) -> Draft:
    km_per_day = ladder.km_per_day(rung)
    return Draft(
        MendKind.PACE,
        f"{ladder.rungs[rung].words}: {rounded_up(km_per_day, 0.1):.1f} km a day over the whole"
        " route.",
        MendFigures(km_per_day=km_per_day),
        _CAUTION,
    )
