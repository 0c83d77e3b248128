"""Mend: travel the route the other way round."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from longdry.computing.fills.settled import Water
from longdry.computing.mends.trials import MendSearch, Proposal
from longdry.computing.route.mirrored import mirrored_route, mirrored_trip
from longdry.computing.stretches.prepared import prepare
from longdry.model.plan.mends import MendKind
from longdry.model.plan.stretch import DryStretch
from longdry.model.trip.trip import Trip
from longdry.model.water.passes import Approach
from longdry.units import rounded_down

_CAUTION = (
    "Plan it with --reverse (a plan made with it: without) and read that plan whole: its camps and"
    " its dates at the sources are others, and it leaves from the other end {start}: make sure of"
    " that water. Ask the land manager whether the way may be taken in that direction."
)


def by_other_way(search: MendSearch, _stretch: DryStretch) -> Iterator[Proposal]:
    """Yield the route the other way round."""
    measured = mirrored_route(search.prepared.measured)
    trip = mirrored_trip(search.trip, measured.length_km)
    yield Proposal(
        MendKind.OTHER_WAY,
        "Travel the route the other way round.",
        _CAUTION.format(start=_start_words(search.trip)),
        prepare(measured, trip),
        mirrored_water(search.water, measured.length_km),
        key=MendKind.OTHER_WAY,
        is_turned=True,
    )


def _start_words(trip: Trip) -> str:
    """Tell what is carried at the start, which the trip states of its own and of no other place."""
    on_board_l = trip.policy.start_on_board_l
    if any(box.holds_l is not None for box in trip.containers):
        on_board_l = sum(box.count * (box.holds_l or 0.0) for box in trip.containers)
    if on_board_l is None:
        return "with water there for all containers"
    return f"with the {rounded_down(on_board_l, 0.1):g} L that the trip has at its start"


def mirrored_water(water: Water, length_km: float) -> Water:
    """Return the same water with its km counted from the other end."""
    turned = (_turned(one, length_km) for one in reversed(water.approaches))
    return replace(water, approaches=tuple(turned))


def _turned(one: Approach, length_km: float) -> Approach:
    return Approach(one.place, 0, 0.0, length_km - one.km, one.offset_km, one.lat_deg, one.lon_deg)
