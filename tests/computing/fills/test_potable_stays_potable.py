"""Potable water is not fouled without need: not from a source that gives little or costs money."""

from __future__ import annotations

import dataclasses

import pytest
from make import container, policy, source_at, straight_route, trip, use
from without_mends import plan_without_mends

from longdry.model.words import ContainerGrade, Grade


@pytest.mark.parametrize(
    "known",
    [
        {"limit_l": 8.0},
        {"cost_per_l": 0.5},
        {"limit_l": 8.0, "cost_per_l": 0.5},
        {},
    ],
)
@pytest.mark.parametrize("count", [1, 2, 3])
def test_potable_water_in_a_clean_container_is_never_to_be_treated(known, count):
    """A tap, clean cans, and a party that can treat: it would boil what is potable as it comes."""
    tap = dataclasses.replace(source_at(250.0), **known)
    cans = [dataclasses.replace(container(10.0, count), grade=ContainerGrade.ANY)]
    called = policy(call_at=("s250",))
    made = trip(can_treat=True, containers=cans, uses=[use(litres=3.0)], policy=called)

    plan = plan_without_mends(straight_route(500.0), [tap], made)

    assert any(fill.take_l > 0.0 for fill in plan.fills.fills[1:])
    assert {pour.grade for fill in plan.fills.fills for pour in fill.into} == {Grade.POTABLE}
    assert plan.fills.treated_l == 0.0


def test_short_potable_supply_is_not_spent_on_replacing_what_can_be_treated():
    """With raw water on board from a creek, the tap of 8 L gives what the way on asks for only."""
    creek = dataclasses.replace(source_at(100.0), id="creek", grade=Grade.TREAT)
    tap = dataclasses.replace(source_at(250.0), id="tap", limit_l=8.0)
    cans = [dataclasses.replace(container(10.0, 2), grade=ContainerGrade.ANY)]
    called = policy(call_at=("creek", "tap"))
    made = trip(can_treat=True, containers=cans, uses=[use(litres=3.0)], policy=called)

    plan = plan_without_mends(straight_route(500.0), [creek, tap], made)
    *_, at_tap = plan.fills.fills

    assert at_tap.take_l == pytest.approx(at_tap.leaving.total_l - at_tap.arriving.total_l)
    assert at_tap.take_l <= 8.0
