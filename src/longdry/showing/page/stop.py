"""One stop of the way: a line that opens on what to do there and what is known of its water."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from longdry.model.plan.fills import Draw, VesselLevel
from longdry.model.plan.plan import Plan
from longdry.model.water.passes import WaterPass
from longdry.model.words import Grade
from longdry.showing.page.here import here_button
from longdry.showing.page.parts import sentence, to_map
from longdry.showing.signs.signs import water_sign_svg
from longdry.showing.words.amounts import (
    charge_words,
    count_words,
    flow_words,
    hours_words,
    need_words,
    offset_words,
    on_board_words,
    supply_words,
)
from longdry.showing.words.cans import cans_words
from longdry.showing.words.dry import if_dry, least_words
from longdry.showing.words.fills import fouled_words, load_words
from longdry.showing.words.markup import Attributes, Markup, joined, name_tag, tag
from longdry.showing.words.measures import Measures
from longdry.showing.words.passes import draws_by_pass, last_visit, pass_key
from longdry.showing.words.places import coordinates
from longdry.showing.words.sources import grade_words, judged_words, opening_words, visit_words
from longdry.showing.words.stops import (
    Named,
    StopFill,
    StopKind,
    StopLine,
    beside_words,
    leave_words,
    sizes_l,
    stop_lines,
)
from longdry.showing.words.way import WayStop, clock_words, moment_words
from longdry.units import UNSEEN_KM

_MOST = 5
_TALL = 20.0
_SMALL = 0.5
"""Against the largest: what holds no more is drawn smaller."""


@dataclass(frozen=True, slots=True, eq=False)
class WayInputs:
    """What every stop is shown with."""

    plan: Plan
    measures: Measures
    sizes: Mapping[str, float]
    """Litres of each container to its mark."""
    draws: Mapping[tuple[str, float], Draw]
    nights_km: Sequence[float]
    """Where nights are spent at the water of a call."""
    opens_stranding: bool
    """Whether stops that strand stand open."""


def way_inputs(plan: Plan, measures: Measures, *, opens_stranding: bool) -> WayInputs:
    """Gather it once."""
    nights_km = [day.to_km for day in plan.days if day.camp and day.at_water]
    return WayInputs(plan, measures, sizes_l(plan), draws_by_pass(plan), nights_km, opens_stranding)


def stop_item(stop: WayStop, number: int, inputs: WayInputs) -> Markup:
    """Build the line of a stop; one that must be looked at stands open."""
    measures = inputs.measures
    bad_way = stop.after is not None and not stop.after.is_clear
    is_open = bad_way or (stop.strands and inputs.opens_stranding)
    state = {"open": ""} if is_open and stop.end.water else {}
    summary = tag("summary", None, _where(stop, inputs), _leave(stop, inputs))
    given: Attributes = {
        "class": "stop strands" if stop.strands else "stop",
        "id": f"stop-{number}",
        "data-km": f"{stop.end.km / measures.km_per_length:.3f}",
    }
    return tag(
        "li",
        given,
        tag("div", {"class": "km"}, measures.mark_figure(stop.end.km)),
        tag("div", {"class": "rail"}, water_sign_svg(stop.grade)),
        tag("details", state, summary, tag("div", {"class": "in"}, *_inside(stop, number, inputs))),
    )


def _where(stop: WayStop, inputs: WayInputs) -> Markup:
    end = stop.end
    name = name_tag(end.label) if end.water else tag("span", None, end.label.capitalize())
    notes = []
    if stop.planned:
        notes.append(moment_words(inputs.plan, stop.planned.arrive_h))
        if stop.planned.nights:
            notes.append(count_words(stop.planned.nights, "night"))
    elif stop.after is None and inputs.plan.stretches:
        last = inputs.plan.stretches[-1]
        notes.append(moment_words(inputs.plan, last.travel.end_h))
    elif inputs.plan.trip.depart:
        notes.append(moment_words(inputs.plan, inputs.plan.stretches[0].depart_h))
    if end.water and end.water.judgement.certainty != "certain":
        notes.append(str(end.water.judgement.certainty))
    return tag("span", {"class": "n"}, name, " ", tag("small", None, ", ".join(notes)),
               *_alarm(stop))  # fmt: skip


def _alarm(stop: WayStop) -> list[Markup]:
    if not stop.strands:
        return []
    return [Markup(" "), tag("b", {"class": "alarm"}, "If dry, no way to water")]


def _leave(stop: WayStop, inputs: WayInputs) -> Markup:
    if stop.fills:
        fill = stop.fills[-1].fill
        total, _ = leave_words(fill, inputs.sizes, inputs.measures)
        words: list[str] = ["leave with ", tag("b", None, total.removesuffix(", all full"))]
        cans = cans_svg(fill.levels_leaving, inputs.sizes)
    elif stop.after is not None:
        words = [
            "take at least ",
            tag("b", None, need_words(stop.after.stretch.wanted_l, inputs.measures)),
        ]
        cans = Markup()
    else:
        left = "" if stop.arriving_l is None else on_board_words(stop.arriving_l, inputs.measures)
        words = [tag("b", None, left), " left"] if left else []
        cans = Markup()
    return tag("span", {"class": "leave"}, *words, " ", cans)


def _inside(stop: WayStop, number: int, inputs: WayInputs) -> Iterator[Markup]:
    for one in stop.fills:
        yield from _filling(one, stop, inputs)
    if stop.fills:
        fill = stop.fills[-1].fill
        total, part = leave_words(fill, inputs.sizes, inputs.measures)
        words = f"Leave with {total}{f', {part}' if part else ''}: "
        if fouled := fouled_words(one.fill for one in stop.fills):
            yield tag("p", None, fouled)
        yield tag("p", None, words, sentence(cans_words(fill.levels_leaving, inputs.sizes)), ".")
    for parts in beside_words(stop.end, inputs.plan.trip.uses, inputs.measures):
        yield tag("p", None, sentence(parts), ".")
    for dry in stop.dry:
        css = {"class": "decide"}
        yield tag("p", css, tag("b", None, "Decide here. "), sentence(if_dry(dry, inputs.measures)))
    last: list[str] = [tag("span", None, *_time(stop, inputs))] if stop.planned else []
    if least := least_words(inputs.plan, stop.end.km, inputs.measures):
        last += [f" {least}"]
    if last:
        yield tag("p", None, *last)
    for water in stop.end.waters:
        yield tag("p", {"class": "q"}, *_water(water, inputs, named=len(stop.end.waters) > 1))
    where = inputs.measures.mark(stop.end.km)
    asks = inputs.plan.least is not None and stop.after is not None
    yield tag(
        "p",
        {"class": "tools"},
        to_map("stop", number, f"the stop at {where}"),
        *([" ", here_button(stop.end.km, where)] if asks else []),
    )


def _filling(one: StopFill, stop: WayStop, inputs: WayInputs) -> Iterator[Markup]:
    """Tell what is done at one water, in the order in which it is done."""
    lines = stop_lines(one.fill, one.treating, inputs.sizes, inputs.measures)
    items = [
        tag("li", {"class": f"do-{line.kind}"} if line.kind is not StopKind.MORE else None,
            "into " if line.kind is StopKind.INTO else "", sentence(_begun(line)))
        for line in lines
    ]  # fmt: skip
    items += [
        tag("li", None, name_tag(load.carrier), f": {load_words(load, inputs.measures)}")
        for load in inputs.plan.loads
        if load.stop == one.index
    ]
    if len(stop.fills) > 1 and one.fill.water:
        yield tag("p", {"class": "of"}, name_tag(one.fill.water.source.name), ":")
    yield tag("ul", {"class": "do-list"}, *items)


def _begun(line: StopLine) -> tuple[str, ...]:
    """Begin a line with a capital, unless it goes on from the one above or begins with a name."""
    first, *others = line.parts
    if line.kind is StopKind.INTO or isinstance(first, Named):
        return line.parts
    return (first[:1].upper() + first[1:], *others)


def _time(stop: WayStop, inputs: WayInputs) -> list[str]:
    planned = stop.planned
    if planned is None:
        return []
    takes = planned.draw_min + planned.treat_min
    words = []
    if planned.wait_h > 0.0:
        words.append(f"Wait {hours_words(planned.wait_h)} for it to open")
    if takes > 0.0:
        words.append(f"drawing and treating take {hours_words(takes / 60.0)}")
    if nights := sum(abs(km - stop.end.km) < UNSEEN_KM for km in inputs.nights_km):
        words.append(f"{count_words(nights, 'night')} at the water")
    told = ", ".join([*words, f"go on at {clock_words(planned.leave_h)}"])
    return [f"{told[0].upper()}{told[1:]}."]


def _water(water: WaterPass, inputs: WayInputs, *, named: bool) -> list[Markup]:
    """Tell all that is known of one water."""
    measures, source = inputs.measures, water.source
    judged = judged_words(water, measures)
    facts: list[str] = [grade_words(source).capitalize(), judged]
    last = last_visit(water)
    if last and (last.litres is not None or last.on.isoformat() not in judged):
        facts.append(f"last seen {visit_words(last, measures)}")
    facts += [name_tag(text) for text in (source.kind, source.access) if text]
    if source.flow_l_per_min is not None:
        facts.append(flow_words(source.flow_l_per_min, measures))
    if source.limit_l is not None:
        facts.append(f"at most {supply_words(source.limit_l, measures)}")
    facts += filter(None, [opening_words(source), _cost(water), _drawing(water, inputs)])
    facts.append(_off_the_route(water, measures))
    facts.append(coordinates(source.lat_deg, source.lon_deg))
    head = [name_tag(source.name), Markup(": ")] if named else []
    parts: list[str] = []
    for fact in facts:
        parts += ["; ", fact] if parts else [fact]
    told = [*head, joined(parts), Markup(".")]
    for note in filter(None, (source.note, last.note if last else "")):
        told += [Markup(" "), name_tag(note)]
    return told


def _off_the_route(water: WaterPass, measures: Measures) -> str:
    way = offset_words(water.way_km, measures)
    return way if way == "on the route" else f"{way} off the route"


def _cost(water: WaterPass) -> str:
    cost = water.source.cost_per_l
    return "" if cost is None else f"{cost:g} a litre in the money of the layer"


def _drawing(water: WaterPass, inputs: WayInputs) -> str:
    draw = inputs.draws.get(pass_key(water))
    if draw is None or draw.charge_ah is None:
        return ""
    return f"12 V pump {charge_words(draw.charge_ah)}"


def cans_svg(levels: Iterable[VesselLevel], sizes_l: Mapping[str, float]) -> Markup:
    """Draw the containers, filled as far as they are; water to be treated is hatched.

    The words beside it say the same, so that it is hidden from those who listen.
    """
    shown = [one for one in levels if sizes_l.get(one.vessel, 0.0) > 0.0]
    if not shown:
        return Markup()
    largest = max(sizes_l.values())
    outline, water, raw = "", "", ""
    x = 1.0
    for one in shown[:_MOST]:
        size = sizes_l[one.vessel]
        scale = 1.0 if size > _SMALL * largest else 0.72
        wide, tall = 10.0 * scale, 15.0 * scale
        top = _TALL - 1.5 - tall
        outline += (
            f"M{x:.1f} {top + 2:.1f}l2 -2h{wide - 5:.1f}v-2h2v2l1 2v{tall - 2:.1f}h{-wide:.1f}Z"
        )
        high = (tall - 2.0) * min(one.litres / size, 1.0)
        if high > 0.0:
            box = f"M{x + 1:.1f} {_TALL - 2.5:.1f}h{wide - 2:.1f}v{-high:.1f}h{2 - wide:.1f}Z"
            if one.grade is Grade.POTABLE:
                water += box
            else:
                raw += box
        x += wide + 3.0
    given: Attributes = {
        "class": "cans", "viewBox": f"0 0 {x:.1f} {_TALL:g}", "width": f"{x:.1f}",
        "height": f"{_TALL:g}", "aria-hidden": "true",
    }  # fmt: skip
    drawn = [(water, "can-water"), (raw, "can-raw"), (outline, "can")]
    paths = [tag("path", {"class": css, "d": d}) for d, css in drawn if d]
    more = f"+{len(shown) - _MOST}" if len(shown) > _MOST else ""
    return Markup(tag("svg", given, *paths) + (tag("small", None, more) if more else ""))
