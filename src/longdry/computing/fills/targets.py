"""How much of which grade to leave a stop with, and which containers take lower water."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from longdry.computing.fills.least import LeastLeaving, least_leavings
from longdry.computing.fills.sharing import Assignment
from longdry.computing.fills.stops import fewest_taken
from longdry.computing.fills.terms import Litres, StopTerms, Terms
from longdry.computing.fills.verdicts import LegResult, Step


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
class ChosenLoad:
    """What a stop is left with."""

    board: Litres
    assignment: Assignment


def top_up_targets(terms: Terms, steps: Sequence[Step]) -> tuple[StopTarget, ...]:
    """Ask for everything full, as the search for the best verdicts left it."""
    stop_targets = []
    for k, step in enumerate(steps):
        following = steps[k + 1].assignment if k + 1 < len(steps) else None
        clean = 0
        if following and terms.wants_potable[k + 1]:
            clean = terms.lasting & ~following.lasting
        stop_targets.append(StopTarget(step.leaving, clean, terms.stops[k].supply))
    return tuple(stop_targets)


def least_targets(terms: Terms, results: Sequence[LegResult]) -> tuple[StopTarget, ...]:
    """Ask for the least water on every leg, taken at the fewest stops."""
    supplies = [stop.supply for stop in terms.stops[:-1]]
    totals_ml = _totals_ml(terms, _reachable_leavings(terms, results, supplies))
    taken = fewest_taken(terms, results, totals_ml)
    used = [s if is_taken else Litres(0, 0) for s, is_taken in zip(supplies, taken, strict=True)]
    leavings = _reachable_leavings(terms, results, used)
    return tuple(StopTarget(leaving.least, leaving.clean, supply)
                 for leaving, supply in zip(leavings, used, strict=True))  # fmt: skip


def _reachable_leavings(
    terms: Terms, results: Sequence[LegResult], supplies: Sequence[Litres]
) -> tuple[LeastLeaving, ...]:
    found = least_leavings(terms, results, supplies)
    if found is None:
        raise AssertionError("what filling everything reached can be reached with less")
    return found[0]


def _totals_ml(terms: Terms, leavings: Sequence[LeastLeaving]) -> list[int]:
    totals = [leaving.least.total for leaving in leavings]
    if totals and terms.stops[0].supply.total == 0:
        totals[0] = terms.start.total
    return totals


def choose_load(
    terms: Terms, k: int, stop_target: StopTarget, board: Litres, tainted: int
) -> ChosenLoad | None:
    """Choose what to leave stop k with; None at a start without water, where nothing is moved.

    Potable water is had in plenty: as much of it as the containers allow. Else: no more of it than
    the way on asks for, so that little is treated here and little is taken from a short supply.
    """
    stop = terms.stops[k]
    if k == 0 and stop.supply.total == 0:
        return None
    found = list(_possible_loads(terms, stop, stop_target, board, tainted))
    return min(found, key=lambda t: _rank(stop, t, board))


def _possible_loads(
    terms: Terms, stop: StopTerms, stop_target: StopTarget, board: Litres, tainted: int
) -> Iterator[ChosenLoad]:
    total = stop_target.board.total
    for assignment in terms.assignments:
        if assignment.lasting & stop_target.clean or assignment.lasting & tainted != tainted:
            continue
        most = min(board.potable + stop_target.supply.potable, assignment.potable_ml, total)
        if stop.is_unlimited:
            potable = most
        else:
            rise = max(0, total - board.total) if stop.is_potable else 0
            kept = min(board.potable + rise, most)
            potable = max(stop_target.board.potable, total - assignment.lower_ml, kept)
        if stop_target.board.potable <= potable <= most and total - potable <= assignment.lower_ml:
            yield ChosenLoad(Litres(potable, total), assignment)


def _rank(stop: StopTerms, load: ChosenLoad, board: Litres) -> tuple[int, int, int]:
    return (
        _costly_potable_ml(stop, load, board),
        -load.board.potable,
        load.assignment.lower.bit_count(),
    )


def _costly_potable_ml(stop: StopTerms, load: ChosenLoad, board: Litres) -> int:
    """Potable water that costs something: what is treated here, or more than the total rises by.

    Water taken from a potable source is potable as it comes; only what replaces lower water that
    is on board takes more from the source than the way on asks for.
    """
    added = 0 if stop.is_unlimited else max(0, load.board.potable - board.potable)
    if not stop.is_potable:
        return added
    return max(0, added - max(0, load.board.total - board.total))
