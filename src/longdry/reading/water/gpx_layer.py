"""GPX waypoints as a water layer."""

from __future__ import annotations

import re
from pathlib import Path

from longdry.model.words import known_kind
from longdry.reading.gpx.waypoints import GpxWaypoint, read_gpx_waypoints
from longdry.reading.water.raw import RawFeature, RawLayer, placeless
from longdry.reading.water.source import field_of
from longdry.reading.water.values import RefusedValueError, word_from
from longdry.reading.water.visits import GRADES

_GRADE_IN_TEXT = re.compile(r"\bgrade\s*=\s*[\"']?([\w-]+)", re.IGNORECASE)


def read_gpx_layer(path: Path) -> RawLayer:
    """Return the waypoints of a GPX file as features.

    A waypoint's grade is its ``type`` where that is a grade word, or what ``grade=...`` says in
    its ``desc`` or ``cmt``; its kind is what its ``type`` or ``sym`` says where that is a word for
    a source; the elements inside its ``extensions`` are read as properties. ``sym``, ``type``,
    ``cmt`` and ``desc`` stand beside them, for a mapping.

    Raises
    ------
    WaterLayerError
        As `read_gpx_waypoints` does.
    """
    features = [_feature(waypoint) for waypoint in read_gpx_waypoints(path)]
    return RawLayer(features, vocabulary="GPX")


def _feature(waypoint: GpxWaypoint) -> RawFeature:
    where = f"line {waypoint.line_number}"
    properties: dict[str, object] = {"name": waypoint.name, "note": _note(waypoint)}
    kind = known_kind(waypoint.type) or known_kind(waypoint.sym)
    if kind:
        properties["kind"] = kind
    properties |= {field_of(name) or name: text for name, text in waypoint.extras}
    told = {"sym": waypoint.sym, "type": waypoint.type, "cmt": waypoint.cmt, "desc": waypoint.desc}
    properties |= {name: text for name, text in told.items() if text}
    grades = _grades(waypoint, properties)
    if len(grades) > 1:
        what = f"tells more than one grade, {' and '.join(grades)}"
        return placeless(where, properties, what, "keep the right one")
    properties["grade"] = next(iter(grades), None)
    return RawFeature(where, waypoint.lon_deg, waypoint.lat_deg, properties)


def _note(waypoint: GpxWaypoint) -> str:
    return "\n".join(dict.fromkeys(text for text in (waypoint.desc, waypoint.cmt) if text))


def _grades(waypoint: GpxWaypoint, properties: dict[str, object]) -> list[str]:
    notes = [str(properties["grade"])] if properties.get("grade") else []
    for text in (waypoint.desc, waypoint.cmt):
        notes += _GRADE_IN_TEXT.findall(text)
    if _normal(waypoint.type) in GRADES:
        notes.append(waypoint.type)
    return list(dict.fromkeys(map(_normal, notes)))


def _normal(word: str) -> str:
    try:
        return word_from(word, GRADES) or ""
    except RefusedValueError:
        return word
