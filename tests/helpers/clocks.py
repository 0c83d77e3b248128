"""Clocks and days for tests."""

from __future__ import annotations

from make import PACE

from longdry.computing.clock.clock import Call, Clock
from longdry.computing.clock.day_rules import DayRules, never_dark
from longdry.computing.pace.on_ground import profile_by_sections
from longdry.computing.stretches.journey import travel_days


def clock(  # noqa: PLR0913 - each a rule of its own
    length_km=1000.0,
    *,
    depart=8.0,
    camps=(),
    its_pace=PACE,
    break_h=None,
    longer_day_h=0.0,
    last_minutes_h=0.0,
    shorter_day_h=0.0,
    longest_wait_h=2.0,
    dark_h=None,
):
    """Make a clock of the test pace: 50 km/h, 6 hours a day from 8 o'clock, 300 km a day.

    Days are neither longer nor shorter, and dark stops nobody, where a test does not say so.
    """
    rules = DayRules(
        its_pace.start_hour,
        its_pace.hours_per_day,
        break_h,
        longer_day_h=longer_day_h,
        last_minutes_h=last_minutes_h,
        shorter_day_h=shorter_day_h,
        longest_wait_h=longest_wait_h,
        dark_from=never_dark if dark_h is None else lambda _day, _km: dark_h,
    )
    profile = profile_by_sections(length_km, its_pace)
    return Clock(rules, profile, its_pace.off_route_kmh, depart, tuple(camps))


def days_along(length_km=1000.0, calls=(), departs_on=None, **rules):
    """Return the days of a way over some calls."""
    return travel_days(clock(length_km, **rules).follow(calls), departs_on)


def travel(from_km=0.0, to_km=600.0, *, length_km=1000.0, **rules):
    """Return what is done from one km to another, both reached and left as the clock has it."""
    its = clock(length_km, **rules)
    if from_km == 0.0:
        return its.onward(its.start(), Call(0.0), Call(to_km))[0]
    _, arrived = its.onward(its.start(), Call(0.0), Call(from_km))
    return its.onward(arrived, Call(from_km), Call(to_km))[0]
