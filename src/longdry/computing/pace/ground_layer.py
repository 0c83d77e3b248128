"""Where along the route the areas and lines of the user's ground layer hold."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np
import shapely

from longdry.computing.route.chainage import places_at_km
from longdry.model.arrays import FloatArray
from longdry.model.route import MeasuredRoute
from longdry.model.trip.ground import GroundFeature, surface_factor
from longdry.model.trip.trip import Pace, PaceSection

STEP_KM = 0.1
"""Length of the pieces of the route that are looked at, each by its middle."""
NEAR_LINE_KM = 0.05
"""How near to a line its ground holds. Common practice, no source."""
_KM_PER_DEGREE = math.pi * 6371.0 / 180.0
"""Mean Earth radius 6371 km (IUGG): good enough for a distance of 50 m."""


def with_ground(measured: MeasuredRoute, pace: Pace) -> tuple[PaceSection, ...]:
    """Return the sections of the trip and, where it names none, those of its ground layer.

    Where several features cover a piece of the route the slowest counts. Ends of sections are
    right within 0.1 km.

    Parameters
    ----------
    measured
        The route in the direction of travel.
    pace
        With its sections counted in the same direction.
    """
    if not pace.ground:
        return pace.sections
    edges_km = _edges_km(measured, pace.sections)
    middles_km = (edges_km[:-1] + edges_km[1:]) / 2.0
    speeds = _speeds_kmh(measured, middles_km, pace)
    speeds[_taken(middles_km, pace.sections)] = np.inf
    found = _runs(edges_km, speeds)
    return tuple(sorted([*pace.sections, *found], key=lambda section: section.from_km))


def _edges_km(measured: MeasuredRoute, sections: Sequence[PaceSection]) -> FloatArray:
    length_km = measured.length_km
    steps = max(1, math.ceil(length_km / STEP_KM))
    ends = [end for s in sections for end in (s.from_km, s.to_km) if end < length_km]
    return np.unique(np.concatenate([np.linspace(0.0, length_km, steps + 1), ends]))


def _taken(km: FloatArray, sections: Sequence[PaceSection]) -> Any:  # noqa: ANN401 - a numpy mask
    taken = np.zeros(km.shape, dtype=bool)
    for section in sections:
        taken |= (section.from_km <= km) & (km < section.to_km)
    return taken


def _speeds_kmh(measured: MeasuredRoute, km: FloatArray, pace: Pace) -> FloatArray:
    """Return the slowest speed that a feature sets at each km; infinite where none does."""
    lat_deg, lon_deg, _ = places_at_km(measured, km)
    speeds = np.full(km.shape, np.inf)
    for feature in pace.ground:
        shape = shapely.from_wkb(feature.wkb)
        on_it = _on_feature(shape, lat_deg, lon_deg)
        speeds[on_it] = np.minimum(speeds[on_it], _speed_kmh(feature, pace))
    return speeds


def _speed_kmh(feature: GroundFeature, pace: Pace) -> float:
    if feature.speed_kmh is not None:
        return feature.speed_kmh
    return pace.speed_kmh * surface_factor(feature.surface, pace.travel)


def _on_feature(shape: Any, lat_deg: FloatArray, lon_deg: FloatArray) -> Any:  # noqa: ANN401 - shapely ships no types
    """Whether each place is inside an area or near a line."""
    if "Polygon" in shape.geom_type:
        return shapely.contains_xy(shape, lon_deg, lat_deg)
    west, south, east, north = shape.bounds
    squeeze = math.cos(math.radians((south + north) / 2.0))
    near_deg = NEAR_LINE_KM / _KM_PER_DEGREE
    wide_deg = near_deg / max(squeeze, near_deg)
    close = (lat_deg >= south - near_deg) & (lat_deg <= north + near_deg)
    close &= (lon_deg >= west - wide_deg) & (lon_deg <= east + wide_deg)
    flat = shapely.transform(shape, lambda xy: xy * (squeeze, 1.0))
    shapely.prepare(flat)
    points = shapely.points(lon_deg[close] * squeeze, lat_deg[close])
    close[close] = shapely.dwithin(points, flat, near_deg)
    return close


def _runs(edges_km: FloatArray, speeds: FloatArray) -> list[PaceSection]:
    """Join neighbouring pieces of one speed; pieces without one are left out."""
    changes = np.flatnonzero(speeds[1:] != speeds[:-1]) + 1
    starts = np.concatenate([[0], changes])
    ends = np.concatenate([changes, [speeds.size]])
    return [
        PaceSection(float(edges_km[start]), float(edges_km[end]), float(speeds[start]))
        for start, end in zip(starts.tolist(), ends.tolist(), strict=True)
        if np.isfinite(speeds[start])
    ]
