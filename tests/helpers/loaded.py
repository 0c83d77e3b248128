"""Plans that carry water, for the tests of what goes wrong.

The party: 2 people at 4 L a day, 50 km/h from 8 to 14 o'clock, so 300 km a day. By vehicle a day's
8 L are drunk evenly over its 16 waking hours, from 6 to 22 o'clock: half a litre an hour.
"""

from __future__ import annotations

import dataclasses
import datetime as dt

import numpy as np
from make import pace, source_at, straight_route, trip

from longdry.computing.calls.groups import stretch_ends
from longdry.computing.needs.needs import HeatDemand
from longdry.computing.route.approaches import find_approaches
from longdry.computing.route.chainage import measure_route
from longdry.computing.setbacks.changes import PlanUnderChange
from longdry.computing.setbacks.supplied import SuppliedPlan, loaded_full
from longdry.computing.stretches.journey import journey_of
from longdry.computing.stretches.prepared import prepare
from longdry.computing.water.passes import passes_of
from longdry.model.arrays import frozen_floats
from longdry.model.water.source import Found, Visit
from longdry.model.words import Certainty, CountOn, Travel

LENGTH_KM = 600.0
ROUTE = straight_route(LENGTH_KM, points=7)
L_PER_H = 0.5
"""Of the two people in a waking hour."""
MARGIN_L = 2.0
"""The least of any way off the plan: a litre a head."""
ON_FOOT = pace(travel=Travel.FOOT)
"""The same hours on foot. 8 L a day over the plan's 6 hours on the move are 8/6 L an hour; who
moves for less of a day drinks 2 L (a litre a head) in each of them, as far as the 8 L go."""


DATED = {"depart": dt.datetime(2027, 5, 3, 8)}
"""More of a trip: a date, for without one no word is borne out by a visit."""
SURE = {
    "certainty": Certainty.CERTAIN,
    "visits": (Visit(dt.date(2027, 5, 1), Found.FLOWING),),
}
"""What makes a source sure on that date: the user's word, and water found two days before."""


def bore_at(km, **changes):
    """Make a bore at a km of the straight route; rain does not fill it."""
    offset_km, name = changes.pop("offset_km", 0.0), changes.pop("id", None)
    made = source_at(km, offset_km=offset_km, id=name)
    return dataclasses.replace(made, kind=changes.pop("kind", "bore"), **changes)


def passes_at(prepared, sources):
    """Return every pass of some sources; all of them count."""
    near = find_approaches(
        prepared.measured,
        np.array([source.lat_deg for source in sources]),
        np.array([source.lon_deg for source in sources]),
        max_detour_km=prepared.trip.policy.max_detour_km,
    )
    dates = [prepared.departs_on] * len(near)
    return passes_of(near, sources, prepared.trip, CountOn.ANY, dates)


def prepared_trip(route=ROUTE, more=None, **changes):
    """Prepare a trip; ``more`` are fields that `make.trip` does not know."""
    return prepare(measure_route(route), dataclasses.replace(trip(**changes), **(more or {})))


def journey_past(prepared, sources, *, stop_minutes=None, heat=None):
    """Follow the clock over every pass of some sources."""
    ends = stretch_ends(passes_at(prepared, sources), prepared.length_km, prepared.trip)
    return journey_of(prepared, ends, stop_minutes, heat=heat)


def loaded(*sources, carried_l=None, heat=None, **changes):
    """Load the plan of a trip that calls at every source; full unless told."""
    journey = journey_past(prepared_trip(**changes), list(sources), heat=heat)
    full = loaded_full(journey)
    return full if carried_l is None else dataclasses.replace(full, carried_l=tuple(carried_l))


def under(plan, carried=None):
    """Return the plan as changes of it want it."""
    return PlanUnderChange(plan, carried, "trip.toml")


def carrying(plan, carried_l):
    """Return the plan with other litres."""
    return SuppliedPlan(plan.journey, tuple(carried_l), back=plan.back, passed=plan.passed)


def awake_h(from_h, to_h):
    """Return the waking hours between two times: from 6 to 22 o'clock of every day."""
    days = range(int(from_h // 24), int(to_h // 24) + 1)
    return sum(max(min(to_h, 24 * d + 22) - max(from_h, 24 * d + 6), 0.0) for d in days)


def ticked(hour, moving_h, *, least_h=1e-12):
    """Follow a party through the moving hours of its days; written without the engine."""
    while moving_h > least_h:
        of_day = hour % 24.0
        if of_day < 8.0 or of_day >= 14.0 - 1e-9:
            hour += (8.0 - of_day) % 24.0
            continue
        step_h = min(14.0 - of_day, moving_h)
        hour, moving_h = hour + step_h, moving_h - step_h
    return hour


def flat_heat(moving_l, resting_l):
    """Ask for the same litres a day of the whole party on every day, evenly over its 24 hours."""
    return HeatDemand(frozen_floats([moving_l]), frozen_floats([resting_l]))


def by_day_heat(moving_l, resting_l):
    """Ask for so many litres on each calendar day of the trip."""
    return HeatDemand(frozen_floats(moving_l), frozen_floats(resting_l))
