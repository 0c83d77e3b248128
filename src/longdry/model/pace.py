"""Moving hours along the route."""

from __future__ import annotations

from dataclasses import dataclass

from longdry.model.arrays import FloatArray, value_at


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

    def km_after(self, moving_h: float) -> float:
        """Return the km that is reached after so many moving hours from the start."""
        return value_at(moving_h, self.moving_h, self.km)

    def between(self, from_km: float, to_km: float) -> float:
        """Moving hours from one km to another."""
        return self.moving_h_at(to_km) - self.moving_h_at(from_km)
