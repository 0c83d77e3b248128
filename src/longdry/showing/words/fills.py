"""What is done at a stop beside filling, what treating takes and what the load weighs, in words."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable

from longdry.model.plan.fills import CarrierLoad, Fill, FillPlan
from longdry.model.plan.treating import StopTreatment, TreatmentPlan
from longdry.model.trip.treatment import METHOD_WORDS, TreatEffort
from longdry.model.words import Grade
from longdry.showing.words.amounts import count_words, hours_words, on_board_words, poured_words
from longdry.showing.words.measures import Measures
from longdry.units import UNSEEN_L, rounded_up

_FOULED = (
    "Potable water counts as treat before drinking in a container that takes, or has taken, other "
    "water, until that container is cleaned."
)


def does_something(fill: Fill, treating: StopTreatment | None) -> bool:
    """Whether a stop asks for more than passing by."""
    on_way = treating is not None and treating.on_way.litres > 0.0
    acts = fill.decants or fill.cleaned or fill.treated_l > 0.0
    return bool(fill.take_l > 0.0 or acts or on_way or fill.left_l > UNSEEN_L)


def treat_words(treating: StopTreatment | None, measures: Measures) -> str:
    """Tell what to treat at a stop and on the way after it, with what that takes; else empty.

    How long to boil is not in it: it stands once, beside the sum of all that is treated.
    """
    if treating is None:
        return ""
    notes = ((treating.here, "here"), (treating.on_way, "on the way"))
    parts = [
        f"{poured_words(effort.litres, measures)} {where}{_in_brackets(_without_boiling(effort))}"
        for effort, where in notes
        if effort.litres > 0.0
    ]
    return f"treat {', '.join(parts)}" if parts else ""


def _without_boiling(effort: TreatEffort) -> str:
    return effort_words(dataclasses.replace(effort, boil_minutes=None))


def boil_words(treating: TreatmentPlan) -> str:
    """Tell how long the water must boil; empty for any other method.

    >>> from longdry.model.trip.treatment import TreatEffort, TreatLimits, TreatMethod
    >>> boiled = TreatEffort(2.0, None, boil_minutes=3.0)
    >>> limits = TreatLimits(("salts",), "EPA (2017)")
    >>> boil_words(TreatmentPlan(TreatMethod.BOIL, None, (), boiled, limits))
    'rolling boil of 3 min'
    """
    boil = treating.in_all.boil_minutes
    return "" if boil is None else effort_words(TreatEffort(0.0, None, boil_minutes=boil))


def left_lines(left_l: float, measures: Measures) -> list[str]:
    """Tell the water that may stay at a stop; nobody has to leave it."""
    if left_l <= UNSEEN_L:
        return []
    left = on_board_words(left_l, measures)
    words = f"{left} more than you need from here on may stay here"
    return [f"{words}: keep them if in doubt about the next water"]


def treating_words(treating: TreatmentPlan | None, measures: Measures) -> str:
    """Tell what treating takes in all and what it leaves in the water; empty where none is."""
    if treating is None or treating.in_all.litres <= 0.0:
        return ""
    doing = METHOD_WORDS[treating.method]
    takes = effort_words(treating.in_all) or "what that takes is not known"
    litres = measures.need(treating.in_all.litres)
    remains = "; ".join(treating.limits.not_removed)
    return (
        f"{doing[0].upper()}{doing[1:]} {litres} in all: {takes}. "
        f"It leaves in the water: {remains}."
    )


def load_words(load: CarrierLoad, measures: Measures) -> str:
    """Tell a load against its payload.

    >>> from longdry.showing.words.measures import METRIC
    >>> load_words(CarrierLoad("Truck", 90.0, 12.0, 92.0, 0, 2.0), METRIC)
    '92.0 kg of at most 90 kg, 2.0 kg TOO HEAVY'
    """
    over = f", {measures.weight(load.over_kg)} TOO HEAVY" if load.over_kg > 0.0 else ""
    left = measures.sentence(f"{load.payload_left_kg:g} kg")
    return f"{measures.weight(load.load_kg)} of at most {left}{over}"


def is_fouled(fill: Fill) -> bool:
    """Whether potable water comes into a container that it is to be treated in."""
    return fill.grade is Grade.POTABLE and any(p.grade is not Grade.POTABLE for p in fill.into)


def fouled_words(fills: Iterable[Fill]) -> str:
    """Tell why water of a potable source is to be treated; empty where none is."""
    return _FOULED if any(map(is_fouled, fills)) else ""


def water_cost_words(cost: float) -> str:
    """Tell what water costs.

    >>> water_cost_words(2.5)
    '2.50 in the money of the layer'
    """
    return f"{cost:,.2f} in the money of the layer"


def total_cost(fills: FillPlan) -> float:
    """Add up what the water of all stops costs."""
    return sum(fill.cost for fill in fills.fills)


def _in_brackets(words: str) -> str:
    return f" ({words})" if words else ""


_MOST_IN_MINUTES = 120.0


def effort_words(effort: TreatEffort) -> str:
    """Return what treating takes, each figure rounded up; empty where nothing is known of it.

    >>> effort_words(TreatEffort(5.0, 12.2, tablets=5))
    '13 min, 5 tablets'
    >>> effort_words(TreatEffort(65.0, 484.2))
    '8 h 5 min'
    >>> effort_words(TreatEffort(5.0, None))
    ''
    """
    boil = effort.boil_minutes
    parts = (
        _time(effort.minutes),
        _count(effort.fuel_g, "g of fuel"),
        _things(effort.tablets, "tablet"),
        _things(effort.drops, "drop"),
        "" if boil is None else f"rolling boil of {boil:g} min",
    )
    return ", ".join(part for part in parts if part)


def _time(minutes: float | None) -> str:
    if minutes is None or minutes <= _MOST_IN_MINUTES:
        return _count(minutes, "min")
    return hours_words(minutes / 60.0)


def _things(value: float | None, one: str) -> str:
    return "" if value is None else count_words(int(rounded_up(value)), one)


def _count(value: float | None, unit: str) -> str:
    return "" if value is None else f"{rounded_up(value):,.0f} {unit}"
