"""Litres as they are read off the containers: so many full, and a part of one."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Mapping

from longdry.model.plan.fills import Fill, VesselLevel
from longdry.showing.words.stops import Named, numbered, ranges

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
    others = sorted((s for s in shares if s < 1.0 - _FULL_WITHIN), reverse=True)
    for quarters, alike in itertools.groupby(others, lambda share: math.ceil(share * 4.0 - 1e-9)):
        count = len(list(alike))
        if quarters > 3:  # noqa: PLR2004 - more than three quarters
            parts.append(f"nearly {count} full")
        else:
            parts.append(
                f"{count} each {_QUARTERS[quarters]}" if count > 1 else _QUARTERS[quarters]
            )
    return " and ".join(parts)


def into_words(fill: Fill, sizes_l: Mapping[str, float]) -> list[tuple[str, str]]:
    """Return the name of each sort of container that water goes into, and which of them."""
    sorts: dict[str, list[int]] = {}
    for pour in fill.into:
        base, number = numbered(pour.vessel, sizes_l)
        sorts.setdefault(base, []).extend([int(number)] if number else [])
    return [(base, ranges(set(which))) for base, which in sorts.items()]
