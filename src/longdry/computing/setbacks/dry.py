"""Each counted source dry, one at a time, and any two neighbours.

A dry source is dry at every pass. The party finds out at the first pass, calls there in vain, and
does not call again in the same stretch. Up to there it lives on the ration that the plan has for
that stretch, from there on the bare one.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass

from longdry.computing.setbacks.supplied import SuppliedPlan
from longdry.computing.setbacks.water_in_reach import (
    Reached,
    gives_without_end,
    low_stretches,
    water_ahead,
    water_back,
    without_sources,
)
from longdry.computing.setbacks.ways import (
    Way,
    moment_at_end,
    need_on,
    planned_ration,
    way_between,
    way_out,
)
from longdry.computing.stretches.stretches import judged
from longdry.computing.stretches.verdicts import (
    fullest_that_does,
    severity_on_bare_ration,
    worst_verdict,
)
from longdry.model.plan.setbacks import WhatIf, WhatIfKind
from longdry.model.plan.stretch import DryStretch, StretchEnd
from longdry.model.trip.what_if import DrySource
from longdry.model.water.source import WaterSource
from longdry.model.words import Ration


@dataclass(frozen=True, slots=True)
class DryRun:
    """Neighbouring ends that are all dry, between two that are not."""

    behind: int
    """Index of the last water (or the start) behind."""
    vain: tuple[int, ...]
    """Indices of the dry passes at which the party calls: one for each source."""
    ahead: int
    """Index of the next water (or the end)."""


@dataclass(frozen=True, slots=True)
class NoWayOut:
    """The party at the last dry source of a run."""

    used_l: float
    """Since the water behind."""
    next_counted: Way
    """On to the next counted source, whether it gives water or not."""
    on: Reached
    back: Reached

    @property
    def least_bare_l(self) -> float:
        """What the way to water that asks for less takes on the bare ration."""
        return min(self.on.way.bare_l, self.back.way.bare_l)


def counted_sources(plan: SuppliedPlan) -> tuple[WaterSource, ...]:
    """Return the counted sources once each, in the order of their first passes."""
    passes = (end.water for end in plan.ends if end.water)
    return tuple({p.source.id: p.source for p in passes}.values())


def dry_sources(plan: SuppliedPlan) -> tuple[WhatIf, ...]:
    """Return what becomes of the plan with each source dry, then with each two neighbours.

    Examples
    --------
    A route without sources has none that could be dry.
    """
    singles = [(source,) for source in counted_sources(plan)]
    planned = plan.stretches().__getitem__
    return tuple(_together(plan, planned, dry) for dry in [*singles, *_neighbours(plan)])


def _neighbours(plan: SuppliedPlan) -> list[tuple[WaterSource, ...]]:
    waters = [end.water.source for end in plan.ends if end.water]
    pairs = {
        frozenset((one.id, other.id)): (one, other)
        for one, other in itertools.pairwise(waters)
        if one.id != other.id
    }
    return list(pairs.values())


def dry_together(plan: SuppliedPlan, sources: Sequence[WaterSource]) -> WhatIf:
    """Return what becomes of the plan when ``sources`` are dry at once, each a counted one.

    Raises
    ------
    ValueError
        Where none of them is counted.
    """
    return _together(plan, plan.stretch, sources)


def _together(
    plan: SuppliedPlan, planned: Callable[[int], DryStretch], sources: Sequence[WaterSource]
) -> WhatIf:
    runs = dry_runs(plan, {source.id for source in sources})
    if not runs:
        raise ValueError("none of the sources is counted")
    found = (_what_if(plan, planned, run, tuple(sources)) for run in runs)
    return min(found, key=_harder_run_first)


def _harder_run_first(found: WhatIf) -> tuple[bool, tuple[int, float, float]]:
    return (not found.leaves_neither, severity_on_bare_ration(found.worst))


def dry_runs(plan: SuppliedPlan, dry_ids: Collection[str]) -> tuple[DryRun, ...]:
    """Return the runs of dry ends in travel order."""
    runs: list[list[int]] = []
    for index in plan.ends_at(dry_ids):
        if runs and runs[-1][-1] == index - 1:
            runs[-1].append(index)
        else:
            runs.append([index])
    return tuple(DryRun(run[0] - 1, _calls(plan.ends, run), run[-1] + 1) for run in runs)


def _calls(ends: Sequence[StretchEnd], indices: Sequence[int]) -> tuple[int, ...]:
    first: dict[str, int] = {}
    for index in indices:
        water = ends[index].water
        if water is not None:
            first.setdefault(water.source.id, index)
    return tuple(first.values())


def _what_if(
    plan: SuppliedPlan,
    planned: Callable[[int], DryStretch],
    run: DryRun,
    sources: tuple[WaterSource, ...],
) -> WhatIf:
    on_board_l = plan.on_board_l[run.behind]
    behind, ahead = plan.ends[run.behind], plan.ends[run.ahead]
    vain = [plan.ends[index] for index in run.vain]
    number = run.behind + 1
    found = judged(number, behind, ahead, plan.going, on_board_l=on_board_l, vain=vain)
    known = judged(number, behind, ahead, plan.going, on_board_l=on_board_l)
    before = min(map(planned, range(run.behind, run.ahead)), key=severity_on_bare_ration)
    first = planned(run.behind)
    dry_ids = {source.id for source in sources}
    there = stranded(plan, first, run, planned_ration(first), dry_ids)
    left_l = max(0.0, on_board_l - there.used_l)
    later = _later(plan, dry_ids, run.ahead, there, left_l)
    verdicts = [before.verdict, found.verdict, *([later.verdict] if later else [])]
    return WhatIf(
        kind=WhatIfKind.DRY_SOURCE,
        words=" and ".join(DrySource(source.name).words for source in sources),
        sources=sources,
        before=before.verdict,
        verdict=worst_verdict(verdicts),
        worst=found,
        known_dry=known,
        go_on=way_out(there.on.way, plan.ends[there.on.place], left_l),
        go_back=way_out(there.back.way, plan.ends[there.back.place], left_l),
        later=later,
    )


def _later(
    plan: SuppliedPlan, dry_ids: Collection[str], ahead: int, there: NoWayOut, left_l: float
) -> DryStretch | None:
    """Return the worst stretch that begins with less than planned.

    Such may begin at the next counted source, and at the one that the party goes on to.
    """
    reached = dict([(ahead, there.next_counted), there.on])
    low = [
        stretch
        for place, way in reached.items()
        for stretch in _low_beyond(plan, dry_ids, Reached(place, way), left_l)
    ]
    return min(low, key=severity_on_bare_ration, default=None)


def _low_beyond(
    plan: SuppliedPlan, dry_ids: Collection[str], on: Reached, left_l: float
) -> tuple[DryStretch, ...]:
    ahead, way = on
    ration = fullest_that_does(way.litres, left_l)
    if ration is None or gives_without_end(plan.ends[ahead]):
        return ()
    left = without_sources(plan, dry_ids)
    first = ahead - sum(index < ahead for index in plan.ends_at(dry_ids))
    arriving_l = max(0.0, left_l - way.litres[ration])
    return low_stretches(left, first, arriving_l)


def stranded(
    plan: SuppliedPlan,
    first: DryStretch,
    run: DryRun,
    ration: Ration,
    dry_ids: Collection[str],
) -> NoWayOut:
    """Follow the party to the last dry source of a run, and to water from there.

    Parameters
    ----------
    first
        The stretch that was to end at the first of the dry sources.
    ration
        What the party lives on in it.
    dry_ids
        Ids of the sources that are dry.
    """
    used_l = need_on(first.needs, ration)
    now = moment_at_end(plan, first.begin.km, first.span)
    for here, there in itertools.pairwise(run.vain):
        way = way_between(plan, now, plan.ends[here], plan.ends[there])
        used_l, now = used_l + way.bare_l, way.arrived
    last = plan.ends[run.vain[-1]]
    on = water_ahead(plan, now, last, run.ahead, dry_ids)
    is_next = on.place == run.ahead
    return NoWayOut(
        used_l=used_l,
        next_counted=on.way if is_next else way_between(plan, now, last, plan.ends[run.ahead]),
        on=on,
        back=water_back(plan, now, last, run.behind),
    )
