"""What to fill where: every stop at which water is taken, and what goes into which container."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from longdry.model.fill import CarrierLoad, Fill, FillPlan, Pour
from longdry.model.plan import Plan
from longdry.model.treating import Treating
from longdry.model.words import FillHabit, Grade
from longdry.showing.containers_in_words import numbered, ranges, sizes_l
from longdry.showing.fill_words import (
    cost_of,
    cost_words,
    does_something,
    left_lines,
    load_words,
    short_treat_lines,
    treating_words,
)
from longdry.showing.markup import Markup, joined, name_tag, tag
from longdry.showing.measures import Measures
from longdry.showing.tables import Column, Row, table
from longdry.showing.wording import (
    GRADE_WORDS,
    minutes_words,
    needed_l,
    on_board_l,
    place_km,
    poured_l,
)
from longdry.units import rounded_up

_HABITS = {
    FillHabit.LEAST: "only what the way on asks for",
    FillHabit.TOP_UP: "everything, wherever there is water",
}
_COLUMNS = (
    Column("At"),
    Column("Water"),
    Column("Take", numeric=True),
    Column("Into"),
    Column("Also to do"),
    Column("On board on arriving", numeric=True),
    Column("On board on leaving"),
    Column("Filling time", numeric=True),
)


@dataclass(frozen=True, slots=True)
class _Told:
    """What the rows are made from."""

    names: Mapping[str, str]
    vessels: Collection[str]
    measures: Measures


def fill_section(plan: Plan, measures: Measures) -> Markup:
    """Build the table of fills, or say why there is none."""
    if plan.fills is None:
        return tag("p", None, "The trip names no containers, so no fills can be planned.")
    fills = plan.fills
    names = {source.id: source.name for source in plan.sources}
    treated = plan.treating.by_stop if plan.treating else (None,) * len(fills.fills)
    told = _Told(names, sizes_l(plan), measures)
    shown = [
        place
        for place, fill in enumerate(fills.fills)
        if place == 0 or does_something(fill, treated[place])
    ]
    passed = len(fills.fills) - len(shown)
    rows = [_row(fills.fills[place], treated[place], told) for place in shown]
    return joined(
        [
            table("fill-table", _caption(fills), _COLUMNS, rows),
            tag("p", None, _rest(fills, passed, measures)),
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
    end = f"At the end {on_board_l(fills.end.total_l, measures)} are left.{costs}"
    if not passed:
        return end
    stops = "source is" if passed == 1 else "sources are"
    return f"{passed} counted {stops} passed without taking water. {end}"


def _treating(plan: Plan, measures: Measures) -> list[Markup]:
    told = treating_words(plan.treating, measures)
    if plan.treating is None or not told:
        return []
    source = tag("span", {"class": "source"}, f" Source: {plan.treating.limits.source}.")
    return [tag("p", {"id": "treating"}, tag("strong", None, "Treating. "), told, source)]


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
                place_km(fills.fills[load.stop].km, measures),
                poured_l(load.water_l, measures),
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
        return f"{needed_l(-margin_l, measures)} missing"
    return on_board_l(margin_l, measures)


def _row(fill: Fill, treating: Treating | None, told: _Told) -> Row:
    names, measures = told.names, told.measures
    cells = (
        place_km(fill.km, measures),
        name_tag(names.get(fill.source, fill.source)) if fill.source else "start of the route",
        _take(fill, measures),
        _into(fill.into, told),
        _also(fill, treating, measures),
        on_board_l(fill.arriving.total_l, measures),
        _on_board(fill, measures),
        minutes_words(fill.minutes),
    )
    return Row(cells)


def _take(fill: Fill, measures: Measures) -> Markup:
    if fill.take_l <= 0.0:
        return Markup("nothing")
    cost = [tag("span", {"class": "on"}, f"costs {fill.cost:,.2f}")] if fill.cost > 0.0 else []
    return joined([poured_l(fill.take_l, measures), *cost])


def _into(pours: tuple[Pour, ...], told: _Told) -> Markup:
    alike: dict[tuple[str, str, Grade], list[str]] = {}
    for pour in pours:
        base, number = numbered(pour.vessel, told.vessels)
        alike.setdefault((base, poured_l(pour.litres, told.measures), pour.grade), []).append(
            number
        )
    lines: list[Markup] = []
    for (base, litres, grade), numbers in alike.items():
        which = ranges(int(number) for number in numbers if number)
        each = " each" if len(numbers) > 1 else ""
        water = "" if grade is Grade.POTABLE else f", {GRADE_WORDS[grade]}"
        head = joined([name_tag(base), f" {which}" if which else ""])
        lines.append(tag("li", None, head, f": {litres}{each}{water}"))
    return tag("ul", {"class": "plain"}, *lines) if lines else Markup()


def _also(fill: Fill, treating: Treating | None, measures: Measures) -> Markup:
    lines = [tag("li", None, "clean ", name_tag(vessel)) for vessel in fill.cleaned]
    lines += [
        tag(
            "li",
            None,
            f"pour {poured_l(pour.litres, measures)} from ",
            name_tag(pour.from_vessel),
            " into ",
            name_tag(pour.into_vessel),
        )
        for pour in fill.decants
    ]
    more = [*short_treat_lines(treating, measures), *left_lines(fill, measures)]
    lines += [tag("li", None, words) for words in more]
    return tag("ul", {"class": "plain"}, *lines) if lines else Markup()


def _on_board(fill: Fill, measures: Measures) -> str:
    board = fill.leaving
    potable = f"{on_board_l(board.potable_l, measures)} potable"
    if board.treat_l <= 0.0:
        return potable
    return f"{potable}, {on_board_l(board.treat_l, measures)} to be treated"
