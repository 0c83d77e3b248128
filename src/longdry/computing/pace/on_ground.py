"""Moving hours along a route on its ground: speeds, surfaces, slopes."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from longdry.computing.pace.ground_layer import with_ground
from longdry.computing.pace.profile import profile_by_sections
from longdry.computing.pace.slopes import GroundRules, cut_at, hours_by_leg
from longdry.model.arrays import FloatArray, frozen_floats
from longdry.model.pace import PaceProfile
from longdry.model.route import MeasuredRoute
from longdry.model.trip.trip import Pace, PaceSection
from longdry.model.words import Travel


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
