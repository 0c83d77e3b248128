"""What water weighs against the payload left."""

from __future__ import annotations

import dataclasses

from fill_replay import plan_fills

from longdry.computing.fills.loads import carrier_loads, load_kg
from longdry.model.plan.fills import FillProblem, GradeNeed, Leg, Stop, Vessel
from longdry.model.trip.party import Vehicle
from longdry.model.words import ContainerGrade, Grade

CANS = tuple(Vessel(f"can {n}", 20.0, ContainerGrade.POTABLE, "car", 1.5) for n in range(3))
NEED = GradeNeed(45.0)
LEG = Leg(100.0, 2.0, NEED, NEED, NEED, GradeNeed(5.0))


def _problem(start, vessels, left_kg):
    return FillProblem((start, Stop(100.0, None)), (LEG,), vessels, (Vehicle("car", left_kg),))


def test_a_hundred_litres_weigh_a_hundred_kilograms():
    """The road safety authority of New South Wales: 100 L of water is 100 kg."""
    assert load_kg(100.0, 0.0) == 100.0


def test_the_plan_keeps_within_the_payload():
    """Worked by hand: 52 kg left bear 4.5 kg of cans and 47.5 L; the load is just the payload."""
    problem = _problem(Stop(0.0, None, Grade.POTABLE), CANS, 52.0)

    (load,) = carrier_loads(problem, plan_fills(problem))

    assert (load.tare_kg, load.load_kg, load.over_kg) == (4.5, 52.0, 0.0)


def test_what_is_on_board_already_can_pass_the_payload():
    """Worked by hand: cans full at a start without water weigh 64.5 kg, 14.5 kg over 50 kg."""
    full = tuple(dataclasses.replace(can, holds_l=20.0) for can in CANS)
    problem = _problem(Stop(0.0, None), full, 50.0)

    (load,) = carrier_loads(problem, plan_fills(problem))

    assert (load.load_kg, load.over_kg, load.stop) == (64.5, 14.5, 0)


def test_without_carriers_there_are_no_loads():
    """Nothing is said where the trip names no vehicle."""
    problem = dataclasses.replace(_problem(Stop(0.0, None, Grade.POTABLE), CANS, 50.0), carriers=())

    assert carrier_loads(problem, plan_fills(problem)) == ()
