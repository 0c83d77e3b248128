"""Plans with water on board, for the tests of what goes wrong."""

from __future__ import annotations

from longdry.computing.clock.moving_hours import Moment, daily_windows
from longdry.computing.stretches.stretches import StretchContext, stretch_ends
from make import straight_route, trip

from longdry.computing.clock.camps import camps_on_route
from longdry.computing.clock.clock import Clock
from longdry.computing.needs.needs import HeatDemand, no_heat
from longdry.computing.pace.profile import profile_by_sections
from longdry.computing.plan.planning import plan_trip
from longdry.computing.setbacks.supplied import SuppliedPlan, loaded_full
from longdry.model.arrays import frozen_floats

LENGTH_KM = 600.0
ROUTE = straight_route(LENGTH_KM, points=7)


def afresh(*sources, route=ROUTE, **changes):
    """Plan a trip from nothing."""
    return plan_trip(route, list(sources), trip(**changes))


def loaded(*sources, on_board_l=None, heat=None, route=ROUTE, **changes):
    """Load the plan of a trip: 2 people, 300 km a day, 4 L a head; full unless told."""
    made = afresh(*sources, route=route, **changes)
    pace, length_km = made.trip.pace, made.measured.length_km
    clock = Clock(
        moving=daily_windows(start_hour=pace.start_hour, hours_per_day=pace.hours_per_day),
        profile=profile_by_sections(length_km, pace),
        depart=Moment(pace.start_hour, 0),
        camps=camps_on_route(made.trip, made.measured, made.passes),
    )
    going = StretchContext(made.trip, clock, heat or no_heat(), length_km)
    ends = stretch_ends(made.passes, length_km)
    if on_board_l is None:
        on_board_l = [stretch.available_l for stretch in dry_stretches(ends, going)]
    return SuppliedPlan(going, ends, tuple(on_board_l))


def flat_heat(moving_l, resting_l, *, midnight_h=-8.0):
    """Ask for the same litres a day of the whole party on every day, departure at 8 o'clock."""
    return HeatDemand(
        midnight_h=midnight_h,
        moving_l=frozen_floats([moving_l]),
        resting_l=frozen_floats([resting_l]),
    )
