"""The plan as JSON, figures unrounded."""

from __future__ import annotations

import datetime as dt
from typing import Any

from longdry.model.plan.days import TravelDay
from longdry.model.plan.fills import Draw
from longdry.model.plan.plan import Plan
from longdry.model.plan.stretch import DryStretch, StretchEnd
from longdry.model.water.passes import WaterPass
from longdry.showing.exports.fills_json import fills_document
from longdry.showing.exports.json_by_line import json_by_line
from longdry.showing.exports.mend_json import mend_values
from longdry.showing.exports.setbacks_json import setbacks_document, survival_document
from longdry.showing.words.passes import last_visit

FORMAT = "longdry-plan"
VERSION = 1
_NO_SETBACKS: dict[str, Any] = {
    "what_ifs": [],
    "worst_single_failure": None,
    "turn_back": [],
    "sit_out": None,
    "published_survival": None,
    "chance": None,
    "dry_proof": None,
}


def plan_json(plan: Plan) -> str:
    """Return the plan as JSON text, keys in a fixed order, one line feed at the end."""
    return json_by_line(plan_document(plan)) + "\n"


def plan_document(plan: Plan) -> dict[str, Any]:
    """Return the plan as plain values; lengths in km, amounts in litres, times in days."""
    return {
        "format": FORMAT,
        "version": VERSION,
        "trip": plan.trip.name,
        "route": _route(plan),
        "passes": _passes(plan),
        "stretches": [_stretch(stretch) for stretch in plan.stretches],
        "longest": {
            "by_km": plan.longest.by_km,
            "by_days": plan.longest.by_days,
            "worst": plan.longest.worst,
        },
        **fills_document(plan),
        "mends": [mend_values(mend) for mend in plan.mends],
        "mends_not_searched": list(plan.mends_not_searched),
        **(setbacks_document(plan.setbacks) if plan.setbacks else _NO_SETBACKS),
        "survive_dry": survival_document(plan.survival) if plan.survival else None,
        "days": [_day(day) for day in plan.days],
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


def _passes(plan: Plan) -> list[dict[str, Any]]:
    draws = iter(plan.draws)
    return [
        {**_pass(water), **_draw(next(draws, None) if water.counted else None)}
        for water in plan.passes
    ]


def _draw(draw: Draw | None) -> dict[str, Any]:
    return {
        "wanted_l": draw.litres if draw else None,
        "minutes": draw.minutes if draw else None,
        "charge_ah": draw.charge_ah if draw else None,
    }


def _last_visit(water: WaterPass) -> dict[str, Any] | None:
    last = last_visit(water)
    if last is None:
        return None
    return {"on": last.on.isoformat(), "found": last.found.value, "note": last.note}


def _pass(water: WaterPass) -> dict[str, Any]:
    return {
        "source": water.source.id,
        "name": water.source.name,
        "grade": water.source.trusted_grade.value,
        "km": water.km,
        "offset_km": water.offset_km,
        "way_km": water.way_km,
        "counted": water.counted,
        "why_not": water.why_not or None,
        "certainty": water.judgement.certainty.value,
        "chance": water.judgement.chance,
        "chance_lower_bound": water.judgement.lower_bound,
        "certainty_why": water.judgement.why,
        "on": water.on.isoformat() if water.on else None,
        "last_visit": _last_visit(water),
        "kind": water.source.kind,
        "access": water.source.access,
        "flow_l_per_min": water.source.flow_l_per_min,
        "limit_l": water.source.limit_l,
        "open_from_hour": water.source.open_from_hour,
        "open_to_hour": water.source.open_to_hour,
        "cost_per_l": water.source.cost_per_l,
        "lat_deg": water.lat_deg,
        "lon_deg": water.lon_deg,
    }


def _stretch(stretch: DryStretch) -> dict[str, Any]:
    return {
        "number": stretch.number,
        "from": _end(stretch.begin),
        "to": _end(stretch.end),
        "length_km": stretch.length_km,
        "days": stretch.days,
        "nights": stretch.nights,
        "need_l": _litres_by_use(stretch),
        "losses_l": stretch.need.losses_l,
        "need_by_grade_l": {"potable": stretch.need.potable_l, "any": stretch.need.any_l},
        "need_total_l": stretch.need.total_l,
        "need_on_ration_l": {r.ration.value: r.need.total_l for r in stretch.needs},
        "reserve_l": stretch.reserve_l,
        "capacity_l": stretch.capacity_l,
        "available_l": stretch.available_l,
        "short_l": stretch.short_l,
        "on_board_l": stretch.on_board_l,
        "missing_l": stretch.missing_l,
        "held_back": stretch.held_back,
        "verdict": stretch.verdict.value,
        "ration_that_does": stretch.ration_that_does.value if stretch.ration_that_does else None,
    }


def _litres_by_use(stretch: DryStretch) -> dict[str, float]:
    litres: dict[str, float] = {}
    for use in stretch.need.by_use:
        litres[use.use] = litres.get(use.use, 0.0) + use.litres
    return litres


def _end(end: StretchEnd) -> dict[str, Any]:
    return {"source": end.water.source.id if end.water else None, "km": end.km}


def _day(day: TravelDay) -> dict[str, Any]:
    return {
        "number": day.number,
        "date": day.date.isoformat() if day.date else None,
        "from_km": day.from_km,
        "to_km": day.to_km,
        "moving_h": day.moving_h,
        "camp": day.camp,
        "rest": day.rest,
        "camp_name": day.camp_name or None,
        "sources": list(day.sources),
        "drinking_l": day.drinking_l,
        "heat_asks_l": day.heat_asks_l,
        "measured_l": day.measured_l,
        "shade_max_c": day.shade_max_c,
        "used_l": day.used_l,
        "on_board_l": day.on_board_l,
        "arrives": _moment(day.arrives),
        "sunrise": _moment(day.sunrise),
        "sunset": _moment(day.sunset),
        "arrives_after_dark": day.arrives_after_dark,
    }


def _moment(moment: dt.datetime | None) -> str | None:
    return moment.isoformat(timespec="minutes") if moment else None
