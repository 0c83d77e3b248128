"""The tables of the page: routes, sources, and every combination with its reasons."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from pathlib import Path
from urllib.parse import quote

from longdry.model.compare.combination import Line, Outcome, Row
from longdry.model.compare.comparison import Comparison
from longdry.model.plan.headline import HeadlineLevel
from longdry.showing.compare.calendar import CSS, lines_drawn
from longdry.showing.compare.words import (
    chances_words,
    day_words,
    first_reason,
    heat_words,
    longest_words,
    most_words,
    name_of,
    no_way_words,
    reasons_of,
    sign_of,
    worst_words,
)
from longdry.showing.words.amounts import count_words
from longdry.showing.words.markup import (
    Markup,
    clipped_name,
    clipped_text,
    name_tag,
    sentence_tag,
    tag,
)
from longdry.showing.words.measures import Measures

MOST_ROUTES = 200
MOST_SOURCES = 50
MOST_ROWS = 400
"""Without a calendar; with one, every row of the lines that it draws."""
_COLUMNS = (
    "Leaving",
    "Why",
    "Worst stretch",
    "Longest without water",
    "Most to carry",
    "Calls and days",
    "Heat",
    "No way if this is dry",
    "Of 100 trips",
)


def link_to(row: Row, words: str) -> Markup:
    """Link to the row of a combination."""
    return tag("a", {"href": f"#{row.of.key}"}, name_tag(words))


def routes_table(comparison: Comparison, measures: Measures) -> Markup:
    """Tell the routes, the worst first: each by the best that can be done on it."""
    numbers = comparison.routes_worst_first
    rows = [_route(comparison, number, measures) for number in numbers[:MOST_ROUTES]]
    heads = [("Route", False), ("Length", True), ("Lasts", True), ("At its best", False)]
    table = _table("routes-table", "Each route by the best that can be done on it", heads, rows)
    return _with_more(table, len(numbers) - MOST_ROUTES, "route")


def _route(comparison: Comparison, number: int, measures: Measures) -> Markup:
    route = comparison.routes[number]
    rows = [comparison.rows[index] for index in comparison.rows_of_route(number)]
    lasting = sum(_lasts(row) for row in rows)
    best = comparison.best_of_route(number)
    length = measures.way(route.length_km) if route.length_km is not None else ""
    if best is None:
        told = [_sign(sign_of(rows[0])), " ", sentence_tag(clipped_text(rows[0].failed))]
    else:
        row = comparison.rows[best]
        why = first_reason(row.outcome, measures) if row.outcome else ""
        told = [_sign(sign_of(row)), " ", link_to(row, name_of(comparison, row)), ": ",
                sentence_tag(why)]  # fmt: skip
    return tag(
        "tr",
        None,
        tag("th", {"scope": "row", "class": "words"}, name_tag(route.name)),
        tag("td", {"class": "number"}, length),
        tag("td", {"class": "number"}, f"{lasting} of {len(rows)}"),
        tag("td", None, *told),
    )


def _lasts(row: Row) -> bool:
    return row.outcome is not None and row.outcome.level is HeadlineLevel.LASTS


def sources_table(comparison: Comparison, measures: Measures) -> Markup:
    """Tell in how many plans the loss of each source leaves no way to water."""
    plans = len(comparison.ranked)
    rows = [
        tag(
            "tr",
            None,
            tag("th", {"scope": "row", "class": "words"}, name_tag(one.name)),
            tag("td", {"class": "number"}, f"{one.combinations} of {plans}"),
            tag("td", {"class": "number"}, f"{one.routes}"),
            tag("td", None, name_tag(comparison.name_of_line(one.first.line)),
                f", {measures.mark(one.first_km)}"),
        )
        for one in comparison.sources[:MOST_SOURCES]
    ]  # fmt: skip
    heads = [("Source", False), ("Plans", True), ("Routes", True), ("Where first", False)]
    caption = "In so many plans its loss alone leaves no way to water, on or back"
    table = _table("sources-table", caption, heads, rows)
    return _with_more(table, len(comparison.sources) - MOST_SOURCES, "source")


def combination_tables(
    comparison: Comparison, measures: Measures, place: Path | None
) -> Iterator[Markup]:
    """Build a folded table for each line of the calendar, or one of all where there is none."""
    if len(comparison.weeks) > 1:
        lines = lines_drawn(comparison)
        for number, line in enumerate(lines, 1):
            rows = [row for row in comparison.rows if row.of.line == line]
            yield _fold(comparison, number, line, _rows(comparison, rows, measures, place))
        yield from _left(len(comparison.lines) - len(lines), "line")
        return
    planned = set(comparison.ranked)
    failed = [index for index in range(len(comparison.rows)) if index not in planned]
    worst = [comparison.rows[index] for index in (*failed, *reversed(comparison.ranked))]
    told = _rows(comparison, worst[:MOST_ROWS], measures, place, named=True)
    yield _table("combinations", "All combinations, the worst first", _heads(named=True), told)
    yield from _left(len(worst) - MOST_ROWS, "combination")


def _fold(comparison: Comparison, number: int, line: Line, rows: Sequence[Markup]) -> Markup:
    name = clipped_name(comparison.name_of_line(line))
    lasting = sum(_lasts(row) for row in comparison.rows if row.of.line == line)
    about = f"{lasting} of {count_words(len(rows), 'departure')} last"
    table = _table(f"line-{number}-table", name, _heads(named=False), rows)
    head = tag("h3", {"id": f"line-{number}-heading"}, name_tag(name))
    summary = tag("summary", None, head, " ", tag("span", None, about))
    inside = tag("div", None, table)
    return tag("details", {"id": f"line-{number}", "class": "fold"}, summary, inside)


def _heads(*, named: bool) -> list[tuple[str, bool]]:
    first, *others = _COLUMNS
    return [(head, False) for head in ("Combination" if named else first, *others)]


def _rows(
    comparison: Comparison,
    rows: Sequence[Row],
    measures: Measures,
    place: Path | None,
    *,
    named: bool = False,
) -> list[Markup]:
    return [_row(comparison, row, measures, place, named=named) for row in rows]


def _row(
    comparison: Comparison, row: Row, measures: Measures, place: Path | None, *, named: bool
) -> Markup:
    depart = row.of.depart
    words = name_of(comparison, row) if named or depart is None else day_words(depart.date())
    full = clipped_name(name_of(comparison, row))
    head = tag(
        "th",
        {"scope": "row", "class": "words", "data-name": full},
        name_tag(words), " ", _sign(sign_of(row)),
    )  # fmt: skip
    cells = _cells(row.outcome, measures) if row.outcome else [tag("td")] * (len(_COLUMNS) - 2)
    why = tag("td", {"class": "reasons"}, *_reasons(comparison, row, measures, place))
    return tag("tr", {"id": row.of.key}, head, why, *cells)


def _cells(outcome: Outcome, measures: Measures) -> list[Markup]:
    told = (
        worst_words(outcome, measures),
        longest_words(outcome, measures),
        most_words(outcome, measures),
        f"{count_words(outcome.calls, 'call')}, {count_words(outcome.days, 'day')}",
        heat_words(outcome, measures),
        no_way_words(outcome),
        chances_words(outcome),
    )
    return [tag("td", None, sentence_tag(text)) for text in told]


def _reasons(
    comparison: Comparison, row: Row, measures: Measures, place: Path | None
) -> Iterator[Markup]:
    told = reasons_of(comparison, row, measures)
    grave = (
        [clipped_text(measures.sentence(one)) for one in row.outcome.grave] if row.outcome else []
    )
    if grave:
        told.append(f"{count_words(len(grave), 'grave warning')}.")
    yield _list(told)
    if grave:
        yield tag("details", None, tag("summary", None, "Read the warnings"), _list(grave))
    if row.page:
        yield tag(
            "p", None, tag("a", {"class": "plan", "href": _href(row.page, place)}, "The whole plan")
        )


def _list(told: Sequence[str]) -> Markup:
    return tag("ul", None, *(tag("li", None, sentence_tag(one)) for one in told))


def _href(page: str, place: Path | None) -> str:
    folder = place.parent if place else Path()
    return quote(Path(os.path.relpath(page, folder)).as_posix())


def _sign(sign: str) -> Markup:
    return tag("span", {"class": f"sign {CSS[sign]}"}, sign)


def _table(
    id_: str, caption: str, heads: Sequence[tuple[str, bool]], rows: Sequence[str]
) -> Markup:
    cells = [
        tag("th", {"scope": "col", **({"class": "number"} if number else {})}, head)
        for head, number in heads
    ]
    return tag(
        "div",
        {"class": "table-room", "tabindex": "0", "role": "group", "aria-label": caption},
        tag(
            "table",
            {"id": id_, "role": "table", "class": "stacks"},
            tag("caption", None, tag("span", None, caption)),
            tag("thead", None, tag("tr", None, *cells)),
            tag("tbody", None, *rows),
        ),
    )


def _with_more(table: Markup, left: int, what: str) -> Markup:
    return Markup(table + "".join(_left(left, what)))


def _left(count: int, what: str) -> Iterator[Markup]:
    if count > 0:
        words = f"{count_words(count, f'more {what}')} in the files for programs (--json, --csv)."
        yield tag("p", {"class": "how-to"}, words)
