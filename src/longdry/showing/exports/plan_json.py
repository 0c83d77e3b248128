"""The plan as JSON, figures unrounded."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from longdry.model.plan.fills import CarrierLoad, FillPlan
from longdry.model.plan.mends import Mend, MendFigures
from longdry.model.plan.plan import Plan
from longdry.model.plan.treating import TreatmentPlan
from longdry.showing.exports.json_by_line import json_by_line
from longdry.showing.exports.setbacks_json import setbacks_document
from longdry.showing.figures.figure import Figure, document_rows
from longdry.showing.figures.fills import FillInPlan, effort_values, fills_in
from longdry.showing.figures.passes import pass_rows
from longdry.showing.figures.plan_figures import FIGURES, PlanFigures
from longdry.showing.figures.stops import stops_in
from longdry.showing.figures.stretches import stretches_in
from longdry.showing.words.headline import headline_words

FORMAT = "longdry-plan"
VERSION = 2
_NO_SETBACKS: dict[str, Any] = {
    "what_ifs": [],
    "worst_single_failure": None,
    "turn_back": [],
    "sit_out": None,
    "published_survival": None,
    "chance": None,
    "dry_proof": None,
    "in_need": [],
}


def plan_json(plan: Plan, figures: PlanFigures = FIGURES) -> str:
    """Return the plan as JSON text, keys in a fixed order, one line feed at the end."""
    return json_by_line(plan_document(plan, figures)) + "\n"


def plan_document(plan: Plan, figures: PlanFigures = FIGURES) -> dict[str, Any]:
    """Return the plan as plain values; lengths in km, amounts in litres, times in days."""
    return {
        "format": FORMAT,
        "version": VERSION,
        "trip": plan.trip.name,
        "route": _route(plan),
        "headline": {
            "level": plan.headline.level.value,
            "words": headline_words(plan),
            "because": list(plan.headline.because),
        },
        "most_to_carry": _most_to_carry(plan),
        "longest_without_water": _longest_without_water(plan),
        "passes": pass_rows(figures.passes, figures.sources, plan),
        "stops": document_rows(figures.stops, stops_in(plan)),
        "stretches": document_rows(figures.stretches, stretches_in(plan)),
        "longest": {
            "by_km": plan.longest.by_km,
            "by_days": plan.longest.by_days,
            "worst": plan.longest.worst,
        },
        **fills_document(plan, figures.fills),
        "mends": [mend_values(mend) for mend in plan.mends],
        "mends_not_searched": list(plan.mends_not_searched),
        **(setbacks_document(plan.setbacks) if plan.setbacks else _NO_SETBACKS),
        "days": document_rows(figures.days, plan.days),
        "warnings": [warning.text for warning in plan.warnings],
        "assumptions": [
            {"what": a.what, "value": a.value, "why": a.why, "key": a.key} for a in plan.assumptions
        ],
    }


def _route(plan: Plan) -> dict[str, Any]:
    measured = plan.measured
    return {
        "name": measured.route.name,
        "length_km": measured.length_km,
        "points": measured.route.points,
        "shape_points": measured.route.shape_points,
        "straight_km": measured.straight_km,
        "bridges": [{"km": b.km, "length_km": b.length_km} for b in measured.bridges],
    }


def _longest_without_water(plan: Plan) -> dict[str, float]:
    longest = plan.longest_without_water
    return {
        "from_km": longest.from_km,
        "to_km": longest.to_km,
        "length_km": longest.length_km,
        "days": longest.days,
    }


def _most_to_carry(plan: Plan) -> dict[str, float | str | None]:
    most = plan.most_to_carry
    source = most.water.source.id if most.water else None
    return {"litres": most.litres, "km": most.km, "source": source}


def mend_values(mend: Mend) -> dict[str, Any]:
    """Return a mend; figures that have no meaning for its kind are null."""
    return {
        "stretch": mend.stretch,
        "what": mend.what.value,
        "change": mend.change,
        "verdict_before": mend.verdict_before.value,
        "verdict_after": mend.verdict_after.value,
        "missing_before_l": mend.missing_before_l,
        "missing_after_l": mend.missing_after_l,
        "settles": list(mend.settles),
        "lowers": mend.lowers,
        "headline_after": mend.headline_after.value if mend.headline_after else None,
        "trip_after": mend.trip_after.value,
        "caution": mend.caution,
        "figures": _figures(mend.figures),
    }


def _figures(figures: MendFigures) -> dict[str, Any]:
    return {
        "litres": figures.litres,
        "count": figures.count,
        "kg": figures.kg,
        "at_km": figures.at_km,
        "extra_km": figures.extra_km,
        "extra_days": figures.extra_days,
        "extra_l": figures.extra_l,
        "km_per_day": figures.km_per_day,
        "saved_l": {saving.use: saving.litres for saving in figures.saved},
    }


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
        "fills": document_rows(figures, fills_in(plan)),
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
