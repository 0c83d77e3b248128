"""The clock replayed minute by minute, from the written rules alone (docs/why/clock.md).

It shares nothing with the product: no code, no formula, no order of work. A party is moved by at
most one minute at a time; the last step of a day, or to a place, is cut so that it ends exactly
there. Times are hours since the midnight before departure. A night belongs to the day on whose
evening it begins: night d ends with the start hour of day d + 1.
"""

from __future__ import annotations

import copy
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

STEP_H = 1 / 60
HALF_SECOND_H = 0.5 / 3600
FLOAT_NOISE_H = 1e-9
"""Times nearer than four millionths of a second are one time."""
MOST_DAYS = 3000


@dataclass(frozen=True)
class ReplayStop:
    """A call, in travel order."""

    km: float
    way_km: float
    """One way, off the route."""
    stop_min: float
    """Drawing and treating, in whole minutes."""
    open_h: tuple[float, float] | None
    """Hours of the day; from may be > to (over midnight); None: always open."""
    pinned_nights: int = 0
    """Nights of a camp pinned at this water (1 + rest days); it begins after the stop."""
    leaves_at_once: bool = False
    """A camp pinned here with at_water = false: `dry_nights` follow beside the call."""
    dry_nights: int = 0


@dataclass(frozen=True)
class ReplayCamp:
    """A pinned camp that is not at water."""

    km: float
    nights: int


@dataclass(frozen=True)
class ReplayRules:
    """What the party keeps to, in hours of the day and in hours."""

    start_hour: float
    hours_per_day: float
    break_h: tuple[float, float] | None
    off_route_kmh: float
    longer_day_h: float
    shorter_day_h: float
    longest_wait_h: float
    goes_after_dark: bool
    """after_dark = true, or the trip moves by night."""
    reserve_is_a_day: bool
    """Whether a longer day is allowed; to the end a quarter of an hour of it always is."""
    depart_h: float
    """Hour of day 0."""
    dusk_h: Sequence[float] | Callable[[int], float]
    """Hour of day d at which dark falls; the last of a sequence holds for all later days."""

    def day_begins_h(self, day: int) -> float:
        """Give the time at which a day begins, the day of departure aside."""
        return 24 * day + self.start_hour

    def moving_ends_h(self, day: int) -> float:
        """Give the time after which nobody moves: dark where it binds, midnight at the latest."""
        midnight_h = 24.0 * (day + 1)
        if self.goes_after_dark:
            return midnight_h
        if callable(self.dusk_h):
            dusk_h = self.dusk_h(day)
        else:
            dusk_h = self.dusk_h[min(day, len(self.dusk_h) - 1)]
        return min(midnight_h, 24 * day + dusk_h)


@dataclass(frozen=True)
class ReplayedStop:
    """What became of a call."""

    arrive_h: float
    """When water can be drawn: after the wait."""
    leave_h: float
    wait_h: float
    nights_at_water: int
    too_late: bool
    """Closed for longer than the longest wait: nothing was drawn."""


@dataclass
class ReplayedStretch:
    """From leaving a call (or the start) to arriving at the next (or the end)."""

    nights: int = 0
    moving_h: float = 0.0
    wait_h: float = 0.0
    days: float = 0.0


@dataclass
class Replayed:
    """The whole trip."""

    stops: list[ReplayedStop] = field(default_factory=list)
    stretches: list[ReplayedStretch] = field(default_factory=list)
    camps: list[tuple[int, float, bool]] = field(default_factory=list)
    """Each night: day, km along the route, at water."""
    end_h: float = 0.0


@dataclass(frozen=True)
class Leg:
    """From one goal to the next, in moving hours: way back, along the route, way out."""

    goal: ReplayStop | ReplayCamp | None
    """None: the end."""
    from_km: float
    back_h: float
    along_h: float
    out_h: float

    @property
    def moving_h(self) -> float:
        """All of its moving."""
        return self.back_h + self.along_h + self.out_h

    @property
    def ends_a_day(self) -> bool:
        """Whether the end or a pinned camp is reached by it."""
        if isinstance(self.goal, ReplayStop):
            return self.goal.pinned_nights > 0 or self.goal.leaves_at_once
        return True


def replay(
    rules: ReplayRules,
    knots: Sequence[tuple[float, float]],
    length_km: float,
    stops: Sequence[ReplayStop],
    camps: Sequence[ReplayCamp],
) -> Replayed:
    """Travel the route, whose knots are (km, moving hours from the start), linear between."""
    legs = _legs(rules, knots, length_km, stops, camps)
    party = Party(rules)
    told = Replayed(stretches=[ReplayedStretch()])
    left_call_h = party.now_h
    for number, leg in enumerate(legs):
        _travel(party, leg, knots, told)
        if isinstance(leg.goal, ReplayStop):
            told.stops.append(_call(party, legs, number, told, left_call_h))
            left_call_h = told.stops[-1].leave_h
            told.stretches.append(ReplayedStretch())
            _dry_camp(party, leg.goal, told)
        elif isinstance(leg.goal, ReplayCamp):
            for _ in range(leg.goal.nights):
                _camp(party, leg.goal.km, told)
    told.stretches[-1].days = (party.now_h - left_call_h) / 24
    told.end_h = party.now_h
    return told


