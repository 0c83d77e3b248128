"""Which water a party in need makes for: the next that gives any, onward or back.

A source that is closed when the party comes, or gives less than a litre a head, is passed over. The
party does not know that beforehand: it calls there in vain, and goes on to the source after it.
"""

from __future__ import annotations

from typing import NamedTuple

from longdry.computing.clock.day_rules import Moment
from longdry.computing.setbacks.giving import has_water_at, water_behind
from longdry.computing.setbacks.supplied import SuppliedPlan
from longdry.computing.setbacks.sure_water import is_sure
from longdry.computing.setbacks.ways import Way, way_between
from longdry.model.plan.stretch import StretchEnd


class Reached(NamedTuple):
    """An end of a stretch, and the way to it."""

    place: int
    """Its index in the plan."""
    way: Way


def water_ahead(plan: SuppliedPlan, now: Moment, here: int, *, sure_only: bool) -> Reached:
    """Return the first end beyond a dry stop where there is water; the end of the route is one.

    Parameters
    ----------
    plan
        Whose dry sources are spoilt.
    now
        When the party leaves the dry stop.
    here
        Index of that stop.
    sure_only
        Whether only such water counts as holds where rain fails.
    """
    vain: list[StretchEnd] = []
    found_dry = set(plan.source_ids(here))
    for index in range(here + 1, plan.last):
        if plan.source_ids(index) <= found_dry:
            continue
        if plan.is_spoilt(index):
            found_dry |= plan.source_ids(index)
        elif not sure_only or _is_sure_at(plan, index):
            way = way_between(plan, now, plan.ends[here], plan.ends[index], vain)
            if has_water_at(plan, index, way.arrived.hour, through=index - 1):
                return Reached(index, way)
        vain.append(plan.ends[index])
    return Reached(plan.last, way_between(plan, now, plan.ends[here], plan.ends[-1], vain))


def _is_sure_at(plan: SuppliedPlan, index: int) -> bool:
    on = plan.journey.date_of(plan.arrives(index).hour)
    sources = (water.source for water in plan.ends[index].waters)
    return any(is_sure(source, on) for source in sources if source.id not in plan.spoilt)


def water_back(plan: SuppliedPlan, now: Moment, here: int, behind: int) -> Reached:
    """Return the last end up to ``behind`` where there was water and still is, or the start.

    Parameters
    ----------
    plan
        Whose dry sources are spoilt.
    """
    vain: list[StretchEnd] = []
    while (place := water_behind(plan, behind)) > 0:
        way = way_between(plan, now, plan.ends[here], plan.ends[place], vain)
        if has_water_at(plan, place, way.arrived.hour, through=place):
            return Reached(place, way)
        vain.append(plan.ends[place])
        behind = place - 1
    return Reached(0, way_between(plan, now, plan.ends[here], plan.ends[0], vain))
