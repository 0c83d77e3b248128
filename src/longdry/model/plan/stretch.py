"""The part of the route between two neighbouring counted passes, and the litres it asks for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from longdry.model.plan.travel import TravelTime
from longdry.model.water.passes import WaterPass
from longdry.model.words import VERDICTS_WORST_FIRST, Grade, Ration, Verdict
from longdry.units import TOLERANCE_L, UNSEEN_L


@dataclass(frozen=True, slots=True)
class StretchEnd:
    """Where a stretch begins or ends: a call, or the start or end of the route."""

    km: float
    water: WaterPass | None = None
    """What the stop is named by; None at the start and the end."""
    also: tuple[WaterPass, ...] = ()
    """Other water of the same stop; at the start all of its own water."""
    beside: tuple[WaterPass, ...] = ()
    """Water there that is not for drinking: used there by what takes any water, never carried."""
    is_here: bool = False
    """Whether the party stands here, on its way, without water."""
    off_km: float = 0.0
    """One-way length of the way to the route from water that gives nothing any more."""

    @property
    def waters(self) -> tuple[WaterPass, ...]:
        """All that may be drawn on here."""
        return (self.water, *self.also) if self.water else self.also

    @property
    def way_km(self) -> float:
        """One-way length of the way off the route to the farthest water, 0 at start and end."""
        return max((one.way_km for one in self.waters), default=0.0) if self.water else self.off_km

    @property
    def label(self) -> str:
        """The source's name, or where on the route."""
        if self.water:
            return self.water.source.name
        if self.is_here:
            return "here"
        return "start" if self.km == 0.0 else "end"


class RationNeed(NamedTuple):
    """What a stretch needs on one ration."""

    ration: Ration
    need: Need


class RunsDry(NamedTuple):
    """Where and when the water of a stretch that is too long runs out, on the bare ration."""

    km: float
    """Of the route; where the stretch ends if the water lasts to there and not for what follows: a
    stay at water that gives too little, or the days after the end."""
    hour: float
    """Since the midnight before departure."""


@dataclass(frozen=True, slots=True, eq=False)
class DryStretch:
    """A stretch with its needs and its verdict."""

    number: int
    """From 1, in travel order."""
    begin: StretchEnd
    end: StretchEnd
    travel: TravelTime
    """What is done on it, from leaving the one water to drawing from the other."""
    depart_h: float
    """Hour at which the party leaves the start, since the midnight before."""
    needs: tuple[RationNeed, ...]
    """On the full, lean and bare ration, in this order."""
    reserve_l: float
    capacity_l: float
    """All that can be carried: what the containers hold, within the payload left."""
    available_l: float
    """What can be carried at its beginning: the capacity, but for a start that is not full."""
    verdict: Verdict
    ration_that_does: Ration | None
    """The fullest ration whose need is within what can be carried; None: not even the bare one."""
    held_back: bool = False
    """Whether the verdict is worse than the containers alone would make it, by payload or fills."""
    on_board_l: float | None = None
    """What is carried on leaving by the fill plan; None without one."""
    lacking_l: float | None = None
    """Litres that the fill plan lacks for need and reserve; None without a fill plan."""
    left_l: float | None = None
    """In the containers on arriving, on the ration that is lived on: what days after the end need
    is still in it. 0 where the water runs out before; None without a fill plan."""
    runs_dry: RunsDry | None = None
    """Where the water runs out; None where it lasts."""

    @property
    def length_km(self) -> float:
        """Ways off the route included."""
        return self.travel.length_km

    @property
    def leave_h(self) -> float:
        """Hours after departure on leaving the first water."""
        return self.travel.begin_h - self.depart_h

    @property
    def arrive_h(self) -> float:
        """Hours after departure at which water can be drawn again."""
        return self.travel.end_h - self.depart_h

    @property
    def need(self) -> Need:
        """On the full ration."""
        return self.needs[0].need

    @property
    def days(self) -> float:
        """Elapsed days, camps included."""
        return self.travel.days

    @property
    def nights(self) -> int:
        """Camps in the stretch."""
        return self.travel.nights

    @property
    def ration_told(self) -> Ration:
        """What is lived on: the fullest ration that does, or the bare one as far as it lasts."""
        return self.ration_that_does or Ration.BARE

    @property
    def dry_on_way(self) -> RunsDry | None:
        """Where the water runs out before the party arrives; None where it lasts to there."""
        dry = self.runs_dry
        return dry if dry and dry.hour <= self.travel.end_h else None

    @property
    def wanted_l(self) -> float:
        """What the fills are for: need and reserve."""
        return self.need.total_l + self.reserve_l

    @property
    def spare_l(self) -> float | None:
        """What is carried less need and reserve; None without a fill plan."""
        if self.on_board_l is None:
            return None
        spare_l = self.on_board_l - self.wanted_l
        return 0.0 if abs(spare_l) < TOLERANCE_L else spare_l

    @property
    def missing_l(self) -> float:
        """Litres missing for need and reserve, by the fill plan where there is one."""
        return self.short_l if self.lacking_l is None else self.lacking_l

    @property
    def short_l(self) -> float:
        """Litres by which need and reserve together pass all that can be carried."""
        return max(0.0, self.wanted_l - self.capacity_l)


def worst_first(stretches: Sequence[DryStretch]) -> list[DryStretch]:
    """Sort by verdict, then by litres missing, then by litres to spare as far as they can be seen.

    Of equals the one that asks for most comes first: fills are planned in millilitres, and which of
    two stretches keeps one more of them says nothing. This is the order of "worst" everywhere:
    headline, mends, warnings, what goes wrong, page, sheet and terminal.
    """
    return sorted(stretches, key=worst_first_key)


def worst_first_key(stretch: DryStretch) -> tuple[int, float, float, float]:
    """Return what orders stretches, the worst first; without a fill plan by what can be carried."""
    spare_l = stretch.spare_l
    if spare_l is None:
        spare_l = stretch.available_l - stretch.wanted_l
    missing_l = max(-spare_l, 0.0) if stretch.lacking_l is None else stretch.lacking_l
    seen_spare = round(spare_l / (2.0 * UNSEEN_L))
    rank = VERDICTS_WORST_FIRST.index(stretch.verdict)
    return rank, -missing_l, seen_spare, -stretch.wanted_l


class UseNeed(NamedTuple):
    """Litres of one use over a stretch."""

    use: str
    litres: float
    grade: Grade
    """The lowest grade that the use takes."""


class Need(NamedTuple):
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
        """What may be water of a lower grade, losses in proportion; never below 0."""
        uses_l = sum(use.litres for use in self.by_use)
        if uses_l == 0.0:
            return 0.0
        lower = sum(use.litres for use in self.by_use if use.grade is not Grade.POTABLE)
        return lower * (1.0 + self.losses_l / uses_l)
