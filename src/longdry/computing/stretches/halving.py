"""Where a condition stops to hold, found by halving."""

from __future__ import annotations

from collections.abc import Callable


def halved(holds: Callable[[float], bool], good: float, bad: float, within: float) -> float:
    """Return a place where a condition still holds, less than ``within`` before where it fails.

    Parameters
    ----------
    holds
        True at ``good``, false at ``bad``, and turning once between them.
    within
        How near it shall be.

    >>> 2.99 < halved(lambda x: x <= 3.0, 0.0, 10.0, 0.01) <= 3.0
    True
    """
    while bad - good > within:
        middle = (good + bad) / 2.0
        if holds(middle):
            good = middle
        else:
            bad = middle
    return good