class Party:
    """Where the party stands in time: the day that it is in, and the moving that it has done."""

    def __init__(self, rules: ReplayRules):
        self.rules = rules
        self.day = 0
        self.now_h = max(rules.depart_h, rules.start_hour)
        self.used_h = 0.0

    def move_today(self, need_h: float, most_h: float) -> float:
        """Move until the need is met, the day's hours reach `most_h`, or nobody may move."""
        ends_h = self.rules.moving_ends_h(self.day)
        moved_h = 0.0
        while (
            need_h - moved_h > FLOAT_NOISE_H
            and most_h - self.used_h > FLOAT_NOISE_H
            and ends_h - self.now_h > FLOAT_NOISE_H
        ):
            rest_h, free_h = _break_at(self.rules.break_h, self.now_h)
            if rest_h > 0:
                self.now_h = min(self.now_h + rest_h, ends_h)
                continue
            step_h = min(
                STEP_H, free_h, need_h - moved_h, most_h - self.used_h, ends_h - self.now_h
            )
            moved_h += step_h
            self.used_h += step_h
            self.now_h += step_h
        return moved_h

    def can_move_today_h(self) -> float:
        """Moving that is left today, by hours and before dark and midnight."""
        return copy.copy(self).move_today(math.inf, self.rules.hours_per_day)

    def longest_day_h(self, *, is_end: bool) -> float:
        """Hours of moving of this day with a longer day, as far as one is allowed."""
        longer_h = self.rules.longer_day_h
        if not self.rules.reserve_is_a_day:
            longer_h = min(longer_h, 15 / 60) if is_end else 0.0
        return self.rules.hours_per_day + longer_h

    def reaches_today(self, need_h: float, *, is_end: bool) -> bool:
        """Move on by a longer day where need be; tell whether the goal is reached."""
        rest_h = need_h - self.move_today(need_h, self.longest_day_h(is_end=is_end))
        if rest_h >= HALF_SECOND_H:
            return False
        self.now_h += rest_h
        self.used_h += rest_h
        return True

    def stay(self, hours: float) -> list[int]:
        """Stay where it is; give the nights that pass, each ended by a start hour."""
        self.now_h += hours
        nights = []
        while self.rules.day_begins_h(self.day + 1) <= self.now_h + FLOAT_NOISE_H:
            nights.append(self.day)
            self.day += 1
            self.used_h = 0.0
        return nights

    def sleep(self) -> int:
        """Camp until the next day begins; give the night."""
        self.day += 1
        if self.day > MOST_DAYS:
            raise ValueError("the party does not get on: no day leaves it hours to move")
        self.now_h = self.rules.day_begins_h(self.day)
        self.used_h = 0.0
        return self.day - 1


def _travel(party: Party, leg: Leg, knots: Sequence[tuple[float, float]], told: Replayed) -> None:
    """Go to the goal of a leg, camping wherever a day ends."""
    moved_h = 0.0
    while True:
        moved_h += party.move_today(leg.moving_h - moved_h, party.rules.hours_per_day)
        ahead = copy.copy(party)
        if ahead.reaches_today(leg.moving_h - moved_h, is_end=leg.goal is None):
            party.now_h, party.used_h = ahead.now_h, ahead.used_h
            told.stretches[-1].moving_h += leg.moving_h
            return
        _camp(party, _km_after(leg, moved_h, knots), told)


def _call(
    party: Party, legs: Sequence[Leg], number: int, told: Replayed, left_call_h: float
) -> ReplayedStop:
    """Wait, draw, treat, and spend at the water the nights that belong there."""
    stop = legs[number].goal
    wait_h = _wait_h(stop.open_h, party.now_h)
    too_late = wait_h > party.rules.longest_wait_h + FLOAT_NOISE_H
    if too_late:
        wait_h = 0.0
    for day in party.stay(wait_h):
        told.stretches[-1].nights += 1
        told.camps.append((day, stop.km, False))
    arrive_h = party.now_h
    told.stretches[-1].wait_h += wait_h
    told.stretches[-1].days = (arrive_h - left_call_h) / 24
    nights = [] if too_late else party.stay(stop.stop_min / 60)
    nights += [party.sleep() for _ in range(0 if too_late else stop.pinned_nights)]
    if not too_late and not legs[number].ends_a_day and _ends_the_day_here(party, legs, number):
        nights.append(party.sleep())
    told.camps += [(day, stop.km, True) for day in nights]
    return ReplayedStop(arrive_h, party.now_h, wait_h, len(nights), too_late)


