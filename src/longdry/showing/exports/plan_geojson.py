"""The plan as GeoJSON for a GIS: stretches as lines, passes, sources and camps as points.

Format: RFC 7946: WGS 84, longitude before latitude, lines cut at the antimeridian (section
3.1.9). Figures are not rounded.
"""

from __future__ import annotations

import json
from collections.abc import Sequence

import numpy as np

from longdry.model.arrays import FloatArray
from longdry.model.plan.plan import Plan
from longdry.model.plan.setbacks import TurnBack
from longdry.model.plan.stretch import DryStretch
from longdry.model.water.passes import WaterPass
from longdry.model.water.source import WaterSource
from longdry.showing.exports.export_words import (
    CAUTION,
    plan_title,
    turn_back_words,
    turn_backs_of,
)
from longdry.showing.exports.route_places import DECIMALS, part_between, place_at
from longdry.showing.words.markup import clipped_name, clipped_text
from longdry.showing.words.wording import end_words

Json = dict[str, object]
_HALF_TURN_DEG = 180.0


def plan_geojson(plan: Plan, turn_backs: Sequence[TurnBack] | None = None) -> str:
    """Return a FeatureCollection; ``feature`` says of each what it is.

    Parameters
    ----------
    plan
        Its stretches (``stretch``), passes (``pass``, on the route), sources (``source``, where
        they are) and camps (``camp``).
    turn_backs
        Points from which the party can still turn round (``turn-back``); None: the plan's own.
    """
    turns = turn_backs_of(plan) if turn_backs is None else turn_backs
    features = [
        *(_stretch(plan, stretch) for stretch in plan.stretches),
        *(_pass(passed) for passed in plan.passes),
        *(_source(source, plan) for source in plan.sources),
        *_camps(plan),
        *(_turn_back(plan, turn) for turn in turns),
    ]
    head = {"type": "FeatureCollection", "title": plan_title(plan), "caution": CAUTION}
    lines = ",\n".join(json.dumps(f, ensure_ascii=True, allow_nan=False) for f in features)
    return f'{json.dumps(head)[:-1]}, "features": [\n{lines}\n]}}\n'


def _feature(kind: str, geometry: Json | None, properties: Json) -> Json:
    return {
        "type": "Feature",
        "geometry": geometry,
        "properties": {"feature": kind, **properties},
    }


def _stretch(plan: Plan, stretch: DryStretch) -> Json:
    lat, lon = part_between(plan.measured, stretch.begin.km, stretch.end.km)
    return _feature(
        "stretch",
        line_geometry(lat, lon),
        {
            "number": stretch.number,
            "name": f"Stretch {stretch.number}: {stretch.verdict}",
            "from": clipped_name(end_words(stretch.begin)),
            "to": clipped_name(end_words(stretch.end)),
            "from_km": stretch.begin.km,
            "to_km": stretch.end.km,
            "length_km": stretch.length_km,
            "days": stretch.days,
            "nights": stretch.nights,
            "need_l": stretch.need.total_l,
            "reserve_l": stretch.reserve_l,
            "available_l": stretch.available_l,
            "on_board_l": stretch.on_board_l,
            "missing_l": stretch.missing_l,
            "verdict": stretch.verdict.value,
        },
    )


def _pass(passed: WaterPass) -> Json:
    return _feature(
        "pass",
        _point(passed.lat_deg, passed.lon_deg),
        {
            "name": clipped_name(passed.source.name),
            "source": _plain(passed.source.id),
            "km": passed.km,
            "offset_km": passed.offset_km,
            "way_km": passed.way_km,
            "counted": passed.counted,
            "why_not": _plain(passed.why_not),
            "certainty": passed.judgement.certainty.value,
            "chance": passed.judgement.chance,
            "certainty_why": _plain(passed.judgement.why),
            "on": passed.on.isoformat() if passed.on else None,
        },
    )


