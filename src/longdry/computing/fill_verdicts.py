"""The best verdicts that any filling can reach, found going forward with everything filled.

For given rations and a given sharing out of the containers, filling to the brim of what is allowed
leaves the party, everywhere at once, with the most potable and the most total water. So the search
is only over rations and sharings out; a state that has no more water, no cleaner containers and no
better verdicts behind it than another one is dropped.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from longdry.computing.container_split import Split
from longdry.computing.fill_terms import LegTerms, Litres, StopTerms, Terms

CLEAR, INTO_RESERVE, SHORT_LEAN, SHORT_BARE, TOO_LONG = range(5)
Cost = tuple[int, int, int, int, int, int, int]
"""Legs too long, bare, lean, into reserve; missing and reserve short in mL; order."""
NO_COST: Cost = (0, 0, 0, 0, 0, 0, 0)


@dataclass(frozen=True, slots=True)
class LegFate:
    """What becomes of one leg."""

    severity: int
    need: Litres
    """On the ration that the party is on."""
    missing_ml: int
    reserve_short_ml: int

    @property
    def is_too_long(self) -> bool:
        """Whether all water is gone before its end."""
        return self.severity == TOO_LONG

    def arriving(self, leaving: Litres) -> Litres:
        """Give what is left at the end: lower water is used first, wherever it may be."""
        if self.is_too_long:
            return Litres(0, 0)
        total = leaving.total - self.need.total
        return Litres(min(leaving.potable - self.need.potable, total), total)


@dataclass(frozen=True, slots=True)
class Step:
    """One stop and the leg after it, on the way of a search; linked to the step before."""

    before: Step | None
    leaving: Litres
    split: Split | None
    """None where nothing may be moved: a start without water."""
    fate: LegFate


@dataclass(frozen=True, slots=True)
class _State:
    """On arriving at a stop."""

    board: Litres
    tainted: int
    cost: Cost
    step: Step | None


def best_steps(terms: Terms) -> tuple[tuple[Step, ...], Cost]:
    """Find the steps of the best verdicts, everything filled at every stop."""
    bounds = _bounds(terms)
    eager = _search(terms, bounds, None)
    if eager.cost == bounds[0]:
        return _steps(eager), eager.cost
    best = _search(terms, bounds, eager.cost)
    return _steps(best), best.cost


def _search(terms: Terms, bounds: list[Cost], ceiling: Cost | None) -> _State:
    """Go forward; without a ceiling only the best ration of each state is followed."""
    states = [_State(terms.start, terms.start_tainted, NO_COST, None)]
    for k, leg in enumerate(terms.legs):
        ends = []
        for state in states:
            for leaving, split, tainted in topped_up(terms, k, state.board, state.tainted):
                for fate in _fates(leg, leaving, is_eager=ceiling is None):
                    cost = _added(state.cost, _cost_of(fate, k))
                    if ceiling is None or _added(cost, bounds[k + 1]) <= ceiling:
                        step = Step(state.step, leaving, split, fate)
                        ends.append(_State(fate.arriving(leaving), tainted, cost, step))
        states = _undominated(ends)
    return min(states, key=lambda s: s.cost)


def topped_up(
    terms: Terms, k: int, board: Litres, tainted: int
) -> Iterator[tuple[Litres, Split | None, int]]:
    """Give the fullest ways of leaving a stop: on board, sharing out, lasting marks."""
    stop = terms.stops[k]
    if k == 0 and stop.supply.total == 0:
        yield board, None, tainted
        return
    for split in splits_at(terms, k, tainted):
        yield _most(stop, split, board, terms.capacity_ml), split, split.lasting


def splits_at(terms: Terms, k: int, tainted: int) -> Iterator[Split]:
    """Give the sharings out that respect the lasting marks.

    Where no later leg asks for water that cannot be treated on the way, giving every container
    that may take it to lower water is never worse.
    """
    if not terms.wants_potable[k]:
        yield terms.widest
        return
    for split in terms.splits:
        if split.lasting & tainted == tainted:
            yield split


def _most(stop: StopTerms, split: Split, board: Litres, capacity_ml: int) -> Litres:
    total = min(board.total + stop.supply.total, capacity_ml)
    potable = min(board.potable + stop.supply.potable, split.potable_ml, total)
    return Litres(potable, min(total, potable + split.lower_ml))


def _fates(leg: LegTerms, leaving: Litres, *, is_eager: bool) -> Iterator[LegFate]:
    """Give what can become of a leg, the best first."""
    found = False
    for ration, need in enumerate(leg.needs):
        if leaving.potable < need.potable or leaving.total < need.total:
            continue
        if found and is_eager:
            return
        found = True
        total = leaving.total - need.total
        potable = min(leaving.potable - need.potable, total)
        short = max(0, leg.reserve.potable - potable, leg.reserve.total - total)
        severity = (INTO_RESERVE if short else CLEAR, SHORT_LEAN, SHORT_BARE)[ration]
        yield LegFate(severity, need, 0, short)
    if not found:
        need = leg.needs[-1]
        missing = max(need.potable - leaving.potable, need.total - leaving.total)
        yield LegFate(TOO_LONG, need, missing, 0)


def _cost_of(fate: LegFate, k: int) -> Cost:
    counts = [int(fate.severity == s) for s in (TOO_LONG, SHORT_BARE, SHORT_LEAN, INTO_RESERVE)]
    order = fate.severity * 5**k
    return (*counts, fate.missing_ml, fate.reserve_short_ml, order)  # type: ignore[return-value]


def _added(one: Cost, other: Cost) -> Cost:
    return tuple(map(int.__add__, one, other))  # type: ignore[return-value]


def _bounds(terms: Terms) -> list[Cost]:
    """Bound the cost of all legs from each stop on: each leg begun with all that ever fits."""
    most = Litres(max(s.potable_ml for s in terms.splits), terms.capacity_ml)
    fixed = terms.stops[0].supply.total == 0
    bounds = [NO_COST]
    for k in range(len(terms.legs) - 1, -1, -1):
        leaving = terms.start if k == 0 and fixed else most
        best = min(_cost_of(fate, k) for fate in _fates(terms.legs[k], leaving, is_eager=False))
        bounds.append(_added(best, bounds[-1]))
    return bounds[::-1]


def _undominated(states: list[_State]) -> list[_State]:
    kept: list[_State] = []
    for state in sorted(states, key=lambda s: (s.cost, -s.board.total, -s.board.potable)):
        if not any(_beats(other, state) for other in kept):
            kept.append(state)
    return kept


def _beats(one: _State, other: _State) -> bool:
    """Whether one is no worse in everything; its cost is known to be no more."""
    return (
        one.board.potable >= other.board.potable
        and one.board.total >= other.board.total
        and one.tainted & ~other.tainted == 0
    )


def _steps(state: _State) -> tuple[Step, ...]:
    found = []
    step = state.step
    while step:
        found.append(step)
        step = step.before
    return tuple(reversed(found))
