"""What would turn the verdicts that are not clear, each change tried by planning again.

How each kind is found, and what its figures leave out, stands in ``docs/why/mends.md``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import islice

from longdry.computing.fills.settled import SettledTrip, Water
from longdry.computing.mends.cache import by_cache
from longdry.computing.mends.camp import by_camp
from longdry.computing.mends.confirmed import by_confirmed
from longdry.computing.mends.containers import by_container
from longdry.computing.mends.detour import by_detour
from longdry.computing.mends.door import by_door
from longdry.computing.mends.month import by_month
from longdry.computing.mends.other_way import by_other_way
from longdry.computing.mends.pace import by_hours, by_pace
from longdry.computing.mends.ration import by_ration
from longdry.computing.mends.trials import (
    MendSearch,
    PlanAgain,
    Proposal,
    TrialsSpentError,
    is_better,
    is_enough,
)
from longdry.computing.stretches.verdicts import worst_first
from longdry.model.plan.mends import Mend, Mends
from longdry.model.plan.stretch import DryStretch
from longdry.model.words import Verdict

MOST_SEARCHED = 5
"""Stretches that mends are searched for: the worst."""
MOST_TOLD = 3
"""Mends of a stretch; one of a kind."""
MOST_OF_A_KIND = 3
"""Changes of one kind that are planned for a stretch."""

_EASIEST_FIRST: tuple[Callable[[MendSearch, DryStretch], Iterator[Proposal]], ...] = (
    by_camp,
    by_door,
    by_ration,
    by_container,
    by_confirmed,
    by_detour,
    by_cache,
    by_month,
    by_other_way,
    by_hours,
    by_pace,
)


_BEFORE_LEAVING = frozenset({by_container, by_cache, by_month, by_other_way})
"""What a party that is on its way can do no more."""


def mends_of(settled: SettledTrip, water: Water, plan_again: PlanAgain) -> Mends:
    """Search for what betters the worst stretches that are not clear.

    Nothing is searched where all are clear, or where the trip names no containers.

    Parameters
    ----------
    plan_again
        Plans a trip as a whole; asked at most `MOST_TRIALS` times.
    """
    wanting = [one for one in worst_first(settled.stretches) if _can_be_mended(one)]
    search = MendSearch(settled, water, plan_again)
    found: list[Mend] = []
    left = [one.number for one in wanting[MOST_SEARCHED:]]
    for stretch in wanting[:MOST_SEARCHED]:
        known = _Found(search, stretch)
        try:
            known.search()
        except TrialsSpentError:
            left.append(stretch.number)
        found += known.told(is_all_tried=stretch.number not in left)
    return Mends(tuple(found), tuple(sorted(left)))


def _can_be_mended(stretch: DryStretch) -> bool:
    return stretch.verdict not in {Verdict.CLEAR, Verdict.NO_CONTAINERS}


class _Found:
    """What was found for one stretch so far, the easiest first."""

    def __init__(self, search: MendSearch, stretch: DryStretch) -> None:
        self._search = search
        self._stretch = stretch
        self._enough: list[Mend] = []
        self._better: list[Mend] = []
        """Those that leave it short."""

    def search(self) -> None:
        """Try one kind after the other until so many are found that are enough.

        Raises
        ------
        TrialsSpentError
            Where no more trial plans may be made.
        """
        is_on_the_way = self._search.trip.here is not None
        for proposals_of in _EASIEST_FIRST:
            if is_on_the_way and proposals_of in _BEFORE_LEAVING:
                continue
            if len(self._enough) == MOST_TOLD:
                return
            best: Mend | None = None
            try:
                proposals = proposals_of(self._search, self._stretch)
                for proposal in islice(proposals, MOST_OF_A_KIND):
                    best = _better_of(best, self._search.tried(self._stretch, proposal))
                    if best and best.verdict_after is Verdict.CLEAR:
                        break
            finally:
                if best:
                    (self._enough if is_enough(best.verdict_after) else self._better).append(best)

    def told(self, *, is_all_tried: bool) -> list[Mend]:
        """Return what is told of the stretch."""
        mends = [*self._enough, *self._better]
        may_stay = self._search.trip.here is None
        if self._enough or is_enough(self._stretch.verdict) or not (is_all_tried and may_stay):
            return mends[:MOST_TOLD]
        return [*mends[: MOST_TOLD - 1], self._search.not_going(self._stretch)]


def _better_of(best: Mend | None, other: Mend | None) -> Mend | None:
    if best is None or other is None:
        return best or other
    return other if is_better(other.verdict_after, best.verdict_after) else best
