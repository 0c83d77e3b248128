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
from longdry.model.water.passes import Approach

_CAUTION = (
    "Plan it with --reverse and read that plan whole: its start, its camps and its dates at the"
    " sources are others. Ask the land manager whether the way may be taken in that direction."
)


def by_other_way(search: MendSearch, _stretch: DryStretch) -> Iterator[Proposal]:
    """Yield the route the other way round."""
    measured = mirrored_route(search.prepared.measured)
    trip = mirrored_trip(search.trip, measured.length_km)
    yield Proposal(
        MendKind.OTHER_WAY,
        "Travel the route the other way round.",
        _CAUTION,
        prepare(measured, trip),
        mirrored_water(search.water, measured.length_km),
        key=MendKind.OTHER_WAY,
        is_turned=True,
    )


def mirrored_water(water: Water, length_km: float) -> Water:
    """Return the same water with its km counted from the other end."""
    turned = (_turned(one, length_km) for one in reversed(water.approaches))
    return replace(water, approaches=tuple(turned))


def _turned(one: Approach, length_km: float) -> Approach:
    return Approach(one.place, 0, 0.0, length_km - one.km, one.offset_km, one.lat_deg, one.lon_deg)
