"""What would turn the verdicts that are not clear, each change tried by planning again.

How each kind is found, and what its figures leave out, stands in ``docs/why/mends.md``.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from longdry.computing.mends.cache import by_cache
from longdry.computing.mends.confirmed import by_confirmed
from longdry.computing.mends.containers import by_containers
from longdry.computing.mends.detour import by_detour
from longdry.computing.mends.other_way import by_other_way
from longdry.computing.mends.pace import by_pace
from longdry.computing.mends.ration import by_ration
from longdry.computing.mends.trials import MendSearch
from longdry.computing.stretches.verdicts import severity, worst_first
from longdry.model.plan.mends import Mend, Mends
from longdry.model.plan.stretch import DryStretch
from longdry.model.words import Verdict

MOST_SEARCHED = 5
"""Stretches that mends are searched for: the worst."""

_KINDS: tuple[Callable[[MendSearch, Sequence[DryStretch]], list[Mend]], ...] = (
    by_ration,
    by_containers,
    by_detour,
    by_confirmed,
    by_cache,
    by_pace,
    by_other_way,
)


def mends_of(mending: MendSearch) -> Mends:
    """Search for what betters the worst stretches that are not clear.

    Nothing is searched where all are clear, or where the trip names no containers.
    """
    wanting = [one for one in worst_first(mending.stretches) if _can_be_mended(one)]
    searched = wanting[:MOST_SEARCHED]
    found = [mend for search in _KINDS for mend in search(mending, searched)] if searched else []
    found.sort(key=lambda mend: (mend.stretch, severity(mend.verdict_after)))
    return Mends(tuple(found), tuple(sorted(one.number for one in wanting[MOST_SEARCHED:])))


def _can_be_mended(stretch: DryStretch) -> bool:
    return stretch.verdict not in {Verdict.CLEAR, Verdict.NO_CONTAINERS}
