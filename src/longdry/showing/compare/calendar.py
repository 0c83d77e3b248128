"""The calendar: weeks across, route and direction down, a word and a hue in each cell."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from longdry.model.compare.combination import Line
from longdry.model.compare.comparison import Comparison, Week
from longdry.showing.compare.words import (
    SIGNS,
    UNPLANNED,
    day_words,
    reasons_of,
    sign_of,
    week_words,
)
from longdry.showing.words.markup import Attributes, Markup, clipped_name, joined, tag
from longdry.showing.words.measures import Measures

MOST_LINES = 60
MOST_ROWS = 2000
"""Of the lines that are drawn; the others stand in the files."""
CELL_W, CELL_H = 32.0, 40.0
LABEL_W, HEAD_H = 136.0, 58.0
_GAP = 2.0
_LABEL_LETTERS = 18
_WORST_FIRST = (UNPLANNED, *reversed(SIGNS.values()))
CSS = {"yes": "lasts", "if": "only-if", "no": "not-safe", UNPLANNED: "unplanned"}


@dataclass(frozen=True, slots=True)
class CalendarCell:
    """One week of one line."""

    week: Week
    line: Line
    rows: tuple[int, ...]
    """That depart in it."""

    @property
    def id(self) -> str:
        """Of the element."""
        line = self.line
        way = "b" if line.reverse else "t"
        return f"cell-{line.trip + 1}-{line.route + 1}{way}-{self.week.monday.isoformat()}"


def worst_sign(comparison: Comparison, week: Week, line: Line) -> str:
    """Return the word of the worst departure of a line in a week; empty where there is none."""
    signs = {sign_of(comparison.rows[i]) for i in week.rows if comparison.rows[i].of.line == line}
    return next((sign for sign in _WORST_FIRST if sign in signs), "")


def cells_of(comparison: Comparison, lines: Sequence[Line]) -> Iterator[CalendarCell]:
    """Yield the cells that hold a departure, line by line."""
    for line in lines:
        for week in comparison.weeks:
            rows = tuple(i for i in week.rows if comparison.rows[i].of.line == line)
            if rows:
                yield CalendarCell(week, line, rows)


WEEKS_A_BLOCK = 31
"""As many as find room side by side on a wide screen; a year is two blocks."""


def lines_drawn(comparison: Comparison) -> tuple[Line, ...]:
    """Return the lines that there is room for; of too many those of the worst routes."""
    lines = comparison.lines
    most = max(min(MOST_LINES, MOST_ROWS * len(lines) // max(len(comparison.rows), 1)), 1)
    if len(lines) <= most:
        return lines
    places = {route: place for place, route in enumerate(comparison.routes_worst_first)}
    kept = sorted(lines, key=lambda line: places[line.route])[:most]
    return tuple(line for line in lines if line in set(kept))


def calendar_figure(comparison: Comparison, measures: Measures, lines: Sequence[Line]) -> Markup:
    """Draw the calendar in blocks of weeks, the names of the lines staying in view."""
    cells = {(one.line, one.week.monday): one for one in cells_of(comparison, lines)}
    blocks = [
        tag(
            "div",
            {"class": "calendar", "tabindex": "0", "role": "group",
             "aria-label": f"Weeks from {week_words(weeks[0])}"},
            _names_svg(comparison, lines),
            _weeks_svg(comparison, measures, lines, weeks, cells),
        )
        for weeks in _blocks(comparison.weeks)
    ]  # fmt: skip
    return joined(blocks)


def _blocks(weeks: Sequence[Week]) -> Iterator[Sequence[Week]]:
    """Share the weeks among as few blocks as there must be, alike in length."""
    count = -(-len(weeks) // WEEKS_A_BLOCK)
    size = -(-len(weeks) // max(count, 1))
    return (weeks[begin : begin + size] for begin in range(0, len(weeks), max(size, 1)))


def _names_svg(comparison: Comparison, lines: Sequence[Line]) -> Markup:
    height = HEAD_H + CELL_H * len(lines)
    rows = [_name(comparison, line, HEAD_H + CELL_H * place) for place, line in enumerate(lines)]
    return _svg("names", LABEL_W, height, *rows, hidden=True)


def _name(comparison: Comparison, line: Line, y: float) -> Markup:
    """Write on two lines what tells a line from its likes; its route where nothing does."""
    first, *others = line_parts(comparison, line)
    middle = y + CELL_H / 2.0
    if not others:
        return _text(0.0, middle + 4.0, _short(first), "line")
    name = _text(0.0, middle - 2.0, _short(first), "line")
    return joined([name, _text(0.0, middle + 12.0, _short(", ".join(others)), "second")])


def line_parts(comparison: Comparison, line: Line) -> list[str]:
    """Return what tells a line of the calendar from the others: route, direction, trip."""
    parts = []
    if len(comparison.routes) > 1:
        parts.append(clipped_name(comparison.routes[line.route].name))
    if any(one.reverse for one in comparison.lines):
        parts.append("the other way" if line.reverse else "as drawn")
    if len(comparison.trips) > 1:
        parts.append(clipped_name(comparison.trips[line.trip]))
    return parts or [clipped_name(comparison.routes[line.route].name)]


def _short(name: str) -> str:
    return name if len(name) <= _LABEL_LETTERS else f"{name[: _LABEL_LETTERS - 1]}…"


def _weeks_svg(
    comparison: Comparison,
    measures: Measures,
    lines: Sequence[Line],
    weeks: Sequence[Week],
    cells: Mapping[tuple[Line, dt.date], CalendarCell],
) -> Markup:
    width, height = CELL_W * len(weeks), HEAD_H + CELL_H * len(lines)
    parts = [*_heads(comparison, weeks, height)]
    for row, line in enumerate(lines):
        for column, week in enumerate(weeks):
            if (line, week.monday) in cells:
                cell = cells[line, week.monday]
                parts.append(_cell(comparison, measures, cell, column, row))
    return _svg("weeks", width, height, *parts, hidden=False)


def _heads(comparison: Comparison, weeks: Sequence[Week], height: float) -> Iterator[Markup]:
    """Write year, month and day of the first departure of each week; mark the best week."""
    best = comparison.best_week
    last: dt.date | None = None
    for column, week in enumerate(weeks):
        x, day = CELL_W * column, first_day(comparison, week)
        if last is None or day.year != last.year:
            yield _text(x + 1.0, 13.0, str(day.year), "year")
        if last is None or (day.year, day.month) != (last.year, last.month):
            yield _text(x + 1.0, 28.0, day_words(day).split()[1], "month")
        yield _text(x + CELL_W / 2.0 - 1.0, HEAD_H - 8.0, str(day.day), "monday")
        if best is not None and week is comparison.weeks[best]:
            yield tag(
                "rect",
                {"class": "best", "x": f"{x:g}", "y": f"{HEAD_H - 22.0:g}",
                 "width": f"{CELL_W - _GAP:g}", "height": f"{height - HEAD_H + 21.0:g}"},
            )  # fmt: skip
        last = day


def first_day(comparison: Comparison, week: Week) -> dt.date:
    """Return the first day of departure in a week."""
    departs = (comparison.rows[index].of.depart for index in week.rows)
    return min((one.date() for one in departs if one), default=week.monday)


def _cell(
    comparison: Comparison, measures: Measures, cell: CalendarCell, column: int, line_number: int
) -> Markup:
    """Draw a cell as a link to its worst departure; a script shows the reason beside it."""
    x, y = CELL_W * column, HEAD_H + CELL_H * line_number
    rows = [comparison.rows[index] for index in cell.rows]
    rows.sort(key=lambda row: _WORST_FIRST.index(sign_of(row)))
    worst, sign = rows[0], sign_of(rows[0])
    name = clipped_name(comparison.name_of_line(cell.line))
    week_of = "week of " if len(rows) > 1 else ""
    said = f"{name}, {week_of}{day_words(first_day(comparison, cell.week))}: {sign}"
    why = reasons_of(comparison, worst, measures)[0]
    frame: Attributes = {
        "x": f"{x:g}",
        "y": f"{y:g}",
        "width": f"{CELL_W - _GAP:g}",
        "height": f"{CELL_H - _GAP:g}",
        "rx": "3",
    }
    return tag(
        "a",
        {"href": f"#{worst.of.key}", "id": cell.id, "class": f"cell {CSS[sign]}",
         "data-rows": " ".join(row.of.key for row in rows),
         "data-line": line_number, "data-week": comparison.weeks.index(cell.week),
         "aria-label": f"{said}. {why}"},
        tag("rect", frame),
        _text(x + CELL_W / 2.0 - 1.0, y + CELL_H / 2.0 + 3.5, sign, "word"),
    )  # fmt: skip


def _svg(css: str, width: float, height: float, *parts: str, hidden: bool) -> Markup:
    given: dict[str, str | int | float] = {
        "class": css,
        "viewBox": f"0 0 {width:g} {height:g}",
        "width": f"{width:g}",
        "height": f"{height:g}",
    }
    if hidden:
        given["aria-hidden"] = "true"
    return tag("svg", given, *parts)


def _text(x: float, y: float, words: str, css: str) -> Markup:
    return tag("text", {"class": css, "x": f"{x:g}", "y": f"{y:g}"}, words)
