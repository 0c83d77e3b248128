"""The one list of the way: stops as lines that open, stretches as the space between them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from longdry.model.plan.days import TravelDay
from longdry.model.plan.plan import Plan
from longdry.model.plan.setbacks import WaterInNeed
from longdry.model.plan.stretch import DryStretch
from longdry.model.water.passes import WaterPass
from longdry.model.words import Verdict
from longdry.showing.page.here import here_button
from longdry.showing.page.parts import sentence, to_map
from longdry.showing.page.stop import WayInputs, stop_item, way_inputs
from longdry.showing.signs.signs import verdict_class
from longdry.showing.words.amounts import (
    HELD_BACK,
    count_words,
    day_name,
    need_words,
    on_board_words,
    supply_words,
    time_taken_words,
)
from longdry.showing.words.dry import least_words, turn_words
from longdry.showing.words.in_need import (
    IN_NEED_HEADING,
    MOST_IN_NEED,
    best_in_need,
    doubts_words,
    in_need_words,
    left_out_words,
    not_reckoned_words,
)
from longdry.showing.words.markup import Attributes, Markup, clipped_text, joined, name_tag, tag
from longdry.showing.words.measures import Measures
from longdry.showing.words.stretches import dry_words, three_amounts, told_missing_l, what_to_do
from longdry.showing.words.way import WayStop, WayStretch, way_of

FOLDS_FROM = 16
"""Stops from which on runs of clear ones are folded."""
LEAST_RUN = 3
_STRIP_KEY = (
    "The grey behind a stretch is the water you carry, down to its end; the line is the reserve."
)
_BESIDE = joined([tag("div", {"class": "km"}), tag("div", {"class": "rail"})])
"""Left of a stretch: no km, and a rail without a sign."""
_MOST_OPEN = 3
"""Stops that stand open because they strand; of more the line alone says so."""


class Numbered(NamedTuple):
    """A stop with its place in the list."""

    number: int
    stop: WayStop


def way_section(plan: Plan, measures: Measures) -> Markup:
    """Build the list."""
    way = way_of(plan)
    few = sum(stop.strands for stop in way) <= _MOST_OPEN
    inputs = way_inputs(plan, measures, opens_stranding=few)
    stops = [Numbered(number, stop) for number, stop in enumerate(way)]
    items = [
        _run(group, inputs) if len(group) > 1 else joined(_items(group[0], inputs))
        for group in _grouped(stops)
    ]
    how = "Tap a line to open it; what is bad stands open."
    return tag(
        "section",
        {"id": "way", "aria-labelledby": "way-heading"},
        tag("h2", {"id": "way-heading"}, "The way"),
        tag("p", {"class": "q needs-script"}, how),
        *([tag("p", {"class": "q strip-key"}, _STRIP_KEY)] if plan.fills else []),
        tag("ol", {"class": "way"}, *items),
    )


def _grouped(stops: Sequence[Numbered]) -> Iterator[list[Numbered]]:
    """Put runs of clear stops together where the list is long; each other stop stands alone."""
    run: list[Numbered] = []
    folds = len(stops) >= FOLDS_FROM
    for one in stops:
        if folds and not one.stop.is_bad and one.stop.after is not None and one.number:
            run.append(one)
            continue
        yield from _as_run(run)
        run = []
        yield [one]
    yield from _as_run(run)


def _as_run(run: list[Numbered]) -> Iterator[list[Numbered]]:
    if len(run) >= LEAST_RUN:
        yield run
    else:
        yield from ([one] for one in run)


def _run(group: Sequence[Numbered], inputs: WayInputs) -> Markup:
    """Fold a run of clear stops into one line."""
    measures = inputs.measures
    afters = [one.stop.after.stretch for one in group if one.stop.after]
    spares_l = [after.spare_l for after in afters if after.spare_l is not None]
    spare = "" if not spares_l else (
        f", at least {on_board_words(max(min(spares_l), 0.0), measures)} to spare"
    )  # fmt: skip
    head = tag(
        "summary",
        None,
        tag("span", {"class": "n"}, f"{count_words(len(group), 'stop')}, all clear ",
            tag("small", None, f"to {measures.mark(afters[-1].end.km)}{spare}")),
    )  # fmt: skip
    items = [item for one in group for item in _items(one, inputs)]
    return tag(
        "li",
        {"class": "run"},
        tag("div", {"class": "km"}, measures.mark_figure(group[0].stop.end.km)),
        tag("div", {"class": "rail"}),
        tag("details", None, head, tag("ol", {"class": "way"}, *items)),
    )


def _items(one: Numbered, inputs: WayInputs) -> Iterator[Markup]:
    yield stop_item(one.stop, one.number, inputs)
    if one.stop.after:
        yield _between(one.stop.after, inputs)


def _between(after: WayStretch, inputs: WayInputs) -> Markup:
    """Build the space between two stops; what is wrong with it stands in it."""
    stretch, measures = after.stretch, inputs.measures
    size = [f"{measures.way(stretch.length_km)}, {time_taken_words(stretch.days)}"]
    if stretch.nights:
        size.append(count_words(stretch.nights, "night"))
    head = tag(
        "summary",
        None,
        *_verdict(after, measures),
        f"{', '.join(size)}.",
    )
    state = {} if after.is_clear else {"open": ""}
    given: Attributes = {
        "class": f"between verdict-{verdict_class(stretch.verdict)}",
        "id": f"stretch-{stretch.number}",
    }
    return tag(
        "li",
        given,
        _BESIDE,
        _strip(stretch, inputs),
        tag("details", state, head, tag("div", {"class": "in"}, *_inside(after, inputs))),
    )


def _strip(stretch: DryStretch, inputs: WayInputs) -> Markup:
    """Draw what is carried across, distance downward, for a narrow screen; words say the same."""
    if stretch.on_board_l is None:
        return Markup()
    most_l = max(stretch.wanted_l, sum(inputs.sizes.values()), 1e-6)
    leaves, arrives, reserve = (
        100.0 * litres / most_l
        for litres in (stretch.on_board_l, max(stretch.left_l or 0.0, 0.0), stretch.reserve_l)
    )
    dry, along_km = stretch.dry_on_way, stretch.end.km - stretch.begin.km
    down = 100.0 * (dry.km - stretch.begin.km) / along_km if dry and along_km > 0.0 else 100.0
    given: Attributes = {"class": "strip", "viewBox": "0 0 100 100", "aria-hidden": "true",
                         "preserveAspectRatio": "none"}  # fmt: skip
    end = 0.0 if dry else arrives
    return tag(
        "svg",
        given,
        tag("path", {"class": "below", "d": f"M0 0H{leaves:.0f}L{end:.0f} {down:.0f}H0Z"}),
        tag("path", {"class": "reserve-line", "d": f"M{reserve:.0f} 0V100"}),
    )


def _verdict(after: WayStretch, measures: Measures) -> list[str]:
    stretch = after.stretch
    if stretch.verdict is Verdict.NO_CONTAINERS:
        return []
    if after.is_clear:
        spare_l = max(stretch.spare_l or 0.0, 0.0)
        return [tag("b", None, f"{on_board_words(spare_l, measures)} to spare. ")]
    missing_l = told_missing_l(stretch)
    lacks = HELD_BACK if missing_l is None else f"{need_words(missing_l, measures)} missing"
    dry = dry_words(stretch, measures)
    words = ", ".join(filter(None, (str(stretch.verdict).capitalize(), lacks, dry)))
    return [tag("b", {"class": "v"}, f"{words}. ")]


def _inside(after: WayStretch, inputs: WayInputs) -> Iterator[Markup]:
    stretch, measures = after.stretch, inputs.measures
    _, need, reserve = three_amounts(stretch, measures)
    on_arriving = ""
    if stretch.left_l is not None:
        left = supply_words(max(stretch.left_l, 0.0), measures)
        on_arriving = f" On arriving {left} are left, on the {stretch.ration_told} ration."
    yield tag("p", None, f"It takes {need} and {reserve} of reserve.{on_arriving}")
    if not after.is_clear:
        yield tag("p", None, what_to_do(stretch, measures))
    for words in turn_words(after.turn, stretch, measures):
        yield tag(
            "p", {"class": "turn"}, sentence((words[0][:1].upper() + words[0][1:], *words[1:])), "."
        )
    if after.camps:
        takes = ", and what going on takes from there" if inputs.plan.least else ""
        summary = tag("summary", None, f"{count_words(len(after.camps), 'camp')}{takes}")
        camps = tag("ul", {"class": "camps"}, *_camps(after.camps, inputs))
        yield tag("details", {"class": "others"}, summary, camps)
    other_water = list(_other_water(after, measures))
    if len(after.passed_by) + len(after.in_need) > MOST_IN_NEED:
        summary = tag("summary", None, _other_water_words(after))
        other_water = [tag("details", {"class": "others"}, summary, *other_water)]
    yield from other_water
    yield tag(
        "p", {"class": "tools"}, to_map("stretch", stretch.number, f"stretch {stretch.number}")
    )


def _other_water_words(after: WayStretch) -> str:
    """Count what is folded."""
    passed = f"{count_words(len(after.passed_by), 'source')} passed by" if after.passed_by else ""
    needed = count_words(len(after.in_need), "source") if after.in_need else ""
    only = f"{needed} in need only, never reckoned with" if needed else ""
    return ", ".join(filter(None, (passed, only)))


def _other_water(after: WayStretch, measures: Measures) -> Iterator[Markup]:
    if after.passed_by:
        by_way = sorted(after.passed_by, key=lambda water: water.way_km)[:MOST_IN_NEED]
        few = sorted(by_way, key=lambda water: water.km)
        names = [part for water in few for part in _passed_by(water, measures)]
        more = left_out_words(len(after.passed_by) - len(few))
        yield tag("p", None, "Passed by: ", *names[1:], *(["; ", more] if more else []), ".")
    few_in_need, others = best_in_need(after.in_need)
    for one in few_in_need:
        yield tag("p", {"class": "q"}, *_in_need(one, measures))
    if others:
        yield tag("p", {"class": "q"}, f"{IN_NEED_HEADING}: {left_out_words(others)}.")


def _passed_by(water: WaterPass, measures: Measures) -> list[str]:
    because = clipped_text(measures.sentence(water.passed_by_because))
    return ["; ", name_tag(water.source.name), f" ({measures.mark(water.km)}): {because}"]


def _camps(camps: Sequence[TravelDay], inputs: WayInputs) -> Iterator[Markup]:
    plan, measures = inputs.plan, inputs.measures
    for day in camps:
        on = day_name(day.date).rsplit(" ", 1)[0] if day.date else f"Day {day.number}"
        left = "" if day.on_board_l is None else f": {on_board_words(day.on_board_l, measures)}"
        at = [" at ", name_tag(day.camp_name)] if day.camp_name else []
        where = measures.mark(day.to_km)
        parts = [f"{on}, {where}", *at, f"{left}."]
        if least := least_words(plan, day.to_km, measures, day.number):
            parts += [f" {least} ", here_button(day.to_km, where)]
        yield tag("li", None, *parts)


def _in_need(need: WaterInNeed, measures: Measures) -> list[str]:
    why, doubts = not_reckoned_words(need, measures), doubts_words(need)
    return [
        f"{IN_NEED_HEADING}: ",
        name_tag(need.source.name),
        f", {measures.mark(need.km)}: {in_need_words(need, measures)}",
        *(["; ", tag("bdi", None, why)] if why else []),
        *(["; note: ", tag("bdi", None, f'"{doubts}"')] if doubts else []),
        ".",
    ]
