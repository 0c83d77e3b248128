"""Tables of the plan as HTML: captions, scoped headers, and room to scroll on a phone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from longdry.model.plan.plan import Plan
from longdry.model.water.source import WaterSource
from longdry.model.words import Verdict
from longdry.showing.signs.signs import verdict_class
from longdry.showing.words.markup import Markup, clipped_text, name_tag, tag
from longdry.showing.words.measures import Measures
from longdry.showing.words.sources import grade_words

_STACKS_FROM = 4
"""Columns from which on a table is too wide for a narrow screen."""


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its heading and how its cells are set."""

    head: str
    numeric: bool = False


@dataclass(frozen=True, slots=True)
class TableRow:
    """One row: its cells, the first of which names it."""

    cells: tuple[str, ...]
    id: str = ""
    css: str = ""


def table(id_: str, caption: str, columns: Sequence[Column], rows: Sequence[TableRow]) -> Markup:
    """Build a table inside a region that scrolls sideways by finger or by keyboard.

    One of several columns becomes a list of cards on a narrow screen: each row one card, every
    cell under its heading. Its roles are said, since that takes them away in some browsers.
    """
    heads = [
        tag("th", {"scope": "col", "role": "columnheader", "class": _css(column)}, column.head)
        for column in columns
    ]
    stacks = len(columns) >= _STACKS_FROM
    frames = _frames(columns, stacks=stacks)
    caption_id = f"{id_}-caption"
    given: dict[str, str | int | float] = {"id": id_, "role": "table"}
    if stacks:
        given["class"] = "stacks"
    return tag(
        "div",
        {"class": "table-room", "role": "region", "tabindex": 0, "aria-labelledby": caption_id},
        tag(
            "table",
            given,
            tag("caption", None, tag("span", {"id": caption_id}, caption)),
            tag("thead", {"role": "rowgroup"}, tag("tr", {"role": "row"}, *heads)),
            tag("tbody", {"role": "rowgroup"}, *(_row(row, frames) for row in rows)),
        ),
    )


def far_table(sources: Sequence[WaterSource]) -> Markup:
    """Sources that the route never comes near."""
    columns = [Column("Water"), Column("Grade"), Column("Kind"), Column("Layer")]
    return table(
        "far-table",
        "Other water of the layers, too far from the route",
        columns,
        [
            TableRow(
                (
                    name_tag(s.name),
                    grade_words(s),
                    optional_name_tag(s.kind),
                    optional_name_tag(s.layer),
                )
            )
            for s in sources
        ],
    )


def assumption_table(plan: Plan, measures: Measures) -> Markup:
    """What was taken for granted, and the trip key that would change it."""
    columns = [Column("What"), Column("Taken as"), Column("Why"), Column("Change it in the trip")]
    return table(
        "assumption-table",
        "Everything that was taken for granted",
        columns,
        [
            TableRow(
                (
                    clipped_text(item.what),
                    clipped_text(measures.sentence(item.value)),
                    clipped_text(measures.sentence(item.why)),
                    tag("code", None, item.key) if item.key else "",
                )
            )
            for item in plan.assumptions
        ],
    )


def _css(column: Column) -> str:
    return "number" if column.numeric else "words"


def _frames(columns: Sequence[Column], *, stacks: bool) -> list[tuple[Markup, Markup]]:
    """Return what stands before and behind each cell of a row."""
    first, *others = (f'class="{_css(column)}"' for column in columns)
    head = '<th scope="row" role="rowheader" ' if stacks else '<th scope="row" '
    cell = '<td role="cell" ' if stacks else "<td "
    return [
        (Markup(f"{head}{first}>"), Markup("</th>")),
        *((Markup(f"{cell}{css}>"), Markup("</td>")) for css in others),
    ]


def _row(row: TableRow, frames: Sequence[tuple[Markup, Markup]]) -> Markup:
    given = {key: value for key, value in (("id", row.id), ("class", row.css)) if value}
    parts = [
        part
        for (before, behind), cell in zip(frames, row.cells, strict=True)
        for part in (before, cell, behind)
    ]
    return tag("tr", {"role": "row"} | given, *parts)


def verdict_mark(verdict: Verdict) -> Markup:
    """Build a verdict as a word in its hue."""
    return tag("b", {"class": f"verdict-word verdict-{verdict_class(verdict)}"}, str(verdict))


def optional_name_tag(text: str | None) -> str:
    """Mark up a word from a file that may not be there."""
    return name_tag(text) if text else ""
