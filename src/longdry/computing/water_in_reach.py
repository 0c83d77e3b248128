"""Which water a party in need makes for: the next that gives any, onward or back.

A source that is closed when the party comes, or gives less than a litre a head, is passed over. The
party does not know that beforehand: it calls there in vain, and goes on to the source after it.
"""

from __future__ import annotations

from collections.abc import Collection
from typing import NamedTuple

from longdry.computing.loaded_plan import LoadedPlan
from longdry.computing.moving_hours import Moment
from longdry.computing.opening import is_open_at
from longdry.computing.refilling import gives_water_at, water_behind
from longdry.computing.ways_out import Way, way_between
from longdry.model.dry_stretch import StretchEnd


class Reached(NamedTuple):
    """An end of a stretch, and the way to it."""

    place: int
    """Its index in the plan."""
    way: Way


def water_ahead(
    plan: LoadedPlan, now: Moment, here: StretchEnd, ahead: int, dry_ids: Collection[str]
) -> Reached:
    """Return the first end from ``ahead`` on where there is water; the end of the route is one.

    Parameters
    ----------
    now
        When the party leaves ``here``.
    dry_ids
        Ids of the sources that are dry at every pass; the party has called at that of ``here``.
    """
    vain: list[StretchEnd] = []
    found_dry = {here.water.source.id} if here.water else set()
    for index in range(ahead, len(plan.ends) - 1):
        end = plan.ends[index]
        source_id = end.water.source.id if end.water else ""
        if source_id in found_dry:
            continue
        if source_id not in dry_ids:
            way = way_between(plan, now, here, end, vain)
            if gives_water_at(plan, index, way.arrived.hour, taken_through=index - 1):
                return Reached(index, way)
        else:
            found_dry.add(source_id)
        vain.append(end)
    last = len(plan.ends) - 1
    return Reached(last, way_between(plan, now, here, plan.ends[last], vain))


def water_back(plan: LoadedPlan, now: Moment, here: StretchEnd, behind: int) -> Reached:
    """Return the last end up to ``behind`` where there is water again; the start is one.

    It gave water when the party came by, and is open when the party is back.
    """
    vain: list[StretchEnd] = []
    for index in range(behind, 0, -1):
        end = plan.ends[index]
        way = way_between(plan, now, here, end, vain)
        if water_behind(plan, index) == index and _is_open(end, way.arrived.hour):
            return Reached(index, way)
        vain.append(end)
    return Reached(0, way_between(plan, now, here, plan.ends[0], vain))


def _is_open(end: StretchEnd, hour: float) -> bool:
    return end.water is None or is_open_at(end.water.source, hour)
