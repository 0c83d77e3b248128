"""The best verdicts that the rest of the way can still come to, from what is on board at a stop.

The search for the best verdicts goes forward and drops a state as soon as even this bound says
that it cannot win. The bound is found going backward from the end: for each stop, what must be on
board on arriving there so that the legs after it come to certain verdicts.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from longdry.computing.fills.sharing import Assignment
from longdry.computing.fills.terms import LegTerms, Litres, Terms

COUNT_BITS = 24
LITRE_BITS = 64


def tiers_in_one_number(counts: Sequence[int], missing_ml: int = 0, short_ml: int = 0) -> int:
    """Put the tiers of the objective into one number, so that a cost is a single integer.

    Each tier has bits of its own, more than any sum of it can fill: so sums and comparisons of the
    numbers are those of the tiers, and the first tier that differs decides.
    """
    number = 0
    for count in counts:
        number = number << COUNT_BITS | count
    number = number << LITRE_BITS | missing_ml
    return number << LITRE_BITS | short_ml


_CHOICES: tuple[tuple[int, bool, int], ...] = (
    (0, True, 0),
    (0, False, tiers_in_one_number((0, 0, 0, 1))),
    (1, False, tiers_in_one_number((0, 0, 1, 0))),
    (2, False, tiers_in_one_number((0, 1, 0, 0))),
)
"""Ration, whether the reserve is kept, and what it costs."""
_TOO_LONG = tiers_in_one_number((1, 0, 0, 0))


class Bound(NamedTuple):
    """With at least this on board, the rest of the way can come to this."""

    board: Litres
    clean: int
    """Bits of the containers that cannot be cleaned and must not have held lower water."""
    cost: int


_NOTHING_NEEDED = Bound(Litres(0, 0), 0, 0)
IMPOSSIBLE = tiers_in_one_number((1 << COUNT_BITS, 0, 0, 0))
"""More than any plan costs."""
Bounds = tuple[tuple[Bound, ...], ...]
"""For each stop, on arriving there: what can still be reached, the least cost first."""


def bounds_of(terms: Terms, ceiling: int) -> Bounds:
    """Bound the verdicts of the rest of the way from every stop on.

    Bounds that cannot be part of a plan of at most the cost ``ceiling`` are left out.
    """
    # Why it is a bound: a leg is charged for its verdict, but not for the litres that it lacks of
    # its need or its reserve. A real plan costs that much or more, so a state that is dropped
    # because of it could not have won.
    costs_before = _least_costs_before(terms)
    bounds = [_NOTHING_NEEDED]
    found = [tuple(bounds)]
    for k in range(len(terms.legs) - 1, -1, -1):
        on_leaving = [
            Bound(board, bound.clean, cost)
            for bound in bounds
            for board, cost in _needed_on_leaving(terms.legs[k], bound)
            if cost + costs_before[k] <= ceiling
        ]
        on_arriving = [
            Bound(board, clean, one.cost)
            for one in _undominated(on_leaving)
            for board, clean in _needed_on_arriving(terms, k, one.board, one.clean)
        ]
        bounds = _undominated(on_arriving)
        found.append(tuple(bounds))
    return tuple(reversed(found))


def best_cost(bounds: Sequence[Bound], board: Litres, tainted: int) -> int:
    """Give the least cost that what is on board allows."""
    potable, total = board.potable, board.total
    for bound in bounds:
        needed = bound.board
        if needed.potable <= potable and needed.total <= total and not bound.clean & tainted:
            return bound.cost
    return IMPOSSIBLE


def _least_costs_before(terms: Terms) -> list[int]:
    """Bound the cost of all legs before each stop: each leg begun with all that ever fits."""
    most = Litres(max(assignment.potable_ml for assignment in terms.assignments), terms.capacity_ml)
    costs = [0]
    for k, leg in enumerate(terms.legs):
        is_fixed = k == 0 and terms.stops[0].supply.total == 0
        costs.append(costs[-1] + _least_leg_cost(leg, terms.start if is_fixed else most))
    return costs


def _least_leg_cost(leg: LegTerms, on_leaving: Litres) -> int:
    for least, cost in _needed_on_leaving(leg, _NOTHING_NEEDED):
        if least.potable <= on_leaving.potable and least.total <= on_leaving.total:
            return cost
    return _TOO_LONG


def _needed_on_leaving(leg: LegTerms, after: Bound) -> Iterator[tuple[Litres, int]]:
    """Give what to leave a stop with for each ration of the leg, and the cost from there."""
    for ration, keeps_reserve, cost in _CHOICES:
        need = leg.needs[ration]
        floor = leg.reserve if keeps_reserve else Litres(0, 0)
        potable = max(after.board.potable, floor.potable)
        total = max(after.board.total, floor.total, potable)
        yield Litres(potable + need.potable, total + need.total), after.cost + cost
    if after.board.total == 0:
        yield Litres(0, 0), after.cost + _TOO_LONG


def _needed_on_arriving(
    terms: Terms, k: int, on_leaving: Litres, clean: int
) -> Iterator[tuple[Litres, int]]:
    """Give what must be on board on arriving; nothing where the containers cannot hold it."""
    supply = terms.stops[k].supply
    if k == 0 and supply.total == 0:
        yield on_leaving, clean
        return
    if on_leaving.total > terms.capacity_ml:
        return
    for assignment, potable in sufficient_assignments(terms, k, on_leaving, clean):
        lacking = max(0, potable - supply.potable)
        board = Litres(lacking, max(lacking, on_leaving.total - supply.total))
        yield board, clean | (terms.lasting & ~assignment.lasting)


def sufficient_assignments(
    terms: Terms, k: int, least: Litres, clean: int
) -> Iterator[tuple[Assignment, int]]:
    """Give the sharings out that hold the least, each with the potable water that it asks for.

    One that gives fewer containers to lower water than another that does is never better.
    """
    chosen: list[Assignment] = []
    for assignment in reversed(terms.assignments) if terms.wants_potable[k] else (terms.widest,):
        potable = max(least.potable, least.total - assignment.lower_ml)
        if assignment.lasting & clean or potable > assignment.potable_ml:
            continue
        if not any(_is_wider(other, assignment) for other in chosen):
            chosen.append(assignment)
            yield assignment, potable


def _is_wider(one: Assignment, other: Assignment) -> bool:
    return one.lower_ml >= other.lower_ml and other.lasting & ~one.lasting == 0


def _undominated(bounds: list[Bound]) -> list[Bound]:
    """Drop every bound that another one of no higher cost reaches with no more in anything."""
    kept: list[Bound] = []
    boards: dict[int, list[tuple[int, int]]] = {}
    for one in sorted(bounds, key=lambda p: (p.cost, p.board.total, p.board.potable)):
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
