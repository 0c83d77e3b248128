"""The clock against a replay that was written from docs/why/clock.md alone, minute by minute."""

from __future__ import annotations

import random

import numpy as np
import pytest
from clock_replay import replay
from how_many import proof
from random_trips import random_case

from longdry.computing.clock.clock import Call, Camp, Clock
from longdry.computing.clock.day_rules import DayRules
from longdry.model.arrays import frozen_floats
from longdry.model.pace import PaceProfile

CASES = 500
SECOND_H = 1.0 / 3600.0


def clock_and_calls(case):
    """Make our clock of a case."""
    rules = case["rules"]
    dusk = rules.dusk_h if callable(rules.dusk_h) else rules.dusk_h.__getitem__
    day_rules = DayRules(
        start_hour=rules.start_hour,
        hours_per_day=rules.hours_per_day,
        break_h=rules.break_h,
        longer_day_h=rules.longer_day_h if rules.reserve_is_a_day else 0.0,
        last_minutes_h=min(rules.longer_day_h, 15 / 60),
        shorter_day_h=rules.shorter_day_h,
        longest_wait_h=rules.longest_wait_h,
        dark_from=lambda day, _km: 24.0 if rules.goes_after_dark else dusk(day),
    )
    km, hours = np.array(case["knots"]).T
    calls = [
        Call(
            stop.km,
            stop.way_km,
            stop.stop_min / 60.0,
            stop.open_h,
            pinned_nights=stop.pinned_nights,
            dry_nights=stop.dry_nights,
        )
        for stop in case["stops"]
    ]
    camps = [Camp(camp.km, camp.nights) for camp in case["camps"]]
    clock = Clock(
        day_rules,
        PaceProfile(frozen_floats(km), frozen_floats(hours)),
        rules.off_route_kmh,
        rules.depart_h,
        tuple(camps),
    )
    return clock, calls


@proof(CASES)
def test_every_stop_comes_at_the_second_that_the_replay_says(cases):
    """Arrivals, waits, departures, nights and moving hours of random trips are the same."""
    for seed in cases:
        _compare(random_case(random.Random(seed)), f"seed {seed}")


def _compare(case, which):
    clock, calls = clock_and_calls(case)
    found = clock.follow(calls)
    told = replay(**case)
    for ours, theirs in zip(found.stays, told.stops, strict=True):
        assert ours.arrives.hour == pytest.approx(theirs.arrive_h, abs=SECOND_H), which
        assert ours.leaves.hour == pytest.approx(theirs.leave_h, abs=SECOND_H), which
        assert ours.wait_h == pytest.approx(theirs.wait_h, abs=SECOND_H), which
        assert ours.nights == theirs.nights_at_water, which
    for travel, theirs in zip(found.travels, told.stretches, strict=True):
        assert travel.nights == theirs.nights, which
        assert travel.moving_h == pytest.approx(theirs.moving_h, abs=SECOND_H), which
        assert travel.days == pytest.approx(theirs.days, abs=SECOND_H / 24.0), which
    assert found.arrives.hour == pytest.approx(told.end_h, abs=SECOND_H), which
