"""The least water to leave each stop with, found going backward from the end.

With the verdict of every leg known, what must be on board on arriving at a stop is what must be on
board on leaving it less what the stop can add. For a given sharing out of the containers the least
is least everywhere at once, so it carries the fewest litres times km; the search is only over
sharings out.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from longdry.computing.fills.bound import sufficient_assignments
from longdry.computing.fills.terms import LegTerms, Litres, Terms
from longdry.computing.fills.verdicts import LegResult


class LeastLeaving(NamedTuple):
    """The least to leave one stop with; linked to the stop after it."""

    after: LeastLeaving | None
    least: Litres
    """Potable: what the way on asks for, whatever the containers."""
    clean: int
    """Bits of the containers that cannot be cleaned and must not have held lower water later."""


class _Needed(NamedTuple):
    """On arriving at a stop, so that the rest of the way can be done."""

    board: Litres
    clean: int
    litre_m: int
    leaving: LeastLeaving | None


def least_leavings(
    terms: Terms, results: Sequence[LegResult], supplies: Sequence[Litres]
) -> tuple[tuple[LeastLeaving, ...], int] | None:
    """Find the least to leave each stop with, and the litre-metres (doubled) of all legs.

    Parameters
    ----------
    terms
        The problem.
    results
        What becomes of each leg.
    supplies
        What each stop can add; less than its own where it is to be passed by.

    Returns
    -------
    None where the results cannot be had with these supplies.
    """
    needed = [_Needed(Litres(0, 0), 0, 0, None)]
    for k in range(len(terms.legs) - 1, -1, -1):
        needed = _undominated(
            [
                before
                for after in needed
                for before in _needed_before(terms, k, results[k], supplies[k], after)
            ]
        )
    able = [w for w in needed if _is_met(terms, w)]
    if not able:
        return None
    best = min(able, key=lambda w: w.litre_m)
    return _in_travel_order(best), best.litre_m


def _needed_before(
    terms: Terms, k: int, result: LegResult, supply: Litres, after: _Needed
) -> Iterator[_Needed]:
    """Give what is wanted on arriving at stop k, for each sharing out that does."""
    least = _least_leaving(terms.legs[k], result, after.board)
    if least is None:
        return
    if k == 0 and terms.stops[0].supply.total == 0:
        litre_m = _litre_m(terms.legs[0], result, terms.start)
        yield _Needed(least, after.clean, after.litre_m + litre_m,
                      LeastLeaving(after.leaving, least, after.clean))  # fmt: skip
        return
    if least.total > terms.capacity_ml:
        return
    litre_m = after.litre_m + _litre_m(terms.legs[k], result, least)
    leaving = LeastLeaving(after.leaving, least, after.clean)
    for assignment, potable in sufficient_assignments(terms, k, least, after.clean):
        clean = after.clean | (terms.lasting & ~assignment.lasting)
        yield _Needed(_arriving(Litres(potable, least.total), supply), clean, litre_m, leaving)


def _least_leaving(leg: LegTerms, result: LegResult, after: Litres) -> Litres | None:
    if result.is_too_long:
        if after.total:
            return None
        potable = max(0, result.need.potable - result.missing_ml)
        return Litres(potable, max(potable, result.need.total - result.missing_ml))
    short = result.reserve_short_ml
    potable = max(after.potable, leg.reserve.potable - short)
    total = max(after.total, leg.reserve.total - short, potable)
    return Litres(potable + result.need.potable, total + result.need.total)


def _arriving(leaving: Litres, supply: Litres) -> Litres:
    potable = max(0, leaving.potable - supply.potable)
    return Litres(potable, max(potable, leaving.total - supply.total))


def _litre_m(leg: LegTerms, result: LegResult, leaving: Litres) -> int:
    return leg.length_m * (leaving.total + result.arriving(leaving).total)


def _is_met(terms: Terms, needed: _Needed) -> bool:
    return (
        needed.board.potable <= terms.start.potable
        and needed.board.total <= terms.start.total
        and needed.clean & terms.start_tainted == 0
    )


def _undominated(needed: list[_Needed]) -> list[_Needed]:
    kept: list[_Needed] = []
    for one in sorted(needed, key=lambda w: (w.litre_m, w.board.total, w.board.potable)):
        if not any(_dominates(other, one) for other in kept):
            kept.append(one)
    return kept


def _dominates(one: _Needed, other: _Needed) -> bool:
    """Whether one asks for no more in everything; its litre-metres are known to be no more."""
    return (
        one.board.potable <= other.board.potable
        and one.board.total <= other.board.total
        and one.clean & ~other.clean == 0
    )


def _in_travel_order(needed: _Needed) -> tuple[LeastLeaving, ...]:
    found = []
    leaving = needed.leaving
    while leaving:
        found.append(leaving)
        leaving = leaving.after
    return tuple(found)
