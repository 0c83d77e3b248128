"""The sheet to carry: one leaf, at least 12 pt, for a tired person in bad light."""

from __future__ import annotations

from collections.abc import Iterator

from longdry.model.plan.days import TravelDay
from longdry.model.plan.headline import HeadlineLevel
from longdry.model.plan.plan import Plan
from longdry.model.plan.setbacks import WaterInNeed
from longdry.model.trip.treatment import METHOD_WORDS
from longdry.model.words import Accrual
from longdry.showing.sheet.boxes import boxes
from longdry.showing.sheet.calls import call_table
from longdry.showing.sheet.names import blank, on_paper
from longdry.showing.words.amounts import count_words, day_name, on_board_words, supply_words
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
from longdry.showing.words.outset import leaving_words
from longdry.showing.words.stops import sizes_l
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
        notes.append(leaving_words(plan, ", "))
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


def camps(plan: Plan, measures: Measures) -> Markup:
    """List the evenings; nothing where the trip has no camps."""
    evenings = [day for day in plan.days if day.camp]
    if not evenings:
        return Markup()
    size_l = max(sizes_l(plan).values(), default=0.0)
    items = [_evening(day, size_l, measures) for day in evenings]
    return joined(
        [
            tag("h4", None, "Camps: count the cans each evening"),
            tag("ul", {"class": "evenings"}, *items),
            tag("p", None, *_calendar(plan, size_l, measures)),
        ]
    )


def _evening(day: TravelDay, size_l: float, measures: Measures) -> Markup:
    when = day_name(day.date).rsplit(" ", 2)[0] if day.date else f"Day {day.number}"
    where: list[str] = [f"{when}, {measures.mark(day.to_km)}"]
    if day.at_water:
        where += [", at ", on_paper(day.camp_name) if day.camp_name else "the water"]
    due = []
    if day.on_board_l is not None:
        due = [tag("b", None, f"due {on_board_words(day.on_board_l, measures)}"),
               _full(day.on_board_l, size_l)]  # fmt: skip
    return tag("li", None, tag("span", None, *where), tag("span", None, *due), blank("short"))


def _full(litres: float, size_l: float) -> str:
    """Tell how many of the largest containers are still full then: the can calendar."""
    if size_l <= 0.0 or litres < size_l:
        return ""
    return f", {int(litres / size_l + 1e-9)} full"


def _calendar(plan: Plan, size_l: float, measures: Measures) -> Iterator[Markup]:
    if size_l > 0.0:
        yield joined(
            [
                tag("b", None, "One can in use at a time. "),
                (
                    f"“Full” counts cans of {supply_words(size_l, measures)}: fewer full than"
                    " stands there, and you use too much. "
                ),
            ]
        )
    kept = [use for use in plan.trip.uses if use.per is Accrual.ALWAYS]
    if kept:
        parts: list[str] = []
        for use in kept:
            parts += [
                ", " if parts else "",
                supply_words(use.litres, measures),
                " ",
                on_paper(use.name),
            ]
        yield joined([tag("b", None, "Always carried, never planned to be spent: "), *parts, "."])
