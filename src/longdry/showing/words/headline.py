"""The headline and the figures of the first screen, in the same words wherever they stand."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from longdry.model.plan.headline import HeadlineLevel
from longdry.model.plan.mends import Mend
from longdry.model.plan.plan import Plan, PlanWarning
from longdry.model.plan.stretch import DryStretch
from longdry.model.words import VERDICTS_WORST_FIRST
from longdry.showing.words.markup import clipped_text
from longdry.showing.words.measures import Measures
from longdry.units import rounded_up

HEADLINES: Mapping[HeadlineLevel, str] = {
    HeadlineLevel.NOT_SAFE: "Do not start on this plan.",
    HeadlineLevel.ONLY_IF: "Not yet: settle this before you start.",
    HeadlineLevel.LASTS: "On these figures the water lasts.",
}


def headline_words(plan: Plan) -> str:
    """Say whether the party may start."""
    return HEADLINES[plan.headline.level]


def reasons(plan: Plan, measures: Measures) -> list[str]:
    """Return why, in whole sentences, the gravest first; never empty."""
    return [clipped_text(measures.sentence(one)) for one in plan.headline.because] or [""]


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


def worst_first(stretches: Sequence[DryStretch]) -> list[DryStretch]:
    """Sort by verdict, then by litres missing, then by what is to spare."""

    def severity(stretch: DryStretch) -> tuple[float, ...]:
        spare_l = stretch.spare_l
        return (
            VERDICTS_WORST_FIRST.index(stretch.verdict),
            -stretch.missing_l,
            stretch.available_l - stretch.wanted_l if spare_l is None else spare_l,
            stretch.number,
        )

    return sorted(stretches, key=severity)


def easiest_mend(plan: Plan) -> Mend | None:
    """Return what to try first: the first mend of the worst stretch that has any."""
    return plan.mends[0] if plan.mends else None
