"""The fills, what they weigh and what treating them takes, as plain values."""

from __future__ import annotations

from typing import Any

from longdry.model.plan.fills import CarrierLoad, Fill, FillPlan, OnBoard, VesselLevel
from longdry.model.plan.plan import Plan
from longdry.model.plan.treating import StopTreatment, TreatmentPlan
from longdry.model.trip.treatment import TreatEffort


def fills_document(plan: Plan) -> dict[str, Any]:
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
    by_stop = plan.treating.by_stop if plan.treating else (None,) * len(fills.fills)
    return {
        "fills": [_fill(*pair) for pair in zip(fills.fills, by_stop, strict=True)],
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
        **_effort(treating.in_all),
        "not_removed": list(treating.limits.not_removed),
        "not_removed_source": treating.limits.source,
    }


def _effort(effort: TreatEffort) -> dict[str, Any]:
    return {
        "litres": effort.litres,
        "minutes": effort.minutes,
        "fuel_g": effort.fuel_g,
        "tablets": effort.tablets,
        "drops": effort.drops,
        "boil_minutes": effort.boil_minutes,
    }


def _fill(fill: Fill, treating: StopTreatment | None) -> dict[str, Any]:
    return {
        "km": fill.km,
        "source": fill.source,
        "grade": fill.grade.value if fill.grade else None,
        "take_l": fill.take_l,
        "into": [
            {"container": pour.vessel, "litres": pour.litres, "as": pour.grade.value}
            for pour in fill.into
        ],
        "on_board_l": {"arriving": fill.arriving.total_l, "leaving": fill.leaving.total_l},
        "on_board_by_grade_l": {
            "arriving": _by_grade(fill.arriving),
            "leaving": _by_grade(fill.leaving),
        },
        "levels": {
            "arriving": [_level(level) for level in fill.levels_arriving],
            "leaving": [_level(level) for level in fill.levels_leaving],
        },
        "treated_l": fill.treated_l,
        "treat_here": _effort(treating.here) if treating else None,
        "treat_on_way": _effort(treating.on_way) if treating else None,
        "left_l": fill.left_l,
        "cleaned": list(fill.cleaned),
        "decants": [
            {
                "from": d.from_vessel,
                "into": d.into_vessel,
                "litres": d.litres,
                "as": d.grade.value,
            }
            for d in fill.decants
        ],
        "minutes": fill.minutes,
        "cost": fill.cost,
    }


def _by_grade(on_board: OnBoard) -> dict[str, float]:
    return {"potable": on_board.potable_l, "treat-before-drinking": on_board.treat_l}


def _level(level: VesselLevel) -> dict[str, Any]:
    return {"container": level.vessel, "litres": level.litres, "grade": level.grade.value}
