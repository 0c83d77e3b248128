"""What to fill where, as lines for the terminal."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from longdry.model.fill import CarrierLoad, Decant, Fill, FillPlan, Pour
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
    treat_lines,
    treating_words,
)
from longdry.showing.measures import Measures
from longdry.showing.wording import GRADE_WORDS, minutes_words, on_board_l, poured_l
from longdry.units import rounded_up

HEADING = "What to fill"
_HABITS = {
    FillHabit.LEAST: "least (only what the way on asks for)",
    FillHabit.TOP_UP: "top-up (everything, wherever there is water)",
}


def fill_lines(plan: Plan, measures: Measures) -> list[str]:
    """Tell every stop at which something is done, both habits, loads and treating."""
    fills = plan.fills
    if fills is None:
        return []
    names = {source.id: source.name for source in plan.sources}
    treated = plan.treating.by_stop if plan.treating else (None,) * len(fills.fills)
    vessels = sizes_l(plan)
    stops = [
        _stop_line(fill, names, vessels, treating, measures)
        for number, (fill, treating) in enumerate(zip(fills.fills, treated, strict=True))
        if number == 0 or does_something(fill, treating)
    ]
    habits = [one for one in (fills, plan.fills_of_other_habit) if one]
    return [
        *stops,
        *filter(None, [treating_words(plan.treating, measures)]),
        *(_load_line(load, fills, measures) for load in plan.loads),
        *(_habit_line(one, measures, chosen=one is fills) for one in habits),
        *_cost_line(fills),
    ]


def _stop_line(
    fill: Fill,
    names: Mapping[str, str],
    vessels: Collection[str],
    treating: Treating | None,
    measures: Measures,
) -> str:
    where = names.get(fill.source, fill.source) if fill.source else "start"
    first = [f"clean {vessel}" for vessel in fill.cleaned]
    first += [_decant_words(decant, measures) for decant in fill.decants]
    parts = [
        *first,
        *_take_words(fill, vessels, measures),
        *treat_lines(treating, measures),
        *left_lines(fill, measures),
        f"leave with {_on_board(fill, measures)}",
    ]
    return f"{measures.mark(fill.km)}, {where}: {'; '.join(parts)}."


def _take_words(fill: Fill, vessels: Collection[str], measures: Measures) -> list[str]:
    if fill.take_l <= 0.0:
        return ["take nothing"]
    time = f" ({minutes_words(fill.minutes)})" if fill.minutes is not None else ""
    into = ", ".join(_into(fill.into, vessels, measures))
    return [f"take {poured_l(fill.take_l, measures)}{time}{' into ' if into else ''}{into}"]


def _into(pours: Sequence[Pour], vessels: Collection[str], measures: Measures) -> list[str]:
    alike: dict[tuple[str, str, Grade], list[str]] = {}
    for pour in pours:
        base, number = numbered(pour.vessel, vessels)
        key = (base, poured_l(pour.litres, measures), pour.grade)
        alike.setdefault(key, []).append(number)
    told = []
    for (base, litres, grade), numbers in alike.items():
        which = ranges(int(number) for number in numbers if number)
        each = " each" if len(numbers) > 1 else ""
        water = "" if grade is Grade.POTABLE else f" ({GRADE_WORDS[grade]})"
        told.append(f"{base}{' ' if which else ''}{which} {litres}{each}{water}")
    return told


def _decant_words(decant: Decant, measures: Measures) -> str:
    litres = poured_l(decant.litres, measures)
    if decant.from_vessel == decant.into_vessel:
        return f"what is in {decant.into_vessel} ({litres}) counts as {GRADE_WORDS[decant.grade]}"
    return f"pour {litres} from {decant.from_vessel} into {decant.into_vessel}"


def _on_board(fill: Fill, measures: Measures) -> str:
    board = fill.leaving
    potable = f"{on_board_l(board.potable_l, measures)} potable"
    if board.treat_l <= 0.0:
        return potable
    return f"{potable} and {on_board_l(board.treat_l, measures)} to be treated"


def _load_line(load: CarrierLoad, fills: FillPlan, measures: Measures) -> str:
    at = measures.mark(fills.fills[load.stop].km)
    return f"Heaviest load of {load.carrier}, at {at}: {load_words(load, measures)}."


def _habit_line(fills: FillPlan, measures: Measures, *, chosen: bool) -> str:
    margin_l = fills.smallest_margin_l
    least = (
        f"{measures.need(-margin_l)} missing" if margin_l < 0.0 else on_board_l(margin_l, measures)
    )
    carried = rounded_up(fills.litre_km / measures.l_per_volume / measures.km_per_length)
    unit = "US gal-miles" if measures.is_us else "litre-km"
    return (
        f"Habit {_HABITS[fills.habit]}{', this plan' if chosen else ''}: {carried:,.0f} {unit}"
        f" carried, smallest margin {least}, {fills.objective.fills} stops with water taken."
    )


def _cost_line(fills: FillPlan) -> list[str]:
    cost = cost_of(fills)
    return [f"The water costs {cost_words(cost)}."] if cost > 0.0 else []
