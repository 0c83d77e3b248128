"""How much of which grade to leave a stop with, and which containers take lower water."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from longdry.computing.fills.least import LeastLeaving, least_leavings
from longdry.computing.fills.levels import ContainerStore, Levels
from longdry.computing.fills.sharing import Assignment
from longdry.computing.fills.terms import LegTerms, Litres, StopTerms, Terms
from longdry.computing.fills.verdicts import LegResult, assignments_at


class StopTarget(NamedTuple):
    """What a stop is to be left with."""

    board: Litres
    """At least this much potable water; just this much in all, or at least where all is filled."""
    clean: int
    """Bits of the containers that must not hold lower water here, as they cannot be cleaned."""
    supply: Litres
    """What may be added here; nothing where the stop is passed by."""
    fills_all: bool = False
    """Whether as much is taken as there is room for."""


class ChosenLoad(NamedTuple):
    """What a stop is left with."""

    board: Litres
    assignment: Assignment


def top_up_targets(
    terms: Terms, results: Sequence[LegResult], supplies: Sequence[Litres]
) -> tuple[StopTarget, ...] | None:
    """Ask for everything full, and for no less than the way on needs: see `least_targets`."""
    found = least_leavings(terms, results, supplies)
    if found is None:
        return None
    return tuple(StopTarget(leaving.least, leaving.clean, supply, fills_all=True)
                 for leaving, supply in zip(found[0], supplies, strict=True))  # fmt: skip


def least_targets(
    terms: Terms, results: Sequence[LegResult], supplies: Sequence[Litres]
) -> tuple[StopTarget, ...] | None:
    """Ask for the least water on every leg, taken at the fewest stops.

    Parameters
    ----------
    supplies
        What each stop can add; less than its own where it is to give less.

    Returns
    -------
    None where the results cannot be had with these supplies.
    """
    found = least_leavings(terms, results, supplies)
    if found is None:
        return None
    totals_ml = _totals_ml(terms, found[0])
    taken = _fewest_taken(terms, results, totals_ml, supplies)
    used = [s if is_taken else Litres(0, 0) for s, is_taken in zip(supplies, taken, strict=True)]
    leavings = _reachable_leavings(terms, results, used)
    return tuple(StopTarget(leaving.least, leaving.clean, supply)
                 for leaving, supply in zip(leavings, used, strict=True))  # fmt: skip


class _TakingState(NamedTuple):
    """On arriving at a stop."""

    board: Litres
    tainted: int
    taken: tuple[bool, ...]

    @property
    def stops(self) -> int:
        """Stops at which water was taken."""
        return sum(self.taken)


def _fewest_taken(
    terms: Terms,
    results: Sequence[LegResult],
    totals_ml: Sequence[int],
    supplies: Sequence[Litres],
) -> tuple[bool, ...]:
    """Tell for each stop but the end whether water is taken there: at as few as can be.

    The total on board is fixed on every leg. What is free is where potable water is taken instead
    of lower water, and with it which stops can be passed by.

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


def spared(
    stop: StopTerms, stop_target: StopTarget, board: Litres, empty_ml: int = 0
) -> StopTarget:
    """Let who fills all take no more from a small water than is its part, or than is needed.

    And treat no more than is needed, or than empty containers kept for potable water hold: what
    is treated does not go among water of a tap.

    Examples
    --------
    >>> soak = StopTerms(Litres(50, 50), is_potable=True, is_unlimited=False, top_up_ml=25)
    >>> target = StopTarget(Litres(0, 40), 0, soak.supply, fills_all=True)
    >>> spared(soak, target, Litres(0, 30)).supply, spared(soak, target, Litres(0, 5)).supply
    (Litres(potable=25, total=25), Litres(potable=25, total=35))
    """
    if not stop_target.fills_all:
        return stop_target
    supply, least = stop_target.supply, stop_target.board
    potable, total = supply.potable, supply.total
    part = total if stop.top_up_ml is None else stop.top_up_ml
    if stop.is_potable:
        potable = min(potable, max(part, least.potable - board.potable))
        total = min(total, max(part, least.total - board.total, potable))
    else:
        potable = min(potable, max(empty_ml, least.potable - board.potable))
        total = min(total, max(part, least.total - board.total))
    return StopTarget(least, stop_target.clean, Litres(potable, total), fills_all=True)


def choose_load(
    terms: Terms, k: int, stop_target: StopTarget, store: ContainerStore, levels: Levels
) -> ChosenLoad | None:
    """Choose what to leave stop k with; None at a start without water, where nothing is moved.

    Potable water on board stays potable as far as it can be; who fills all takes less rather than
    foul it. Potable water is had in plenty where it is without limit: as much of it as the
    containers allow. Else: no more of it than the way on asks for, so that little is treated here
    and little is taken from a short supply. Then as little is poured over as can be.
    """
    if k == 0 and terms.stops[0].supply.total == 0:
        return None
    stop, board, tainted = terms.stops[k], levels.board, store.tainted(levels)
    sparing = spared(stop, stop_target, board, store.empty_potable_ml(levels))
    found = list(_possible_loads(terms, stop, sparing, board, tainted)) or list(
        _possible_loads(terms, stop, stop_target, board, tainted)
    )
    return min(found, key=lambda load: _rank(stop, load, store, levels))


def _possible_loads(
    terms: Terms, stop: StopTerms, stop_target: StopTarget, board: Litres, tainted: int
) -> Iterator[ChosenLoad]:
    least, supply = stop_target.board, stop_target.supply
    for assignment in terms.assignments:
        if assignment.lasting & stop_target.clean or assignment.lasting & tainted != tainted:
            continue
        total = least.total
        if stop_target.fills_all:
            total = _fullest_ml(terms, assignment, board, supply)
        most = min(board.potable + supply.potable, assignment.potable_ml, total)
        if stop.is_unlimited:
            potable = most
        else:
            rise = max(0, total - board.total) if stop.is_potable else 0
            kept = min(board.potable + rise, most)
            potable = max(least.potable, total - assignment.lower_ml, kept)
        is_enough = least.potable <= potable <= most and least.total <= total
        if is_enough and total - potable <= assignment.lower_ml:
            yield ChosenLoad(Litres(potable, total), assignment)


def _fullest_ml(terms: Terms, assignment: Assignment, board: Litres, supply: Litres) -> int:
    """Give the most that a sharing out holds of what there is."""
    total = min(board.total + supply.total, terms.capacity_ml)
    potable = min(board.potable + supply.potable, assignment.potable_ml, total)
    return min(total, potable + assignment.lower_ml)


def _rank(
    stop: StopTerms, load: ChosenLoad, store: ContainerStore, levels: Levels
) -> tuple[int, int, int, int, int, int]:
    board = levels.board
    return (
        max(0, board.potable - load.board.potable),
        -load.board.total,
        _costly_potable_ml(stop, load, board),
        -load.board.potable,
        store.poured_ml(levels, load.assignment),
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


def unfouled_supply(terms: Terms, k: int, store: ContainerStore, levels: Levels) -> Litres:
    """Give what stop k can add without potable water on board being put among lower water."""
    board, tainted = levels.board, store.tainted(levels)
    supply = terms.stops[k].supply
    rooms = [
        min(assignment.lower_ml, terms.capacity_ml - board.potable)
        for assignment in terms.assignments
        if assignment.lasting & tainted == tainted and assignment.potable_ml >= board.potable
    ]
    room = max(0, max(rooms, default=0) - (board.total - board.potable))
    return Litres(supply.potable, min(supply.total, room)) if room else Litres(0, 0)
