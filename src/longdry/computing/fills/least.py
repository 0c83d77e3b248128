"""The least water to leave each stop with, found going backward from the end.

With the fate of every leg known, what must be on board on arriving at a stop follows from what
must be on board on leaving it less what the stop can add. For a given sharing out of the
containers the least is least everywhere at once, so it carries the fewest litre-kilometres; the
search is only over sharings out.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from longdry.computing.fills.bound import widest_that_do
from longdry.computing.fills.terms import LegTerms, Litres, Terms
from longdry.computing.fills.verdicts import LegFate


@dataclass(frozen=True, slots=True)
class Leaving:
    """The least to leave one stop with; linked to the stop after it."""

    after: Leaving | None
    least: Litres
    """Potable: what the way on asks for, whatever the containers."""
    clean: int
    """Bits of the containers that cannot be cleaned and must not have held lower water later."""


@dataclass(frozen=True, slots=True)
class _Wanted:
    """On arriving at a stop, so that the rest of the way can be done."""

    board: Litres
    clean: int
    litre_m: int
    leaving: Leaving | None


def least_leavings(
    terms: Terms, fates: Sequence[LegFate], supplies: Sequence[Litres]
) -> tuple[tuple[Leaving, ...], int] | None:
    """Find the least to leave each stop with, and the litre-metres (doubled) of all legs.

    Parameters
    ----------
    terms
        The problem.
    fates
        Of each leg.
    supplies
        What each stop can add; less than its own where it is to be passed by.

    Returns
    -------
    None where the fates cannot be had with these supplies.
    """
    wanted = [_Wanted(Litres(0, 0), 0, 0, None)]
    for k in range(len(terms.legs) - 1, -1, -1):
        wanted = _undominated(
            [
                before
                for after in wanted
                for before in _before(terms, k, fates[k], supplies[k], after)
            ]
        )
    able = [w for w in wanted if _is_met(terms, w)]
    if not able:
        return None
    best = min(able, key=lambda w: w.litre_m)
    return _chain(best), best.litre_m


def _before(
    terms: Terms, k: int, fate: LegFate, supply: Litres, after: _Wanted
) -> Iterator[_Wanted]:
    """Give what is wanted on arriving at stop k, for each sharing out that does."""
    least = _least_leaving(terms.legs[k], fate, after.board)
    if least is None:
        return
    if k == 0 and terms.stops[0].supply.total == 0:
        litre_m = _litre_m(terms.legs[0], fate, terms.start)
        yield _Wanted(least, after.clean, after.litre_m + litre_m,
                      Leaving(after.leaving, least, after.clean))  # fmt: skip
        return
    if least.total > terms.capacity_ml:
        return
    litre_m = after.litre_m + _litre_m(terms.legs[k], fate, least)
    leaving = Leaving(after.leaving, least, after.clean)
    for split, potable in widest_that_do(terms, k, least, after.clean):
        clean = after.clean | (terms.lasting & ~split.lasting)
        yield _Wanted(_arriving(Litres(potable, least.total), supply), clean, litre_m, leaving)


def _least_leaving(leg: LegTerms, fate: LegFate, after: Litres) -> Litres | None:
    if fate.is_too_long:
        if after.total:
            return None
        potable = max(0, fate.need.potable - fate.missing_ml)
        return Litres(potable, max(potable, fate.need.total - fate.missing_ml))
    short = fate.reserve_short_ml
    potable = max(after.potable, leg.reserve.potable - short)
    total = max(after.total, leg.reserve.total - short, potable)
    return Litres(potable + fate.need.potable, total + fate.need.total)


def _arriving(leaving: Litres, supply: Litres) -> Litres:
    potable = max(0, leaving.potable - supply.potable)
    return Litres(potable, max(potable, leaving.total - supply.total))


def _litre_m(leg: LegTerms, fate: LegFate, leaving: Litres) -> int:
    return leg.length_m * (leaving.total + fate.arriving(leaving).total)


def _is_met(terms: Terms, wanted: _Wanted) -> bool:
    return (
        wanted.board.potable <= terms.start.potable
        and wanted.board.total <= terms.start.total
        and wanted.clean & terms.start_tainted == 0
    )


def _undominated(wanted: list[_Wanted]) -> list[_Wanted]:
    kept: list[_Wanted] = []
    for one in sorted(wanted, key=lambda w: (w.litre_m, w.board.total, w.board.potable)):
        if not any(_beats(other, one) for other in kept):
            kept.append(one)
    return kept


def _beats(one: _Wanted, other: _Wanted) -> bool:
    """Whether one asks for no more in everything; its litre-metres are known to be no more."""
    return (
        one.board.potable <= other.board.potable
        and one.board.total <= other.board.total
        and one.clean & ~other.clean == 0
    )


def _chain(wanted: _Wanted) -> tuple[Leaving, ...]:
    found = []
    leaving = wanted.leaving
    while leaving:
        found.append(leaving)
        leaving = leaving.after
    return tuple(found)
