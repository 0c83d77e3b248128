"""How good the verdicts of the rest of the way can be at best, from what is on board.

Going backward, each ration of a leg asks for something on board at its beginning. Kept are, for
each stop, what must be on board on arriving there and how many legs then get which verdict. How
many litres are missing on the others is left out: so it is a bound, never worse than what can
really be reached.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from longdry.computing.fills.sharing import Assignment
from longdry.computing.fills.terms import LegTerms, Litres, Terms

COUNT_BITS = 24
LITRE_BITS = 64


def packed(counts: Sequence[int], missing_ml: int = 0, short_ml: int = 0) -> int:
    """Put the tiers into one number: sums and comparisons of it are those of the tiers."""
    number = 0
    for count in counts:
        number = number << COUNT_BITS | count
    number = number << LITRE_BITS | missing_ml
    return number << LITRE_BITS | short_ml


_CHOICES: tuple[tuple[int, bool, int], ...] = (
    (0, True, 0),
    (0, False, packed((0, 0, 0, 1))),
    (1, False, packed((0, 0, 1, 0))),
    (2, False, packed((0, 1, 0, 0))),
)
"""Ration, whether the reserve is kept, and what it costs."""
_TOO_LONG = packed((1, 0, 0, 0))


@dataclass(frozen=True, slots=True)
class Bound:
    """With at least this on board, the rest of the way can come to this."""

    board: Litres
    clean: int
    """Bits of the containers that cannot be cleaned and must not have held lower water."""
    cost: int


_NOTHING_WANTED = Bound(Litres(0, 0), 0, 0)
HOPELESS = packed((1 << COUNT_BITS, 0, 0, 0))
"""More than any plan costs."""
Bounds = tuple[tuple[Bound, ...], ...]
"""For each stop, on arriving there: prospects, the best first."""


def bounds_of(terms: Terms, ceiling: int) -> Bounds:
    """Bound the verdicts of the rest of the way from every stop on.

    Prospects that cannot be part of a plan of at most the cost ``ceiling`` are left out.
    """
    behind = _costs_behind(terms)
    prospects = [_NOTHING_WANTED]
    found = [tuple(prospects)]
    for k in range(len(terms.legs) - 1, -1, -1):
        leavings = [
            Bound(leaving, prospect.clean, cost)
            for prospect in prospects
            for leaving, cost in _leavings(terms.legs[k], prospect)
            if cost + behind[k] <= ceiling
        ]
        wanted = [
            Bound(board, clean, leaving.cost)
            for leaving in _undominated(leavings)
            for board, clean in _arriving(terms, k, leaving.board, leaving.clean)
        ]
        prospects = _undominated(wanted)
        found.append(tuple(prospects))
    return tuple(reversed(found))


def best_cost(prospects: Sequence[Bound], board: Litres, tainted: int) -> int:
    """Give the least cost that what is on board allows."""
    potable, total = board.potable, board.total
    for prospect in prospects:
        wanted = prospect.board
        if wanted.potable <= potable and wanted.total <= total and not prospect.clean & tainted:
            return prospect.cost
    return HOPELESS


def _costs_behind(terms: Terms) -> list[int]:
    """Bound the cost of all legs before each stop: each leg begun with all that ever fits."""
    most = Litres(max(split.potable_ml for split in terms.splits), terms.capacity_ml)
    costs = [0]
    for k, leg in enumerate(terms.legs):
        is_fixed = k == 0 and terms.stops[0].supply.total == 0
        costs.append(costs[-1] + _least_cost(leg, terms.start if is_fixed else most))
    return costs


def _least_cost(leg: LegTerms, leaving: Litres) -> int:
    for least, cost in _leavings(leg, _NOTHING_WANTED):
        if least.potable <= leaving.potable and least.total <= leaving.total:
            return cost
    return _TOO_LONG


def _leavings(leg: LegTerms, after: Bound) -> Iterator[tuple[Litres, int]]:
    """Give what to leave a stop with for each ration of the leg, and the cost from there."""
    for ration, keeps_reserve, cost in _CHOICES:
        need = leg.needs[ration]
        floor = leg.reserve if keeps_reserve else Litres(0, 0)
        potable = max(after.board.potable, floor.potable)
        total = max(after.board.total, floor.total, potable)
        yield Litres(potable + need.potable, total + need.total), after.cost + cost
    if after.board.total == 0:
        yield Litres(0, 0), after.cost + _TOO_LONG


def _arriving(terms: Terms, k: int, leaving: Litres, clean: int) -> Iterator[tuple[Litres, int]]:
    """Give what must be on board on arriving; nothing where the containers cannot hold it."""
    supply = terms.stops[k].supply
    if k == 0 and supply.total == 0:
        yield leaving, clean
        return
    if leaving.total > terms.capacity_ml:
        return
    for split, potable in widest_that_do(terms, k, leaving, clean):
        lacking = max(0, potable - supply.potable)
        board = Litres(lacking, max(lacking, leaving.total - supply.total))
        yield board, clean | (terms.lasting & ~split.lasting)


def widest_that_do(
    terms: Terms, k: int, least: Litres, clean: int
) -> Iterator[tuple[Assignment, int]]:
    """Give the sharings out that hold the least, each with the potable water that it asks for.

    One that gives fewer containers to lower water than another that does is never better.
    """
    chosen: list[Assignment] = []
    for split in reversed(terms.splits) if terms.wants_potable[k] else (terms.widest,):
        potable = max(least.potable, least.total - split.lower_ml)
        if split.lasting & clean or potable > split.potable_ml:
            continue
        if not any(_is_wider(other, split) for other in chosen):
            chosen.append(split)
            yield split, potable


def _is_wider(one: Assignment, other: Assignment) -> bool:
    return one.lower_ml >= other.lower_ml and other.lasting & ~one.lasting == 0


def _undominated(prospects: list[Bound]) -> list[Bound]:
    kept: list[Bound] = []
    boards: dict[int, list[tuple[int, int]]] = {}
    for one in sorted(prospects, key=lambda p: (p.cost, p.board.total, p.board.potable)):
        potable, total, clean = one.board.potable, one.board.total, one.clean
        if any(
            p <= potable and t <= total
            for marks, found in boards.items() if marks & ~clean == 0
            for p, t in found
        ):  # fmt: skip
            continue
        boards.setdefault(clean, []).append((potable, total))
        kept.append(one)
    return kept
