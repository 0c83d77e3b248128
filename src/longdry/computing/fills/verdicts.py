"""The best verdicts that any filling can reach, found going forward with everything filled.

Filling to the brim is enough to know the best verdicts: for given rations and a given sharing out
of the containers it leaves the party, everywhere at once, with the most potable and the most total
water (the proof stands in ``docs/why/fill-plan.md``). So the search is only over rations and
sharings out.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from longdry.computing.fills.bound import (
    LITRE_BITS,
    Bound,
    Bounds,
    best_cost,
    bounds_of,
    tiers_in_one_number,
)
from longdry.computing.fills.sharing import Assignment
from longdry.computing.fills.terms import LegTerms, Litres, StopTerms, Terms

CLEAR, INTO_RESERVE, SHORT_LEAN, SHORT_BARE, TOO_LONG = range(5)
LOOK_WIDTH = 4
QUICK_WIDTH = 16
"""States kept at each stop in the search for a ceiling."""
FULL_WIDTH = 2000
"""States kept at each stop in the search proper; beyond it the plan is not proved best."""


class LegResult(NamedTuple):
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
        potable = leaving.potable - self.need.potable
        return Litres(min(potable, total), total)


class Step(NamedTuple):
    """One stop and the leg after it, on the way of a search."""

    leaving: Litres
    assignment: Assignment | None
    """None where nothing may be moved: a start without water."""
    result: LegResult


class _SearchState(NamedTuple):
    """On arriving at a stop; linked to the state at the stop before."""

    board: Litres
    tainted: int
    cost: int = 0
    order: int = 0
    """Severity of leg k times 5**k, all legs so far; compared where costs are equal."""
    before: _SearchState | None = None
    step: Step | None = None
    """From the stop before to here."""


@dataclass(frozen=True, slots=True)
class SearchResult:
    """The best verdicts."""

    steps: tuple[Step, ...]
    is_proved: bool
    """False where the search had to leave states out: something better may exist."""


def best_steps(terms: Terms, *, thorough: bool = True) -> SearchResult:
    """Find the steps of the best verdicts, everything filled at every stop.

    Parameters
    ----------
    thorough
        False: where not every leg can be clear, only a quick look, which proves nothing.
    """
    start = _SearchState(terms.start, terms.start_tainted)
    found = _all_clear(terms, start)
    if found:
        return found
    return _best_of_bad(terms, start) if thorough else _quick_look(terms, start)


def _quick_look(terms: Terms, start: _SearchState) -> SearchResult:
    quick, _ = _best_found(terms, start, None, QUICK_WIDTH)
    return SearchResult(_steps(quick), is_proved=False)


def _all_clear(terms: Terms, start: _SearchState) -> SearchResult | None:
    """Find steps that leave every leg clear; None where no filling can."""
    # With nothing to pay the bound is exact: where it allows a state, the filling that it was
    # made from keeps every leg clear. So one state at each stop leads there, and no search is cut.
    all_bounds = bounds_of(terms, 0)
    if _least_total_cost(start, all_bounds[0]):
        return None
    best, _ = _best_found(terms, start, (all_bounds, 0), 1)
    return SearchResult(_steps(best), is_proved=True)


def _best_of_bad(terms: Terms, start: _SearchState) -> SearchResult:
    """Find the best steps by narrowing the ceiling: a quick look, a good plan, the best one."""
    quick, _ = _best_found(terms, start, None, LOOK_WIDTH)
    all_bounds = bounds_of(terms, quick.cost)
    good, is_proved = _improved(terms, start, (all_bounds, quick), QUICK_WIDTH)
    if is_proved:
        return SearchResult(_steps(good), is_proved=True)
    best, is_proved = _improved(terms, start, (all_bounds, good), FULL_WIDTH)
    return SearchResult(_steps(best), is_proved)


def _improved(
    terms: Terms, start: _SearchState, known: tuple[Bounds, _SearchState], width: int
) -> tuple[_SearchState, bool]:
    """Search under the cost of a known end; tell whether the better of both is proved best.

    The bounds leave litres missing out, so a narrow search may keep only states that look best and
    all end above the ceiling, the way to the known end being left out: that one stays then.
    """
    all_bounds, end = known
    ends, is_proved = _searched_forward(terms, start, (all_bounds, end.cost), width)
    return _best_end([*ends, end]), is_proved and bool(ends)


def _best_found(
    terms: Terms, start: _SearchState, within_bounds: tuple[Bounds, int] | None, width: int
) -> tuple[_SearchState, bool]:
    """Go forward to the best end; tell whether nothing was left out for want of width."""
    ends, is_proved = _searched_forward(terms, start, within_bounds, width)
    return _best_end(ends), is_proved


def _best_end(ends: list[_SearchState]) -> _SearchState:
    return min(ends, key=lambda s: (s.cost, s.order))


def _searched_forward(
    terms: Terms, start: _SearchState, within_bounds: tuple[Bounds, int] | None, width: int
) -> tuple[list[_SearchState], bool]:
    """Go forward to all ends worth keeping; tell whether nothing was left out for want of width.

    Given bounds and a ceiling, states that cannot come out under the ceiling are dropped.
    """
    states, is_proved = [start], True
    for k in range(len(terms.legs)):
        ends = [end for state in states for end in _states_after(terms, k, state)]
        bounds, ceiling = (within_bounds[0][k + 1], within_bounds[1]) if within_bounds else ((), 0)
        if within_bounds:
            ends = [end for end in ends if _least_total_cost(end, bounds) <= ceiling]
        states = _undominated(ends)
        if len(states) > width:
            is_proved = False
            states = _most_promising(states, bounds, width)
    return states, is_proved


def _most_promising(
    states: list[_SearchState], bounds: Sequence[Bound], width: int
) -> list[_SearchState]:
    if not bounds:
        return _cheapest_and_fullest(states, width)
    return sorted(states, key=lambda s: _least_total_cost(s, bounds))[:width]


def _cheapest_and_fullest(states: list[_SearchState], width: int) -> list[_SearchState]:
    """Keep some from each end and between.

    Who only looks at what it cost so far spares no water and dries up later.
    """
    half = width // 2
    fuller = sorted(states[half:], key=lambda s: (-s.board.total, -s.board.potable))
    picked = width - half
    return [*states[:half], *(fuller[at * len(fuller) // picked] for at in range(picked))]


def _states_after(terms: Terms, k: int, state: _SearchState) -> Iterator[_SearchState]:
    """Give all states in which a leg can be ended."""
    leg, times = terms.legs[k], 5**k
    for leaving, assignment, tainted in topped_up(terms, k, state.board, state.tainted):
        for result in _results(leg, leaving):
            yield _SearchState(
                result.arriving(leaving),
                tainted,
                state.cost + cost_in_tiers(result),
                state.order + result.severity * times,
                state,
                Step(leaving, assignment, result),
            )


def _least_total_cost(state: _SearchState, bounds: Sequence[Bound]) -> int:
    """Give the least that the whole way can cost from here."""
    return state.cost + best_cost(bounds, state.board, state.tainted)


def topped_up(
    terms: Terms, k: int, board: Litres, tainted: int
) -> Iterator[tuple[Litres, Assignment | None, int]]:
    """Give the fullest ways of leaving a stop: on board, sharing out, lasting marks."""
    stop = terms.stops[k]
    if k == 0 and stop.supply.total == 0:
        yield board, None, tainted
        return
    seen: list[tuple[Litres, int]] = []
    for assignment in assignments_at(terms, k, tainted):
        board_after = _fullest(stop, assignment, board, terms.capacity_ml)
        if not any(
            other.potable >= board_after.potable
            and other.total >= board_after.total
            and marks & ~assignment.lasting == 0
            for other, marks in seen
        ):
            seen.append((board_after, assignment.lasting))
            yield board_after, assignment, assignment.lasting


def assignments_at(terms: Terms, k: int, tainted: int) -> Iterator[Assignment]:
    """Give the sharings out that respect the lasting marks.

    Where no later leg asks for water that cannot be treated on the way, giving every container
    that may take it to lower water is never worse.
    """
    if not terms.wants_potable[k]:
        yield terms.widest
        return
    for assignment in terms.assignments:
        if assignment.lasting & tainted == tainted:
            yield assignment


def _fullest(stop: StopTerms, assignment: Assignment, board: Litres, capacity_ml: int) -> Litres:
    total = min(board.total + stop.supply.total, capacity_ml)
    potable = min(board.potable + stop.supply.potable, assignment.potable_ml, total)
    return Litres(potable, min(total, potable + assignment.lower_ml))


def _results(leg: LegTerms, leaving: Litres) -> Iterator[LegResult]:
    """Give what can become of a leg, the best first."""
    found = False
    for ration, need in enumerate(leg.needs):
        if leaving.potable < need.potable or leaving.total < need.total:
            continue
        found = True
        total = leaving.total - need.total
        potable = min(leaving.potable - need.potable, total)
        short = max(0, leg.reserve.potable - potable, leg.reserve.total - total)
        severity = (INTO_RESERVE if short else CLEAR, SHORT_LEAN, SHORT_BARE)[ration]
        yield LegResult(severity, need, 0, short)
    if not found:
        need = leg.needs[-1]
        missing = max(need.potable - leaving.potable, need.total - leaving.total)
        yield LegResult(TOO_LONG, need, missing, 0)


def cost_in_tiers(result: LegResult) -> int:
    """Put what a leg adds to the first tiers into one number that compares as they do."""
    litres = result.missing_ml << LITRE_BITS | result.reserve_short_ml
    return _COST_OF_SEVERITY[result.severity] | litres


_COST_OF_SEVERITY = tuple(
    tiers_in_one_number([severity == tier for tier in range(TOO_LONG, CLEAR, -1)])
    for severity in range(CLEAR, TOO_LONG + 1)
)


def _undominated(states: list[_SearchState]) -> list[_SearchState]:
    """Drop every state that one of no higher cost is no worse than in everything."""
    # Dominance: with no less potable water, no less water in all and no more containers spoilt,
    # the other state can follow every way that this one can, and at no higher cost. Sorted by
    # cost first, so that a state can only be beaten by one that is kept already.
    kept: list[_SearchState] = []
    boards: dict[int, list[tuple[int, int]]] = {}
    for state in sorted(states, key=_rank):
        potable, total, tainted = state.board.potable, state.board.total, state.tainted
        if any(
            p >= potable and t >= total
            for mark, found in boards.items() if mark & ~tainted == 0
            for p, t in found
        ):  # fmt: skip
            continue
        boards.setdefault(tainted, []).append((potable, total))
        kept.append(state)
    return kept


def _rank(state: _SearchState) -> tuple[int, int, int, int]:
    return state.cost, state.order, -state.board.total, -state.board.potable


def _steps(state: _SearchState) -> tuple[Step, ...]:
    found = []
    while state.step and state.before:
        found.append(state.step)
        state = state.before
    return tuple(reversed(found))
