"""The sheet to carry: the stops in order on one page of paper, readable in bad light.

The type is as large as one A4 page allows, down to a size that can still be read; a longer list
goes on to a second page and says so. Widths are estimated from above, so that the count of pages
holds whatever font the machine has.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

from longdry.model.plan.plan import Plan
from longdry.model.trip.treatment import METHOD_WORDS
from longdry.showing.sheet.rows import CarryRow, Cell, carry_rows, shortened
from longdry.showing.sheet.text_width import lines_taken
from longdry.showing.words.fills import boil_words
from longdry.showing.words.markup import Attributes, Markup, joined, name_tag, tag
from longdry.showing.words.measures import Measures
from longdry.showing.words.wording import day_name

_TYPE_PT = tuple(half / 2.0 for half in range(28, 17, -1))
"""Sizes of type that are tried, the largest first; the last is the least that is sensible."""
_WIDTHS_MM = {"even": (19.0, 53.0, 54.0, 20.0, 40.0), "wide-fill": (18.0, 44.0, 70.0, 18.0, 36.0)}
"""Of the columns, two ways to share out the width between the margins of A4."""
_ROOM_MM = 243.0
"""Height for rows between the margins of A4, head and foot of the sheet taken off."""
_MM_PER_PT = 25.4 / 72.0
_LINE_HEIGHT = 1.22
_PADDING_MM = 2.6
_LARGER = {"mark": 1.25, "stop": 1.1, "next": 1.1}
"""Lines that are set larger, as the style sheet has them."""
_BOLD = frozenset({"mark", "stop", "next", "alarm", "fill", "turn"})
_FRAME_MM, _FRAME_LINES = {"alarm": 4.0}, {"alarm": 0.3}
_FOOT_EM = 186.0 / (9.0 * _MM_PER_PT)
_FOOT_LINE_MM = 4.5
_HEADS = ("Water", "Fill here", "Leave with", "Next")
_CAUTION = (
    "A source may be dry: ask before you leave, and never leave water on your last litres. "
    "Stay with the vehicle if it breaks down. Local authorities and land managers come first."
)


@dataclass(frozen=True, slots=True)
class Setting:
    """How the rows are spread over paper."""

    type_pt: float
    pages: tuple[tuple[CarryRow, ...], ...]
    widths: str = "even"
    """Which columns are wide."""


def sheet_section(plan: Plan, measures: Measures) -> Markup:
    """Build the sheet: on paper pages of its own, on screen a table like the others."""
    remark = _treating_remark(plan)
    taken = lines_taken(remark, _FOOT_EM) * _FOOT_LINE_MM if remark else 0.0
    setting = set_on_paper(carry_rows(plan, measures), _ROOM_MM - taken)
    alone = tag(
        "button",
        {"type": "button", "id": "print-sheet", "class": "needs-script"},
        "Print this sheet alone",
    )
    pages = [_page(plan, measures, setting, number) for number in range(1, len(setting.pages) + 1)]
    return joined([tag("p", {"class": "sheet-tools"}, alone), *pages])


def set_on_paper(rows: Sequence[CarryRow], room_mm: float = _ROOM_MM) -> Setting:
    """Choose the largest type with which the rows fit on one page, else spread them over more."""
    least = _TYPE_PT[-1]
    if any(_fits(rows, least, widths, room_mm) for widths in _WIDTHS_MM):
        for type_pt, widths in itertools.product(_TYPE_PT, _WIDTHS_MM):
            if _fits(rows, type_pt, widths, room_mm):
                return Setting(type_pt, (tuple(rows),), widths)
    return Setting(least, _spread(rows, least, room_mm))


def _fits(rows: Sequence[CarryRow], type_pt: float, widths: str, room_mm: float) -> bool:
    used = 0.0
    for row in rows:
        used += row_height_mm(row, type_pt, widths)
        if used > room_mm:
            return False
    return True


def row_height_mm(row: CarryRow, type_pt: float, widths: str = "even") -> float:
    """Height of a row on paper, estimated from above."""
    line_mm = type_pt * _MM_PER_PT * _LINE_HEIGHT
    lines = max(
        _lines(cell, width, type_pt)
        for cell, width in zip(row.cells, _WIDTHS_MM[widths], strict=True)
    )
    return lines * line_mm + _PADDING_MM


def _lines(cell: Cell, width_mm: float, type_pt: float) -> float:
    count = 0.0
    for line in cell:
        larger = _LARGER.get(line.css, 1.0)
        room_em = (width_mm - 2.0 - _FRAME_MM.get(line.css, 0.0)) / (type_pt * larger * _MM_PER_PT)
        count += lines_taken(line.words, room_em, bold=line.css in _BOLD) * larger
        count += _FRAME_LINES.get(line.css, 0.0)
    return count


def _spread(
    rows: Sequence[CarryRow], type_pt: float, room_mm: float
) -> tuple[tuple[CarryRow, ...], ...]:
    pages: list[list[CarryRow]] = [[]]
    used = 0.0
    for row in rows:
        height = row_height_mm(row, type_pt)
        if pages[-1] and used + height > room_mm:
            pages.append([])
            used = 0.0
        pages[-1].append(row)
        used += height
    return tuple(tuple(page) for page in pages)


def _page(plan: Plan, measures: Measures, setting: Setting, number: int) -> Markup:
    of = len(setting.pages)
    heads = (measures.mark_word, *_HEADS)
    caption_id = f"sheet-caption-{number}"
    table = tag(
        "table",
        {"class": f"carry type-{setting.type_pt * 10:.0f} {setting.widths}", "role": "table"},
        tag("caption", {"id": caption_id}, *_title(plan, number, of)),
        tag("thead", {"role": "rowgroup"}, tag("tr", {"role": "row"}, *map(_head, heads))),
        tag(
            "tbody",
            {"role": "rowgroup"},
            *(_row(row, measures) for row in setting.pages[number - 1]),
        ),
    )
    room: Attributes = {
        "class": "table-room",
        "role": "region",
        "tabindex": 0,
        "aria-labelledby": caption_id,
    }
    return tag(
        "div",
        {"class": "sheet-page"},
        tag("div", room, table),
        tag("p", {"class": "sheet-foot"}, _foot(number, of, _treating_remark(plan))),
    )


def _title(plan: Plan, number: int, of: int) -> list[Markup]:
    name = shortened(plan.trip.name or plan.measured.route.name)
    leaves = plan.trip.depart
    when = f"leave {day_name(leaves.date())} {leaves:%H:%M}" if leaves else ""
    page = f"page {number} of {of}" if of > 1 else ""
    notes = "; ".join(filter(None, (when, page)))
    return [tag("strong", None, name_tag(name)), tag("span", {"class": "when"}, notes)]


def _foot(number: int, of: int, remark: str) -> str:
    goes_on = f"Goes on: page {number + 1} of {of}. " if number < of else ""
    return f"{goes_on}{_CAUTION}{remark}"


def _treating_remark(plan: Plan) -> str:
    """Tell what treating leaves in the water, where any water is treated."""
    treating = plan.treating
    if treating is None or treating.in_all.litres <= 0.0:
        return ""
    doing = METHOD_WORDS[treating.method]
    remains = ", ".join(treating.limits.not_removed)
    boil = boil_words(treating)
    how = f" ({boil})" if boil else ""
    return f" {doing[0].upper()}{doing[1:]}{how} leaves in the water: {remains}."


def _head(words: str) -> Markup:
    return tag("th", {"scope": "col", "role": "columnheader"}, words)


def _row(row: CarryRow, measures: Measures) -> Markup:
    """Build a row; its roles are said, since a phone sets the cells below one another."""
    first, *others = (joined(line.html() for line in cell) for cell in row.cells)
    where: Attributes = {"scope": "row", "role": "rowheader", "data-head": measures.mark_word}
    cells = [tag("th", where, first)]
    cells += [
        tag("td", {"role": "cell", "data-head": head}, cell)
        for head, cell in zip(_HEADS, others, strict=True)
    ]
    given: Attributes = {"role": "row", "class": "strands"} if row.strands else {"role": "row"}
    return tag("tr", given, *cells)
