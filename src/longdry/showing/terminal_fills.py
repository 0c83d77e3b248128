"""What to fill where, as lines for the terminal."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from longdry.model.fill import CarrierLoad, Decant, Fill, FillPlan, Pour
from longdry.model.plan import Plan
from longdry.model.treating import Treating, TreatingInAll
from longdry.model.treatment import DOING
from longdry.model.words import FillHabit, Grade
from longdry.showing.containers_in_words import numbered, ranges, sizes_l
from longdry.showing.measures import Measures
from longdry.showing.treat_words import effort_words
from longdry.showing.wording import GRADE_WORDS, minutes_words, on_board_l, poured_l
from longdry.units import rounded_up

HEADING = "What to fill"
_TOLD_LEFT_L = 0.05
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
        if number == 0 or _does_something(fill, treating)
    ]
    habits = [one for one in (fills, plan.fills_of_other_habit) if one]
    return [
        *stops,
        *_treating_line(plan.treating, measures),
        *(_load_line(load, fills, measures) for load in plan.loads),
        *(_habit_line(one, measures, chosen=one is fills) for one in habits),
        *_cost_line(fills),
    ]


def _does_something(fill: Fill, treating: Treating | None) -> bool:
    on_way = treating is not None and treating.on_way.litres > 0.0
    left = fill.left_l > _TOLD_LEFT_L
    return bool(
        fill.take_l > 0.0 or fill.decants or fill.cleaned or fill.treated_l or on_way or left
    )


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
        *_treat_words(treating, measures),
        *_left_words(fill, measures),
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


def _treat_words(treating: Treating | None, measures: Measures) -> list[str]:
    if treating is None:
        return []
    told = ((treating.here, "treat"), (treating.on_way, "on the way treat"))
    return [
        f"{words} {poured_l(effort.litres, measures)}{_in_brackets(effort_words(effort))}"
        for effort, words in told
        if effort.litres > 0.0
    ]


def _in_brackets(words: str) -> str:
    return f" ({words})" if words else ""


def _left_words(fill: Fill, measures: Measures) -> list[str]:
    if fill.left_l <= _TOLD_LEFT_L:
        return []
    left = on_board_l(fill.left_l, measures)
    words = f"{left} more than the way on asks for may stay here"
    return [f"{words}: keep them if in doubt about the next water"]


def _on_board(fill: Fill, measures: Measures) -> str:
    board = fill.leaving
    potable = f"{on_board_l(board.potable_l, measures)} potable"
    if board.treat_l <= 0.0:
        return potable
    return f"{potable} and {on_board_l(board.treat_l, measures)} to be treated"


def _treating_line(treating: TreatingInAll | None, measures: Measures) -> list[str]:
    if treating is None or treating.in_all.litres <= 0.0:
        return []
    doing = DOING[treating.method]
    takes = effort_words(treating.in_all) or "what that takes is not known"
    litres = measures.need(treating.in_all.litres)
    leaves = "; ".join(treating.limits.not_removed)
    return [
        f"{doing[0].upper()}{doing[1:]} {litres} in all: {takes}. It leaves in the water: {leaves}."
    ]


def _load_line(load: CarrierLoad, fills: FillPlan, measures: Measures) -> str:
    over = f", {measures.weight(load.over_kg)} TOO HEAVY" if load.over_kg > 0.0 else ""
    return (
        f"Heaviest load of {load.carrier}: {measures.weight(load.load_kg)} at"
        f" {measures.mark(fills.fills[load.stop].km)}, of"
        f" {measures.sentence(f'{load.payload_left_kg:g} kg')} of payload left{over}."
    )


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
    cost = sum(fill.cost for fill in fills.fills)
    return [f"The water costs {cost:,.2f} in the money of the layer."] if cost > 0.0 else []
