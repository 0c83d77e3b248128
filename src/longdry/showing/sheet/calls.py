"""On the sheet: every call, what to take, and before each stretch what to decide."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from longdry.model.plan.plan import Plan
from longdry.model.water.notes import doubts_in
from longdry.model.water.passes import WaterPass
from longdry.model.words import Certainty, Grade
from longdry.showing.sheet.names import on_paper, paper_sentence
from longdry.showing.words.amounts import (
    count_words,
    day_name,
    need_words,
    offset_words,
    on_board_words,
    poured_words,
    time_taken_words,
)
from longdry.showing.words.cans import cans_words, into_words
from longdry.showing.words.dry import on_or_back, turn_words
from longdry.showing.words.fills import load_words
from longdry.showing.words.markup import Attributes, Markup, joined, tag
from longdry.showing.words.measures import Measures
from longdry.showing.words.passes import last_visit
from longdry.showing.words.places import coordinates
from longdry.showing.words.sources import opening_words
from longdry.showing.words.stops import (
    StopFill,
    StopKind,
    beside_words,
    leave_words,
    sizes_l,
    stop_lines,
)
from longdry.showing.words.stretches import alarm_words
from longdry.showing.words.way import WayStop, moment_words, way_of

_DAYS_OF_A_MONTH = 28


def call_table(plan: Plan, measures: Measures) -> Markup:
    """Build the table of all stops, with what must be decided between them."""
    sizes = sizes_l(plan)
    rows = [row for stop in way_of(plan) for row in _rows(plan, stop, sizes, measures)]
    heads = [
        tag("th", {"scope": "col"}, words)
        for words in (measures.mark_word, "Where, and what to do", "Leave with")
    ]
    return tag(
        "table",
        {"class": "calls"},
        tag("caption", None, "Water"),
        tag("thead", None, tag("tr", None, *heads)),
        tag("tbody", None, *rows),
    )


def _rows(
    plan: Plan, stop: WayStop, sizes: Mapping[str, float], measures: Measures
) -> Iterator[Markup]:
    yield tag(
        "tr",
        {"class": "strands"} if stop.strands else None,
        tag("th", {"scope": "row"}, measures.mark_figure(stop.end.km)),
        tag("td", None, *_water(plan, stop, sizes, measures)),
        tag("td", {"class": "leave-cell"}, *_leave(stop, sizes, measures)),
    )
    if stop.after is None:
        return
    stretch = stop.after.stretch
    alarm = alarm_words(stretch, measures)
    turns = turn_words(stop.after.turn, stretch, measures)
    if not alarm and not turns:
        return
    parts: list[str] = [tag("strong", None, f"{alarm}. ")] if alarm else []
    for words in turns:
        is_alarm = words[0].startswith("turn")
        head = tag("strong", None, words[0].upper()) if is_alarm else words[0].capitalize()
        parts += [head, paper_sentence(words[1:]), ". "]
    given: Attributes = {"class": "alarm"} if alarm else {"class": "turn"}
    yield tag("tr", given, tag("td", {"colspan": 3}, *parts))


def _water(
    plan: Plan, stop: WayStop, sizes: Mapping[str, float], measures: Measures
) -> Iterator[Markup]:
    if stop.end.water is None:
        when = f", {_moment(plan, plan.stretches[0].depart_h)}" if stop.after else ""
        yield tag("b", None, f"{stop.end.label.capitalize()}{when}. ")
    for place, water in enumerate(stop.end.waters):
        when = ""
        if stop.planned and not place:
            when = f", {_moment(plan, stop.planned.arrive_h)}"
        yield joined([tag("b", None, on_paper(water.source.name), when), ". "])
        yield _tools(water)
    for one in stop.fills:
        yield from _take(one, stop, sizes, measures)
        yield from _too_heavy(plan, one, measures)
    for words in beside_words(stop.end, plan.trip.uses, measures):
        yield joined([paper_sentence(words), ". "])
    for water in stop.end.waters:
        yield joined([_place(water, measures), " "])
        for doubt in doubts_in(water.source.note):
            yield joined(["Note: ", on_paper(doubt), ". "])
    ahead = stop.after.stretch.end.label if stop.after else ""
    for dry in stop.dry:
        css = "strong" if stop.strands else "em"
        words = on_or_back(dry, (stop.behind, ahead), sum(sizes.values()), measures)
        yield tag(css, None, paper_sentence(words))


def _moment(plan: Plan, hour: float) -> str:
    """Write day and time, the month only where a day of the month may come twice."""
    words = moment_words(plan, hour)
    if len(plan.days) > _DAYS_OF_A_MONTH or not plan.trip.depart:
        return words
    day, _, time = words.rpartition(", ")
    return f"{day.rpartition(' ')[0]}, {time}"


def _tools(water: WaterPass) -> Markup:
    """Tell what treating, which tool and which hours it asks for."""
    source = water.source
    notes: list[str] = []
    if source.trusted_grade is not Grade.POTABLE:
        notes.append("Treat first" if source.trusted_grade is Grade.TREAT else "Not for drinking")
    if certain := _certainty(water):
        notes.append(certain if notes else certain[0].upper() + certain[1:])
    notes += [on_paper(text) for text in (source.access,) if text]
    notes += filter(None, [opening_words(source)])
    parts: list[str] = []
    for note in notes:
        parts += [", ", note] if parts else [note]
    return joined([*parts, ". "]) if parts else Markup()


def _certainty(water: WaterPass) -> str:
    """Tell how sure the water is, on whose word, and what was last seen; empty where it is sure."""
    judged, visit = water.judgement, last_visit(water)
    word = "your own word" if judged.by_hand else ""
    if not word and judged.on_word_alone:
        word = "unseen"
    seen = f"last seen {visit.found} {day_name(visit.on).split(' ', 1)[1]}" if visit else ""
    rests_on = "; ".join(filter(None, (word, seen)))
    if judged.certainty is Certainty.CERTAIN and not rests_on:
        return ""
    return f"{judged.certainty}{f' ({rests_on})' if rests_on else ''}"


def _take(
    one: StopFill, stop: WayStop, sizes: Mapping[str, float], measures: Measures
) -> Iterator[Markup]:
    """Tell what is done at one water, in its order: what is poured and cleaned comes first."""
    fill = one.fill
    if len(stop.fills) > 1 and fill.water:
        yield joined([on_paper(fill.water.source.name), ": "])
    for order in stop_lines(fill, one.treating, sizes, measures):
        if order.kind is StopKind.FIRST:
            first, *others = order.parts
            yield joined([paper_sentence((f"{first[0].upper()}{first[1:]}", *others)), ". "])
    if fill.take_l <= 0.0:
        yield joined(["Take nothing. "])
        return
    into: list[str] = []
    for base, which in into_words(fill, sizes):
        into += [", " if into else " into ", on_paper(base), f" {which}" if which else ""]
    treat = ""
    if one.treating and one.treating.here.litres > 0.0:
        treat = f" Treat {poured_words(one.treating.here.litres, measures)} here."
    yield joined([f"Take {poured_words(fill.take_l, measures)}", *into, ".", treat, " "])


def _too_heavy(plan: Plan, one: StopFill, measures: Measures) -> Iterator[Markup]:
    for load in plan.loads:
        if load.stop == one.index and load.over_kg > 0.0:
            words = f": {load_words(load, measures)}. "
            yield tag("strong", None, on_paper(load.carrier), words)


def _place(water: WaterPass, measures: Measures) -> str:
    source = water.source
    way = offset_words(water.way_km, measures)
    off = "" if way == "on the route" else f", {way} off"
    return f"{coordinates(source.lat_deg, source.lon_deg)}{off}."


def _leave(stop: WayStop, sizes: Mapping[str, float], measures: Measures) -> Iterator[Markup]:
    if stop.after is None:
        left_l = stop.arriving_l
        left = "not known" if left_l is None else on_board_words(left_l, measures)
        yield tag("b", None, f"{left} left")
        return
    stretch = stop.after.stretch
    if stop.fills:
        fill = stop.fills[-1].fill
        total, part = leave_words(fill, sizes, measures)
        yield tag("b", None, total.removesuffix(", all full"))
        full = (
            ("all full",) if total.endswith("all full") else cans_words(fill.levels_leaving, sizes)
        )
        yield joined([" ", paper_sentence(full), f". {part}" if part else "", "."])
    else:
        yield tag("b", None, f"at least {need_words(stretch.wanted_l, measures)}")
    time = (
        count_words(stretch.nights, "night") if stretch.nights else time_taken_words(stretch.days)
    )
    goal = "Next" if stretch.end.water else "End"
    yield tag("span", None, f"{goal}: {measures.way(stretch.length_km)}, {time}.")
