"""The small table of what goes wrong: verdicts before and after."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from longdry.computing.setbacks.changes import PlanUnderChange, changed, days_lost
from longdry.computing.setbacks.dry import drought, dry_together, rain_fed_sources
from longdry.computing.setbacks.giving import refilled
from longdry.computing.setbacks.supplied import SuppliedPlan
from longdry.computing.stretches.verdicts import (
    size_l,
    worst_verdict,
)
from longdry.errors import TripFileError
from longdry.model.plan.setbacks import WhatIf, WhatIfKind
from longdry.model.plan.stretch import DryStretch, worst_first_key
from longdry.model.trip.what_if import (
    Change,
    Delay,
    Drought,
    DrySource,
    Hotter,
    LostContainer,
    LostVehicle,
    MorePeople,
    SlowerPace,
    TreatingFails,
)
from longdry.model.words import Grade

STANDARD_DELAY_DAYS = 1
STANDARD_SLOWER_PERCENT = 25.0
STANDARD_HOTTER_C = 5.0

_KINDS = {
    Delay: WhatIfKind.DELAY,
    SlowerPace: WhatIfKind.PACE,
    Hotter: WhatIfKind.HEAT,
    LostContainer: WhatIfKind.CONTAINER,
    LostVehicle: WhatIfKind.VEHICLE,
    TreatingFails: WhatIfKind.TREATING,
    MorePeople: WhatIfKind.PEOPLE,
}


def standard_changes(plan: SuppliedPlan) -> tuple[Change, ...]:
    """Return what is always asked.

    A drought where rain fills several sources, a day lost, a slower pace, heat where the trip gives
    any, the largest container, each of several vehicles, and that treating fails where the plan
    draws on water to be treated.
    """
    trip = plan.trip
    asked: list[Change] = [Drought()] if len(rain_fed_sources(plan)) > 1 else []
    asked += [Delay(STANDARD_DELAY_DAYS), SlowerPace(STANDARD_SLOWER_PERCENT)]
    if trip.heat is not None:
        asked.append(Hotter(STANDARD_HOTTER_C))
    if trip.containers:
        largest = max(trip.containers, key=lambda box: size_l(trip, box))
        asked.append(LostContainer(largest.name))
    if len(trip.vehicles) > 1:
        asked += [LostVehicle(vehicle.name) for vehicle in trip.vehicles]
    if _draws_on_raw_water(plan):
        asked.append(TreatingFails())
    return tuple(asked)


def _draws_on_raw_water(plan: SuppliedPlan) -> bool:
    waters = [water for end in plan.ends for water in end.waters]
    return any(water.source.trusted_grade is not Grade.POTABLE for water in waters)


def what_ifs(under: PlanUnderChange, changes: Sequence[Change]) -> tuple[WhatIf, ...]:
    """Return what becomes of the plan under each change, one at a time.

    Raises
    ------
    TripFileError
        Where a change asks for something that the trip or the route does not have.

    Examples
    --------
    Nothing asked, nothing answered: ``what_ifs(under, [])`` is ``()``.
    """
    return tuple(what_if(under, change) for change in changes)


def what_if(under: PlanUnderChange, change: Change) -> WhatIf:
    """Return what becomes of the plan under one change.

    No change counts as a help: a stretch that would get better stays as it was planned.
    """
    plan = under.plan
    if isinstance(change, DrySource):
        return _dry_by_name(under, change)
    if isinstance(change, Drought):
        return drought(plan)
    if isinstance(change, Delay) and change.km is None:
        change = Delay(change.days, worst_place_km(plan, change.days))
    before = plan.stretches()
    after = refilled(changed(under, change)).stretches()
    worst = min(map(_harder, before, after), key=worst_first_key)
    planned = min(before, key=worst_first_key)
    return WhatIf(
        kind=_KINDS[type(change)],
        words=change.words,
        sources=(),
        before=planned.verdict,
        verdict=worst_verdict([planned.verdict, worst.verdict]),
        worst=worst,
    )


def _harder(one: DryStretch, other: DryStretch) -> DryStretch:
    return min(one, other, key=worst_first_key)


def worst_place_km(plan: SuppliedPlan, days: int) -> float:
    """Return the km at which days lost hurt most: the middle of the stretch that is worst then."""
    lost = [(km, _stretch_with_days_lost(plan, index, km, days)) for index, km in _middles(plan)]
    return min(lost, key=lambda one: worst_first_key(one[1]))[0]


def _middles(plan: SuppliedPlan) -> list[tuple[int, float]]:
    ends = plan.ends
    return [(i, _middle_km(ends[i].km, ends[i + 1].km)) for i in range(plan.last)]


def _middle_km(from_km: float, to_km: float) -> float:
    """Return the middle, in whole hundred metres where that still lies between."""
    middle_km = (from_km + to_km) / 2.0
    plain_km = round(middle_km, 1)
    return plain_km if from_km <= plain_km < to_km else middle_km


def _stretch_with_days_lost(plan: SuppliedPlan, index: int, km: float, days: int) -> DryStretch:
    journey = plan.journey
    lost = days_lost(km, days, journey.prepared.length_km)
    camps = tuple(sorted([*journey.clock.camps, lost], key=lambda camp: camp.km))
    clock = replace(journey.clock, camps=camps)
    travel, _ = clock.onward(plan.leaves(index), plan.call(index), plan.call(index + 1))
    return journey.judged(
        index + 1,
        plan.ends[index],
        plan.ends[index + 1],
        travel,
        carried_l=plan.carried_l[index],
    )


def _dry_by_name(under: PlanUnderChange, change: DrySource) -> WhatIf:
    plan = under.plan
    wanted = change.name.strip().casefold()
    known = plan.sources()
    found = [one for one in known if wanted in (one.name.strip().casefold(), one.id.casefold())]
    if not found:
        names = ", ".join(f'"{one.name}"' for one in known[:10]) or "none"
        raise TripFileError.single(
            under.origin,
            f'"{change.words}"',
            f'the plan calls at no source that is called "{change.name}"',
            f"it calls at: {names}",
        )
    return min((dry_together(plan, [one]) for one in found), key=lambda w: worst_first_key(w.worst))
