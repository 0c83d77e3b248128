"""The plan as JSON, figures unrounded."""

from __future__ import annotations

from typing import Any

from longdry.model.plan.plan import Plan
from longdry.showing.exports.fills_json import fills_document
from longdry.showing.exports.json_by_line import json_by_line
from longdry.showing.exports.mend_json import mend_values
from longdry.showing.exports.setbacks_json import setbacks_document
from longdry.showing.figures.figure import document_values
from longdry.showing.figures.passes import pass_values, passes_in
from longdry.showing.figures.plan_figures import FIGURES, PlanFigures
from longdry.showing.figures.stops import stops_in
from longdry.showing.figures.stretches import stretches_in

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
            "because": list(plan.headline.because),
        },
        "most_to_carry": _most_to_carry(plan),
        "longest_without_water": _longest_without_water(plan),
        "passes": [
            pass_values(figures.passes, figures.sources, passed) for passed in passes_in(plan)
        ],
        "stops": [document_values(figures.stops, stop) for stop in stops_in(plan)],
        "stretches": [document_values(figures.stretches, one) for one in stretches_in(plan)],
        "longest": {
            "by_km": plan.longest.by_km,
            "by_days": plan.longest.by_days,
            "worst": plan.longest.worst,
        },
        **fills_document(plan, figures.fills),
        "mends": [mend_values(mend) for mend in plan.mends],
        "mends_not_searched": list(plan.mends_not_searched),
        **(setbacks_document(plan.setbacks) if plan.setbacks else _NO_SETBACKS),
        "days": [document_values(figures.days, day) for day in plan.days],
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
