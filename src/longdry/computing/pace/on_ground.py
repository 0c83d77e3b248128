"""Moving hours along a route on its ground: speeds, surfaces, slopes.

Where the user's ground layer holds is found here too, as parts of the route in km.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from longdry.computing.pace.slopes import GroundRules, cut_at, hours_by_leg
from longdry.computing.route.chainage import places_at_km
from longdry.geodesy import MEAN_RADIUS_KM
from longdry.model.arrays import BoolArray, FloatArray, frozen_floats
from longdry.model.pace import PaceProfile
from longdry.model.route import MeasuredRoute
from longdry.model.trip.ground import GroundFeature, surface_factor
from longdry.model.trip.trip import Pace, PaceSection
from longdry.model.words import Travel

PIECE_KM = 0.1
"""Length of the pieces of the route that are looked at, each by its middle."""
NEAR_LINE_KM = 0.05
"""How near to a line its ground holds. Common practice, no source."""
_KM_PER_DEGREE = math.pi * MEAN_RADIUS_KM / 180.0
"""Of the mean sphere: good enough for a distance of 50 m."""


@dataclass(frozen=True, slots=True, eq=False)
class RoutePace:
    """The profile of a route, and what the ground had to do with it."""

    profile: PaceProfile
    climb_m: float = 0.0
    """Climbed in all on the smoothed ground, where it took part."""
    assumed_flat_km: float = 0.0
    """Length without heights on foot or by bicycle."""
    heights_used: bool = False
    """Whether any height took part."""
    ground_km: float = 0.0
    """Length whose speed the ground layer set."""


def route_pace(measured: MeasuredRoute, pace: Pace) -> RoutePace:
    """Return the moving hours along a route in the direction of travel.

    A vehicle goes by its speeds alone; on foot and by bicycle the heights count where they are
    known, in km as travelled, winding included.

    Parameters
    ----------
    measured
        The route in the direction of travel.
    pace
        With its sections counted in the same direction.
    """
    sections = with_ground(measured, pace)
    ground_km = _length_km(sections, measured) - _length_km(pace.sections, measured)
    whole = dataclasses.replace(pace, sections=sections)
    if pace.travel is Travel.VEHICLE:
        by_speed = profile_by_sections(measured.length_km, whole)
        return RoutePace(by_speed, ground_km=ground_km)
    if not np.isfinite(measured.route.height_m).any() and pace.unknown_ground_percent == 0.0:
        by_speed = profile_by_sections(measured.length_km, whole)
        return RoutePace(by_speed, assumed_flat_km=measured.length_km, ground_km=ground_km)
    return dataclasses.replace(_on_heights(measured, whole), ground_km=ground_km)


def _on_heights(measured: MeasuredRoute, pace: Pace) -> RoutePace:
    ends = [end for s in pace.sections for end in (s.from_km, s.to_km)]
    chainage_km, height_m = cut_at(measured.chainage_km, measured.route.height_m, ends)
    on_ground = hours_by_leg(
        leg_km=np.diff(chainage_km),
        height_m=height_m,
        speed_kmh=_speeds_kmh((chainage_km[:-1] + chainage_km[1:]) / 2.0, pace),
        travel=pace.travel,
        rules=GroundRules(1.0 / pace.climb_m_per_h, pace.unknown_ground_percent / 100.0),
    )
    hours = np.concatenate([[0.0], np.cumsum(on_ground.hours)])
    profile = PaceProfile(frozen_floats(chainage_km), frozen_floats(hours))
    return RoutePace(
        profile,
        climb_m=on_ground.climb_m,
        assumed_flat_km=on_ground.assumed_flat_km,
        heights_used=on_ground.assumed_flat_km < measured.length_km,
    )


def _speeds_kmh(km: FloatArray, pace: Pace) -> FloatArray:
    speeds = np.full(km.shape, pace.speed_kmh)
    for section in pace.sections:
        speeds[(section.from_km <= km) & (km < section.to_km)] = section.speed_kmh
    return speeds


def _length_km(sections: Sequence[PaceSection], measured: MeasuredRoute) -> float:
    ends = ((s.from_km, min(s.to_km, measured.length_km)) for s in sections)
    return sum(max(end - begin, 0.0) for begin, end in ends)


def profile_by_sections(length_km: float, pace: Pace) -> PaceProfile:
    """Lay the base speed along the route, and the sections' own speeds where they hold.

    Sections do not overlap; what lies beyond the route's end is left out.
    """
    inside = [section for section in pace.sections if section.from_km < length_km]
    knots = {0.0, length_km}
    for section in inside:
        knots |= {section.from_km, min(section.to_km, length_km)}
    km = np.array(sorted(knots))
    middles = (km[:-1] + km[1:]) / 2.0
    speeds = np.array([_speed_at(middle, inside, pace.speed_kmh) for middle in middles])
    hours = np.concatenate([[0.0], np.cumsum(np.diff(km) / speeds)])
    return PaceProfile(frozen_floats(km), frozen_floats(hours))


def _speed_at(km: float, sections: list[PaceSection], base_kmh: float) -> float:
    for section in sections:
        if section.from_km <= km < section.to_km:
            return section.speed_kmh
    return base_kmh


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
    speeds = _speeds_with_ground_kmh(measured, middles_km, pace)
    speeds[_taken(middles_km, pace.sections)] = np.inf
    found = _runs(edges_km, speeds)
    return tuple(sorted([*pace.sections, *found], key=lambda section: section.from_km))


def _edges_km(measured: MeasuredRoute, sections: Sequence[PaceSection]) -> FloatArray:
    length_km = measured.length_km
    steps = max(1, math.ceil(length_km / PIECE_KM))
    ends = [end for s in sections for end in (s.from_km, s.to_km) if end < length_km]
    return np.unique(np.concatenate([np.linspace(0.0, length_km, steps + 1), ends]))


def _taken(km: FloatArray, sections: Sequence[PaceSection]) -> BoolArray:
    taken = np.zeros(km.shape, dtype=bool)
    for section in sections:
        taken |= (section.from_km <= km) & (km < section.to_km)
    return taken


def _speeds_with_ground_kmh(measured: MeasuredRoute, km: FloatArray, pace: Pace) -> FloatArray:
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


def _on_feature(shape: shapely.Geometry, lat_deg: FloatArray, lon_deg: FloatArray) -> BoolArray:
    """Whether each place is inside an area or near a line."""
    if "Polygon" in shape.geom_type:
        return np.asarray(shapely.contains_xy(shape, lon_deg, lat_deg), dtype=bool)
    west, south, east, north = shape.bounds
    squeeze = math.cos(math.radians((south + north) / 2.0))
    near_deg = NEAR_LINE_KM / _KM_PER_DEGREE
    wide_deg = near_deg / max(squeeze, near_deg)
    close: BoolArray = (lat_deg >= south - near_deg) & (lat_deg <= north + near_deg)
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
