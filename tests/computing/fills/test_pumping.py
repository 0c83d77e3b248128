"""Minutes and ampere-hours for the litres wanted."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from longdry.computing.fills.drawing import minutes_for, pump_work
from longdry.model.trip.party import Kit
from longdry.model.trip.tools import needs_pump, tools_lacking


def test_hundred_litres_with_a_usual_pump():
    """11 L/min at 7.5 A: 100 L takes 9.1 min and 1.14 Ah (common practice, no source)."""
    work = pump_work(100.0)

    assert round(work.minutes, 1) == 9.1
    assert round(work.charge_ah, 2) == 1.14


def test_slow_source_sets_the_time():
    """A soak that gives 2 L/min makes the pump run 50 min for 100 L: 6.25 Ah at 7.5 A."""
    work = pump_work(100.0, source_flow_l_per_min=2.0)

    assert (work.minutes, work.charge_ah) == (50.0, 6.25)


def test_fast_source_is_held_by_the_pump():
    """A bore that gives 60 L/min fills no faster than the pump."""
    assert pump_work(100.0, source_flow_l_per_min=60.0) == pump_work(100.0)


def test_no_litres_take_no_time():
    """Nothing wanted takes nothing, even from nothing."""
    assert pump_work(0.0, source_flow_l_per_min=0.0).charge_ah == 0.0


def test_litres_from_nothing_take_for_ever():
    """A flow of zero never fills a can."""
    assert math.isinf(minutes_for(1.0, 0.0))


@pytest.mark.parametrize(("litres", "flow"), [(-1.0, 2.0), (1.0, -2.0), (math.nan, 2.0)])
def test_impossible_amounts_are_refused(litres, flow):
    """Less than nothing and no number are refused, not computed with."""
    with pytest.raises(ValueError, match="not zero or more"):
        minutes_for(litres, flow)


@given(litres=st.floats(0.1, 1000.0), flow=st.floats(0.1, 100.0))
def test_slower_flow_never_takes_less(litres, flow):
    """Half the flow takes twice the time, and never less charge."""
    slow = pump_work(litres, source_flow_l_per_min=flow / 2)

    assert minutes_for(litres, flow / 2) == pytest.approx(2 * minutes_for(litres, flow))
    assert slow.charge_ah >= pump_work(litres, source_flow_l_per_min=flow).charge_ah


@pytest.mark.parametrize(
    ("access", "pump"),
    [
        ("pump", True),
        ("12 V pump", True),
        ("12V electric pump", True),
        ("12 V electric pump", True),
        ("pump, handle missing", True),
        ("behind the windbreak: pump", True),
        ("hand-pump", False),
        ("handpump", False),
        ("Hand-operated pump", False),
        ("solar-pump", False),
        ("powered pump", False),
        ("tap key", False),
        (None, False),
    ],
)
def test_only_a_pump_of_ones_own_drains_the_battery(access, pump):
    """A hand pump and a tap need no battery, and nobody is told to bring one for them."""
    assert needs_pump(access) is pump
    assert ("pump" in tools_lacking(access, Kit())) is pump
