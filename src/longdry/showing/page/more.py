"""What is folded below the way: each part a function of the plan."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from longdry.model.plan.mends import Mend, MendKind
from longdry.model.plan.plan import Plan
from longdry.model.water.passes import WaterPass
from longdry.showing.map.drawn_sources import drawn_far_sources, far_sources
from longdry.showing.page.days import day_table
from longdry.showing.page.first_screen import mend_words
from longdry.showing.page.notes import cautions, formulas, verdict_meanings
from longdry.showing.page.parts import fold
from longdry.showing.page.setbacks import setback_section
from longdry.showing.page.tables import (
    Column,
    TableRow,
    assumption_table,
    far_table,
    table,
    verdict_mark,
)
from longdry.showing.sheet.papers import papers
from longdry.showing.sheet.sheet import sheet_section
from longdry.showing.signs.signs import water_sign_svg
from longdry.showing.words.amounts import count_words, need_words, offset_words, place_words
from longdry.showing.words.in_need import left_out_words
from longdry.showing.words.markup import Markup, clipped_text, joined, name_tag, tag
from longdry.showing.words.measures import Measures
from longdry.showing.words.mends import ORDER, kind_words, lines_without, settled_words
from longdry.showing.words.passes import few_by_stretch
from longdry.showing.words.places import coordinates
from longdry.showing.words.sources import grade_words, judged_words, why_not_words
from longdry.showing.words.stretches import end_words

_MOST_ASIDE = 20
"""Told of one stretch."""


@dataclass(frozen=True, slots=True)
class Part:
    """One part that opens."""

    id: str
    head: str
    about: str
    build: Callable[[Plan, Measures], Markup]


def more_section(plan: Plan, measures: Measures) -> Markup:
    """Build all folded parts."""
    parts = [fold(one.id, one.head, one.about, one.build(plan, measures)) for one in PARTS]
    return tag(
        "section",
        {"id": "more", "aria-labelledby": "more-heading"},
        tag("h2", {"id": "more-heading"}, "More"),
        *parts,
    )


def _water(plan: Plan, measures: Measures) -> Markup:
    """Tell of the water that does not count, along the route and farther away."""
    parts = []
    aside = [water for water in plan.passes if not water.counted]
    far = far_sources(plan)
    shown = drawn_far_sources(plan, far)
    if aside:
        told: list[WaterPass] = []
        for _, few, _ in few_by_stretch(plan, aside, _MOST_ASIDE):
            told += few
        parts.append(_aside_table(told, measures))
        if more := len(aside) - len(told):
            words = f"Along the route the best of each stretch stand here, {left_out_words(more)}."
            parts.append(tag("p", None, words))
    if far:
        parts.append(far_table(shown))
    if left := len(far) - len(shown):
        lie = "lies" if left == 1 else "lie"
        words = f"{count_words(left, 'source')} more {lie} farther away and not on this page; "
        parts.append(tag("p", None, f"{words}the file of --geojson-out holds all."))
    none = "All the water of the layers counts." if plan.sources else "The layers hold no water."
    return joined(parts or [tag("p", None, none)])


def _aside_table(aside: list[WaterPass], measures: Measures) -> Markup:
    columns = [Column("At"), Column("Water"), Column("Grade"), Column("Why it does not count"),
               Column("Is there water?"), Column("Off the route"), Column("Place")]  # fmt: skip
    rows = [
        TableRow(
            (
                place_words(water.km, measures),
                joined([water_sign_svg(water.source.trusted_grade, "faint"), " ",
                        name_tag(water.source.name)]),
                grade_words(water.source),
                why_not_words(water, measures),
                judged_words(water, measures),
                offset_words(water.way_km, measures),
                coordinates(water.source.lat_deg, water.source.lon_deg),
            )
        )
        for water in aside
    ]  # fmt: skip
    return table("aside-table", "Water along the route that does not count", columns, rows)


def _days(plan: Plan, measures: Measures) -> Markup:
    if not plan.days:
        return tag("p", None, "No days were worked out.")
    return day_table(plan.days, measures)


def _assumptions(plan: Plan, measures: Measures) -> Markup:
    if not plan.assumptions:
        return tag("p", None, "The trip gave everything; nothing was assumed.")
    return assumption_table(plan, measures)


def _formulas(_: Plan, __: Measures) -> Markup:
    return joined([verdict_meanings(), formulas()])


def _cautions(plan: Plan, _: Measures) -> Markup:
    return cautions(plan.trip.pace.travel)


def mend_section(plan: Plan, measures: Measures) -> Markup:
    """Build the lists, or say that nothing is to mend."""
    parts = list(_by_stretch(plan, measures))
    if parts:
        parts.append(tag("p", {"class": "q"}, ORDER))
    parts += [tag("p", None, clipped_text(measures.sentence(line))) for line in lines_without(plan)]
    return joined(parts or [tag("p", None, "No stretch asks for one.")])


def _by_stretch(plan: Plan, measures: Measures) -> Iterator[Markup]:
    for number, mends in itertools.groupby(plan.mends, key=lambda mend: mend.stretch):
        stretch = plan.stretches[number - 1]
        yield tag(
            "p",
            None,
            tag("a", {"href": f"#stretch-{number}"}, name_tag(end_words(stretch.begin)), " to ",
                name_tag(end_words(stretch.end))),
            f", {measures.mark(stretch.begin.km)}:",
        )  # fmt: skip
        yield tag("ol", {"class": "mends"}, *(_item(mend, measures) for mend in mends))


def _item(mend: Mend, measures: Measures) -> Markup:
    head = tag("b", None, f"{kind_words(mend).capitalize()}: ")
    if mend.what is MendKind.DO_NOT_GO:
        return tag("li", None, head, *mend_words(mend, measures))
    if mend.is_of_headline:
        after: tuple[Markup | str, ...] = (
            clipped_text(measures.sentence(settled_words(mend))),
            ". ",
        )
    else:
        trip_after = verdict_mark(mend.trip_after)
        after = (*_turned(mend, measures), ", the whole trip then ", trip_after, ". ")
    return tag("li", None, head, *after, *mend_words(mend, measures))


def _turned(mend: Mend, measures: Measures) -> tuple[Markup | str, ...]:
    before = verdict_mark(mend.verdict_before)
    if mend.verdict_before is not mend.verdict_after:
        return (before, " to ", verdict_mark(mend.verdict_after))
    before_l, after_l = (
        need_words(one, measures) for one in (mend.missing_before_l, mend.missing_after_l)
    )
    return (before, f", {before_l} missing to {after_l} missing")


PARTS = (
    Part("sheet", "Sheet to carry", "one leaf, both sides", sheet_section),
    Part("papers", "Papers beside it", "to ask, to bring, and for home", papers),
    Part("mends", "What would mend it", "each tried by planning again with it", mend_section),
    Part("setbacks", "When it goes wrong", "a day lost, a can lost, drought, waiting, chance",
         setback_section),
    Part("days", "Days", "way, drinking, heat, light", _days),
    Part("water", "Water that does not count", "", _water),
    Part("assumptions", "Assumptions", "what was taken for granted", _assumptions),
    Part("formulas", "Where the figures come from", "formulas and sources", _formulas),
    Part("cautions", "Cautions", "what no figure can promise", _cautions),
)  # fmt: skip
"""In the order in which they are wanted; add one here."""
