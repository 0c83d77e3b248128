"""Which of some plans are better: by their stretches, the worst first, a litre or more apart."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from longdry.computing.stretches.verdicts import severity
from longdry.model.plan.stretch import DryStretch
from longdry.model.words import Verdict

MARGIN_L = 1.0
"""A plan that misses less by less than this is no better: nobody calls for that, and no clock is so
exact. Common practice, no source."""
ROUNDING_L = 0.05
"""Rounding of sums and of the clock, not water."""

Item = tuple[int, float]
"""Severity of the verdict and litres missing."""
WorstFirst = tuple[Item, ...]
"""Of all stretches that are not clear; of two such the smaller is the better."""
CLEAR: Item = (severity(Verdict.CLEAR), 0.0)


def item_of(verdict: Verdict, missing_l: float) -> Item:
    """Return one stretch as an item of a list."""
    return (severity(verdict), missing_l)


def worst_first_list(items: Iterable[Item]) -> WorstFirst:
    """Return some items as a list to compare: clear ones left out, as missing ones count as clear.

    >>> worst_first_list([]) < worst_first_list([(-1, 1.5)])
    True
    """
    return tuple(sorted((one for one in items if one[0] > CLEAR[0]), reverse=True))


def list_of(stretches: Iterable[DryStretch]) -> WorstFirst:
    """Return the list of a plan."""
    return worst_first_list(item_of(one.verdict, one.missing_l) for one in stretches)


def in_whole_litres(items: WorstFirst) -> WorstFirst:
    """Return a list with its litres rounded up, for an order of many at once.

    >>> in_whole_litres(((1, 79.65), (1, 79.02)))
    ((1, 80.0), (1, 79.0))
    """
    return tuple((verdict, float(math.ceil(litres - ROUNDING_L))) for verdict, litres in items)


def none_is_better_than(lists: Sequence[WorstFirst]) -> list[int]:
    """Return which of some lists are the best, by index: none betters them by a litre or more.

    Item by item, the worst first, those stay that have the least severe verdict and miss less than
    `MARGIN_L` more than the one that misses least.

    >>> none_is_better_than([((1, 5.0),), ((1, 5.4),), ((1, 6.0),), ((2, 0.1),)])
    [0, 1]
    >>> none_is_better_than([((1, 5.0), (0, 3.0)), ((1, 5.4),)])
    [1]
    """
    open_to = list(range(len(lists)))
    for depth in range(max((len(one) for one in lists), default=0)):
        items = {index: _item_at(depth, lists[index]) for index in open_to}
        verdict, least_l = min(items.values())
        open_to = [
            index
            for index, (severe, missing_l) in items.items()
            if severe == verdict and missing_l < least_l + MARGIN_L
        ]
    return open_to


def _item_at(depth: int, items: WorstFirst) -> Item:
    return items[depth] if depth < len(items) else CLEAR
