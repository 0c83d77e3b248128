"""The sheet to carry: one leaf, at least 12 pt, for a tired person in bad light."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence

from longdry.model.plan.days import TravelDay
from longdry.model.plan.headline import HeadlineLevel
from longdry.model.plan.plan import Plan
from longdry.model.plan.setbacks import WaterInNeed
from longdry.model.plan.treating import TreatmentPlan
from longdry.model.trip.treatment import METHOD_WORDS
from longdry.model.words import Accrual, Travel
from longdry.showing.sheet.boxes import boxes
from longdry.showing.sheet.calls import call_table
from longdry.showing.sheet.names import blank, on_paper, print_button
from longdry.showing.words.amounts import (
    count_words,
    day_name,
    need_words,
    on_board_words,
    supply_words,
)
from longdry.showing.words.cans import fewest_full
from longdry.showing.words.departure import leaving_words
from longdry.showing.words.dry import least_to_go_on
from longdry.showing.words.fills import boil_words
from longdry.showing.words.headline import headline_words, heat_foremost, reasons
from longdry.showing.words.in_need import (
    COUNT_NOTHING,
    IN_NEED_HEADING,
    best_in_need,
    doubts_words,
    grade_and_salt_words,
    left_out_words,
    most_on_sheet,
    way_there_words,
    worseness,
)
from longdry.showing.words.markup import Markup, joined, sentence_tag, tag
from longdry.showing.words.measures import Measures
from longdry.showing.words.stops import sizes_l
from longdry.showing.words.way import way_of

_REASONS = 2
_DRY = (
    "Never stake your life on one uncertain source. Dry here: do not wait for rain. On only with"
    " what stands above, else back now. One pool dry: the next is dry too."
)
_TURN = "Past a turn-back {mark} you cannot come back. Count the cans there."
_CANS = (
    "One can broken: share what is left anew, now. A can that held other water is not for drinking"
    " until it is cleaned."
)
_SPREAD = "{five} each by the door, not under the load. No can holds more than half."
_LOCKED = (
    "Locked means dry. Ask first; close the gate; leave stock their water. Camp 200 m from it,"
    " never in a creek bed."
)
_CACHE = "A cache not seen again means not there."
_SHEET_CAUTION = (
    "A plan is not water. Local authorities, land managers and medical advice come first."
)
_FOUND_LINES = 3
_TIED = "\N{NO-BREAK SPACE}"
_BESIDE_KM = 0.3
"""From a camp to a call: whether the cans were filled before that night is not known."""


def sheet_section(plan: Plan, measures: Measures) -> Markup:
    """Build the sheet; on paper it is the first leaf."""
    button = print_button("sheet", "Print this sheet alone")
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
        tag(
            "ul",
            {"class": "remember"},
            *(tag("li", None, words) for words in _remember(plan, measures)),
        ),
        tag("h4", None, "Found on the way"),
        tag("ul", {"class": "found"}, *(_found(measures) for _ in range(_FOUND_LINES))),
        tag("p", None, _SHEET_CAUTION),
    )


def _remember(plan: Plan, measures: Measures) -> list[str]:
    """Return what to keep in mind: by vehicle more, and of caches where the plan counts on one."""
    is_vehicle = plan.trip.pace.travel is Travel.VEHICLE
    five = need_words(5.0, measures) if measures.is_us else "Five litres"
    waters = (water for stretch in plan.stretches for water in stretch.begin.waters)
    has_cache = any(water.source.kind == "cache" for water in waters)
    return [
        _DRY,
        _TURN.format(mark=measures.mark_word),
        _CANS,
        *([_SPREAD.format(five=five)] if is_vehicle else []),
        measures.sentence(_LOCKED),
        *([_CACHE] if has_cache else []),
        COUNT_NOTHING.format(never="Radiator water and urine" if is_vehicle else "Urine"),
        *_left_by_treating(plan.treating),
    ]


def _left_by_treating(treating: TreatmentPlan | None) -> list[str]:
    """Tell what treating leaves in the water, where any is treated."""
    if treating is None or treating.in_all.litres <= 0.0:
        return []
    doing = METHOD_WORDS[treating.method]
    boil = boil_words(treating)
    how = f" ({boil})" if boil else ""
    remains = ", ".join(treating.limits.not_removed)
    return [f"{doing[0].upper()}{doing[1:]}{how} leaves in the water: {remains}."]


def _head(plan: Plan, measures: Measures) -> list[Markup]:
    trip = plan.trip
    notes = [count_words(trip.party.people, "person", "people")]
    if trip.depart:
        notes.append(leaving_words(plan, ", "))
    foremost = heat_foremost(reasons(plan, measures))[:_REASONS]
    because = [sentence_tag(words) for words in foremost]
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
    told.sort(key=lambda need: (worseness(need.source), need.km))
    alike = itertools.groupby(told, key=lambda need: grade_and_salt_words(need.source))
    parts = [part for grade, needs in alike for part in _of_grade(grade, list(needs), measures)]
    rest = [tag("p", None, f"{left_out_words(left)}.")] if left else []
    return [tag("h4", None, IN_NEED_HEADING), tag("p", None, *parts), *rest]


def _of_grade(grade: str, needs: Sequence[WaterInNeed], measures: Measures) -> Iterator[str]:
    """Name waters of one grade: the grade stands before them, or behind the name of one alone."""
    if len(needs) > 1:
        yield tag("b", None, f"{grade[0].upper()}{grade[1:]}: ")
    for place, need in enumerate(needs, 1):
        yield f"{measures.mark(need.km)}, "
        yield on_paper(need.source.name)
        told = way_there_words(need, measures)
        yield f", {told}" if len(needs) > 1 else f": {grade}, {told}"
        if doubts := doubts_words(need):
            yield ", note: "
            yield on_paper(f'"{doubts}"')
        yield ". " if place == len(needs) else "; "


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
    items = [_evening(plan, day, measures) for day in evenings]
    return joined(
        [
            tag("h4", None, "Camps: litres due, litres found. Count the cans before you sleep"),
            tag("ul", {"class": "evenings"}, *items),
            tag("p", None, *_calendar(plan, size_l, measures)),
        ]
    )


def _evening(plan: Plan, day: TravelDay, measures: Measures) -> Markup:
    when = day_name(day.date).rsplit(" ", 2)[0] if day.date else f"Day {day.number}"
    where: list[str] = [f"{when}, {measures.mark(day.to_km)}".replace(" ", _TIED)]
    if day.at_water:
        where += [" at water"]
    due = []
    if day.on_board_l is not None:
        litres = on_board_words(day.on_board_l, measures)
        due = [tag("b", None, f"due {litres}"), _full(plan, day, day.on_board_l)]
    if not day.at_water and (least_l := least_to_go_on(plan, day.to_km, day.number)):
        if_dry = f", dry {need_words(least_l[2], measures)}" if least_l[2] > least_l[1] else ""
        due.append(f"; on if {need_words(least_l[1], measures)}{if_dry}")
    return tag("li", None, tag("span", None, *where), tag("span", None, *due), blank("short"))


def _full(plan: Plan, day: TravelDay, left_l: float) -> str:
    """Tell how many of the largest containers are still full then: the can calendar."""
    fills = plan.fills.fills if plan.fills else ()
    if day.at_water or any(abs(fill.km - day.to_km) < _BESIDE_KM for fill in fills):
        return ""
    behind = [fill for fill in fills if fill.km < day.to_km]
    count = fewest_full(behind[-1].levels_leaving, left_l, sizes_l(plan)) if behind else 0
    return f", {count} full" if count else ""


def _calendar(plan: Plan, size_l: float, measures: Measures) -> Iterator[Markup]:
    if size_l > 0.0:
        yield joined(
            [
                tag("b", None, "One can in use at a time, of each sort of water. "),
                (
                    f"“Full” counts containers of {supply_words(size_l, measures)}: fewer full"
                    " than stand there, and you use too much. "
                ),
            ]
        )
    if plan.least is not None:
        yield Markup("“On if”: go on, saving, if you find at least so much; else back, or wait. ")
        if not all(row.is_sure for row in plan.least.rows):
            yield Markup(
                "“Dry”: so much bears that the next water is dry; never stake less on it. "
            )
    if any(day.camp and day.at_water for day in plan.days):
        yield Markup("At water what is due is due before you fill. ")
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
