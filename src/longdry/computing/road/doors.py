"""Whether a door on the way may be shut for somebody who sets out within a span of minutes."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

from longdry.computing.clock.day_rules import hours_until_open
from longdry.units import HOURS_PER_DAY

_CUTS = 16
"""Halvings of the span: twelve hours are cut down to a second."""


def may_be_shut(
    open_h: tuple[float, float] | None, longest_wait_h: float, arrives_h: Callable[[float], float]
) -> bool:
    """Tell whether one of them finds the door shut for longer than a party waits for it.

    Who comes before it closes and who comes after the night may both find it open, and one between
    them does not: the first who comes after each closing is asked.

    Parameters
    ----------
    arrives_h
        The hour of arrival, by the share of the span from 0 to 1: it never falls.

    Examples
    --------
    Open from 8 to 14; they come between 13 and 9 the next day, and none between 15 and 8:

    >>> may_be_shut((8.0, 14.0), 2.0, lambda share: 13.0 + 4.0 * share + 15.0 * (share > 0.5))
    True
    >>> may_be_shut((8.0, 15.0), 2.0, lambda share: 13.0 + 4.0 * share + 15.0 * (share > 0.5))
    False
    """
    if open_h is None:
        return False
    earliest_h, latest_h = arrives_h(0.0), arrives_h(1.0)
    after = (
        _first_after(closes_h, arrives_h) for closes_h in _closings(open_h, earliest_h, latest_h)
    )
    return any(
        hours_until_open(open_h, hour) > longest_wait_h for hour in (earliest_h, latest_h, *after)
    )


def _closings(open_h: tuple[float, float], earliest_h: float, latest_h: float) -> Iterator[float]:
    """Yield the hours between two arrivals at which the door is shut."""
    day = math.floor((earliest_h - open_h[1]) / HOURS_PER_DAY) + 1
    while open_h[1] + day * HOURS_PER_DAY < latest_h:
        yield open_h[1] + day * HOURS_PER_DAY
        day += 1


def _first_after(hour: float, arrives_h: Callable[[float], float]) -> float:
    """Return when the first one comes who comes after an hour."""
    before, after = 0.0, 1.0
    for _ in range(_CUTS):
        middle = (before + after) / 2.0
        before, after = (middle, after) if arrives_h(middle) <= hour else (before, middle)
    return arrives_h(after)
