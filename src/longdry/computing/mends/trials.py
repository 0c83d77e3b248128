"""Planning again with one thing changed, and keeping only what really betters the verdict."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from longdry.computing.fills.filling import with_best_verdicts
from longdry.computing.stretches.outlook import Ahead, look_ahead
from longdry.computing.stretches.verdicts import severity, worst_verdict
from longdry.computing.water.passes import CountingRule
from longdry.model.plan.mends import Mend, MendFigures, MendKind
from longdry.model.plan.stretch import DryStretch
from longdry.model.trip.trip import Trip
from longdry.model.water.passes import WaterPass
from longdry.model.water.source import WaterSource
from longdry.model.words import Verdict

MOST_OF_A_KIND = 3
"""Mends of one kind that are told for a stretch."""
GOALS = (Verdict.CLEAR, Verdict.INTO_RESERVE, Verdict.SHORT_RATION)
"""What may be reached, the best first."""
TOLERANCE_KM = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class MendSearch:
    """The plan to be bettered."""

    ahead: Ahead
    bare: tuple[DryStretch, ...]
    """Judged by what the containers hold, the fills aside."""
    stretches: tuple[DryStretch, ...]
    """As filled."""
    sources: tuple[WaterSource, ...]
    counting: CountingRule

    @property
    def trip(self) -> Trip:
        """The trip as planned."""
        return self.ahead.outset.trip

    def again(
        self, *, trip: Trip | None = None, passes: Sequence[WaterPass] | None = None
    ) -> PlannedAgain:
        """Plan again with another trip, other passes, or both.

        Raises
        ------
        TripFileError
            Where a pinned camp is not on the route.
        """
        outset = replace(
            self.ahead.outset,
            trip=trip or self.trip,
            passes=self.ahead.outset.passes if passes is None else tuple(passes),
        )
        ahead = look_ahead(outset, self.ahead)
        return PlannedAgain(with_best_verdicts(ahead.stretches(), ahead.going))

    def with_pass(self, water: WaterPass) -> PlannedAgain:
        """Plan again with one more counted pass."""
        return self.again(passes=self._passes_with(water))

    def ahead_with_pass(self, water: WaterPass) -> Ahead:
        """Return clock and heat with one more counted pass, for asking about its limit often."""
        outset = replace(self.ahead.outset, passes=self._passes_with(water))
        return look_ahead(outset, self.ahead)

    def _passes_with(self, water: WaterPass) -> tuple[WaterPass, ...]:
        return tuple(sorted([*self.ahead.outset.passes, water], key=lambda one: one.km))


@dataclass(frozen=True, slots=True, eq=False)
class PlannedAgain:
    """What a plan with one change says."""

    stretches: tuple[DryStretch, ...]

    @property
    def worst(self) -> Verdict:
        """Of the whole trip."""
        return worst_verdict(stretch.verdict for stretch in self.stretches)

    def verdict_between(self, from_km: float, to_km: float) -> Verdict:
        """Return the worst verdict on a part of the route."""
        return worst_verdict(s.verdict for s in self.stretches if _touches(s, from_km, to_km))

    def verdict_on(self, stretch: DryStretch) -> Verdict:
        """Return the worst verdict on what was one stretch."""
        return self.verdict_between(stretch.begin.km, stretch.end.km)


@dataclass(frozen=True, slots=True)
class Draft:
    """A mend before it is tried."""

    what: MendKind
    change: str
    figures: MendFigures
    caution: str


def kept(
    mending: MendSearch,
    stretch: DryStretch,
    draft: Draft,
    again: PlannedAgain,
    after: Verdict | None = None,
) -> list[Mend]:
    """Return the mend where it betters its stretch and makes no other the worst; else nothing.

    Parameters
    ----------
    after
        Verdict of what was the stretch, where its km are not those of the plan.
    """
    after = after or again.verdict_on(stretch)
    before = worst_verdict(one.verdict for one in mending.stretches)
    if not is_better(after, stretch.verdict) or is_better(before, again.worst):
        return []
    return [
        Mend(
            stretch=stretch.number,
            what=draft.what,
            change=draft.change,
            verdict_before=stretch.verdict,
            verdict_after=after,
            trip_after=again.worst,
            figures=draft.figures,
            caution=draft.caution,
        )
    ]


def is_better(one: Verdict, other: Verdict) -> bool:
    """Whether one verdict is better than the other.

    >>> is_better(Verdict.CLEAR, Verdict.TOO_LONG), is_better(Verdict.CLEAR, Verdict.CLEAR)
    (True, False)
    """
    return severity(one) < severity(other)


def goals_beyond(verdict: Verdict) -> list[Verdict]:
    """Return the better verdicts, the best first.

    >>> [goal.value for goal in goals_beyond(Verdict.SHORT_RATION)]
    ['clear', 'into reserve']
    """
    return [goal for goal in GOALS if is_better(goal, verdict)]


def asked_l(stretch: DryStretch, goal: Verdict) -> float:
    """Return the litres that must be on board at the beginning for a verdict."""
    full, *fewer = stretch.late.needs if stretch.late else stretch.needs
    if goal is Verdict.CLEAR:
        return stretch.wanted_l
    if goal is Verdict.INTO_RESERVE:
        return full.need.total_l
    return min(one.need.total_l for one in fewer)


def _touches(stretch: DryStretch, from_km: float, to_km: float) -> bool:
    begin_km, end_km = stretch.begin.km, stretch.end.km
    if max(abs(begin_km - from_km), abs(end_km - to_km)) <= TOLERANCE_KM:
        return True
    return min(end_km, to_km) - max(begin_km, from_km) > TOLERANCE_KM
