"""Mend: go off the route to a known source that is beyond the greatest detour."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from longdry.computing.mends.trials import MOST_OF_A_KIND, Draft, MendSearch, is_better, kept
from longdry.computing.route.approaches import find_approaches
from longdry.computing.stretches.stretches import judged
from longdry.computing.stretches.verdicts import severity, worst_verdict
from longdry.computing.water.passes import passes_of
from longdry.model.plan.mends import Mend, MendFigures, MendKind
from longdry.model.plan.stretch import DryStretch, StretchEnd
from longdry.model.water.passes import Approach, WaterPass
from longdry.units import HOURS_PER_DAY, rounded_up

TIMES_DETOUR = 5.0
LEAST_REACH_KM, MOST_REACH_KM = 10.0, 50.0
MOST_TRIED = 24
"""Sources looked at for a stretch: those that would leave the shortest longest part."""


def by_detour(mending: MendSearch, stretches: Sequence[DryStretch]) -> list[Mend]:
    """Return the detours that better each stretch, best verdict and shortest way first."""
    approaches = _farther_approaches(mending) if stretches else ()
    return [m for stretch in stretches for m in _of_stretch(mending, stretch, approaches)]


def reach_km(max_detour_km: float) -> float:
    """Return how far off the route sources are looked for.

    >>> reach_km(1.0), reach_km(5.0), reach_km(30.0), reach_km(80.0)
    (10.0, 25.0, 50.0, 80.0)
    """
    wanted_km = min(max(TIMES_DETOUR * max_detour_km, LEAST_REACH_KM), MOST_REACH_KM)
    return max(wanted_km, max_detour_km)


def _farther_approaches(mending: MendSearch) -> tuple[Approach, ...]:
    detour_km = mending.trip.policy.max_detour_km
    found = find_approaches(
        mending.ahead.outset.measured,
        np.array([source.lat_deg for source in mending.sources], dtype=np.float64),
        np.array([source.lon_deg for source in mending.sources], dtype=np.float64),
        max_detour_km=reach_km(detour_km),
    )
    return tuple(one for one in found if one.offset_km > detour_km)


def _of_stretch(
    mending: MendSearch, stretch: DryStretch, approaches: Sequence[Approach]
) -> list[Mend]:
    inside = [a for a in approaches if stretch.begin.km < a.km < stretch.end.km]
    factor = mending.trip.pace.detour_factor
    inside.sort(key=lambda a: _longest_part_km(stretch, a, factor))
    passes = passes_of(inside[:MOST_TRIED], mending.sources, mending.trip, mending.counting)
    hopeful = [
        (water, parts)
        for water in passes
        if water.counted
        and is_better((parts := _parts(mending, stretch, water)).verdict, stretch.verdict)
    ]
    hopeful.sort(key=lambda pair: (severity(pair[1].verdict), pair[0].way_km))
    found: list[Mend] = []
    for water, parts in hopeful[:MOST_OF_A_KIND]:
        draft = _draft(mending, stretch, water, parts)
        found += kept(mending, stretch, draft, mending.with_pass(water))
    return found


def _longest_part_km(stretch: DryStretch, approach: Approach, factor: float) -> float:
    longer_km = max(approach.km - stretch.begin.km, stretch.end.km - approach.km)
    return longer_km + approach.offset_km * factor


class _Parts:
    """The two stretches that a source would make of one."""

    def __init__(self, before: DryStretch, after: DryStretch) -> None:
        self.verdict = worst_verdict([before.verdict, after.verdict])
        self.need_l = before.need.total_l + after.need.total_l


def _parts(mending: MendSearch, stretch: DryStretch, water: WaterPass) -> _Parts:
    middle = StretchEnd(water.km, water)
    going = mending.ahead.going
    return _Parts(
        judged(stretch.number, stretch.begin, middle, going),
        judged(stretch.number, middle, stretch.end, going),
    )


def _draft(mending: MendSearch, stretch: DryStretch, water: WaterPass, parts: _Parts) -> Draft:
    extra_km = 2.0 * water.way_km
    extra_h = extra_km / mending.trip.pace.off_route_kmh
    extra_l = max(parts.need_l - stretch.need.total_l, 0.0)
    return Draft(
        MendKind.DETOUR,
        f"Leave the route at km {water.km:.1f} for {water.source.name},"
        f" {water.offset_km:.1f} km off it: {rounded_up(extra_km, 0.1):.1f} km and"
        f" {rounded_up(extra_h, 0.1):.1f} moving hours more there and back, and"
        f" {rounded_up(extra_l):.0f} L more used on the way.",
        MendFigures(
            at_km=water.km,
            extra_km=extra_km,
            extra_days=extra_h / HOURS_PER_DAY,
            extra_l=extra_l,
        ),
        f"The source is {water.judgement.certainty.value}: {water.judgement.why}. The way is"
        f" reckoned as {mending.trip.pace.detour_factor:g} times the straight line; find out"
        " whether there is one and whether you may take it.",
    )
