"""The headline and the figures of the first screen, in the same words wherever they stand."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from longdry.model.plan.headline import HeadlineLevel
from longdry.model.plan.mends import Mend, MendKind
from longdry.model.plan.plan import Plan, PlanWarning
from longdry.model.words import VERDICTS_WORST_FIRST, Verdict
from longdry.showing.words.markup import clipped_name, clipped_text
from longdry.showing.words.measures import Measures
from longdry.showing.words.mends import easiest_words, turned_words
from longdry.showing.words.stretches import end_words
from longdry.units import rounded_up

HEADLINES: dict[HeadlineLevel, str] = {
    HeadlineLevel.NOT_SAFE: "Do not start on this plan.",
    HeadlineLevel.ONLY_IF: "Not yet: settle this before you start.",
    HeadlineLevel.LASTS: "On these figures the water lasts.",
}

ON_THE_WAY: Mapping[HeadlineLevel, str] = HEADLINES | {
    HeadlineLevel.NOT_SAFE: "Do not go on with what you have.",
    HeadlineLevel.ONLY_IF: "Not yet: settle this before you go on.",
}

NOT_BY_DAY = "Do not move by day"
"""Stands in the reason that is heat beyond the limits, and in no other."""

_AFTER: Mapping[HeadlineLevel, str] = {
    HeadlineLevel.NOT_SAFE: "still do not start",
    HeadlineLevel.ONLY_IF: "something is still left to settle",
    HeadlineLevel.LASTS: "the water lasts on these figures",
}


def headline_words(plan: Plan) -> str:
    """Say whether the party may start, or go on."""
    return (ON_THE_WAY if plan.trip.here else HEADLINES)[plan.headline.level]


def reasons(plan: Plan, measures: Measures) -> list[str]:
    """Return why, in whole sentences, the gravest first; never empty."""
    return [clipped_text(measures.sentence(one)) for one in plan.headline.because] or [""]


def heat_foremost(because: Sequence[str]) -> list[str]:
    """Return reasons with heat beyond the limits before all others, which keep their order."""
    return sorted(because, key=lambda one: NOT_BY_DAY not in one)


def graver_warnings(plan: Plan) -> list[PlanWarning]:
    """Return the warnings that life may hang on and that no verdict tells already."""
    return [one for one in plan.warnings if one.grave and not one.of_verdict]


def trips_of_100(share: float) -> str:
    """Write a chance so that it can be pictured, rounded up, never as nothing.

    >>> trips_of_100(0.646), trips_of_100(0.0), trips_of_100(1.0)
    ('65 of 100 trips', 'under 1 of 100 trips', '100 of 100 trips')
    """
    count = round(rounded_up(share * 100.0))
    return f"{count} of 100 trips" if count else "under 1 of 100 trips"


def easiest_mend(plan: Plan) -> Mend | None:
    """Return what to try first for the worst stretch; None where nothing that was tried helps.

    The easiest after which nobody goes short; where none is, the one that leaves the least wrong.
    """
    worst = plan.longest.worst
    helps = [m for m in plan.mends if m.what is not MendKind.DO_NOT_GO]
    of_headline = [m for m in helps if m.is_of_headline]
    if of_headline:
        return of_headline[0]
    return min((m for m in helps if m.stretch == worst), key=_left_wrong, default=None)


def _left_wrong(mend: Mend) -> tuple[int, float]:
    """Sort by what stays wrong on the stretch; all that is enough is equal, and keeps its order."""
    if mend.verdict_after in {Verdict.CLEAR, Verdict.INTO_RESERVE}:
        return -len(VERDICTS_WORST_FIRST), 0.0
    return -VERDICTS_WORST_FIRST.index(mend.verdict_after), mend.missing_after_l


def no_mend_words(plan: Plan) -> str:
    """Say that changes were tried for the headline of a plan without a bad stretch, in vain."""
    is_in_vain = plan.headline.settled_by_another_plan and not plan.mends
    if not plan.are_mends_searched or plan.mends_not_searched:
        return ""
    if not is_in_vain or mend_head(plan):
        return ""
    return "Nothing that was tried settles it by itself."


def mend_head(plan: Plan) -> str:
    """Say for which stretch a change was looked for, and whether one helps; empty: none asked."""
    if not plan.are_mends_searched:
        return ""
    stretch = plan.stretches[plan.longest.worst - 1]
    if (mend := easiest_mend(plan)) and mend.is_of_headline:
        then = _AFTER[mend.headline_after or HeadlineLevel.NOT_SAFE]
        lowers = f": it lowers {mend.lowers}" if mend.lowers else ""
        return f"Easiest change{lowers} (with it {then}): "
    if stretch.verdict in (Verdict.CLEAR, Verdict.NO_CONTAINERS):
        return ""
    between = " to ".join(clipped_name(end_words(end)) for end in (stretch.begin, stretch.end))
    named = f"Stretch {stretch.number}, {between}"
    if mend:
        _, after = turned_words(mend)
        return f"{named}: {easiest_words(plan, mend)} (with it: {after}): "
    if stretch.number in plan.mends_not_searched:
        return f"{named}: not every change was tried for it; none that was tried mends it. "
    return f"{named}: no single change that was tried mends it. "
