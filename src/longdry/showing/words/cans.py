"""Litres as they are read off the containers: so many full, and a part of one."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from longdry.model.plan.fills import Fill, VesselLevel
from longdry.showing.words.stops import Named, numbered, ranges
from longdry.units import TOLERANCE_L

_FULL_WITHIN = 0.005
_QUARTERS = ("", "a quarter", "half", "three quarters")


def cans_words(levels: Iterable[VesselLevel], sizes_l: Mapping[str, float]) -> tuple[str, ...]:
    """Tell each sort of container: how many are full, and how far the others; quarters round up.

    >>> from longdry.model.words import Grade
    >>> cans = [VesselLevel(f"can {n}", held, Grade.POTABLE) for n, held in ((1, 20), (2, 4.2))]
    >>> "".join(cans_words(cans, {"can 1": 20.0, "can 2": 20.0}))
    'can: 1 full and a quarter'
    >>> cans = [VesselLevel(f"can {n}", 5.0, Grade.POTABLE) for n in (1, 2)]
    >>> "".join(cans_words(cans, {"can 1": 20.0, "can 2": 20.0}))
    'can: 2 each a quarter'
    >>> cans_words([], {})
    ('nothing',)
    """
    sorts: dict[str, list[float]] = {}
    for level in levels:
        size = sizes_l.get(level.vessel, 0.0)
        if level.litres <= 0.0 or size <= 0.0:
            continue
        base, _ = numbered(level.vessel, sizes_l)
        sorts.setdefault(base, []).append(min(level.litres / size, 1.0))
    parts: list[str] = []
    for base, shares in sorts.items():
        parts += ["; "] if parts else []
        parts += [Named(base), f": {_of_one_sort(shares)}"]
    return tuple(parts) or ("nothing",)


def _of_one_sort(shares: list[float]) -> str:
    full = sum(share >= 1.0 - _FULL_WITHIN for share in shares)
    parts = [f"{full} full"] if full else []
    levels = Counter(
        math.ceil(share * 4.0 - 1e-9) for share in shares if share < 1.0 - _FULL_WITHIN
    )
    for quarters, count in sorted(levels.items(), reverse=True):
        if quarters >= len(_QUARTERS):
            parts.append(f"nearly {count} full")
        else:
            parts.append(
                _QUARTERS[quarters] if count == 1 else f"{count} each {_QUARTERS[quarters]}"
            )
    return " and ".join(filter(None, (", ".join(parts[:-1]), parts[-1])))


def fewest_full(leaving: Sequence[VesselLevel], left_l: float, sizes_l: Mapping[str, float]) -> int:
    """Return how many of the largest containers must still be full, so much being left.

    Whoever has one can in use at a time, and another where two sorts of water are carried, has at
    least so many; with fewer, more is gone than the plan counts.

    Parameters
    ----------
    leaving
        What each container held on leaving the last water.

    Examples
    --------
    >>> from longdry.model.words import Grade
    >>> cans = [VesselLevel(f"can {n}", 20.0, Grade.POTABLE) for n in (1, 2, 3, 4)]
    >>> sizes = {can.vessel: 20.0 for can in cans}
    >>> [fewest_full(cans, left_l, sizes) for left_l in (80.0, 79.0, 60.0, 59.9, 0.0)]
    [4, 3, 3, 2, 0]
    """
    size_l = max(sizes_l.values(), default=0.0)
    held = [level for level in leaving if level.litres > 0.0]
    full = sum(
        level.litres >= size_l * (1.0 - _FULL_WITHIN)
        for level in held
        if sizes_l.get(level.vessel) == size_l
    )
    used_l = sum(level.litres for level in held) - left_l
    if not full or used_l <= TOLERANCE_L:
        return full
    opened = math.ceil(used_l / size_l - TOLERANCE_L) + len({level.grade for level in held}) - 1
    return max(0, full - opened)


def into_words(fill: Fill, sizes_l: Mapping[str, float]) -> list[tuple[str, str]]:
    """Return the name of each sort of container that water goes into, and which of them."""
    sorts: dict[str, list[int]] = {}
    for pour in fill.into:
        base, number = numbered(pour.vessel, sizes_l)
        sorts.setdefault(base, []).extend([int(number)] if number else [])
    return [(base, ranges(set(which))) for base, which in sorts.items()]
