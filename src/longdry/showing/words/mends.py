"""Mends in words, with their cautions."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence

from longdry.model.plan.mends import Mend, MendKind
from longdry.model.plan.plan import Plan
from longdry.model.words import Verdict
from longdry.showing.words.amounts import need_words
from longdry.showing.words.measures import METRIC, Measures

MENDS_HEADING = "What would mend it (each tried by planning again with it)"
ORDER = "Each stands alone: two together have not been tried. Carry out one and plan again."


_KINDS = {
    MendKind.CAMP: "camp at the water",
    MendKind.DOOR: "wait until the source opens",
    MendKind.FILL: "fill all at every call",
    MendKind.RATION: "a smaller ration from the start",
    MendKind.CONTAINERS: "carry more containers",
    MendKind.CONFIRMED: "confirm a source that does not count",
    MendKind.DETOUR: "a detour to water",
    MendKind.CACHE: "lay a cache",
    MendKind.MONTH: "go in another month",
    MendKind.OTHER_WAY: "travel the other way round",
    MendKind.HOURS: "other hours on the move",
    MendKind.PACE: "another pace",
    MendKind.DO_NOT_GO: "do not go: nothing that was tried is enough",
}


def kind_words(mend: Mend) -> str:
    """Name in a few words what a mend changes."""
    return _KINDS[mend.what]


def turned_words(mend: Mend, measures: Measures = METRIC) -> tuple[str, str]:
    """Tell the part of the route before and after; litres missing where its verdict stays."""
    before, after = mend.verdict_before.value, mend.verdict_after.value
    if before != after:
        return before, after
    missing = (need_words(one, measures) for one in (mend.missing_before_l, mend.missing_after_l))
    before_l, after_l = missing
    return f"{before}, {before_l} missing", f"{after_l} missing"


def settled_words(mend: Mend) -> str:
    """Tell which reasons of the headline a mend settles, or eases, and what it says then."""
    if mend.lowers:
        return f"lowers {mend.lowers} (the headline then: {mend.headline_after})"
    return f'settles "{" ".join(mend.settles)}" (the headline then: {mend.headline_after})'


def easiest_words(plan: Plan, mend: Mend) -> str:
    """Say before the first mend whether it is enough: nobody goes short, and the plan is safe."""
    is_lost = any(one.what is MendKind.DO_NOT_GO and one.headline_after for one in plan.mends)
    if mend.verdict_after in {Verdict.CLEAR, Verdict.INTO_RESERVE} and not is_lost:
        return "easiest mend"
    return "no single change that was tried is enough. One that helps"


def mend_lines(plan: Plan) -> list[str]:
    """Return what would mend the plan, stretch by stretch, cautions behind each stretch.

    Empty where every stretch is clear, or where none can be judged.
    """
    by_stretch = itertools.groupby(plan.mends, key=lambda mend: mend.stretch)
    lines = [line for _, mends in by_stretch for line in _of_stretch(list(mends))]
    lines += lines_without(plan)
    return [*lines, ORDER] if plan.mends else lines


def mend_title(mend: Mend) -> str:
    """Name a mend by its stretch, its kind and its verdicts."""
    if mend.what is MendKind.DO_NOT_GO and mend.headline_after:
        return f"Headline: {mend.what.value}"
    if mend.what is MendKind.DO_NOT_GO:
        return f"Stretch {mend.stretch}, {mend.verdict_before.value}: {mend.what.value}"
    if mend.is_of_headline:
        return f"Headline, {mend.what.value}: {settled_words(mend)}"
    before, after = turned_words(mend)
    return (
        f"Stretch {mend.stretch}, {mend.what.value}: {before} -> {after}"
        f" (the whole trip then: {mend.trip_after.value})"
    )


def _of_stretch(mends: Sequence[Mend]) -> list[str]:
    notes = [f"{mend_title(mend)}. {mend.change}" for mend in mends]
    return [*notes, f"Caution: {' '.join(_distinct(mend.caution for mend in mends))}"]


def lines_without(plan: Plan) -> list[str]:
    """Tell of the stretches that nothing was searched for, and of those that nothing helps."""
    if not plan.are_mends_searched:
        return []
    lines = []
    if plan.mends_not_searched:
        numbers = ", ".join(str(number) for number in plan.mends_not_searched)
        lines.append(
            "Only so many changes are tried, for the worst stretches first. Not tried, or not in"
            f" full, though not clear: stretch {numbers}. Mend the worst, then plan again."
        )
    helped = {mend.stretch for mend in plan.mends}
    notes = helped | set(plan.mends_not_searched)
    hopeless = [
        stretch.number
        for stretch in plan.stretches
        if stretch.number not in notes
        and stretch.verdict not in {Verdict.CLEAR, Verdict.NO_CONTAINERS}
    ]
    if hopeless:
        numbers = ", ".join(str(number) for number in hopeless)
        lines.append(f"No single change that was tried betters stretch {numbers}.")
    if plan.headline.settled_by_another_plan and not (hopeless or notes):
        lines.append("No single change that was tried settles a reason of the headline.")
    return lines


def _distinct(texts: Iterable[str]) -> list[str]:
    return list(dict.fromkeys(texts))
