"""What is done at a stop beside filling, what treating takes and what the load weighs, in words."""

from __future__ import annotations

import dataclasses

from longdry.model.fill import CarrierLoad, Fill, FillPlan
from longdry.model.treat_method import DOING
from longdry.model.treating import Treating, TreatingInAll
from longdry.model.treatment import TreatEffort
from longdry.model.words import Grade
from longdry.showing.measures import Measures
from longdry.showing.treat_words import effort_words
from longdry.showing.wording import on_board_l, poured_l

_TOLD_LEFT_L = 0.05
_FOULED = (
    "Potable water counts as treat before drinking in a container that takes, or has taken, other "
    "water, until that container is cleaned."
)


def does_something(fill: Fill, treating: Treating | None) -> bool:
    """Whether a stop asks for more than passing by."""
    on_way = treating is not None and treating.on_way.litres > 0.0
    acts = fill.decants or fill.cleaned or fill.treated_l > 0.0
    return bool(fill.take_l > 0.0 or acts or on_way or fill.left_l > _TOLD_LEFT_L)


def treat_words(treating: Treating | None, measures: Measures) -> str:
    """Tell what to treat at a stop and on the way after it, with what that takes; else empty.

    How long to boil is not in it: it stands once, beside the sum of all that is treated.
    """
    if treating is None:
        return ""
    told = ((treating.here, "here"), (treating.on_way, "on the way"))
    parts = [
        f"{poured_l(effort.litres, measures)} {where}{_in_brackets(_without_boiling(effort))}"
        for effort, where in told
        if effort.litres > 0.0
    ]
    return f"treat {', '.join(parts)}" if parts else ""


def _without_boiling(effort: TreatEffort) -> str:
    return effort_words(dataclasses.replace(effort, boil_minutes=None))


def boil_words(treating: TreatingInAll) -> str:
    """Tell how long the water must boil; empty for any other method.

    >>> from longdry.model.treatment import TreatEffort, TreatLimits, TreatMethod
    >>> boiled = TreatEffort(2.0, None, boil_minutes=3.0)
    >>> limits = TreatLimits(("salts",), "EPA (2017)")
    >>> boil_words(TreatingInAll(TreatMethod.BOIL, None, (), boiled, limits))
    'rolling boil of 3 min'
    """
    boil = treating.in_all.boil_minutes
    return "" if boil is None else effort_words(TreatEffort(0.0, None, boil_minutes=boil))


def left_lines(fill: Fill, measures: Measures) -> list[str]:
    """Tell the water that may stay at a stop; nobody has to leave it."""
    if fill.left_l <= _TOLD_LEFT_L:
        return []
    left = on_board_l(fill.left_l, measures)
    words = f"{left} more than the way on asks for may stay here"
    return [f"{words}: keep them if in doubt about the next water"]


def treating_words(treating: TreatingInAll | None, measures: Measures) -> str:
    """Tell what treating takes in all and what it leaves in the water; empty where none is."""
    if treating is None or treating.in_all.litres <= 0.0:
        return ""
    doing = DOING[treating.method]
    takes = effort_words(treating.in_all) or "what that takes is not known"
    litres = measures.need(treating.in_all.litres)
    remains = "; ".join(treating.limits.not_removed)
    return (
        f"{doing[0].upper()}{doing[1:]} {litres} in all: {takes}. "
        f"It leaves in the water: {remains}."
    )


def load_words(load: CarrierLoad, measures: Measures) -> str:
    """Tell a load against its payload.

    >>> from longdry.showing.measures import METRIC
    >>> load_words(CarrierLoad("Truck", 90.0, 12.0, 80.0, 92.0, 0, 2.0), METRIC)
    '92.0 kg of at most 90 kg, 2.0 kg TOO HEAVY'
    """
    over = f", {measures.weight(load.over_kg)} TOO HEAVY" if load.over_kg > 0.0 else ""
    left = measures.sentence(f"{load.payload_left_kg:g} kg")
    return f"{measures.weight(load.load_kg)} of at most {left}{over}"


def fouled_words(fills: FillPlan) -> str:
    """Tell why water of a potable source is to be treated; empty where none is."""
    fouled = any(
        fill.grade is Grade.POTABLE and pour.grade is not Grade.POTABLE
        for fill in fills.fills
        for pour in fill.into
    )
    return _FOULED if fouled else ""


def cost_words(cost: float) -> str:
    """Tell what water costs.

    >>> cost_words(2.5)
    '2.50 in the money of the layer'
    """
    return f"{cost:,.2f} in the money of the layer"


def cost_of(fills: FillPlan) -> float:
    """Add up what the water of all stops costs."""
    return sum(fill.cost for fill in fills.fills)


def _in_brackets(words: str) -> str:
    return f" ({words})" if words else ""
