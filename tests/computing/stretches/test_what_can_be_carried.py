"""What can be carried: what the containers hold, and no more than their vehicle bears."""

from __future__ import annotations

import dataclasses

import pytest
from make import container, straight_route, trip, use
from without_mends import plan_without_mends

from longdry.computing.stretches.verdicts import capacity_l, held_l
from longdry.model.trip.party import Vehicle
from longdry.model.words import Verdict

USES = (use(),)


def _loaded(*vehicles, uses=USES):
    """Four cans of 20 L and 2 kg on the cart, a bag of 10 L on nobody's payload."""
    cans = dataclasses.replace(container(20.0, 4), tare_kg=2.0, vehicle="cart")
    bag = dataclasses.replace(container(10.0, 1), name="bag", tare_kg=0.5)
    made = trip(containers=[cans, bag], uses=uses)
    return dataclasses.replace(made, vehicles=vehicles)


@pytest.mark.parametrize(
    ("payload_kg", "litres"), [(100.0, 90.0), (88.0, 90.0), (60.0, 62.0), (8.0, 10.0), (5.0, 10.0)]
)
def test_a_vehicle_carries_the_less_of_what_its_containers_hold_and_its_payload_bears(
    payload_kg, litres
):
    """Worked by hand: 80 L, or the payload less 8 kg of cans, 1 kg a litre; and 10 L of the bag."""
    assert capacity_l(_loaded(Vehicle("cart", payload_kg))) == litres
    assert held_l(_loaded(Vehicle("cart", payload_kg))) == 90.0


def test_each_vehicle_has_its_own_payload():
    """What one vehicle has to spare carries nothing for another one."""
    assert capacity_l(_loaded(Vehicle("cart", 28.0), Vehicle("truck", 500.0))) == 30.0


def test_without_vehicles_the_containers_alone_say_what_can_be_carried():
    """No payload is known, so none is held against the water."""
    assert capacity_l(_loaded()) == 90.0


def test_what_is_told_as_carried_and_missing_heeds_the_payload():
    """Worked by hand: 62 L can be carried; 600 km ask for 22 sixteenths of 60 L: 82.5 L."""
    made = _loaded(Vehicle("cart", 60.0), uses=[use(litres=30.0)])

    (stretch,) = plan_without_mends(straight_route(600.0), [], made).stretches

    assert (stretch.capacity_l, stretch.available_l) == (62.0, 62.0)
    assert stretch.short_l == pytest.approx(20.5)
    assert (stretch.verdict, stretch.held_back) == (Verdict.TOO_LONG, True)
