"""The calls of a plan one by one, and the longest way without water."""

from __future__ import annotations

import itertools

from longdry.computing.fills.settled import SettledTrip
from longdry.computing.plan.rounds import minutes_by_stop
from longdry.model.plan.stops import PlannedStop, WithoutWater


def stops_of(settled: SettledTrip) -> tuple[PlannedStop, ...]:
    """Return the calls in travel order."""
    journey = settled.journey
    calls = zip(journey.ends[1:-1], journey.itinerary.stays, minutes_by_stop(settled), strict=True)
    return tuple(
        PlannedStop(
            waters=end.waters,
            km=end.km,
            arrive_h=stay.arrives.hour,
            wait_h=stay.wait_h,
            draw_min=draw_min,
            treat_min=treat_min,
            leave_h=stay.leaves.hour,
            nights=stay.nights,
        )
        for end, stay, (draw_min, treat_min) in calls
    )


def longest_without_water(settled: SettledTrip) -> WithoutWater:
    """Return the longest way along the route between passes that count, start and end counting."""
    journey = settled.journey
    times = {0.0: (journey.itinerary.leaves.hour,) * 2}
    for one in settled.passes:
        if one.counted and one.km not in times:
            times[one.km] = (journey.hour_at_km(one.km),) * 2
    for end, stay in zip(journey.ends[1:-1], journey.itinerary.stays, strict=True):
        times[end.km] = (stay.arrives.hour, stay.leaves.hour)
    times[journey.prepared.length_km] = (journey.itinerary.arrives.hour,) * 2
    km = sorted(times)
    ways = [
        WithoutWater(here, there, max(times[there][0] - times[here][1], 0.0) / 24.0)
        for here, there in itertools.pairwise(km)
    ]
    return max(ways, key=lambda way: way.length_km, default=WithoutWater(0.0, 0.0, 0.0))
