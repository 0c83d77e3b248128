"""The fills, what they weigh and what treating them takes, as plain values."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from longdry.model.plan.fills import CarrierLoad, FillPlan
from longdry.model.plan.plan import Plan
from longdry.model.plan.treating import TreatmentPlan
from longdry.showing.figures.figure import Figure, document_values
from longdry.showing.figures.fills import FillInPlan, effort_values, fills_in


def fills_document(plan: Plan, figures: Iterable[Figure[FillInPlan]]) -> dict[str, Any]:
    """Return every key of the plan document that is about the fills."""
    fills = plan.fills
    if fills is None:
        return {
            "fills": [],
            "litre_km": None,
            "smallest_margin_l": None,
            "cost": None,
            "fill_plan_is_proved": None,
            "fill_habits": [],
            "loads": [],
            "treatment": None,
        }
    return {
        "fills": [document_values(figures, fill) for fill in fills_in(plan)],
        "litre_km": fills.litre_km,
        "smallest_margin_l": fills.smallest_margin_l,
        "cost": sum(fill.cost for fill in fills.fills),
        "fill_plan_is_proved": fills.is_proved,
        "fill_habits": [_habit(one) for one in (fills, plan.fills_of_other_habit) if one],
        "loads": [_load(load, fills) for load in plan.loads],
        "treatment": _treatment(plan.treating) if plan.treating else None,
    }


def _habit(fills: FillPlan) -> dict[str, Any]:
    return {
        "habit": fills.habit.value,
        "litre_km": fills.litre_km,
        "smallest_margin_l": fills.smallest_margin_l,
        "stops": fills.objective.fills,
        "treated_l": fills.treated_l,
        "cost": sum(fill.cost for fill in fills.fills),
    }


def _load(load: CarrierLoad, fills: FillPlan) -> dict[str, Any]:
    return {
        "carrier": load.carrier,
        "kg_most": load.load_kg,
        "tare_kg": load.tare_kg,
        "km": fills.fills[load.stop].km,
        "payload_left_kg": load.payload_left_kg,
        "over_kg": load.over_kg,
    }


def _treatment(treating: TreatmentPlan) -> dict[str, Any]:
    return {
        "method": treating.method.value if treating.method else None,
        "litres_per_day": treating.litres_per_day,
        **effort_values(treating.in_all),
        "not_removed": list(treating.limits.not_removed),
        "not_removed_source": treating.limits.source,
    }
