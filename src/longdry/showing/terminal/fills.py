"""What to fill where, as lines for the terminal."""

from __future__ import annotations

from collections.abc import Mapping

from longdry.model.plan.fills import CarrierLoad, FillPlan
from longdry.model.plan.plan import Plan
from longdry.model.plan.stretch import DryStretch
from longdry.model.words import FillHabit
from longdry.showing.words.amounts import count_words, on_board_words
from longdry.showing.words.fills import (
    fouled_words,
    load_words,
    total_cost,
    treating_words,
    water_cost_words,
)
from longdry.showing.words.measures import Measures
from longdry.showing.words.stops import (
    StopFill,
    StopKind,
    StopLine,
    beside_words,
    leave_words,
    shown_fills,
    sizes_l,
    stop_lines,
)
from longdry.showing.words.stretches import alarm_words
from longdry.units import rounded_up

FILLS_HEADING = "What to fill"
_HABITS = {
    FillHabit.LEAST: "least (only what you need to the next water)",
    FillHabit.SAFE: "safe (the least with which any one uncertain source may be dry)",
    FillHabit.TOP_UP: "top-up (everything, wherever there is water)",
}


def fill_lines(plan: Plan, measures: Measures) -> list[str]:
    """Tell every stop at which something is done, both habits, loads and treating."""
    fills = plan.fills
    if fills is None:
        return []
    vessels = sizes_l(plan)
    stops = [
        _fill_line(one, vessels, measures)
        + (_leaving(one, stretch, vessels, measures) if one is here[-1] else "")
        + (_beside(plan, stretch, measures) if one is here[-1] else "")
        for stretch, here in shown_fills(plan)
        for one in here
    ]
    habits = [one for one in (fills, plan.fills_of_other_habit) if one]
    return [
        *stops,
        *filter(None, [fouled_words(fills.fills), treating_words(plan.treating, measures)]),
        *(_load_line(load, fills, measures) for load in plan.loads),
        *(_habit_line(one, measures, chosen=one is fills) for one in habits),
        *_cost_line(fills),
    ]


def _fill_line(one: StopFill, vessels: Mapping[str, float], measures: Measures) -> str:
    """Tell where, and below it what is done there, each on a line of its own."""
    fill = one.fill
    where = fill.water.source.name if fill.water else "start"
    notes = stop_lines(fill, one.treating, vessels, measures)
    into = "; ".join(line.words(_plain) for line in notes if line.kind is StopKind.INTO)
    lines = [f"{measures.mark(fill.km)}, {_plain(where)}:"]
    for line in notes:
        if line.kind is not StopKind.INTO:
            lines.append(line.words(_plain))
        if line.kind is StopKind.TAKE and into:
            lines.append(f"into {into}")
    return "\n".join(lines)


def _leaving(
    one: StopFill, stretch: DryStretch, vessels: Mapping[str, float], measures: Measures
) -> str:
    """Tell the litres to leave the stop with, and beside them where they are not enough."""
    leave = ", ".join(filter(None, leave_words(one.fill, vessels, measures)))
    alarm = alarm_words(stretch, measures)
    return f"\nleave with {leave}{f'. {alarm}' if alarm else ''}"


def _beside(plan: Plan, stretch: DryStretch, measures: Measures) -> str:
    """Tell the water there that is not for drinking, each on a line of its own."""
    told = beside_words(stretch.begin, plan.trip.uses, measures)
    return "".join(f"\n{StopLine(StopKind.MORE, words).words(_plain)}" for words in told)


def _plain(name: str) -> str:
    return " ".join(name.split())


def _load_line(load: CarrierLoad, fills: FillPlan, measures: Measures) -> str:
    at = measures.mark(fills.fills[load.stop].km)
    return f"Heaviest load of {load.carrier}, at {at}: {load_words(load, measures)}."


def _habit_line(fills: FillPlan, measures: Measures, *, chosen: bool) -> str:
    margin_l = fills.smallest_margin_l
    least = (
        f"{measures.need(-margin_l)} missing"
        if margin_l < 0.0
        else on_board_words(margin_l, measures)
    )
    carried = rounded_up(fills.litre_km / measures.l_per_volume / measures.km_per_length)
    unit = "US gal times miles" if measures.is_us else "litres times km"
    return (
        f"Filling {_HABITS[fills.habit]}{', this plan' if chosen else ''}: {carried:,.0f} {unit}"
        f" carried, smallest margin {least},"
        f" {count_words(fills.objective.fills, 'stop')} with water taken."
    )


def _cost_line(fills: FillPlan) -> list[str]:
    cost = total_cost(fills)
    return [f"The water costs {water_cost_words(cost)}."] if cost > 0.0 else []
