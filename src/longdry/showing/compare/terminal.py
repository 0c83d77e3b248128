"""The short answer of a comparison: can it be done, when, and what it hangs on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from longdry.model.compare.combination import Line
from longdry.model.compare.comparison import Comparison, Week
from longdry.model.plan.headline import HeadlineLevel
from longdry.plain_text import steady
from longdry.showing.compare.calendar import first_day, line_parts, worst_sign
from longdry.showing.compare.words import (
    MEANINGS,
    QUESTION,
    UNPLANNED,
    answer_of,
    day_words,
    first_reason,
    name_of,
)
from longdry.showing.terminal.layout import Terminal, shortened
from longdry.showing.terminal.plan import SHORT_CAUTION
from longdry.showing.words.amounts import count_words
from longdry.showing.words.headline import HEADLINES
from longdry.showing.words.measures import METRIC, Measures

_PLAIN = Terminal()
_MOST_LINES = 12
_MOST_ROUTES = 10
_MOST_SOURCES = 3
_LABEL = 28
_WEEKS_A_BLOCK = 60
_LETTERS = {"yes": "Y", "if": "i", "no": "N", UNPLANNED: UNPLANNED, "": "."}


def compare_text(
    comparison: Comparison, measures: Measures = METRIC, terminal: Terminal = _PLAIN
) -> str:
    """Return the short answer, without control characters but those of colour."""
    parts = [
        "\n".join(_answer(comparison, measures, terminal)),
        "\n".join(_calendar(comparison, terminal)) if len(comparison.weeks) > 1 else "",
        "\n".join(_routes(comparison, measures, terminal)) if len(comparison.routes) > 1 else "",
        "\n".join(_sources(comparison, terminal)),
        terminal.wrapped(f"{SHORT_CAUTION} {_more(comparison)}"),
    ]
    return "\n\n".join(filter(None, parts))


def _answer(comparison: Comparison, measures: Measures, terminal: Terminal) -> Iterator[str]:
    answer = answer_of(comparison, measures)
    first, *others = answer.lines
    word = answer.first.upper()
    text = terminal.wrapped(f"{QUESTION} {first.replace(answer.first, word, 1)}")
    lasts = answer.level is HeadlineLevel.LASTS
    set_off = terminal.strong if lasts else terminal.alarm
    yield text.replace(word, set_off(word), 1)
    for one in others:
        yield terminal.wrapped(one, "  ", "    ")


def _calendar(comparison: Comparison, terminal: Terminal) -> Iterator[str]:
    """Draw a letter for each week of each line, months above; the worst day of a week counts."""
    meanings = ", ".join(f"{_LETTERS[sign]} {text}" for sign, text in MEANINGS.items())
    yield terminal.wrapped(f"Week by week ({meanings}; of several days in a week the worst)")
    lines = comparison.lines
    if len(comparison.trips) > 1:
        named = (f"[{number}] {steady(name)}" for number, name in enumerate(comparison.trips, 1))
        yield terminal.wrapped(", ".join(named))
    for begin in range(0, len(comparison.weeks), _WEEKS_A_BLOCK):
        weeks = comparison.weeks[begin : begin + _WEEKS_A_BLOCK]
        yield f"{'':{_LABEL}}{_months(comparison, weeks)}"
        for line in lines[:_MOST_LINES]:
            cells = "".join(_LETTERS[worst_sign(comparison, week, line)] for week in weeks)
            yield f"{_label(comparison, line):{_LABEL}}{cells}"
    if len(lines) > _MOST_LINES:
        left = count_words(len(lines) - _MOST_LINES, "more line")
        yield f"… {left}: the page (--out) has them."


def _label(comparison: Comparison, line: Line) -> str:
    """Name a line within its column: the end, which tells it from its likes, is never cut."""
    first, *others = line_parts(comparison, line)
    if len(comparison.trips) > 1 and others:
        others[-1] = f"[{line.trip + 1}]"
    end = "".join(f", {part}" for part in others)
    return f"{steady(first)[: _LABEL - 1 - len(end)].strip()}{end}"


def _months(comparison: Comparison, weeks: Sequence[Week]) -> str:
    """Write the first letters of a month where it begins, a blank between two of them."""
    text = ""
    last = None
    for place, week in enumerate(weeks):
        day = first_day(comparison, week)
        month = (day.year, day.month)
        if month != last and len(text) < max(place, 1):
            text = f"{text:{place}}{day_words(day).split()[1]}"
        last = month
    return text


def _routes(comparison: Comparison, measures: Measures, terminal: Terminal) -> Iterator[str]:
    """Tell the routes, the worst first: each by the best that can be done on it."""
    yield "Routes, the worst first, each at its best:"
    routes = comparison.routes_worst_first
    for number in routes[:_MOST_ROUTES]:
        yield terminal.wrapped(_route_told(comparison, number, measures), "  - ", "    ")
    if len(routes) > _MOST_ROUTES:
        yield f"  … {count_words(len(routes) - _MOST_ROUTES, 'more route')}"


def _route_told(comparison: Comparison, number: int, measures: Measures) -> str:
    best = comparison.best_of_route(number)
    outcome = None if best is None else comparison.rows[best].outcome
    if best is None or outcome is None:
        failed = comparison.rows[comparison.rows_of_route(number)[0]].failed
        return f"{shortened(comparison.routes[number].name)}: could not be planned: {failed}"
    told = f"{HEADLINES[outcome.level]} {first_reason(outcome, measures)}"
    return f"{name_of(comparison, comparison.rows[best])}: {told}"


def _sources(comparison: Comparison, terminal: Terminal) -> Iterator[str]:
    if not comparison.sources:
        return
    of = count_words(len(comparison.ranked), "plan")
    told = [
        f"{shortened(one.name)} ({one.combinations} of {of})"
        for one in comparison.sources[:_MOST_SOURCES]
    ]
    left = len(comparison.sources) - len(told)
    more = f" and {left} more" if left else ""
    yield terminal.wrapped(
        f"Sources that matter most, whose loss leaves no way on or back: {', '.join(told)}{more}."
    )


def _more(comparison: Comparison) -> str:
    notes = [count_words(len(comparison.rows), "combination")]
    if comparison.assumptions:
        notes.append(count_words(len(comparison.assumptions), "assumption"))
    if comparison.remarks:
        notes.append(count_words(len(comparison.remarks), "remark"))
    return f"{', '.join(notes)}, all figures: the page (--out), --json, --csv."
