"""Where the plan calls, and how long it goes without water between."""

from __future__ import annotations

from dataclasses import dataclass

from longdry.model.water.passes import WaterPass


@dataclass(frozen=True, slots=True)
class PlannedStop:
    """One call as it comes about; hours count from the midnight before departure."""

    waters: tuple[WaterPass, ...]
    """All that may be drawn on, the best first."""
    km: float
    arrive_h: float
    """When water can be drawn, after a wait."""
    wait_h: float
    draw_min: float
    treat_min: float
    leave_h: float
    nights: int
    """Spent at the water."""
    beside: tuple[WaterPass, ...] = ()
    """Water there that is not for drinking, for what takes any water."""

    @property
    def water(self) -> WaterPass:
        """What the stop is named by."""
        return self.waters[0]


@dataclass(frozen=True, slots=True)
class WithoutWater:
    """The longest way between two neighbouring passes that count, called at or not."""

    from_km: float
    to_km: float
    days: float
    """On the plan's clock, in units of 24 h."""

    @property
    def length_km(self) -> float:
        """Along the route."""
        return self.to_km - self.from_km