def _source(source: WaterSource, plan: Plan) -> Json:
    counted = any(p.counted for p in plan.passes if p.source.id == source.id)
    return _feature(
        "source",
        _point(source.lat_deg, source.lon_deg),
        {
            "name": clipped_name(source.name),
            "source": _plain(source.id),
            "grade": source.grade.value if source.grade else None,
            "counted": counted,
            "kind": _plain(source.kind),
            "access": _plain(source.access),
            "flow_l_per_min": source.flow_l_per_min,
            "limit_l": source.limit_l,
            "tds_mg_per_l": source.tds_mg_per_l,
            "note": _plain(source.note),
        },
    )


def _camps(plan: Plan) -> list[Json]:
    return [
        _feature(
            "camp",
            _point(*place_at(plan.measured, day.to_km)),
            {"name": f"Camp of day {day.number}", "number": day.number, "km": day.to_km,
             "on": day.date.isoformat() if day.date else None},
        )
        for day in plan.days
        if day.camp
    ]  # fmt: skip


def _turn_back(plan: Plan, turn: TurnBack) -> Json:
    stretch = plan.stretches[turn.stretch - 1]
    name, said = turn_back_words(turn, stretch)
    km = stretch.begin.km if turn.water_km is None else turn.water_km
    return _feature(
        "turn-back",
        _point(*place_at(plan.measured, km)),
        {"name": name, "number": turn.stretch, "km": turn.water_km, "note": said},
    )


def _plain(text: str | None) -> str | None:
    """Text of a file on one line, None where there is none."""
    return clipped_text(text) if text else None


def _point(lat_deg: float, lon_deg: float) -> Json:
    return {"type": "Point", "coordinates": [round(lon_deg, DECIMALS), round(lat_deg, DECIMALS)]}


def line_geometry(lat_deg: FloatArray, lon_deg: FloatArray) -> Json | None:
    """Return a line, cut where it crosses the antimeridian; None where it has no length.

    >>> line_geometry(np.array([0.0, 2.0]), np.array([179.0, -179.0]))["type"]
    'MultiLineString'
    >>> line_geometry(np.array([0.0, 0.0]), np.array([5.0, 5.0])) is None
    True
    """
    parts = [part for part in _cut(lat_deg, lon_deg) if len({tuple(p) for p in part}) > 1]
    if not parts:
        return None
    if len(parts) == 1:
        return {"type": "LineString", "coordinates": parts[0]}
    return {"type": "MultiLineString", "coordinates": parts}


def _cut(lat_deg: FloatArray, lon_deg: FloatArray) -> list[list[list[float]]]:
    parts, begin = [], 0
    ahead: list[list[float]] = []
    for leg in np.flatnonzero(np.abs(np.diff(lon_deg)) > _HALF_TURN_DEG).tolist():
        edge = float(np.copysign(_HALF_TURN_DEG, lon_deg[leg]))
        crossing_lat = _crossing_lat(lat_deg, lon_deg, leg, edge)
        parts.append([*ahead, *_positions(lat_deg, lon_deg, begin, leg + 1), [edge, crossing_lat]])
        ahead, begin = [[-edge, crossing_lat]], leg + 1
    parts.append([*ahead, *_positions(lat_deg, lon_deg, begin, lat_deg.size)])
    return parts


def _crossing_lat(lat_deg: FloatArray, lon_deg: FloatArray, leg: int, edge: float) -> float:
    """Latitude at which the straight line of the leg meets the antimeridian."""
    beyond = float(lon_deg[leg + 1]) + 2.0 * edge
    width = beyond - float(lon_deg[leg])
    share = (edge - float(lon_deg[leg])) / width if width else 0.0
    crossing = float(lat_deg[leg]) + share * float(lat_deg[leg + 1] - lat_deg[leg])
    return round(crossing, DECIMALS)


def _positions(
    lat_deg: FloatArray, lon_deg: FloatArray, first: int, stop: int
) -> list[list[float]]:
    pairs = np.column_stack([lon_deg[first:stop], lat_deg[first:stop]])
    found: list[list[float]] = np.round(pairs, DECIMALS).tolist()
    return found
