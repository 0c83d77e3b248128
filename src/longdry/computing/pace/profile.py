"""Moving hours along the route."""

from __future__ import annotations

import numpy as np

from longdry.model.arrays import frozen_floats
from longdry.model.pace import PaceProfile
from longdry.model.trip.trip import Pace, PaceSection


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
