"""What to fill where: every stop at which water is taken, and what goes into which container."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from longdry.model.plan.fills import CarrierLoad, Fill, FillPlan
from longdry.model.plan.plan import Plan
from longdry.model.plan.stretch import DryStretch
from longdry.model.words import FillHabit
from longdry.showing.page.tables import Column, Row, table
from longdry.showing.words.fills import (
    cost_of,
    cost_words,
    fouled_words,
    load_words,
    treating_words,
)
from longdry.showing.words.markup import Markup, joined, name_tag, tag
from longdry.showing.words.measures import Measures
from longdry.showing.words.stops import (
    Named,
    StopFill,
    StopLine,
    leave_words,
    shown_fills,
    sizes_l,
    stop_lines,
)
from longdry.showing.words.wording import (
    alarm_words,
    need_words,
    on_board_words,
    place_words,
    poured_words,
)
from longdry.units import rounded_up

_HABITS = {
    FillHabit.LEAST: "only what you need to the next water",
    FillHabit.SAFE: "the least with which any one uncertain source may be dry",
    FillHabit.TOP_UP: "everything, wherever there is water",
}
_COLUMNS = (
    Column("At"),
    Column("Water"),
    Column("Fill here"),
    Column("On board on arriving", numeric=True),
    Column("Leave with"),
)


@dataclass(frozen=True, slots=True)
class _RowInputs:
    """What the rows are made from."""

    sizes_l: Mapping[str, float]
    measures: Measures


def fill_section(plan: Plan, measures: Measures) -> Markup:
    """Build the table of fills, or say why there is none."""
    if plan.fills is None:
        return tag("p", None, "The trip names no containers, so no fills can be planned.")
    fills = plan.fills
    notes = _RowInputs(sizes_l(plan), measures)
    rows = [
        _row(one, stretch if one is here[-1] else None, notes)
        for stretch, here in shown_fills(plan)
        for one in here
    ]
    passed = len(fills.fills) - len(rows)
    return joined(
        [
            table("fill-table", _caption(fills), _COLUMNS, rows),
            tag("p", None, _rest(fills, passed, measures)),
            *([tag("p", None, fouled)] if (fouled := fouled_words(fills)) else []),
            *_treating(plan, measures),
            *_loads(plan, fills, measures),
            *_habits(plan, measures),
        ]
    )


def _caption(fills: FillPlan) -> str:
    return f"Fills in travel order; habit: {_HABITS[fills.habit]}"


def _rest(fills: FillPlan, passed: int, measures: Measures) -> str:
    cost = cost_of(fills)
    costs = f" The water costs {cost_words(cost)}." if cost > 0.0 else ""
    end = f"At the end {on_board_words(fills.end.total_l, measures)} are left.{costs}"
    if not passed:
        return end
    stops = "source is" if passed == 1 else "sources are"
    return f"{passed} counted {stops} passed without taking water. {end}"


def _treating(plan: Plan, measures: Measures) -> list[Markup]:
    notes = treating_words(plan.treating, measures)
    if plan.treating is None or not notes:
        return []
    source = tag("span", {"class": "source"}, f" Source: {plan.treating.limits.source}.")
    return [tag("p", {"id": "treating"}, tag("strong", None, "Treating. "), notes, source)]


def _loads(plan: Plan, fills: FillPlan, measures: Measures) -> list[Markup]:
    """Tell each carrier's heaviest load, and where it is."""
    if not plan.loads:
        return []
    columns = (
        Column("Carrier"),
        Column("Heaviest on leaving"),
        Column("Water", numeric=True),
        Column("Load, against payload"),
    )
    rows = [
        Row(
            (
                name_tag(load.carrier),
                place_words(fills.fills[load.stop].km, measures),
                poured_words(load.water_l, measures),
                _load(load, measures),
            )
        )
        for load in plan.loads
    ]
    caption = "What each carrier bears at its heaviest: water at 1.00 kg a litre, and containers"
    return [table("load-table", caption, columns, rows)]


def _load(load: CarrierLoad, measures: Measures) -> Markup:
    words = load_words(load, measures)
    return tag("span", {"class": "alarm-words"} if load.over_kg > 0.0 else None, words)


def _habits(plan: Plan, measures: Measures) -> list[Markup]:
    """Set both habits side by side."""
    if plan.fills is None or plan.fills_of_other_habit is None:
        return []
    columns = [
        Column("Habit"),
        Column("Carried", numeric=True),
        Column("Least on board at the end of a stretch", numeric=True),
        Column("Stops with water taken", numeric=True),
    ]
    rows = [
        Row(
            (
                joined([_HABITS[fills.habit], "" if number else " (this plan)"]),
                _carried(fills.litre_km, measures),
                _margin(fills.smallest_margin_l, measures),
                str(fills.objective.fills),
            )
        )
        for number, fills in enumerate((plan.fills, plan.fills_of_other_habit))
    ]
    return [table("habit-table", "The two habits of filling side by side", columns, rows)]


def _carried(litre_km: float, measures: Measures) -> str:
    value = rounded_up(litre_km / measures.l_per_volume / measures.km_per_length)
    return f"{value:,.0f} {'US gal-miles' if measures.is_us else 'litre-km'}"


def _margin(margin_l: float, measures: Measures) -> str:
    if margin_l < 0.0:
        return f"{need_words(-margin_l, measures)} missing"
    return on_board_words(margin_l, measures)


def _row(one: StopFill, stretch: DryStretch | None, notes: _RowInputs) -> Row:
    """Build the row of one water; the last of a stop tells what to leave with for the stretch."""
    fill, measures = one.fill, notes.measures
    cells = (
        place_words(fill.km, measures),
        name_tag(fill.water.source.name) if fill.water else "start of the route",
        _to_do(stop_lines(fill, one.treating, notes.sizes_l, measures)),
        on_board_words(fill.arriving.total_l, measures),
        _leaving(fill, stretch, notes) if stretch else "",
    )
    return Row(cells)


def _to_do(lines: Sequence[StopLine]) -> Markup:
    return tag("ul", {"class": "plain to-do"}, *map(_line, lines))


def _line(line: StopLine) -> Markup:
    inner = joined(name_tag(part) if isinstance(part, Named) else part for part in line.parts)
    return tag("li", {"class": line.kind.value}, inner)


def _leaving(fill: Fill, stretch: DryStretch, inputs: _RowInputs) -> Markup:
    total, part = leave_words(fill, inputs.sizes_l, inputs.measures)
    parts = [tag("span", {"class": "on"}, part)] if part else []
    if alarm := alarm_words(stretch, inputs.measures):
        parts.append(tag("span", {"class": "alarm-words"}, alarm))
    return joined([total, *parts])
