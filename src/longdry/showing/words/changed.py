"""What became better or worse from one plan of a trip to the next, in one line."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from longdry.model.plan.headline import HeadlineLevel
from longdry.model.plan.plan import Plan
from longdry.model.words import Verdict
from longdry.showing.words.amounts import need_words
from longdry.showing.words.headline import headline_words
from longdry.showing.words.measures import Measures

_LEVELS = tuple(HeadlineLevel)
"""The worst first."""
_BAD = (Verdict.TOO_LONG, Verdict.SHORT_RATION, Verdict.INTO_RESERVE)
_ONLY = {True: "Better", False: "Worse"}


def changed_words(before: Plan, now: Plan, measures: Measures) -> str:
    """Say what became better or worse; empty where none of these figures is another.

    Headline, litres missing at the worst stretch, stretches that are not clear, longest way without
    water, and the most to carry.
    """
    if not _same_line(before, now):
        return "Another way to travel: its figures are not compared with those before."
    told: dict[bool, list[str]] = {True: [], False: []}
    for is_better, words in _differences(before, now, measures):
        told[is_better].append(words)
    parts = [f"{_ONLY[which]}: {', '.join(told[which])}." for which in (False, True) if told[which]]
    return " ".join(parts)


def _same_line(before: Plan, now: Plan) -> bool:
    one, other = before.measured.route, now.measured.route
    return np.array_equal(one.lat_deg, other.lat_deg) and np.array_equal(one.lon_deg, other.lon_deg)


def _differences(before: Plan, now: Plan, measures: Measures) -> Iterator[tuple[bool, str]]:
    """Yield whether it is better, and the words."""
    levels = [_LEVELS.index(plan.headline.level) for plan in (before, now)]
    if levels[0] != levels[1]:
        yield levels[1] > levels[0], f"“{headline_words(now)}”, not “{headline_words(before)}”"
    yield from _less(
        "missing at the worst stretch",
        _missing_l(before), _missing_l(now), lambda litres: need_words(litres, measures),
    )  # fmt: skip
    bad = [sum(one.verdict in _BAD for one in plan.stretches) for plan in (before, now)]
    if bad[0] != bad[1]:
        yield bad[1] < bad[0], f"stretches not clear {bad[1]}, before {bad[0]}"
    yield from _less(
        "longest without water",
        before.longest_without_water.length_km,
        now.longest_without_water.length_km,
        measures.way,
    )
    yield from _less(
        "most to carry",
        before.most_to_carry.litres, now.most_to_carry.litres,
        lambda litres: need_words(litres, measures),
    )  # fmt: skip


def _missing_l(plan: Plan) -> float:
    return plan.stretches[plan.longest.worst - 1].missing_l


def _less(
    what: str, before: float, now: float, words: Callable[[float], str]
) -> Iterator[tuple[bool, str]]:
    """Yield a difference of a figure that is better where it is less, if it shows."""
    if words(before) != words(now):
        yield now < before, f"{what} {words(now)}, before {words(before)}"