def _dry_camp(party: Party, stop: ReplayStop, told: Replayed) -> None:
    """Camp beside a call on what is carried, where that is pinned."""
    for _ in range(stop.dry_nights if stop.leaves_at_once else 0):
        _camp(party, stop.km, told)


def _camp(party: Party, km: float, told: Replayed) -> None:
    """Spend a night of the stretch."""
    told.stretches[-1].nights += 1
    told.camps.append((party.sleep(), km, False))


def _ends_the_day_here(party: Party, legs: Sequence[Leg], number: int) -> bool:
    """Tell whether a party that is ready to leave a call has a shorter day."""
    left_h = party.can_move_today_h()
    if left_h > party.rules.shorter_day_h + FLOAT_NOISE_H:
        return False
    return not _reaches_camp_or_end(copy.copy(party), legs[number + 1 :])


def _reaches_camp_or_end(ahead: Party, legs: Sequence[Leg]) -> bool:
    """Tell whether the end or a pinned camp is reached today, with the calls on the way to it."""
    for leg in legs:
        if not ahead.reaches_today(leg.moving_h, is_end=leg.goal is None):
            return False
        if leg.ends_a_day:
            return True
        wait_h = _wait_h(leg.goal.open_h, ahead.now_h)
        counts = wait_h <= ahead.rules.longest_wait_h + FLOAT_NOISE_H
        if counts and ahead.stay(wait_h + leg.goal.stop_min / 60):
            return False
    raise AssertionError("the last leg goes to the end")


def _legs(
    rules: ReplayRules,
    knots: Sequence[tuple[float, float]],
    length_km: float,
    stops: Sequence[ReplayStop],
    camps: Sequence[ReplayCamp],
) -> list[Leg]:
    """Put stops and camps into travel order (a camp before a stop of its km), and the end last."""
    goals = [*sorted([*camps, *stops], key=lambda goal: goal.km), None]
    legs, here_km, back_h = [], 0.0, 0.0
    for goal in goals:
        there_km = length_km if goal is None else goal.km
        out_h = goal.way_km / rules.off_route_kmh if isinstance(goal, ReplayStop) else 0.0
        along_h = _hours_at(there_km, knots) - _hours_at(here_km, knots)
        legs.append(Leg(goal, here_km, back_h, along_h, out_h))
        here_km, back_h = there_km, out_h
    return legs


def _km_after(leg: Leg, moved_h: float, knots: Sequence[tuple[float, float]]) -> float:
    """Give the km along the route at which a leg stands; on a way, the km where it leaves."""
    along_h = min(max(moved_h - leg.back_h, 0.0), leg.along_h)
    return _km_at(_hours_at(leg.from_km, knots) + along_h, knots)


def _hours_at(km: float, knots: Sequence[tuple[float, float]]) -> float:
    """Give the moving hours at a km."""
    for (km0, h0), (km1, h1) in pairwise(knots):
        if km <= km1 and km1 > km0:
            return h0 + (h1 - h0) * (km - km0) / (km1 - km0)
    return knots[-1][1]


def _km_at(hours: float, knots: Sequence[tuple[float, float]]) -> float:
    """Give the km at so many moving hours."""
    for (km0, h0), (km1, h1) in pairwise(knots):
        if hours <= h1 and h1 > h0:
            return km0 + (km1 - km0) * (hours - h0) / (h1 - h0)
    return knots[-1][0]


def _break_at(break_h: tuple[float, float] | None, now_h: float) -> tuple[float, float]:
    """Give the hours that the break still lasts, and else the hours until it begins."""
    if break_h is None:
        return 0.0, math.inf
    lasts_h = (break_h[1] - break_h[0]) % 24
    since_h = (now_h - break_h[0] + FLOAT_NOISE_H) % 24
    if since_h < lasts_h:
        return lasts_h - since_h + FLOAT_NOISE_H, 0.0
    return 0.0, 24 - since_h + FLOAT_NOISE_H


def _wait_h(open_h: tuple[float, float] | None, now_h: float) -> float:
    """Give the hours until a call opens: 0 where it is open; it is closed at its last hour."""
    if open_h is None:
        return 0.0
    from_h, to_h = open_h
    if from_h == to_h:
        raise ValueError("hours from and to are the same: open always, or never?")
    since_h = (now_h - from_h + FLOAT_NOISE_H) % 24
    if since_h < ((to_h - from_h) % 24 or 24):
        return 0.0
    return 24 - since_h + FLOAT_NOISE_H
