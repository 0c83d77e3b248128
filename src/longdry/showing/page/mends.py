"""What would mend the plan: each change with the plan that was made again with it."""

from __future__ import annotations

from longdry.model.plan.mends import Mend
from longdry.model.plan.plan import Plan
from longdry.model.words import Verdict
from longdry.showing.page.tables import Column, Row, table
from longdry.showing.signs.signs import verdict_class
from longdry.showing.words.markup import Markup, clipped_text, joined, tag
from longdry.showing.words.measures import Measures
from longdry.showing.words.mends import ORDER, lines_without

_COLUMNS = (
    Column("Stretch"),
    Column("By"),
    Column("Now"),
    Column("Then"),
    Column("Whole trip then"),
    Column("What to do"),
    Column("What must be sure first"),
)


def mend_section(plan: Plan, measures: Measures) -> Markup:
    """Build the table of mends, or say that nothing is to mend."""
    parts = []
    if plan.mends:
        rows = [_row(mend, measures) for mend in plan.mends]
        caption = "Each was tried by planning the trip again with it"
        parts += [table("mend-table", caption, _COLUMNS, rows), tag("p", None, ORDER)]
    parts += [tag("p", None, clipped_text(measures.sentence(line))) for line in lines_without(plan)]
    return joined(parts or [tag("p", None, "No stretch asks for one.")])


def _row(mend: Mend, measures: Measures) -> Row:
    return Row(
        (
            tag("a", {"href": f"#stretch-{mend.stretch}"}, f"Stretch {mend.stretch}"),
            str(mend.what.value),
            _mark(mend.verdict_before),
            _mark(mend.verdict_after),
            _mark(mend.trip_after),
            clipped_text(measures.sentence(mend.change)),
            clipped_text(measures.sentence(mend.caution)),
        )
    )


def _mark(verdict: Verdict) -> Markup:
    css = f"verdict-word verdict-{verdict_class(verdict)}"
    return tag("span", {"class": css}, str(verdict))
