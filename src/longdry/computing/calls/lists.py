"""Which of two plans is the better: by their stretches, the worst first."""

from __future__ import annotations

import math
from collections.abc import Iterable

from longdry.computing.stretches.verdicts import severity
from longdry.model.plan.stretch import DryStretch
from longdry.model.words import Verdict

LEAST_L = 0.05
"""Rounding of sums and of the clock, not water."""

Item = tuple[int, float]
"""Severity of the verdict and litres missing, in whole litres: nobody calls for less."""
WorstFirst = tuple[Item, ...]
"""Of all stretches that are not clear; of two such the smaller is the better."""


def item_of(verdict: Verdict, missing_l: float) -> Item:
    """Return one stretch as an item of a list."""
    return (severity(verdict), float(math.ceil(missing_l - LEAST_L)))


def worst_first_list(items: Iterable[Item]) -> WorstFirst:
    """Return some items as a list to compare: clear ones left out, as missing ones count as clear.

    >>> worst_first_list([]) < worst_first_list([(-1, 1.5)])
    True
    """
    clear = severity(Verdict.CLEAR)
    return tuple(sorted((one for one in items if one[0] > clear), reverse=True))


def list_of(stretches: Iterable[DryStretch]) -> WorstFirst:
    """Return the list of a plan."""
    return worst_first_list(item_of(one.verdict, one.missing_l) for one in stretches)
