"""The list of a water book's sources, as a table for the terminal."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from longdry.model.water.book import ListedSource
from longdry.model.water.source import WaterSource
from longdry.plain_text import steady
from longdry.showing.words.amounts import count_words
from longdry.showing.words.measures import METRIC, Measures

_LONGEST = {"name": 24, "why": 60, "getting at it": 32}
_WHOLE = {"id"}
"""Never cut: an id is what other commands are given."""
_SOURCES_CAUTION = (
    "Certainty is a judgement, not a promise: ask locally before you rely on a source."
)


def source_list_text(
    sources: Sequence[ListedSource], *, on: dt.date, of: int, measures: Measures = METRIC
) -> str:
    """Return the table.

    Parameters
    ----------
    sources
        In the order in which they are shown.
    on
        The date that they were judged for.
    of
        How many sources the book holds.
    measures
        The units to write figures in.

    Examples
    --------
    >>> print(source_list_text([], on=dt.date(2027, 5, 3), of=2))
    0 of 2 sources, judged for 2027-05-03.
    """
    notes = f"{len(sources)} of {count_words(of, 'source')}, judged for {on.isoformat()}."
    if not sources:
        return notes
    rows = [_row(one, measures, on) for one in sources]
    columns = [name for name in rows[0] if any(row[name] for row in rows)]
    widths = {name: max(len(name), *(len(row[name]) for row in rows)) for name in columns}
    lines = [{name: name for name in columns}, *rows]
    body = ["  ".join(row[name].ljust(widths[name]) for name in columns).rstrip() for row in lines]
    return "\n".join([*body, "", notes, _SOURCES_CAUTION])


def _row(one: ListedSource, measures: Measures, on: dt.date) -> dict[str, str]:
    source = one.source
    cells = {
        measures.mark_word: "" if one.km is None else measures.mark_figure(one.km),
        "off": "" if one.offset_km is None else measures.way_figure(one.offset_km),
        "id": source.id,
        "name": source.name,
        "kind": source.kind or "",
        "grade": source.grade.value if source.grade else "none: not-for-drinking",
        "certainty": _certainty(one),
        "last visit": _last_visit(source, on),
        "getting at it": measures.sentence(_getting_at_it(source)),
        "why": one.judgement.why,
    }
    return {
        name: steady(text) if name in _WHOLE else _cut(steady(text), _LONGEST.get(name, 40))
        for name, text in cells.items()
    }


def _certainty(one: ListedSource) -> str:
    if one.source.retired is not None:
        return "retired"
    mark = " (by hand)" if one.judgement.by_hand else ""
    return f"{one.judgement.certainty.value}{mark}"


def _last_visit(source: WaterSource, on: dt.date) -> str:
    last = max(source.visits, key=lambda visit: visit.on, default=None)
    if last is None:
        return ""
    to_come = " (to come)" if last.on > on else ""
    return f"{last.on.isoformat()} {last.found.value}{to_come}"


def _getting_at_it(source: WaterSource) -> str:
    flow = f"{source.flow_l_per_min:g} L/min" if source.flow_l_per_min is not None else ""
    limit = f"at most {source.limit_l:g} L" if source.limit_l is not None else ""
    return ", ".join(part for part in (source.access or "", flow, limit) if part)


def _cut(text: str, longest: int) -> str:
    return text if len(text) <= longest else f"{text[: longest - 1]}…"
