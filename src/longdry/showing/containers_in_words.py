"""Containers by the names that the fill plan gives them, like ones told together."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable

from longdry.model.plan import Plan
from longdry.model.words import FillTo

_NUMBERED = re.compile(r"(?s)(.*) (\d+)")
_LONG_RUN = 3


def sizes_l(plan: Plan) -> dict[str, float]:
    """Size of each single container to the mark that it is filled to, by the fill plan's names."""
    brimful = plan.trip.policy.fill_to is FillTo.BRIMFUL
    sizes: dict[str, float] = {}
    for box in plan.trip.containers:
        size = box.brimful_l if brimful else box.rated_l
        for number in range(1, box.count + 1):
            sizes[f"{box.name} {number}" if box.count > 1 else box.name] = size
    return sizes


def numbered(vessel: str, known: Collection[str]) -> tuple[str, str]:
    """Take the number off a container of several; ``known`` are the names of all of them.

    >>> numbered("can 2", ["can 1", "can 2"]), numbered("Jerry 7", ["Jerry 7"])
    (('can', '2'), ('Jerry 7', ''))
    """
    found = _NUMBERED.fullmatch(vessel)
    return (found[1], found[2]) if found and f"{found[1]} 1" in known else (vessel, "")


def ranges(numbers: Iterable[int]) -> str:
    """Write numbers short.

    >>> ranges([1, 2, 3, 5, 7, 8]), ranges([4]), ranges([])
    ('1-3, 5, 7, 8', '4', '')
    """
    runs: list[list[int]] = []
    for number in sorted(numbers):
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    told = [
        f"{run[0]}-{run[-1]}" if len(run) >= _LONG_RUN else ", ".join(map(str, run)) for run in runs
    ]
    return ", ".join(told)
