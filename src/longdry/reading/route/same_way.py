"""A track and a line of one file that tell the same way: taken once, and told."""

from __future__ import annotations

import numpy as np

from longdry.geodesy import azimuths_and_lengths, leg_lengths_km
from longdry.model.arrays import FloatArray
from longdry.model.route import DrawnAs
from longdry.reading.route.drawing import Drawing, DrawnLine

_APART_KM = 0.15
"""Two ways that nowhere lie farther apart are one."""
_LENGTHS_DIFFER = 0.03
_PLACES = 101


def without_lines_told_twice(drawing: Drawing) -> tuple[tuple[DrawnLine, ...], list[str]]:
    """Return the lines without those that a track tells too, and a remark on each.

    Two tracks are never one, nor two lines: a party may go a way twice.
    """
    tracks = [line for line in drawing.lines if line.drawn_as is DrawnAs.TRACK]
    kept, remarks = [], []
    for line in drawing.lines:
        twin = _twin(drawing, line, tracks) if line.drawn_as is DrawnAs.LINE else None
        if twin is None:
            kept.append(line)
        else:
            remarks.append(f"The {line.title} tells the same way as the {twin.title}: taken once")
    return tuple(kept), remarks


def _twin(drawing: Drawing, line: DrawnLine, tracks: list[DrawnLine]) -> DrawnLine | None:
    return next((track for track in tracks if _same_way(drawing, line, track)), None)


def _same_way(drawing: Drawing, one: DrawnLine, other: DrawnLine) -> bool:
    if min(one.points, other.points) < 2:  # noqa: PLR2004 - a line has two ends
        return False
    length_km, lat, lon = _places(drawing, one)
    other_km, other_lat, other_lon = _places(drawing, other)
    if abs(length_km - other_km) > _LENGTHS_DIFFER * max(length_km, other_km) + 2.0 * _APART_KM:
        return False
    apart_km = azimuths_and_lengths(lat, lon, other_lat, other_lon)[1]
    return bool((apart_km <= _APART_KM).all())


def _places(drawing: Drawing, line: DrawnLine) -> tuple[float, FloatArray, FloatArray]:
    """Return length and 101 places at equal shares of it."""
    run = slice(line.first, line.stop)
    lat, lon = drawing.lat_deg[run], np.unwrap(drawing.lon_deg[run], period=360.0)
    along = np.concatenate([[0.0], np.cumsum(leg_lengths_km(lat, lon))])
    at = np.linspace(0.0, float(along[-1]), _PLACES)
    return float(along[-1]), np.interp(at, along, lat), np.interp(at, along, lon)
