"""The passes of each source, found once."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence

from longdry.model.plan.fills import Draw
from longdry.model.plan.plan import Plan
from longdry.model.plan.stretch import DryStretch
from longdry.model.water.passes import WaterPass
from longdry.model.water.source import FOUND_WORST_LAST, Visit
from longdry.showing.words.in_need import worseness


def passes_by_source(plan: Plan) -> dict[str, list[WaterPass]]:
    """Passes by the id of their source, by km; a source that is not passed is not in it."""
    found: dict[str, list[WaterPass]] = {}
    for passed in plan.passes:
        found.setdefault(passed.source.id, []).append(passed)
    return found


def pass_key(water: WaterPass) -> tuple[str, float]:
    """Return what tells a pass from every other: its source and its km."""
    return (water.source.id, water.km)


def draws_by_pass(plan: Plan) -> dict[tuple[str, float], Draw]:
    """Return what is drawn at each pass that the fills draw on, by its key."""
    return {pass_key(draw.water): draw for draw in plan.draws}


def last_visit(water: WaterPass) -> Visit | None:
    """Return the latest visit that is not dated after the party comes by; None: no such visit.

    Of several on one day the worst stands.
    """
    known = (one for one in water.source.visits if water.on is None or one.on <= water.on)
    return max(known, key=lambda one: (one.on, FOUND_WORST_LAST.index(one.found)), default=None)


def few_by_stretch(
    plan: Plan, passes: Sequence[WaterPass], most: int
) -> Iterator[tuple[DryStretch, tuple[WaterPass, ...], int]]:
    """Return for each stretch its best passes, by km, and how many are left out.

    What is called at is always among them, and water that counts before what does not.
    """
    groups: list[list[WaterPass]] = [[] for _ in plan.stretches]
    begins = [stretch.begin.km for stretch in plan.stretches]
    for one in passes:
        groups[max(0, bisect_right(begins, one.km) - 1)].append(one)
    for stretch, group in zip(plan.stretches, groups, strict=True):
        best = sorted(group, key=_best_first)
        called = sum(one.call for one in group)
        kept = best[: called + most]
        told = tuple(sorted(kept, key=lambda one: one.km))
        yield stretch, told, len(group) - len(told)


def _best_first(one: WaterPass) -> tuple[bool, bool, int, float, float]:
    return (not one.call, not one.counted, worseness(one.source), one.way_km, one.km)
