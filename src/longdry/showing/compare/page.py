"""The page of a comparison: one HTML file that asks the network for nothing.

This file is its table of contents; pictures and tables are files of their own.
"""

from __future__ import annotations

from collections.abc import Iterator
from importlib import resources
from pathlib import Path

from longdry.model.compare.comparison import Comparison
from longdry.showing.compare.calendar import CSS, calendar_figure, lines_drawn
from longdry.showing.compare.scatter import scatter_figure, scatter_key
from longdry.showing.compare.tables import (
    combination_tables,
    link_to,
    routes_table,
    sources_table,
)
from longdry.showing.compare.words import (
    CAUTIONS,
    MEANINGS,
    QUESTION,
    Extreme,
    answer_of,
    day_words,
    sign_of,
)
from longdry.showing.page.page import card_rules, own_asset, page_head
from longdry.showing.page.parts import fold
from longdry.showing.words.amounts import count_words
from longdry.showing.words.markup import (
    Markup,
    clipped_name,
    clipped_text,
    joined,
    name_tag,
    sentence_tag,
    tag,
)
from longdry.showing.words.measures import METRIC, Measures

MOST_REMARKS = 40
_MOST_AT_A_GLANCE = 3


def compare_html(
    comparison: Comparison, measures: Measures = METRIC, place: Path | None = None
) -> str:
    """Build the whole page; the same comparison gives the same text, byte for byte.

    Parameters
    ----------
    measures
        The units to write figures in.
    place
        Where the page will lie: links to the pages of whole plans lead from there.
    """
    styles = [own_asset("page.css"), _asset("compare.css")]
    scripts = [own_asset("page.js"), _asset("compare.js")]
    body = joined(
        [
            tag("a", {"class": "skip", "href": "#all"}, "Go to all figures"),
            tag("main", None, *_main(comparison, measures, place)),
            tag("footer", None, tag("p", None, "Made by longdry. This page needs no network.")),
            *(Markup(f"<script>{script}</script>\n") for script in scripts),
        ]
    )
    styles.append(card_rules(body))
    head = page_head(f"Compared: {_title(comparison)}", styles, scripts)
    return f'<!DOCTYPE html>\n<html lang="en">\n{head}\n<body>\n{body}</body>\n</html>\n'


def _asset(name: str) -> str:
    return resources.files("longdry.showing.compare").joinpath("assets", name).read_text("utf-8")


def _title(comparison: Comparison) -> str:
    if len(comparison.routes) == 1:
        return clipped_name(comparison.routes[0].name)
    return f"{len(comparison.routes):,} routes"


def _main(comparison: Comparison, measures: Measures, place: Path | None) -> Iterator[Markup]:
    yield _header(comparison)
    yield _answer(comparison, measures)
    if len(comparison.weeks) > 1:
        yield _calendar(comparison, measures)
    yield _cautions()
    yield from _scatter(comparison, measures)
    if len(comparison.routes) > 1:
        yield _section("routes", "Routes, the worst first", routes_table(comparison, measures))
    yield from _sources(comparison, measures)
    yield tag(
        "section",
        {"id": "all", "aria-labelledby": "all-heading"},
        tag("h2", {"id": "all-heading"}, "All figures"),
        *combination_tables(comparison, measures, place),
        *_assumptions(comparison),
        *_remarks(comparison),
    )


def _section(id_: str, head: str, *inside: str) -> Markup:
    heading = tag("h2", {"id": f"{id_}-heading"}, head)
    return tag("section", {"id": id_, "aria-labelledby": f"{id_}-heading"}, heading, *inside)


def _header(comparison: Comparison) -> Markup:
    notes = [count_words(len(comparison.rows), "combination")]
    days = sorted({row.of.depart.date() for row in comparison.rows if row.of.depart})
    if len(days) > 1:
        span = f"{day_words(days[0])} to {day_words(days[-1])}"
        notes.append(f"{len(days):,} days of departure, {span}")
    elif days:
        notes.append(f"leaving {day_words(days[0])}")
    if any(row.of.reverse for row in comparison.rows):
        notes.append("both ways")
    if len(comparison.trips) > 1:
        notes.append(count_words(len(comparison.trips), "trip"))
    title = tag("h1", None, name_tag(_title(comparison)))
    return tag("header", None, title, tag("p", None, ", ".join(notes)))


def _answer(comparison: Comparison, measures: Measures) -> Markup:
    """Answer the question; best and worst below."""
    answer = answer_of(comparison, measures)
    level = answer.level.value if answer.level else "unknown"
    return tag(
        "section",
        {"id": "answer", "class": f"answer level-{level}", "aria-labelledby": "answer-heading"},
        tag("p", {"class": "question"}, QUESTION),
        tag("h2", {"id": "answer-heading", "class": "say"}, answer.first),
        *([tag("p", {"class": "why"}, answer.count)] if answer.count else []),
        tag("div", {"class": "extremes"},
            *(_extreme(comparison, one) for one in answer.extremes)),
        *(tag("p", {"class": "must"}, sentence_tag(one)) for one in answer.more),
    )  # fmt: skip


