"""The part of the route between two neighbouring counted passes, and the litres it asks for."""

from __future__ import annotations

from dataclasses import dataclass

from longdry.model.water.passes import WaterPass
from longdry.model.words import Grade, Ration, Verdict


@dataclass(frozen=True, slots=True)
class StretchEnd:
    """Where a stretch begins or ends: a counted pass, or the start or end of the route."""

    km: float
    water: WaterPass | None = None

    @property
    def way_km(self) -> float:
        """One-way length of the way off the route, 0 at the start and the end."""
        return self.water.way_km if self.water else 0.0

    @property
    def label(self) -> str:
        """The source's name, or where on the route."""
        if self.water:
            return self.water.source.name
        return "start" if self.km == 0.0 else "end"


@dataclass(frozen=True, slots=True)
class Span:
    """How long a stretch takes."""

    start_h: float
    """Hours after departure."""
    end_h: float
    nights: int

    @property
    def days(self) -> float:
        """Elapsed time in units of 24 h, camps included."""
        return (self.end_h - self.start_h) / 24.0


@dataclass(frozen=True, slots=True)
class RationNeed:
    """What a stretch needs on one ration."""

    ration: Ration
    need: Need


@dataclass(frozen=True, slots=True)
class Late:
    """A stretch as it goes when the party has gone to every water before it."""

    span: Span
    needs: tuple[RationNeed, ...]
    """On the full, lean and bare ration: of each use the larger of this clock and the base one."""
    reserve: Need
    """Likewise: its days may be hotter."""

    @property
    def need_l(self) -> float:
        """On the full ration."""
        return self.needs[0].need.total_l

    @property
    def wanted_l(self) -> float:
        """Need on the full ration, and reserve."""
        return self.need_l + self.reserve.total_l


@dataclass(frozen=True, slots=True)
class DryStretch:
    """A stretch with its needs and its verdict."""

    number: int
    """From 1, in travel order."""
    begin: StretchEnd
    end: StretchEnd
    length_km: float
    """Ways off the route included."""
    span: Span
    needs: tuple[RationNeed, ...]
    """On the full, lean and bare ration, in this order."""
    reserve_l: float
    capacity_l: float
    """All that the containers hold."""
    available_l: float
    """What can be on board at its beginning: the capacity, but for a start that is not full."""
    verdict: Verdict
    ration_that_does: Ration | None
    """The fullest ration whose need is within what can be on board; None: not even the bare one."""
    held_back: bool = False
    """Whether the verdict is worse than the containers alone would make it: see the fills."""
    late: Late | None = None
    """What the fills are for where the ways to water before it make it ask for more."""
    on_board_l: float | None = None
    """What the fill plan has on board on leaving; None without a fill plan."""
    lacking_l: float | None = None
    """Litres that the fill plan lacks for need and reserve; None without a fill plan."""

    @property
    def need(self) -> Need:
        """On the full ration."""
        return self.needs[0].need

    @property
    def days(self) -> float:
        """Elapsed days, camps included."""
        return self.span.days

    @property
    def nights(self) -> int:
        """Camps in the stretch."""
        return self.span.nights

    @property
    def wanted_l(self) -> float:
        """What the fills are for: need and reserve, late or not."""
        return self.late.wanted_l if self.late else self.need.total_l + self.reserve_l

    @property
    def missing_l(self) -> float:
        """Litres missing for need and reserve, by the fill plan where there is one."""
        return self.short_l if self.lacking_l is None else self.lacking_l

    @property
    def short_l(self) -> float:
        """Litres by which need and reserve together pass what all containers hold."""
        return max(0.0, self.need.total_l + self.reserve_l - self.capacity_l)


@dataclass(frozen=True, slots=True)
class UseNeed:
    """Litres of one use over a stretch."""

    use: str
    litres: float
    grade: Grade
    """The lowest grade that the use takes."""


@dataclass(frozen=True, slots=True)
class Need:
    """Litres for a stretch on one ration."""

    by_use: tuple[UseNeed, ...]
    losses_l: float
    """Spill and evaporation on top of the uses, in the proportion of their grades."""

    @property
    def total_l(self) -> float:
        """Uses and losses together."""
        return sum(use.litres for use in self.by_use) + self.losses_l

    @property
    def potable_l(self) -> float:
        """What must be potable (or treated) water, losses in proportion."""
        uses_l = sum(use.litres for use in self.by_use)
        if uses_l == 0.0:
            return self.losses_l
        potable = sum(use.litres for use in self.by_use if use.grade is Grade.POTABLE)
        return potable * (1.0 + self.losses_l / uses_l)

    @property
    def any_l(self) -> float:
        """What may be water of a lower grade, losses in proportion."""
        return self.total_l - self.potable_l
