"""The first sentence of a plan: may the party start on it, and why."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from longdry.model.water.passes import WaterPass

NOT_BY_DAY = "do not move by day"
"""Stands in the sentence about heat beyond the limits, and in no other."""


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

    @property
    def heat(self) -> str:
        """The sentence about heat beyond the limits; empty where there is none."""
        return next((one for one in self.because if NOT_BY_DAY in one), "")


@dataclass(frozen=True, slots=True)
class MostToCarry:
    """The most that must be carried: need and reserve, not what the habit fills."""

    litres: float
    km: float
    water: WaterPass | None
    """Where it is taken; None at the start."""
