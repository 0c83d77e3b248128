"""Known water that does not count, named for those whose life hangs on it.

It changes nothing else: no fill, no way on or back, no chance and no headline counts on it.
"""

from __future__ import annotations

import bisect
from collections.abc import Sequence

import numpy as np

from longdry.computing.route.approaches import find_approaches
from longdry.computing.setbacks.supplied import SuppliedPlan
from longdry.computing.water.passes import why_not_counted
from longdry.model.plan.setbacks import WaterInNeed
from longdry.model.water.passes import Approach, WaterPass
from longdry.model.water.source import Found, WaterSource
from longdry.model.words import Grade, Ration, Travel

ON_FOOT_SHARE = 0.5
"""Of what is carried there: more is never staked on water that nobody counts on."""
NOT_LOOKED_AT = "farther from the route than the plan looks"


def water_in_need(
    plan: SuppliedPlan, sources: Sequence[WaterSource], passes: Sequence[WaterPass]
) -> tuple[WaterInNeed, ...]:
    """Return every known source within `emergency_km` of the route that does not count.

    By km; those without a grade, salty or not for drinking last. What is known to be dry, out of
    reach, or retired is left out; on foot what takes more than half of what is carried there.

    Parameters
    ----------
    sources
        All that are known.
    passes
        Those that were judged, counted or not.
    """
    counted = {one.source.id for one in passes if one.counted}
    reasons = {one.source.id: one.why_not for one in passes}
    asked = [one for one in sources if one.id not in counted and not is_known_dry(one)]
    if not asked:
        return ()
    begins_km = [end.km for end in plan.ends[: plan.last]]
    found = [
        _named(plan, near, asked[near.place], reasons, begins_km)
        for near in _nearest(plan, asked).values()
    ]
    return tuple(sorted(filter(None, found), key=_good_first))


def is_known_dry(source: WaterSource) -> bool:
    """Whether the layer or the last visit says that nobody can get water there."""
    if source.retired is not None or source.flow_l_per_min == 0.0 or source.limit_l == 0.0:
        return True
    if not source.visits:
        return False
    last_on = max(visit.on for visit in source.visits)
    return any(
        visit.found in (Found.DRY, Found.UNREACHABLE)
        for visit in source.visits
        if visit.on == last_on
    )


def _nearest(plan: SuppliedPlan, sources: Sequence[WaterSource]) -> dict[int, Approach]:
    """Return the nearest approach to each source within reach, by its place among them."""
    approaches = find_approaches(
        plan.journey.prepared.measured,
        np.array([source.lat_deg for source in sources]),
        np.array([source.lon_deg for source in sources]),
        max_detour_km=plan.trip.policy.emergency_km,
    )
    nearest: dict[int, Approach] = {}
    for one in approaches:
        known = nearest.get(one.place)
        if known is None or one.offset_km < known.offset_km:
            nearest[one.place] = one
    return nearest


def _named(
    plan: SuppliedPlan,
    near: Approach,
    source: WaterSource,
    reasons: dict[str, str],
    begins_km: Sequence[float],
) -> WaterInNeed | None:
    way_km = near.offset_km * plan.trip.pace.detour_factor
    index = max(bisect.bisect_right(begins_km, near.km) - 1, 0)
    done = plan.stretch(index).travel.until_km(near.km)
    clock = plan.journey.clock
    morning = clock.rules.day_begun(int(done.end_h // 24.0), near.km)
    hours = way_km / clock.off_route_kmh
    travel, _ = clock.freely(morning, hours, way_km=way_km, from_km=near.km, to_km=near.km)
    litres = plan.demand.off_plan().need_l(Ration.BARE, travel)
    if plan.trip.pace.travel is Travel.FOOT:
        carried_l = plan.free_l(index) - plan.demand.need_l(Ration.FULL, done)
        if litres > ON_FOOT_SHARE * carried_l:
            return None
    can_treat = plan.trip.party.can_treat
    return WaterInNeed(
        source=source,
        km=near.km,
        way_km=way_km,
        hours=travel.days * 24.0,
        litres=litres,
        why_not=reasons.get(source.id)
        or why_not_counted(source, can_treat=can_treat)
        or NOT_LOOKED_AT,
    )


def _good_first(one: WaterInNeed) -> tuple[bool, float]:
    source = one.source
    return (source.trusted_grade is Grade.NOT_FOR_DRINKING or source.is_too_salty, one.km)
