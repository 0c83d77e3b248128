"""What would turn the verdicts that are not clear, each change tried by planning again.

How each kind is found, and what its figures leave out, stands in ``docs/why/mends.md``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from itertools import islice

from longdry.computing.calls.lists import Item, item_of
from longdry.computing.fills.settled import SettledTrip, Water
from longdry.computing.mends.cache import by_cache
from longdry.computing.mends.camp import by_camp
from longdry.computing.mends.confirmed import by_confirmed
from longdry.computing.mends.containers import by_container
from longdry.computing.mends.detour import by_detour
from longdry.computing.mends.door import by_door
from longdry.computing.mends.headline import HeadlineSearch, mends_of_headline
from longdry.computing.mends.month import by_month
from longdry.computing.mends.other_way import by_other_way
from longdry.computing.mends.pace import by_hours, by_pace
from longdry.computing.mends.ration import by_ration
from longdry.computing.mends.trials import (
    MendSearch,
    PlanAgain,
    Proposal,
    TrialsSpentError,
    is_enough,
    may_be_enough,
)
from longdry.model.plan.mends import Mend, MendKind, Mends
from longdry.model.plan.stretch import DryStretch, worst_first
from longdry.model.words import Verdict

_KINDS = tuple(MendKind)
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


def mends_of(
    settled: SettledTrip,
    water: Water,
    plan_again: PlanAgain,
    headline: HeadlineSearch | None = None,
) -> Mends:
    """Search for what betters the worst stretches that are not clear, or else the headline.

    Nothing is searched where the trip names no containers.

    Parameters
    ----------
    plan_again
        Plans a trip as a whole; asked at most `MOST_PLANS_AGAIN` times.
    headline
        None: only stretches are mended.
    """
    wanting = [one for one in worst_first(settled.stretches) if _can_be_mended(one)]
    search = MendSearch(settled, water, plan_again)
    found: list[Mend] = []
    left = [one.number for one in wanting[MOST_SEARCHED:]]
    for stretch in wanting[:MOST_SEARCHED]:
        known = _MendsSoFar(search, stretch)
        try:
            known.search()
        except TrialsSpentError:
            left.append(stretch.number)
        found += known.told(is_all_tried=stretch.number not in left)
    if headline and all(is_enough(one.verdict) for one in settled.stretches):
        found += mends_of_headline(search, headline)
    return Mends(tuple(found), tuple(sorted(left)))


def _can_be_mended(stretch: DryStretch) -> bool:
    return stretch.verdict not in {Verdict.CLEAR, Verdict.NO_CONTAINERS}


class _MendsSoFar:
    """What was found for one stretch so far, the easiest first."""

    def __init__(self, search: MendSearch, stretch: DryStretch) -> None:
        self._search = search
        self._stretch = stretch
        self._enough: list[Mend] = []
        self._better: list[Mend] = []
        """Those that leave it short."""
        self._too_little: list[Proposal] = []
        """Of each kind the change that promises most, though not enough."""

    def search(self) -> None:
        """Try one kind after the other until so many are found that are enough.

        What by the containers alone cannot be enough is tried last, one change of a kind.

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
            self._try_kind(islice(proposals_of(self._search, self._stretch), MOST_OF_A_KIND))
        for proposal in self._too_little:
            if len(self._enough) + len(self._better) >= MOST_TOLD:
                return
            mend = self._search.tried(self._stretch, proposal)
            self._keep(mend)

    def _try_kind(self, proposals: Iterable[Proposal]) -> None:
        best: Mend | None = None
        too_little: list[Proposal] = []
        try:
            for proposal in proposals:
                if not may_be_enough(proposal.promise):
                    too_little.append(proposal)
                    continue
                best = _better_of(best, self._search.tried(self._stretch, proposal))
                if best and best.verdict_after is Verdict.CLEAR:
                    break
        finally:
            self._keep(best)
        if best is None and too_little:
            self._too_little.append(min(too_little, key=_promise))

    def _keep(self, mend: Mend | None) -> None:
        if mend:
            (self._enough if is_enough(mend.verdict_after) else self._better).append(mend)

    def told(self, *, is_all_tried: bool) -> list[Mend]:
        """Return what is told of the stretch; where nothing is enough, not to go is the last."""
        mends = [*self._enough, *sorted(self._better, key=_ease)]
        may_stay = self._search.trip.here is None
        if self._enough or is_enough(self._stretch.verdict) or not may_stay:
            return mends[:MOST_TOLD]
        not_going = self._search.not_going(self._stretch, is_all_tried=is_all_tried)
        return [*mends[: MOST_TOLD - 1], not_going]


def _promise(proposal: Proposal) -> Item:
    return proposal.promise or (0, 0.0)


def _ease(mend: Mend) -> int:
    return _KINDS.index(mend.what)


def _better_of(best: Mend | None, other: Mend | None) -> Mend | None:
    if best is None or other is None:
        return best or other
    return other if _comes_to(other) < _comes_to(best) else best


def _comes_to(mend: Mend) -> Item:
    return item_of(mend.verdict_after, mend.missing_after_l)
