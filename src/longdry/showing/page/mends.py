"""What would mend the plan: each change with what must be sure first, stretch by stretch."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from longdry.model.plan.mends import Mend
from longdry.model.plan.plan import Plan
from longdry.showing.page.first_screen import mend_words
from longdry.showing.page.tables import verdict_mark
from longdry.showing.words.markup import Markup, clipped_text, joined, name_tag, tag
from longdry.showing.words.measures import Measures
from longdry.showing.words.mends import ORDER, kind_words, lines_without
from longdry.showing.words.stretches import end_words


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
    after = (verdict_mark(mend.verdict_before), " to ", verdict_mark(mend.verdict_after),
             ", the whole trip then ", verdict_mark(mend.trip_after), ". ")  # fmt: skip
    return tag("li", None, head, *after, *mend_words(mend, measures))
