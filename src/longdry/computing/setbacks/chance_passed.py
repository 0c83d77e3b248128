"""Water that the plan passes by, as the simulation sees it: where somebody short would call."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from longdry.computing.setbacks.giving import passed_by_gives_l
from longdry.computing.setbacks.supplied import SuppliedPlan
from longdry.computing.setbacks.ways import with_margin
from longdry.model.plan.stretch import DryStretch, StretchEnd
from longdry.model.words import Ration

MOST_BETWEEN_CALLS = 12
"""Of more, so many are looked at, evenly along the stretch."""


@dataclass(frozen=True, slots=True)
class Passed:
    """Water between two calls."""

    source_id: str
    share: float
    """Of what the stretch takes, up to there."""
    rest_l: float
    """Who has less left calls here: what the plan takes on to the next call, with its margin."""
    way_l: float
    """That the way there and back takes."""
    gives_l: float
    """0 where the plan would find it closed."""


def passed_on(plan: SuppliedPlan) -> tuple[tuple[Passed, ...], ...]:
    """Return for each stretch the water that is passed by on it, in travel order."""
    return tuple(_on_stretch(plan, index) for index in range(plan.last))


def _on_stretch(plan: SuppliedPlan, index: int) -> tuple[Passed, ...]:
    begin, end_km = plan.ends[index], plan.ends[index + 1].km
    near = [
        end for end in plan.passed if begin.km <= end.km < end_km and end.water not in begin.waters
    ]
    if len(near) > MOST_BETWEEN_CALLS:
        chosen = np.linspace(0, len(near) - 1, MOST_BETWEEN_CALLS).round().astype(int)
        near = [near[place] for place in chosen.tolist()]
    return tuple(_passed(plan, plan.stretch(index), end) for end in near)


def _passed(plan: SuppliedPlan, stretch: DryStretch, end: StretchEnd) -> Passed:
    if end.water is None:
        raise ValueError("water that is passed by has a source")
    done = stretch.travel.until_km(end.km)
    whole_l = plan.demand.need_l(Ration.BARE, stretch.travel)
    used_l = min(plan.demand.need_l(Ration.BARE, done), whole_l)
    clock, way_km = plan.journey.clock, 2.0 * end.way_km
    morning = clock.rules.day_begun(int(done.end_h // 24.0), end.km)
    way, _ = clock.freely(
        morning, way_km / clock.off_route_kmh, way_km=way_km, from_km=end.km, to_km=end.km
    )
    return Passed(
        source_id=end.water.source.id,
        share=used_l / whole_l if whole_l > 0.0 else 0.0,
        rest_l=with_margin(whole_l - used_l, plan.trip),
        way_l=plan.demand.off_plan().need_l(Ration.BARE, way),
        gives_l=passed_by_gives_l(plan, end, done.end_h, through=stretch.number - 1),
    )
