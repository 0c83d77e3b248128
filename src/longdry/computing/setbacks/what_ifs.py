"""The small table of what goes wrong: verdicts before and after."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import replace

from longdry.computing.setbacks.changes import HeatOf, changed, going_delayed, size_l
from longdry.computing.setbacks.dry import counted_sources, dry_together
from longdry.computing.setbacks.supplied import SuppliedPlan
from longdry.computing.setbacks.water_in_reach import refilled
from longdry.computing.stretches.verdicts import severity_on_bare_ration, worst_verdict
from longdry.errors import TripFileError
from longdry.model.plan.setbacks import WhatIf, WhatIfKind
from longdry.model.plan.stretch import DryStretch
from longdry.model.trip.what_if import (
    Change,
    Delay,
    DrySource,
    Hotter,
    LostContainer,
    MorePeople,
    SlowerPace,
)

STANDARD_DELAY_DAYS = 1
STANDARD_SLOWER_PERCENT = 25.0
STANDARD_HOTTER_C = 5.0

_KINDS = {
    Delay: WhatIfKind.DELAY,
    SlowerPace: WhatIfKind.PACE,
    Hotter: WhatIfKind.HEAT,
    LostContainer: WhatIfKind.CONTAINER,
    MorePeople: WhatIfKind.PEOPLE,
}


def standard_changes(plan: SuppliedPlan, heat_of: HeatOf | None) -> tuple[Change, ...]:
    """Return what is always asked: a day lost, a slower pace, heat, the largest container.

    Heat only where the trip gives any, a container only where there is one.
    """
    asked: list[Change] = [Delay(STANDARD_DELAY_DAYS), SlowerPace(STANDARD_SLOWER_PERCENT)]
    if heat_of is not None:
        asked.append(Hotter(STANDARD_HOTTER_C))
    trip = plan.going.trip
    if trip.containers:
        largest = max(trip.containers, key=lambda box: size_l(trip, box))
        asked.append(LostContainer(largest.name))
    return tuple(asked)


def what_ifs(
    plan: SuppliedPlan, changes: Sequence[Change], heat_of: HeatOf | None = None
) -> tuple[WhatIf, ...]:
    """Return what becomes of the plan under each change, one at a time.

    Raises
    ------
    TripFileError
        Where a change asks for something that the trip or the route does not have.

    Examples
    --------
    Nothing asked, nothing answered: ``what_ifs(plan, [])`` is ``()``.
    """
    return tuple(what_if(plan, change, heat_of) for change in changes)


def what_if(plan: SuppliedPlan, change: Change, heat_of: HeatOf | None = None) -> WhatIf:
    """Return what becomes of the plan under one change.

    No change counts as a help: a stretch that would get better stays as it was planned.
    """
    if isinstance(change, DrySource):
        return _dry_by_name(plan, change)
    if isinstance(change, Delay) and change.km is None:
        change = Delay(change.days, worst_place_km(plan, change.days))
    before = plan.stretches()
    after = refilled(changed(plan, change, heat_of)).stretches()
    worst = min(map(_harder, before, after), key=severity_on_bare_ration)
    planned = min(before, key=severity_on_bare_ration)
    return WhatIf(
        kind=_KINDS[type(change)],
        words=change.words,
        sources=(),
        before=planned.verdict,
        verdict=worst_verdict([planned.verdict, worst.verdict]),
        worst=worst,
    )


def _harder(one: DryStretch, other: DryStretch) -> DryStretch:
    return min(one, other, key=severity_on_bare_ration)


def worst_place_km(plan: SuppliedPlan, days: int) -> float:
    """Return the km at which days lost hurt most: the middle of the stretch that is worst then."""
    middles = [_middle_km(one.km, other.km) for one, other in itertools.pairwise(plan.ends)]
    lost = [
        replace(plan, going=going_delayed(plan.going, km, days)).stretch(index)
        for index, km in enumerate(middles)
    ]
    hardest = min(range(len(lost)), key=lambda index: severity_on_bare_ration(lost[index]))
    return middles[hardest]


def _middle_km(from_km: float, to_km: float) -> float:
    """Return the middle, in whole hundred metres where that still lies between."""
    middle_km = (from_km + to_km) / 2.0
    plain_km = round(middle_km, 1)
    return plain_km if from_km <= plain_km < to_km else middle_km


def _dry_by_name(plan: SuppliedPlan, change: DrySource) -> WhatIf:
    wanted = change.name.strip().casefold()
    known = counted_sources(plan)
    found = [one for one in known if wanted in (one.name.strip().casefold(), one.id.casefold())]
    if not found:
        names = ", ".join(f'"{one.name}"' for one in known[:10]) or "none"
        raise TripFileError.single(
            plan.going.trip.origin or "what if",
            f'"{change.words}"',
            f'no counted source is called "{change.name}"',
            f"those that count are: {names}",
        )
    return min(
        (dry_together(plan, [one]) for one in found), key=lambda w: severity_on_bare_ration(w.worst)
    )
