"""Which passes are one stop, and which belong to the start."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence

import numpy as np

from longdry.geodesy import leg_lengths_km
from longdry.model.plan.stretch import StretchEnd
from longdry.model.trip.here import Here
from longdry.model.trip.named_pass import NamedPass, named_pass
from longdry.model.trip.trip import Trip
from longdry.model.water.passes import WaterPass
from longdry.model.water.source import WaterSource
from longdry.model.words import Certainty, Grade
from longdry.units import TOLERANCE_KM

LEAST_KM_PER_DEG_LAT = 110.5
"""A degree of latitude on the ellipsoid of WGS 84: 110.57 km at the equator, more beyond."""
ONE_STOP_KM = 0.3
"""Passes nearer to each other than this along the route, of sources as near to the first one's, are
one stop."""
AT_START_KM = 1.0
"""Water with km and way within this belongs to the start."""


def stretch_ends(
    passes: Sequence[WaterPass], length_km: float, trip: Trip
) -> tuple[StretchEnd, ...]:
    """Return the start, the stops at passes that count, and the end, in travel order.

    Where the trip does not state what is carried at the start, water near it is the start's own.
    """
    counted = sorted((one for one in passes if one.counted), key=_km)
    unfit = _for_washing(passes, trip)
    if trip.here is not None:
        stops = [_stop(group, unfit) for group in groups(counted)]
        return _from_here(stops, passes, length_km, trip.here)
    own = [one for one in counted if one.km + one.way_km <= AT_START_KM] if _fills_up(trip) else []
    return (
        StretchEnd(0.0, None, tuple(own)),
        *(_stop(group, unfit) for group in groups([one for one in counted if one not in own])),
        StretchEnd(length_km),
    )


def _for_washing(passes: Sequence[WaterPass], trip: Trip) -> list[WaterPass]:
    """Return water not for drinking, by its km, where the trip has a use that takes any."""
    if all(use.grade is not Grade.NOT_FOR_DRINKING for use in trip.uses):
        return []
    known = (
        one
        for one in passes
        if one.source.grade is Grade.NOT_FOR_DRINKING
        and one.source.retired is None
        and 0.0 not in (one.source.limit_l, one.source.flow_l_per_min)
        and one.judgement.certainty is not Certainty.DOUBTFUL
    )
    return sorted(known, key=_km)


def _from_here(
    stops: Sequence[StretchEnd], passes: Sequence[WaterPass], length_km: float, here: Here
) -> tuple[StretchEnd, ...]:
    """Return the ends of the rest of a trip; the party stands at water only where it says so.

    From water that gives nothing any more it has the way to the route before it all the same.
    """
    at = [stop for stop in stops if any(_stands_at(here, water) for water in stop.waters)]
    off_km = max((one.way_km for one in passes if _stands_at(here, one)), default=0.0)
    begin = at[0] if at else StretchEnd(here.km, is_here=True, off_km=off_km)
    ahead = [stop for stop in stops if stop.km > here.km and stop is not begin]
    return (begin, *ahead, StretchEnd(length_km))


def _stands_at(here: Here, water: WaterPass) -> bool:
    is_here = abs(water.km - here.km) <= TOLERANCE_KM
    return here.source is not None and is_here and means(here.source, water)


def _fills_up(trip: Trip) -> bool:
    """Whether the trip leaves it open what is carried at the start."""
    is_stated = trip.policy.start_on_board_l is not None
    return not is_stated and all(box.holds_l is None for box in trip.containers)


def groups(counted: Sequence[WaterPass]) -> list[list[WaterPass]]:
    """Return passes by km in groups that are one stop each; a source stands once in each."""
    found: list[list[WaterPass]] = []
    for water in counted:
        if found and _is_at(found[-1], water):
            found[-1].append(water)
        else:
            found.append([water])
    return found


def _is_at(group: Sequence[WaterPass], water: WaterPass) -> bool:
    if water.km - group[-1].km >= ONE_STOP_KM:
        return False
    if any(water.source.id == one.source.id for one in group):
        return False
    return _is_near(group[0].source, water.source)


def _is_near(one: WaterSource, other: WaterSource) -> bool:
    if abs(one.lat_deg - other.lat_deg) * LEAST_KM_PER_DEG_LAT > ONE_STOP_KM:
        return False
    lat_deg, lon_deg = [one.lat_deg, other.lat_deg], [one.lon_deg, other.lon_deg]
    return bool(leg_lengths_km(np.array(lat_deg), np.array(lon_deg))[0] <= ONE_STOP_KM)


def _stop(group: Sequence[WaterPass], unfit: Sequence[WaterPass]) -> StretchEnd:
    """Name a stop by its best water: potable, likeliest, nearest."""
    first, *others = sorted(group, key=_worth)
    begin = bisect_right(unfit, group[0].km - ONE_STOP_KM, key=_km)
    end = bisect_left(unfit, group[-1].km + ONE_STOP_KM, key=_km)
    beside = tuple(one for one in unfit[begin:end] if _is_near(group[0].source, one.source))
    return StretchEnd(min(one.km for one in group), first, tuple(others), beside)


def _km(water: WaterPass) -> float:
    return water.km


def _worth(water: WaterPass) -> tuple[bool, float, float]:
    is_raw = water.source.trusted_grade is not Grade.POTABLE
    return (is_raw, -water.judgement.chance, water.way_km)


NAMED_WITHIN_KM = 0.5
"""SOURCE@KM means the pass within this of the km."""


def is_named(name: str, water: WaterPass) -> bool:
    """Whether SOURCE or SOURCE@KM means a pass, by id or name."""
    return means(named_pass(name), water)


def means(wanted: NamedPass, water: WaterPass) -> bool:
    """Whether a pass is meant."""
    if wanted.km is not None and abs(wanted.km - water.km) > NAMED_WITHIN_KM:
        return False
    known = {water.source.id.strip().casefold(), water.source.name.strip().casefold()}
    return wanted.source.casefold() in known
