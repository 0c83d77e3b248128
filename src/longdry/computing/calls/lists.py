"""Which of some plans are better: by their stretches, the worst first, litre by litre."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence

from longdry.computing.stretches.verdicts import severity
from longdry.model.plan.stretch import DryStretch
from longdry.model.words import Verdict
from longdry.units import UNSEEN_L

MARGIN_L = 1.0
"""A plan that misses more by less than a litre is no worse: nobody turns off for that, and no clock
is so exact. Common practice, no source."""
MARGIN_IF_DRY = 0.1
"""With a call dry, less than a tenth of what is missing makes a plan no worse either: who lacks
60 L is not saved by 5. Common practice, no source."""

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
    """Return a list with its litres rounded up: an order that no rounding of a clock turns.

    >>> in_whole_litres(((1, 79.65), (1, 79.02)))
    ((1, 80.0), (1, 79.0))
    """
    return tuple((verdict, float(math.ceil(litres - UNSEEN_L))) for verdict, litres in items)


def all_in_whole_litres(lists: Iterable[WorstFirst]) -> list[WorstFirst]:
    """Return some lists so, in their order."""
    return [in_whole_litres(one) for one in lists]


def measure_of(lists: Sequence[WorstFirst]) -> tuple[list[WorstFirst], list[WorstFirst]]:
    """Return what the lists of the best plan are the smallest in: whole litres, then all digits.

    Others are held against these lists, so it must not hang on the order in which plans were made.
    """
    return all_in_whole_litres(lists), list(lists)


def is_near(items: WorstFirst, best: WorstFirst, part: float = 0.0) -> bool:
    """Whether a list is no worse than the best one by what matters.

    Item by item, the worst first, until one of both is the better: by its verdict, or under the
    same verdict by a litre and some part of what the other misses.

    >>> best = ((1, 28.0),)
    >>> [is_near(items, best) for items in (((1, 28.9),), ((1, 29.0),), ((1, 28.0), (0, 0.1)))]
    [True, False, False]
    """
    for (severe, litres), (least, least_l) in itertools.zip_longest(items, best, fillvalue=CLEAR):
        matters_l = max(MARGIN_L, part * max(litres, least_l))
        if severe != least or abs(litres - least_l) >= matters_l:
            return (severe, litres) < (least, least_l)
    return True
