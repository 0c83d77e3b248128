"""Random trips for the replay of the clock: invented, not for navigation.

Hours that a trip file would state are whole minutes. So that no outcome hangs on a tie (a stop that
ends exactly at the start hour, say), start hours are multiples of 5 minutes, departures, opening
hours and breaks are not, stops last multiples of 5 minutes, and lengths and dusk are uneven.
"""

from __future__ import annotations

import random
from dataclasses import dataclass, replace

from clock_replay import ReplayCamp, ReplayRules, ReplayStop, replay

MOST_WINDOWS_MOVED = 40
KM_FROM_CAMP_TO_CALL = 1.5
"""A pinned camp nearer than 1 km may be at the water."""


@dataclass(frozen=True)
class Travel:
    """A way of travel: ranges of speed, and the longest way off the route."""

    kmh: tuple[float, float]
    off_route_kmh: tuple[float, float]
    longest_way_km: float


WAYS_OF_TRAVEL = {
    "vehicle": Travel((12, 45), (8, 20), 9.0),
    "foot": Travel((2.5, 5.0), (2.0, 4.0), 1.6),
    "bicycle": Travel((7, 17), (4, 8), 3.5),
}


def random_case(rng: random.Random) -> dict:
    """Give rules, knots, length_km, stops and camps; no call is closed for longer than the wait."""
    travel = WAYS_OF_TRAVEL[rng.choice(sorted(WAYS_OF_TRAVEL))]
    rules = _rules(rng, travel)
    knots = _knots(rng, travel, rules)
    length_km = knots[-1][0]
    camps = _camps(rng, length_km)
    stops = _stops(rng, travel, length_km, camps)
    case = {"rules": rules, "knots": knots, "length_km": length_km, "camps": camps}
    return case | {"stops": _stops_in_time(rng, case, stops)}


def _minutes(rng: random.Random, low_h: float, high_h: float, beyond_five: int) -> float:
    """Give an hour of the day at so many minutes beyond a multiple of five."""
    return (5 * rng.randint(round(low_h * 12), round(high_h * 12)) + beyond_five) / 60


def _rules(rng: random.Random, travel: Travel) -> ReplayRules:
    """Give rules under which every day has at least an hour to move."""
    by_night = rng.random() < 0.25
    start_hour = _minutes(rng, 16, 22, 0) if by_night else _minutes(rng, 4.5, 9.5, 0)
    hours_per_day = rng.choice([3, 4, 5, 6, 7, 7.5, 8, 9, 10])
    break_h = None
    if rng.random() < 0.4:
        from_h = _minutes(rng, start_hour, 23, 4) if by_night else _minutes(rng, 10, 14, 4)
        break_h = (from_h, from_h + 5 * rng.randint(4, 40) / 60)
    if break_h and break_h[1] > (23 if by_night else 17):
        break_h = None
    dusk_h, drift_h = rng.uniform(16.2, 21.6), rng.uniform(-0.02, 0.02)
    dusks = tuple(dusk_h + drift_h * min(day, 30) for day in range(40))
    light_h = min(dusks) - start_hour - (break_h[1] - break_h[0] if break_h else 0.0)
    dark_binds = light_h > max(1.0, hours_per_day / 2 if by_night else 1.0)
    if not dark_binds and break_h and 24 - start_hour - (break_h[1] - break_h[0]) < 1:
        break_h = None
    return ReplayRules(
        start_hour=start_hour,
        hours_per_day=hours_per_day,
        break_h=break_h,
        off_route_kmh=rng.uniform(*travel.off_route_kmh),
        longer_day_h=rng.choice([0.0, 1.0, 1.0, 1.0, 0.5, 2.0]),
        shorter_day_h=rng.choice([0.0, 0.5, 0.5, 0.5, 1.0]),
        longest_wait_h=rng.choice([1.0, 2.0, 2.0, 3.0]),
        goes_after_dark=not dark_binds or rng.random() < 0.15,
        reserve_is_a_day=rng.random() < 0.7,
        depart_h=_minutes(rng, 0, 23, 1),
        dusk_h=dusks,
    )


def _knots(
    rng: random.Random, travel: Travel, rules: ReplayRules
) -> tuple[tuple[float, float], ...]:
    """Give knots of some days of moving, every part at its own speed."""
    moving_h = min(rng.uniform(2, 70), 12 * rules.hours_per_day)
    parts = rng.randint(1, 12)
    km, hours, knots = 0.0, 0.0, [(0.0, 0.0)]
    for _ in range(parts):
        part_h = moving_h / parts * rng.uniform(0.5, 1.5)
        km += part_h * rng.uniform(*travel.kmh)
        hours += part_h
        knots.append((km, hours))
    return tuple(knots)


def _camps(rng: random.Random, length_km: float) -> tuple[ReplayCamp, ...]:
    """Give pinned camps away from water."""
    count = rng.choice([0, 0, 1, 1, 2, 3])
    at_km = sorted(rng.uniform(0.02, 0.98) * length_km for _ in range(count))
    return tuple(ReplayCamp(km, rng.choice([1, 1, 1, 2, 3])) for km in at_km)


def _stops(
    rng: random.Random, travel: Travel, length_km: float, camps: tuple[ReplayCamp, ...]
) -> list[ReplayStop]:
    """Give calls in travel order, none near a camp."""
    at_km = sorted(rng.uniform(0.01, 0.99) * length_km for _ in range(rng.randint(0, 9)))
    clear_km = [
        km for km in at_km if all(abs(km - camp.km) > KM_FROM_CAMP_TO_CALL for camp in camps)
    ]
    return [_stop(rng, travel, km) for km in clear_km]


def _stop(rng: random.Random, travel: Travel, km: float) -> ReplayStop:
    """Give one call, on the route or off it, with a camp pinned at it now and then."""
    minutes = rng.choice([(15, 15), (15, 60), (15, 60), (60, 240), (240, 900)])
    pinned = rng.random()
    return ReplayStop(
        km=km,
        way_km=rng.choice([0.0, 0.0, rng.uniform(0, travel.longest_way_km)]),
        stop_min=5 * rng.randint(minutes[0] // 5, minutes[1] // 5),
        open_h=_opening_hours(rng, _minutes(rng, 0, 23, 2)) if rng.random() < 0.5 else None,
        pinned_nights=rng.choice([1, 1, 2, 3]) if pinned < 0.12 else 0,
        leaves_at_once=pinned > 0.92,
        dry_nights=rng.choice([1, 1, 2]) if pinned > 0.92 else 0,
    )


def _opening_hours(rng: random.Random, from_h: float) -> tuple[float, float]:
    """Give opening hours, some of them over midnight."""
    return from_h % 24, (from_h + rng.randint(2, 22) + 1 / 60) % 24


def _stops_in_time(
    rng: random.Random, case: dict, stops: list[ReplayStop]
) -> tuple[ReplayStop, ...]:
    """Move the hours of each call that is reached too late, so that the party waits for it."""
    for _ in range(MOST_WINDOWS_MOVED):
        done = replay(**case, stops=stops)
        late = [number for number, stop in enumerate(done.stops) if stop.too_late]
        if not late:
            return tuple(stops)
        arrive_h = done.stops[late[0]].arrive_h
        first_five = int(arrive_h * 12) + 1
        opens = 5 * rng.randint(first_five, first_five + 12 * int(case["rules"].longest_wait_h) - 2)
        hours = _opening_hours(rng, (opens + 2) / 60)
        stops[late[0]] = replace(stops[late[0]], open_h=hours)
    return tuple(replace(stop, open_h=None) for stop in stops)
