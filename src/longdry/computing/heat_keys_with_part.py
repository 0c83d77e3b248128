"""Which defaults of the heat took no part in a plan, so that they are not told."""

from __future__ import annotations

from typing import TYPE_CHECKING

from longdry.model.trip import Trip
from longdry.model.trip_keys_heat import HEAT

if TYPE_CHECKING:  # a trip without heat has none
    from longdry.model.trip_heat import TripHeat


def heat_keys_without_part(trip: Trip) -> frozenset[str]:
    """Return the keys of [heat] that no litre of the plan depends on."""
    if trip.heat is None:
        return frozenset()
    people = trip.heat.people(trip.party.people)
    if all(person.litres_per_day is not None for person in people):
        return frozenset(f"{HEAT.name}.{key}" for key in HEAT.key_names)
    unused = set()
    if trip.heat.working_h == 0.0:
        unused |= {"heat.working_met", "heat.working_in_sun"}
    if trip.heat.moving_by_night:
        unused.add("heat.moving_in_sun")
    if not _any_sun(trip.heat):
        unused.add("heat.sun_excess_c")
    return frozenset(unused)


def _any_sun(heat: TripHeat) -> bool:
    moving = heat.moving_in_sun and not heat.moving_by_night
    working = heat.working_in_sun and heat.working_h > 0.0
    return moving or working or heat.resting_in_sun_h > 0.0
