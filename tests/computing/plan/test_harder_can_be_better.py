"""Slower, later or with one source fewer a trip can be better, because a night falls at the water.

The examples of docs/why/clock.md, worked by hand there. Two people drink 4 L each in 16 waking
hours, from 6:00 to 22:00, half a litre an hour together; they carry 5 L and keep no reserve.
"""

from __future__ import annotations

import dataclasses
import datetime as dt

import pytest
from make import calling_at, container, pace, source_at, straight_route, trip
from without_mends import plan_without_mends

from longdry.model.words import Verdict

CAN = [container(5.0, 1)]
PACE = {"fill_minutes": 15.0, "shorter_day_h": 0.5}


def planned(length_km, *sources, depart=None, policy=None, **its_pace):
    its_trip = trip(
        containers=CAN,
        pace=pace(**PACE, **its_pace),
        policy=policy or calling_at(*sources),
    )
    its_trip = dataclasses.replace(its_trip, depart=depart, utc_offset_h=9.0)
    return plan_without_mends(straight_route(length_km), sources, its_trip)


def litres(plan):
    return [stretch.need.total_l for stretch in plan.stretches]


def verdicts(plan):
    return [stretch.verdict for stretch in plan.stretches]


def test_slower_can_be_better():
    """At 50 km/h a dry night falls between km 270 and 560, at 49 km/h a night at the water."""
    fast, slow = (planned(560.0, source_at(270.0), speed_kmh=kmh) for kmh in (50.0, 49.0))

    assert verdicts(fast) == [Verdict.CLEAR, Verdict.TOO_LONG]
    assert litres(fast) == pytest.approx([2.7, 7.775])
    assert verdicts(slow) == [Verdict.CLEAR, Verdict.CLEAR]
    assert litres(slow) == pytest.approx([2.755, 2.959], abs=0.001)


def test_later_can_be_better():
    """Who leaves at 13:00 leaves the water before dark and camps dry; at 14:00 the party stays."""
    early, late = (
        planned(480.0, source_at(190.0), depart=dt.datetime(2027, 6, 21, hour)) for hour in (13, 14)
    )

    assert verdicts(early) == [Verdict.CLEAR, Verdict.TOO_LONG]
    assert litres(early) == pytest.approx([1.9, 5.87], abs=0.03)
    assert verdicts(late) == [Verdict.CLEAR, Verdict.CLEAR]
    assert litres(late) == pytest.approx([1.9, 2.9])


def test_one_source_fewer_can_be_better_where_the_party_calls_at_every_one():
    """The way to the first takes an hour, so that the night falls before the second.

    A plan that is free to choose passes the first by.
    """
    near, far = source_at(100.0, offset_km=5.0 / 1.3), source_at(280.0)
    both, one = planned(560.0, near, far), planned(560.0, far)
    free = planned(560.0, near, far, policy=calling_at())

    assert verdicts(both)[1] is Verdict.TOO_LONG
    assert litres(both)[1] == pytest.approx(6.925, abs=0.001)
    assert verdicts(one) == verdicts(free) == [Verdict.CLEAR, Verdict.CLEAR]
    assert litres(one) == litres(free) == pytest.approx([2.8, 2.8])
