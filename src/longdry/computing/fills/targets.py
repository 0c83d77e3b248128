"""How much of which grade to leave a stop with, and which containers take lower water."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from longdry.computing.fills.least import Leaving, least_leavings
from longdry.computing.fills.sharing import Assignment
from longdry.computing.fills.stops import fewest_taken
from longdry.computing.fills.terms import Litres, StopTerms, Terms
from longdry.computing.fills.verdicts import LegFate, Step


@dataclass(frozen=True, slots=True)
class StopTarget:
    """What a stop is to be left with."""

    board: Litres
    """At least this much potable water; just this much in all."""
    clean: int
    """Bits of the containers that must not hold lower water here, as they cannot be cleaned."""
    supply: Litres
    """What may be added here; nothing where the stop is passed by."""


@dataclass(frozen=True, slots=True)
class Target:
    """What a stop is left with."""

    board: Litres
    split: Assignment


def top_up_wishes(terms: Terms, steps: Sequence[Step]) -> tuple[StopTarget, ...]:
    """Wish for everything full, as the search for the best verdicts left it."""
    wishes = []
    for k, step in enumerate(steps):
        following = steps[k + 1].split if k + 1 < len(steps) else None
        clean = 0
        if following and terms.wants_potable[k + 1]:
            clean = terms.lasting & ~following.lasting
        wishes.append(StopTarget(step.leaving, clean, terms.stops[k].supply))
    return tuple(wishes)


def least_wishes(terms: Terms, fates: Sequence[LegFate]) -> tuple[StopTarget, ...]:
    """Wish for the least water on every leg, taken at the fewest stops."""
    supplies = [stop.supply for stop in terms.stops[:-1]]
    totals_ml = _totals_ml(terms, _leavings(terms, fates, supplies))
    taken = fewest_taken(terms, fates, totals_ml)
    used = [s if is_taken else Litres(0, 0) for s, is_taken in zip(supplies, taken, strict=True)]
    leavings = _leavings(terms, fates, used)
    return tuple(StopTarget(leaving.least, leaving.clean, supply)
                 for leaving, supply in zip(leavings, used, strict=True))  # fmt: skip


def _leavings(
    terms: Terms, fates: Sequence[LegFate], supplies: Sequence[Litres]
) -> tuple[Leaving, ...]:
    found = least_leavings(terms, fates, supplies)
    if found is None:
        raise AssertionError("what filling everything reached can be reached with less")
    return found[0]


def _totals_ml(terms: Terms, leavings: Sequence[Leaving]) -> list[int]:
    totals = [leaving.least.total for leaving in leavings]
    if totals and terms.stops[0].supply.total == 0:
        totals[0] = terms.start.total
    return totals


def target_of(terms: Terms, k: int, wish: StopTarget, board: Litres, tainted: int) -> Target | None:
    """Choose what to leave stop k with; None at a start without water, where nothing is moved.

    Potable water is had in plenty: as much of it as the containers allow. Else: no more of it than
    the way on asks for, so that little is treated here and little is taken from a short supply.
    """
    stop = terms.stops[k]
    if k == 0 and stop.supply.total == 0:
        return None
    found = list(_targets(terms, stop, wish, board, tainted))
    return min(found, key=lambda t: _rank(stop, t, board))


def _targets(
    terms: Terms, stop: StopTerms, wish: StopTarget, board: Litres, tainted: int
) -> Iterator[Target]:
    total = wish.board.total
    for split in terms.splits:
        if split.lasting & wish.clean or split.lasting & tainted != tainted:
            continue
        most = min(board.potable + wish.supply.potable, split.potable_ml, total)
        if stop.is_plenty:
            potable = most
        else:
            rise = max(0, total - board.total) if stop.is_potable else 0
            kept = min(board.potable + rise, most)
            potable = max(wish.board.potable, total - split.lower_ml, kept)
        if wish.board.potable <= potable <= most and total - potable <= split.lower_ml:
            yield Target(Litres(potable, total), split)


def _rank(stop: StopTerms, target: Target, board: Litres) -> tuple[int, int, int]:
    return _dear_ml(stop, target, board), -target.board.potable, target.split.lower.bit_count()


def _dear_ml(stop: StopTerms, target: Target, board: Litres) -> int:
    """Potable water that costs something: what is treated here, or more than the total rises by.

    Water taken from a potable source is potable as it comes; only what replaces lower water that
    is on board takes more from the source than the way on asks for.
    """
    added = 0 if stop.is_plenty else max(0, target.board.potable - board.potable)
    if not stop.is_potable:
        return added
    return max(0, added - max(0, target.board.total - board.total))
