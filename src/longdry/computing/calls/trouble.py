"""What calling costs a party: hours, and on foot and by bicycle litres carried over km."""

from __future__ import annotations

from longdry.computing.stretches.journey import Journey
from longdry.model.plan.stretch import DryStretch
from longdry.model.trip.trip import USUAL_LITRE_KM_PER_HOUR, Trip


def trouble_of(journey: Journey, stretches: tuple[DryStretch, ...]) -> float:
    """Return the trouble of a plan in hours: ways and stops, and what is carried."""
    off_kmh = journey.trip.pace.off_route_kmh
    ways_h = sum(2.0 * end.way_km for end in journey.ends) / off_kmh
    stops_h = sum(call.stop_h for call in journey.calls)
    return ways_h + stops_h + sum(carrying_h(journey.trip, stretch) for stretch in stretches)


def carrying_h(trip: Trip, stretch: DryStretch) -> float:
    """Return what carrying the water of a stretch counts as, in hours; usually nothing by vehicle.

    Half the need goes over the whole way, and all of the reserve.
    """
    usual = USUAL_LITRE_KM_PER_HOUR.get(trip.pace.travel)
    litre_km_per_hour = trip.policy.litre_km_per_hour or usual
    if litre_km_per_hour is None:
        return 0.0
    litres = stretch.need.total_l / 2.0 + stretch.reserve_l
    return litres * stretch.length_km / litre_km_per_hour
