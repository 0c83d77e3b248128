"""The lines that tell on the terminal what to fill."""

from __future__ import annotations

import dataclasses

import pytest
from make import container, source_at, straight_route, trip, use

from longdry.computing.plan.planning import plan_trip
from longdry.model.trip.party import Vehicle
from longdry.model.trip.treatment import Treatment, TreatMethod
from longdry.model.words import ContainerGrade, Grade, Units
from longdry.showing.terminal.fills import fill_lines
from longdry.showing.terminal.full import full_text
from longdry.showing.words.measures import Measures

CREEK = dataclasses.replace(source_at(250.0, grade=Grade.TREAT), name="Dry Creek", cost_per_l=0.5)


def _plan(source=CREEK, **changes):
    cans = [
        container(10.0, 1),
        dataclasses.replace(container(10.0, 1), name="drum", grade=ContainerGrade.ANY),
    ]
    carried = [dataclasses.replace(can, vehicle="cart", tare_kg=0.5) for can in cans]
    made = trip(can_treat=True, containers=carried, uses=[use(litres=8.0)])
    filtered = Treatment(TreatMethod.FILTER, filter_l_per_min=0.5)
    parts = {"vehicles": (Vehicle("cart", 60.0),), "treatment": filtered, **changes}
    return plan_trip(straight_route(600.0), [source], dataclasses.replace(made, **parts))


def _lines(plan, units=Units.METRIC):
    return fill_lines(plan, Measures(units))


def test_every_stop_says_what_to_take_into_what():
    """Start and creek have a line each, with litres, containers and what is on board on leaving."""
    start, creek, *_ = _lines(_plan())

    assert start.startswith("km 0.0, start:\ntake ")
    assert creek.startswith("km 250.0, Dry Creek:\n")
    assert "\ninto " in creek
    assert "\nleave with " in creek


def test_treating_is_told_with_its_minutes_and_what_it_leaves():
    """A filter of 0.5 L a minute; viruses and salts stay in the water (CDC, EPA)."""
    told = next(line for line in _lines(_plan()) if line.startswith("Filtering"))

    assert " min." in told
    assert "viruses" in told
    assert "salts" in told


def test_the_heaviest_load_is_told_and_what_passes_the_payload():
    """Two empty containers of 0.5 kg are 0.4 kg too heavy for 0.6 kg."""
    light = _plan(vehicles=(Vehicle("cart", 0.6),))

    assert any("of at most 60 kg." in line for line in _lines(_plan()))
    assert any("0.4 kg TOO HEAVY" in line for line in _lines(light))


def test_both_habits_stand_side_by_side():
    """Litres x km and smallest margin of both, the plan's own named."""
    habits = [line for line in _lines(_plan()) if line.startswith("Filling ")]

    assert len(habits) == 2
    assert ", this plan:" in habits[0]
    assert all("litres times km" in line and "smallest margin" in line for line in habits)


def test_what_the_water_costs_is_summed():
    """Half a unit of money a litre, for what the plan takes at the creek."""
    plan = _plan()
    litres = plan.fills.fills[1].take_l

    assert litres > 0.0
    assert any(f"costs {litres / 2.0:,.2f}" in line for line in _lines(plan))


def test_water_left_is_to_be_kept_in_doubt():
    """A party that comes with more than it needs from there on is not told to pour it away."""
    plan = _plan()
    fill = dataclasses.replace(plan.fills.fills[1], left_l=3.0)
    fills = dataclasses.replace(plan.fills, fills=(plan.fills.fills[0], fill))

    lines = _lines(dataclasses.replace(plan, fills=fills))

    assert any("3 L more" in line and "keep them if in doubt" in line for line in lines)


@pytest.mark.parametrize("units", list(Units))
def test_the_lines_stand_in_the_answer(units):
    """The answer on the terminal has the section, in the units asked for."""
    text = full_text(_plan(), Measures(units))

    assert "What to fill:" in text
    assert ("US gal" in text) is (units is Units.US)


def test_without_containers_nothing_is_told():
    """No containers, no fills, no section."""
    plan = plan_trip(straight_route(600.0), [CREEK], trip(containers=[]))

    assert _lines(plan) == []
    assert "What to fill" not in full_text(plan)
