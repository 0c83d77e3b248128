"""Moving hours along the route."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from longdry.model.arrays import FloatArray, frozen_floats, value_at, values_at
from longdry.model.trip.trip import Pace, PaceSection


@dataclass(frozen=True, slots=True, eq=False)
class PaceProfile:
    """Moving hours at each km; straight between the knots."""

    km: FloatArray
    """Shape (k,), ascending, from 0 to the length of the route."""
    moving_h: FloatArray
    """Shape (k,), cumulative, ascending from 0."""

    def moving_h_at(self, km: float) -> float:
        """Moving hours from the start to ``km``."""
        return value_at(km, self.km, self.moving_h)

    def moving_h_at_each(self, km: FloatArray) -> FloatArray:
        """Moving hours from the start to each of many km, shape (m,)."""
        return values_at(km, self.km, self.moving_h)

    def between(self, from_km: float, to_km: float) -> float:
        """Moving hours from one km to another."""
        return self.moving_h_at(to_km) - self.moving_h_at(from_km)


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
