"""A source as it is listed: with its judgement and, where a route is asked for, where it lies."""

from __future__ import annotations

from dataclasses import dataclass

from longdry.model.water.passes import Judgement
from longdry.model.water.source import WaterSource


@dataclass(frozen=True, slots=True)
class ListedSource:
    """One line of the list."""

    number: int
    """Index of its feature in the book."""
    source: WaterSource
    judgement: Judgement
    km: float | None = None
    """Km of the route's nearest approach; None where no route is asked for."""
    offset_km: float | None = None
    """Its distance from the route there."""
