"""What it takes to draw the water of a fill plan."""

from __future__ import annotations

import dataclasses

import pytest
from make import container, source_at, straight_route, trip

from longdry.computing.plan.planning import plan_trip


def drawn(**known):
    source = dataclasses.replace(source_at(250.0), **known)
    boxes = [container(400.0, 1)]
    made = plan_trip(straight_route(600.0), [source], trip(people=24, containers=boxes))
    return made.draws[0]


def test_pump_takes_what_common_practice_says():
    """100 L at 11 L/min take 9.1 min and 1.14 Ah at 7.5 A. Source: common practice, no source.

    24 people x 4 L x 25/24 days are 100 L.
    """
    draw = drawn(access="12 V pump")

    assert draw.litres == pytest.approx(100.0, abs=0.01)
    assert draw.minutes == pytest.approx(9.1, abs=0.01)
    assert draw.charge_ah == pytest.approx(1.14, abs=0.005)


def test_slow_source_sets_the_pace_of_the_pump():
    """At 5 L/min 100 L take 20 min, through which the pump runs: 2.5 Ah."""
    draw = drawn(access="pump", flow_l_per_min=5.0)

    assert draw.minutes == pytest.approx(20.0, abs=0.01)
    assert draw.charge_ah == pytest.approx(2.5, abs=0.01)


def test_tap_needs_no_battery():
    """20 L/min: 5 minutes, no charge."""
    draw = drawn(access="tap key", flow_l_per_min=20.0)

    assert draw.minutes == pytest.approx(5.0, abs=0.01)
    assert draw.charge_ah is None


def test_unknown_flow_is_not_guessed():
    """Without a flow no minutes are told."""
    assert drawn(access="tap").minutes is None
