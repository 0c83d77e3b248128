"""The sections of the page below the map, each a function of the plan."""

from __future__ import annotations

from longdry.model.plan.plan import Plan
from longdry.showing.map.drawn_sources import drawn_far_sources, far_sources
from longdry.showing.page.days import day_table
from longdry.showing.page.notes import cautions, formulas, verdict_meanings
from longdry.showing.page.passes import pass_table
from longdry.showing.page.tables import (
    assumption_table,
    far_table,
    stretch_table,
)
from longdry.showing.profile.profile import profile_svg
from longdry.showing.words.markup import Markup, joined, tag
from longdry.showing.words.measures import Measures
from longdry.showing.words.wording import count_words


def profile(plan: Plan, measures: Measures) -> Markup:
    """Litres over km, and what the verdicts mean."""
    return joined([profile_svg(plan, measures), verdict_meanings()])


def stretches(plan: Plan, measures: Measures) -> Markup:
    """Every stretch."""
    return stretch_table(plan, measures)


def water(plan: Plan, measures: Measures) -> Markup:
    """Where the route comes by water, and the sources that it does not come near."""
    far, shown = far_sources(plan), drawn_far_sources(plan)
    if not plan.passes and not far:
        return tag("p", None, "No sources were handed over.")
    tables = [pass_table(plan, measures)] if plan.passes else []
    if far:
        tables.append(far_table(shown))
    if left := len(far) - len(shown):
        lie = "lies" if left == 1 else "lie"
        words = f"{count_words(left, 'source')} more {lie} farther away and not on this page; "
        tables.append(tag("p", None, f"{words}the file of --geojson-out holds all."))
    return joined(tables)


def assumptions(plan: Plan, measures: Measures) -> Markup:
    """What was taken for granted."""
    if not plan.assumptions:
        return tag("p", None, "The trip gave everything; nothing was assumed.")
    return assumption_table(plan, measures)


def days(plan: Plan, measures: Measures) -> Markup:
    """Every day of the trip."""
    if not plan.days:
        return tag("p", None, "No days were worked out.")
    return day_table(plan.days, measures)


def formulas_section(_: Plan, __: Measures) -> Markup:
    """Formula and source of each kind of figure."""
    return formulas()


def cautions_section(_: Plan, __: Measures) -> Markup:
    """What no figure can promise."""
    return cautions()
