"""Which water a party in need makes for: the next that gives any, onward or back.

A call that is closed when the party comes, or gives less than a litre a head, is passed over. The
party does not know that beforehand: it calls there in vain, and goes on to the water after it.
Water that the plan passes by is made for too: back only where it is certain, for nobody of the
party has seen it.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from typing import NamedTuple

from longdry.computing.calls.groups import is_named
from longdry.computing.clock.day_rules import Moment
from longdry.computing.setbacks.giving import (
    has_water_at,
    has_water_passed_by,
    water_behind,
    wet_sources,
)
from longdry.computing.setbacks.supplied import SuppliedPlan
from longdry.computing.setbacks.sure_water import is_sure
from longdry.computing.setbacks.ways import WayOffPlan, way_between
from longdry.model.plan.stretch import StretchEnd
from longdry.model.water.passes import WaterPass


class Reached(NamedTuple):
    """Water, and the way to it."""

    end: StretchEnd
    place: int | None
    """Its index in the plan; None: the plan passes it by."""
    way: WayOffPlan


def water_ahead(plan: SuppliedPlan, now: Moment, here: int, *, sure_only: bool) -> Reached:
    """Return the first water beyond a dry stop; the end of the route is one.

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
    on = plan.journey.date_of(now.hour)
    for end, index in _ahead(plan, here):
        is_call = index is not None
        ids = {water.source.id for water in end.waters}
        if ids <= (found_dry if is_call else found_dry | plan.spoilt):
            continue
        if ids <= plan.spoilt:
            found_dry |= ids
        elif not sure_only or any(is_sure(one, on) for one in wet_sources(plan, end)):
            way = way_between(plan, now, plan.ends[here], end, vain)
            trusted = _with_sure(plan, end, on) if sure_only else plan
            if _has_water(trusted, end, index, way.arrived.hour, through=(index or here + 1) - 1):
                return Reached(end, index, way)
        elif not is_call:
            continue
        vain.append(end)
    end = plan.ends[-1]
    return Reached(end, plan.last, way_between(plan, now, plan.ends[here], end, vain))


def _with_sure(plan: SuppliedPlan, end: StretchEnd, on: dt.date | None) -> SuppliedPlan:
    """Return the plan in which a place gives no more than its sure water."""
    unsure = {one.id for one in wet_sources(plan, end) if not is_sure(one, on)}
    return plan.with_spoilt(unsure) if unsure else plan


def _ahead(plan: SuppliedPlan, here: int) -> Iterable[tuple[StretchEnd, int | None]]:
    """Return the calls and the water passed by beyond a stop, by km."""
    here_km = plan.ends[here].km
    passed = [(end, None) for end in plan.passed if end.km >= here_km]
    calls = [(plan.ends[index], index) for index in range(here + 1, plan.last)]
    return sorted([*calls, *passed], key=lambda place: place[0].km) if passed else calls


def _has_water(
    plan: SuppliedPlan, end: StretchEnd, index: int | None, hour: float, *, through: int
) -> bool:
    if index is None:
        return has_water_passed_by(plan, end, hour, through=through)
    return has_water_at(plan, index, hour, through=through)


def water_back(plan: SuppliedPlan, now: Moment, here: int, behind: int) -> Reached:
    """Return the last water up to a stop where there was some and still is, or the start.

    Parameters
    ----------
    plan
        Whose dry sources are spoilt.
    here
        Index of the stop.
    behind
        Index of the last end that it may go back to.
    """
    vain: list[StretchEnd] = []
    for end, index in _behind(plan, here, behind):
        if index is None or water_behind(plan, index) == index:
            way = way_between(plan, now, plan.ends[here], end, vain)
            if _has_water(plan, end, index, way.arrived.hour, through=here - 1):
                return Reached(end, index, way)
            vain.append(end)
    return Reached(plan.home, 0, way_between(plan, now, plan.ends[here], plan.home, vain))


def _behind(plan: SuppliedPlan, here: int, behind: int) -> Iterable[tuple[StretchEnd, int | None]]:
    """Return the calls up to an end and the certain water passed by, the last first."""
    passed = [(end, None) for end in reversed(certain_passed(plan, plan.ends[here].km))]
    calls = [(plan.ends[index], index) for index in range(behind, 0, -1)]
    if not passed:
        return calls
    return sorted([*calls, *passed], key=lambda place: place[0].km, reverse=True)


def certain_passed(plan: SuppliedPlan, up_to_km: float) -> list[StretchEnd]:
    """Return the certain water that the plan passes by up to a km, by km.

    What gave water on the way here is as good.
    """
    return [
        end
        for end in plan.passed
        if end.km <= up_to_km
        and end.water
        and (end.water.judgement.is_sure or _gave_water(plan, end.water))
        and wet_sources(plan, end)
    ]


def _gave_water(plan: SuppliedPlan, water: WaterPass) -> bool:
    here = plan.trip.here
    if here is None or water.km > here.km:
        return False
    drawn_on = ((one.source.id, one.km) for one in plan.ends[0].waters)
    return (water.source.id, water.km) in drawn_on or any(
        is_named(name, water) for name in here.drawn_at
    )
