"""Where the route comes by water: whether there is any, how to get at it, and how long it takes."""

from __future__ import annotations

from longdry.model.plan.fills import Draw
from longdry.model.plan.plan import Plan
from longdry.model.water.passes import WaterPass
from longdry.model.water.source import WaterSource
from longdry.showing.page.tables import Column, Row, optional_name_tag, table
from longdry.showing.signs.signs import water_sign_svg
from longdry.showing.words.markup import Markup, joined, name_tag, tag
from longdry.showing.words.measures import Measures
from longdry.showing.words.passes import draws_by_pass, last_visit, pass_key
from longdry.showing.words.setbacks import stranding_ids
from longdry.showing.words.wording import (
    charge_words,
    day_name,
    flow_words,
    grade_words,
    judged_words,
    minutes_words,
    offset_words,
    opening_words,
    place_words,
    poured_words,
    supply_words,
    visit_words,
    why_not_words,
)

_WATER = (
    Column("At"),
    Column("Water"),
    Column("Grade"),
    Column("Is there water?"),
    Column("Last visit"),
    Column("Counted?"),
    Column("Off the route"),
    Column("Getting at it"),
)
_DRAWING = (Column("Drawing what the fills take"),)


def pass_table(plan: Plan, measures: Measures) -> Markup:
    """Every pass, counted or not; what drawing takes stands where the fills are planned."""
    stranding = stranding_ids(plan)
    draws = draws_by_pass(plan)
    rows = []
    for passed in plan.passes:
        cells = _cells(passed, measures, strands=passed.source.id in stranding)
        if plan.draws:
            cells += (_drawing(draws.get(pass_key(passed)), measures),)
        rows.append(Row(cells, css="" if passed.counted else "not-counted"))
    return table(
        "pass-table",
        "Water along the route, by the place where the way to it leaves the route",
        (*_WATER, *_DRAWING) if plan.draws else _WATER,
        rows,
    )


def _cells(passed: WaterPass, measures: Measures, *, strands: bool) -> tuple[str, ...]:
    source = passed.source
    return (
        joined([place_words(passed.km, measures), *_on(passed)]),
        _water(passed, strands=strands),
        grade_words(source),
        judged_words(passed, measures),
        _last_visit(passed, measures),
        "yes" if passed.counted else f"no: {why_not_words(passed, measures)}",
        _off_the_route(passed, measures),
        _getting_at(source, measures),
    )


def _water(passed: WaterPass, *, strands: bool) -> Markup:
    source = passed.source
    judged = passed.judgement
    sign = water_sign_svg(source.grade, judged.certainty, by_hand=judged.by_hand)
    parts = [sign, " ", name_tag(source.name)]
    if strands:
        parts.append(tag("span", {"class": "alarm-words"}, "if dry, no way to water"))
    return joined(parts)


def _on(passed: WaterPass) -> list[Markup]:
    return [tag("span", {"class": "on"}, day_name(passed.on))] if passed.on else []


def _off_the_route(passed: WaterPass, measures: Measures) -> str:
    if passed.way_km <= 0.0:
        return "on the route"
    way = offset_words(passed.way_km, measures)
    return f"{offset_words(passed.offset_km, measures)}; way there {way}"


def _last_visit(passed: WaterPass, measures: Measures) -> Markup:
    """Tell what the last visit found; one dated after the party comes by says nothing of it."""
    last = last_visit(passed)
    if last is None:
        return Markup("none known by then" if passed.source.visits else "none known")
    notes = visit_words(last, measures)
    return joined([notes, ", ", name_tag(last.note)] if last.note else [notes])


def _getting_at(source: WaterSource, measures: Measures) -> Markup:
    flow = flow_words(source.flow_l_per_min, measures) if source.flow_l_per_min is not None else ""
    limit = (
        f"at most {supply_words(source.limit_l, measures)}" if source.limit_l is not None else ""
    )
    plain = (flow, limit, opening_words(source), _cost(source))
    notes = [
        optional_name_tag(source.kind),
        optional_name_tag(source.access),
        *plain,
        optional_name_tag(source.note),
    ]
    parts: list[str] = []
    for part in filter(None, notes):
        parts += [", ", part] if parts else [part]
    return joined(parts)


def _cost(source: WaterSource) -> str:
    if source.cost_per_l is None:
        return ""
    return f"{source.cost_per_l:g} a litre in the money of the layer"


def _drawing(draw: Draw | None, measures: Measures) -> str:
    if draw is None or draw.litres <= 0.0:
        return "nothing taken"
    notes = f"{poured_words(draw.litres, measures)}: {minutes_words(draw.minutes)}"
    return notes if draw.charge_ah is None else f"{notes}, 12 V pump {charge_words(draw.charge_ah)}"
