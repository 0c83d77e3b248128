"""A trip reversed twice is itself."""

from __future__ import annotations

import dataclasses

import pytest
from how_many import proof
from random_plans import random_plan, settled_plan

from longdry.computing.plan.rounds import settled_trip
from longdry.computing.route.chainage import measure_route
from longdry.computing.route.mirrored import mirrored_trip
from longdry.computing.stretches.prepared import prepare
from longdry.model.plan.fills import USUAL_FILL_WAY


@proof(200)
def test_a_trip_reversed_twice_is_itself(cases):
    """Route and trip turned round twice give the same stops, times and litres."""
    for seed in cases:
        case = random_plan(seed)
        assert _told(_reversed_twice(case)) == pytest.approx(_told(settled_plan(seed)), abs=1e-6), (
            seed
        )


def _reversed_twice(case):
    route = case.route.reversed().reversed()
    measured = measure_route(route, winding_factor=case.trip.pace.winding_factor)
    length_km = measured.length_km
    trip = mirrored_trip(mirrored_trip(case.trip, length_km), length_km)
    prepared = prepare(measured, trip)
    again = dataclasses.replace(case, route=route, trip=trip)
    return settled_trip(prepared, again.water_near(prepared), USUAL_FILL_WAY)


def _told(settled):
    """Return km, hours and litres of every stretch in one row."""
    return [
        figure
        for stretch in settled.stretches
        for figure in (
            stretch.end.km,
            stretch.leave_h,
            stretch.arrive_h,
            stretch.on_board_l,
            stretch.left_l,
            stretch.missing_l,
        )
    ]
