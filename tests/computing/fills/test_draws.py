"""What it takes to draw the water of a fill plan."""

from __future__ import annotations

import dataclasses

import pytest
from make import container, policy, source_at, straight_route, trip
from without_mends import plan_without_mends


def drawn(**known):
    source = dataclasses.replace(source_at(250.0), **known)
    made = trip(people=24, containers=[container(400.0, 1)], policy=policy(call_at=("s250",)))
    return plan_without_mends(straight_route(600.0), [source], made).draws[0]


def test_pump_takes_what_common_practice_says():
    """101 L at 11 L/min take 9.2 min and 1.15 Ah at 7.5 A. Source: common practice, no source.

    By hand: 10 whole minutes at the pump. From 13:10 to 22:00 and from 6:00 to 14:00 are 16 5/6
    of a day's 16 waking hours: 24 people x 4 L x 16 5/6 / 16 are 101 L.
    """
    draw = drawn(access="12 V pump")

    assert draw.litres == pytest.approx(101.0, abs=0.01)
    assert draw.minutes == pytest.approx(101.0 / 11.0, abs=0.01)
    assert draw.charge_ah == pytest.approx(101.0 / 11.0 / 60.0 * 7.5, abs=0.005)


def test_slow_source_sets_the_pace_of_the_pump():
    """At 5 L/min 99.9 L take 19.98 min, through which the pump runs: 2.4975 Ah.

    By hand: 102 L, wanted by who leaves at once, take 21 whole minutes; from 13:21 on it is 99.9 L.
    """
    draw = drawn(access="pump", flow_l_per_min=5.0)

    assert draw.minutes == pytest.approx(19.98)
    assert draw.charge_ah == pytest.approx(2.4975)


def test_tap_needs_no_battery():
    """101.4 L at 20 L/min: 5.07 minutes, no charge."""
    draw = drawn(access="tap key", flow_l_per_min=20.0)

    assert draw.minutes == pytest.approx(5.07)
    assert draw.charge_ah is None


def test_unknown_flow_is_not_guessed():
    """Without a flow no minutes are told."""
    assert drawn(access="tap").minutes is None


@pytest.mark.parametrize(
    ("flow", "minutes"), [(None, 101.0 / 11.0), (5.0, 99.9 / 5.0), (40.0, 101.0 / 11.0)]
)
def test_a_fill_takes_as_long_as_its_drawing(flow, minutes):
    """By hand: the slower of the source and a pump of 11 L/min; common practice, no source."""
    source = dataclasses.replace(source_at(250.0), access="12 V pump", flow_l_per_min=flow)
    made = trip(people=24, containers=[container(400.0, 1)], policy=policy(call_at=("s250",)))
    plan = plan_without_mends(straight_route(600.0), [source], made)

    assert plan.fills.fills[1].minutes == pytest.approx(minutes, abs=0.01)
    assert plan.fills.fills[1].minutes == pytest.approx(plan.draws[0].minutes)
