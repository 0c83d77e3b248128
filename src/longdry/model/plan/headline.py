"""The first sentence of a plan: may the party start on it, and why."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from longdry.model.water.passes import WaterPass


class HeadlineLevel(StrEnum):
    """What the plan comes to."""

    NOT_SAFE = "not-safe"
    ONLY_IF = "only-if"
    LASTS = "lasts"


@dataclass(frozen=True, slots=True)
class Headline:
    """The level, and what it rests on."""

    level: HeadlineLevel
    because: tuple[str, ...]
    """Whole sentences, the gravest first; where the water lasts, one that says so."""


@dataclass(frozen=True, slots=True)
class MostToCarry:
    """The most that must be carried: need and reserve, not all that is filled."""

    litres: float
    km: float
    water: WaterPass | None
    """Where it is taken; None at the start."""
