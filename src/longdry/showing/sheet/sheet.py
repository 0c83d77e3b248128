"""The sheet to carry: one leaf, at least 12 pt, for a tired person in bad light."""

from __future__ import annotations

from longdry.model.plan.headline import HeadlineLevel
from longdry.model.plan.plan import Plan
from longdry.model.plan.setbacks import WaterInNeed
from longdry.model.trip.treatment import METHOD_WORDS
from longdry.showing.sheet.boxes import boxes
from longdry.showing.sheet.calls import call_table
from longdry.showing.sheet.camps import camps
from longdry.showing.sheet.names import blank, on_paper
from longdry.showing.words.amounts import count_words, day_name
from longdry.showing.words.fills import boil_words
from longdry.showing.words.headline import headline_words, reasons
from longdry.showing.words.in_need import (
    HEADING,
    best_in_need,
    in_need_words,
    left_out_words,
    most_on_sheet,
    worseness,
)
from longdry.showing.words.markup import Markup, joined, tag
from longdry.showing.words.measures import Measures
from longdry.showing.words.way import way_of

_REASONS = 2
_REMEMBER = (
    (
        "Dry here: do not wait for rain. On only with what stands above, else back now. One pool"
        " dry: the next is dry too."
    ),
    "Past a turn-back km you cannot come back. Count the cans there.",
    (
        "One can broken: share what is left anew, now. A can that held other water is not for"
        " drinking until it is cleaned."
    ),
    "Locked means dry. Ask first; close the gate; leave stock their water.",
    "Count nothing from dew, plants, stills or digging. Radiator water and urine: never.",
)
_CAUTION = "A plan is not water. Local authorities, land managers and medical advice come first."
_FOUND_LINES = 3


def sheet_section(plan: Plan, measures: Measures) -> Markup:
    """Build the sheet; on paper it is the first leaf."""
    button = tag(
        "button",
        {"type": "button", "data-print": "sheet", "class": "needs-script"},
        "Print this sheet alone",
    )
    return tag(
        "div",
        {"class": "paper sheet-page"},
        tag("p", {"class": "sheet-tools"}, button),
        *_head(plan, measures),
        boxes(plan, measures),
        call_table(plan, measures),
        camps(plan, measures),
        *_in_need(plan, measures),
        tag("h4", None, "Remember"),
        tag("ul", {"class": "remember"}, *(tag("li", None, words) for words in _remember(plan))),
        tag("h4", None, "Found on the way"),
        tag("ul", {"class": "found"}, *(_found(measures) for _ in range(_FOUND_LINES))),
        tag("p", None, _CAUTION),
    )


def _remember(plan: Plan) -> list[str]:
    """Return what to keep in mind, with what treating leaves in the water where any is treated."""
    treating = plan.treating
    if treating is None or treating.in_all.litres <= 0.0:
        return list(_REMEMBER)
    doing = METHOD_WORDS[treating.method]
    boil = boil_words(treating)
    how = f" ({boil})" if boil else ""
    remains = ", ".join(treating.limits.not_removed)
    return [*_REMEMBER, f"{doing[0].upper()}{doing[1:]}{how} leaves in the water: {remains}."]


def _head(plan: Plan, measures: Measures) -> list[Markup]:
    trip = plan.trip
    notes = [count_words(trip.party.people, "person", "people")]
    if trip.depart:
        notes.append(f"leaving {day_name(trip.depart.date())}, {trip.depart:%H:%M}")
    because = [tag("bdi", None, words) for words in reasons(plan, measures)[:_REASONS]]
    css = "alarm-head" if plan.headline.level is HeadlineLevel.NOT_SAFE else ""
    return [
        tag("h4", {"class": f"may-start {css}".strip()}, headline_words(plan)),
        tag("p", None, *(part for one in because for part in (one, " "))),
        tag("p", None, tag("b", None, on_paper(trip.name or plan.measured.route.name)),
            f", {', '.join(notes)}."),
    ]  # fmt: skip


def _in_need(plan: Plan, measures: Measures) -> list[Markup]:
    """Name the water that does not count, for those whose life hangs on it; the bad last."""
    most = most_on_sheet(len(plan.stretches))
    told: list[WaterInNeed] = []
    left = 0
    for stop in way_of(plan):
        best, more = best_in_need(stop.in_need, most)
        told += best
        left += more
    if not told:
        return []
    told.sort(key=lambda need: (worseness(need.source) > 0, need.km))
    parts: list[str] = []
    for need in told:
        parts += [
            f"{measures.mark(need.km)}, ", on_paper(need.source.name),
            f": {in_need_words(need, measures)}. ",
        ]  # fmt: skip
    rest = [tag("p", None, f"{left_out_words(left)}.")] if left else []
    return [tag("h4", None, HEADING), tag("p", None, *parts), *rest]


def _found(measures: Measures) -> Markup:
    return tag(
        "li", None, f"{measures.mark_word} ", blank(), " what ", blank("long"), " date ", blank(),
        joined([f" {measures.volume} a minute ", blank()]),
    )  # fmt: skip