def _extreme(comparison: Comparison, one: Extreme) -> Markup:
    row = comparison.rows[one.row]
    sign = sign_of(row)
    head = tag("h3", None, one.head, *([": ", one.when] if one.when else []))
    name = tag("p", {"class": "of"}, link_to(row, one.name), " ", _sign(sign))
    return tag("div", {"class": "extreme"}, head, name, tag("p", None, sentence_tag(one.told)))


def _sign(sign: str) -> Markup:
    return tag("span", {"class": f"sign {CSS[sign]}"}, sign)


def _calendar(comparison: Comparison, measures: Measures) -> Markup:
    """Draw the calendar with its key, and room for the reason of a cell below it."""
    lines = lines_drawn(comparison)
    left = len(comparison.lines) - len(lines)
    more = f" {count_words(left, 'line')} more in --csv and --json." if left else ""
    how = (
        "Each column is a week, by its first departure; of several departures the worst counts."
        f"{' Framed: the best week.' if comparison.best_week is not None else ''}"
        f" Tap a cell, or go there with Tab and the arrow keys, for the reason.{more}"
    )
    key = [tag("span", {"class": "key"}, _sign(sign), f" {MEANINGS[sign]}") for sign in MEANINGS]
    return _section(
        "calendar",
        "Week by week",
        tag("p", {"class": "keys"}, *key),
        calendar_figure(comparison, measures, lines),
        tag("p", {"class": "how-to"}, how),
        tag("div", {"id": "reason", "role": "status", "class": "reason needs-script"}),
    )


def _cautions() -> Markup:
    items = [tag("li", None, one) for one in CAUTIONS]
    return _section("cautions", "Before anybody starts", tag("ul", {"class": "cautions"}, *items))


def _scatter(comparison: Comparison, measures: Measures) -> Iterator[Markup]:
    picture = scatter_figure(comparison, measures)
    if not picture:
        return
    signs = {sign_of(row) for row in comparison.rows if row.outcome and row.outcome.chances}
    shown = [sign for sign in MEANINGS if sign in signs]
    if comparison.unbeaten:
        told = (
            "Ringed: no other has as good a headline, asks for as little to be carried and runs"
            " short as seldom, and is better in one of them."
        )
    else:
        told = "None is ringed: no plan may be started as it stands."
    left = sum(not (row.outcome and row.outcome.chances) for row in comparison.rows)
    drawn = f" {count_words(left, 'combination')} without a chance not drawn." if left else ""
    yield _section(
        "carry",
        "Most to carry, and how often it may run short",
        tag("div", {"class": "chart", "tabindex": "0", "role": "group",
                    "aria-label": "Most to carry against the chance of running short"}, picture),
        tag("p", {"class": "keys"}, scatter_key(shown)),
        tag("p", {"class": "how-to"}, f"{told}{drawn} A chance compares plans, it is no forecast."),
    )  # fmt: skip


def _sources(comparison: Comparison, measures: Measures) -> Iterator[Markup]:
    if comparison.sources:
        yield _section("sources", "Which sources matter most", sources_table(comparison, measures))


def _assumptions(comparison: Comparison) -> Iterator[Markup]:
    if not comparison.assumptions:
        return
    plans = len(comparison.ranked)
    items = []
    for one in comparison.assumptions:
        some = "" if one.plans >= plans else f" In {one.plans} of {plans} plans."
        many = len(one.values) > _MOST_AT_A_GLANCE
        value = f"{len(one.values)} values, see each plan" if many else ", or ".join(one.values)
        text = clipped_text(f"{one.what}: {value} ({one.why}).{some}")
        items.append(tag("li", None, sentence_tag(text)))
    about = count_words(len(items), "assumption")
    yield fold("assumptions", "Assumptions of all plans", about, tag("ul", None, *items))


def _remarks(comparison: Comparison) -> Iterator[Markup]:
    if not comparison.remarks:
        return
    told = [clipped_text(one) for one in comparison.remarks[:MOST_REMARKS]]
    left = len(comparison.remarks) - len(told)
    if left:
        told.append(f"{count_words(left, 'more remark')} in the JSON (--json).")
    items = [tag("li", None, sentence_tag(one)) for one in told]
    about = count_words(len(comparison.remarks), "remark")
    yield fold("remarks", "What the readers did with the files", about, tag("ul", None, *items))
