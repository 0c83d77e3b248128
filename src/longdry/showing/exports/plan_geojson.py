"""The plan as GeoJSON for a GIS: stretches as lines, passes, sources and camps as points.

Format: RFC 7946: WGS 84, longitude before latitude, lines cut at the antimeridian (section
3.1.9). Figures are not rounded.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from longdry.model.arrays import FloatArray
from longdry.model.plan.days import TravelDay
from longdry.model.plan.plan import Plan
from longdry.model.plan.setbacks import TurnBack
from longdry.model.words import CAUTION
from longdry.showing.exports.export_words import (
    plan_title,
    turn_back_name_and_words,
    turn_backs_of,
)
from longdry.showing.exports.route_places import PLACE_DECIMALS, part_between, place_at
from longdry.showing.figures.figure import Json, table_cells
from longdry.showing.figures.passes import PassInPlan, passes_in
from longdry.showing.figures.plan_figures import FIGURES, PlanFigures
from longdry.showing.figures.stops import StopInPlan, stops_in
from longdry.showing.figures.stretches import StretchInPlan, stretches_in
from longdry.showing.words.markup import clipped_text

_HALF_TURN_DEG = 180.0


def plan_geojson(
    plan: Plan, turn_backs: Sequence[TurnBack] | None = None, figures: PlanFigures = FIGURES
) -> str:
    """Return a FeatureCollection; ``feature`` says of each what it is.

    Parameters
    ----------
    plan
        Its stretches (``stretch``), stops (``stop``) and passes (``pass``), both where the way to
        the water leaves the route, sources (``source``, where they are) and camps (``camp``).
    turn_backs
        Points from which the party can still turn round (``turn-back``); None: the plan's own.
    figures
        What is told of each.
    """
    turns = turn_backs_of(plan) if turn_backs is None else turn_backs
    features = [
        *(_stretch(plan, one, figures) for one in stretches_in(plan)),
        *(_stop(one, figures) for one in stops_in(plan)),
        *(_pass(one, figures) for one in passes_in(plan)),
        *_sources(plan, figures),
        *(_camp(plan, day, figures) for day in plan.days if day.camp),
        *(_turn_back(plan, turn) for turn in turns),
    ]
    head = {"type": "FeatureCollection", "title": plan_title(plan), "caution": CAUTION}
    lines = ",\n".join(json.dumps(f, ensure_ascii=True, allow_nan=False) for f in features)
    return f'{json.dumps(head)[:-1]}, "features": [\n{lines}\n]}}\n'


def _feature(kind: str, geometry: Json | None, properties: Mapping[str, object]) -> Json:
    return {
        "type": "Feature",
        "geometry": geometry,
        "properties": {"feature": kind, **properties},
    }


def _stretch(plan: Plan, one: StretchInPlan, figures: PlanFigures) -> Json:
    stretch = one.stretch
    lat, lon = part_between(plan.measured, stretch.begin.km, stretch.end.km)
    name = f"Stretch {stretch.number}: {stretch.verdict}"
    cells = table_cells(figures.stretches, one)
    return _feature("stretch", line_geometry(lat, lon), {"name": name, **cells})


def _stop(one: StopInPlan, figures: PlanFigures) -> Json:
    water = one.stop.water
    return _feature("stop", _point(water.lat_deg, water.lon_deg), table_cells(figures.stops, one))


def _pass(one: PassInPlan, figures: PlanFigures) -> Json:
    at = _point(one.water.lat_deg, one.water.lon_deg)
    return _feature("pass", at, table_cells(figures.passes, one))


def _sources(plan: Plan, figures: PlanFigures) -> Iterator[Json]:
    counted = {passed.source.id for passed in plan.passes if passed.counted}
    for source in plan.sources:
        cells = table_cells(figures.sources, source)
        properties = {
            "source": clipped_text(source.id),
            "counted": source.id in counted,
            **cells,
        }
        yield _feature("source", _point(source.lat_deg, source.lon_deg), properties)


def _camp(plan: Plan, day: TravelDay, figures: PlanFigures) -> Json:
    at = _point(*place_at(plan.measured, day.to_km))
    name = f"Camp of day {day.number}"
    return _feature("camp", at, {"name": name, **table_cells(figures.days, day)})


def _turn_back(plan: Plan, turn: TurnBack) -> Json:
    stretch = plan.stretches[turn.stretch - 1]
    name, said = turn_back_name_and_words(turn, stretch)
    km = stretch.begin.km if turn.water_km is None else turn.water_km
    return _feature(
        "turn-back",
        _point(*place_at(plan.measured, km)),
        {"name": name, "number": turn.stretch, "km": turn.water_km, "note": said},
    )


def _point(lat_deg: float, lon_deg: float) -> Json:
    return {
        "type": "Point",
        "coordinates": [round(lon_deg, PLACE_DECIMALS), round(lat_deg, PLACE_DECIMALS)],
    }


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
    return round(crossing, PLACE_DECIMALS)


def _positions(
    lat_deg: FloatArray, lon_deg: FloatArray, first: int, stop: int
) -> list[list[float]]:
    pairs = np.column_stack([lon_deg[first:stop], lat_deg[first:stop]])
    found: list[list[float]] = np.round(pairs, PLACE_DECIMALS).tolist()
    return found
