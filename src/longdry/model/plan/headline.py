"""The first sentence of a plan: may the party start on it, and why."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from longdry.model.water.passes import WaterPass
from longdry.model.water.source import WaterSource


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
    points: tuple[str, ...] = ()
    """What each sentence is about, by a name that stays where its figures change; none where the
    water lasts."""

    @property
    def settled_by_another_plan(self) -> frozenset[str]:
        """The points that another plan may settle; the others say themselves what to write."""
        return frozenset(self.points) - _TO_BE_WRITTEN


HEAT_BEYOND_LIMITS = "heat beyond limits"
"""The point of days on which people would have to drink or move more than the limits allow."""
_TO_BE_WRITTEN = frozenset(
    {"containers", "people", "uses", "no heat", "no date", "help not known", "chance not known"}
)


def no_way_point(source: WaterSource) -> str:
    """Name the point that a source leaves no way where it is dry."""
    return f"no way where {source.id} is dry"


@dataclass(frozen=True, slots=True)
class MostToCarry:
    """The most that must be carried: need and reserve, not all that is filled."""

    litres: float
    km: float
    water: WaterPass | None
    """Where it is taken; None at the start."""
