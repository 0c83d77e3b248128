"""The fewest stops at which water is taken, with the least water on every leg.

The total on board is fixed on every leg. What is free is where potable water is taken instead of
lower water, and with it which stops can be passed by.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from longdry.computing.fills.terms import LegTerms, Litres, Terms
from longdry.computing.fills.verdicts import LegResult, assignments_at


class _TakingState(NamedTuple):
    """On arriving at a stop."""

    board: Litres
    tainted: int
    taken: tuple[bool, ...]

    @property
    def stops(self) -> int:
        """Stops at which water was taken."""
        return sum(self.taken)


def fewest_taken(
    terms: Terms,
    results: Sequence[LegResult],
    totals_ml: Sequence[int],
    supplies: Sequence[Litres],
) -> tuple[bool, ...]:
    """Tell for each stop but the end whether water is taken there.

    ``totals_ml`` is the least total to leave each stop with, ``supplies`` what each can add.
    """
    states = [_TakingState(terms.start, terms.start_tainted, ())]
    for k, leg in enumerate(terms.legs):
        ends = []
        for state in states:
            for leaving, tainted, is_taken in _ways_of_leaving(
                terms, k, state, totals_ml[k], supplies[k]
            ):
                if _is_enough(leg, results[k], leaving):
                    arriving = results[k].arriving(leaving)
                    ends.append(_TakingState(arriving, tainted, (*state.taken, is_taken)))
        states = _undominated(ends)
    return min(states, key=lambda s: s.stops).taken


def _ways_of_leaving(
    terms: Terms, k: int, state: _TakingState, total_ml: int, most: Litres
) -> Iterator[tuple[Litres, int, bool]]:
    if k == 0 and terms.stops[0].supply.total == 0:
        yield state.board, state.tainted, False
        return
    for assignment in assignments_at(terms, k, state.tainted):
        for supply, is_taken in ((Litres(0, 0), False), (most, True)):
            potable = min(state.board.potable + supply.potable, assignment.potable_ml, total_ml)
            fits = total_ml - potable <= assignment.lower_ml
            if fits and total_ml <= state.board.total + supply.total:
                yield Litres(potable, total_ml), assignment.lasting, is_taken


def _is_enough(leg: LegTerms, result: LegResult, leaving: Litres) -> bool:
    """Whether the leg comes to its result with what is on board at its beginning."""
    if result.is_too_long:
        return leaving.potable >= result.need.potable - result.missing_ml
    arriving = result.arriving(leaving)
    return arriving.potable >= max(0, leg.reserve.potable - result.reserve_short_ml)


def _undominated(states: list[_TakingState]) -> list[_TakingState]:
    kept: list[_TakingState] = []
    for state in sorted(states, key=lambda s: (s.stops, -s.board.potable)):
        if not any(_dominates(other, state) for other in kept):
            kept.append(state)
    return kept


def _dominates(one: _TakingState, other: _TakingState) -> bool:
    """Whether one is no worse in everything; its stops are known to be no more."""
    return one.board.potable >= other.board.potable and one.tainted & ~other.tainted == 0
