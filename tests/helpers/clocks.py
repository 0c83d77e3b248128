"""Clocks for tests."""

from __future__ import annotations

from longdry.computing.clock.moving_hours import Moment, daily_windows
from make import PACE

from longdry.computing.clock.clock import Clock
from longdry.computing.pace.profile import profile_by_sections


def clock(length_km=1000.0, *, depart=8.0, camps=(), its_pace=PACE, break_h=None):
    """Make a clock of the test pace."""
    return Clock(
        moving=daily_windows(
            start_hour=its_pace.start_hour, hours_per_day=its_pace.hours_per_day, break_h=break_h
        ),
        profile=profile_by_sections(length_km, its_pace),
        depart=Moment(depart, 0),
        camps=tuple(camps),
    )
