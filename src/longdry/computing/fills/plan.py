"""The fill plan: what to take where, into which container.

What it makes least, the first first: legs too long, on the bare ration, on the lean ration, into
the reserve; litres missing; litres short of the reserve; then litres times km; then stops at which
water is taken. Why the search is exact stands in ``docs/why/fill-plan.md``.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

from longdry.computing.fills.filled_way import FilledWay, Stage
from longdry.computing.fills.levels import ContainerStore, Levels, store_of, taken_ml
from longdry.computing.fills.targets import (
    StopTarget,
    choose_load,
    least_targets,
    spared,
    top_up_targets,
    unfouled_supply,
)
from longdry.computing.fills.terms import Litres, Terms, terms_of
from longdry.computing.fills.verdicts import (
    LegResult,
    SearchResult,
    best_steps,
)
from longdry.model.plan.fills import FillProblem, Vessel
from longdry.model.trip.party import Vehicle
from longdry.model.words import FillHabit

_MOST_KEPT = 256
"""Questions whose answers are kept, the last ones asked."""
_MOST_ROUNDS = 3
_MOST_IN_ITS_STEAD = 6
"""Stops of lower water passed by together, so that one of them fouls nothing."""


def filled_way(
    problem: FillProblem,
    habit: FillHabit = FillHabit.LEAST,
    *,
    whole_containers: bool = False,
    thorough: bool = True,
    keeps_potable: bool = True,
) -> FilledWay:
    """Find what to take at every stop.

    Parameters
    ----------
    problem
        Stops, legs, containers, carriers.
    habit
        ``least``: only what the way on needs; ``top-up``: everything wherever there is water,
        as long as that fouls no potable water and leaves small waters their part.
    whole_containers
        Fill every container that takes water to its mark, where the source and the payload allow
        it, so that the rest is known by counting; more is carried than the least.
    thorough
        False: look for verdicts quickly; the plan keeps every rule, but may not be the best.
    keeps_potable
        Whether the habit ``least`` carries more than the least where that keeps potable water on
        board from being put among water to be treated.

    Raises
    ------
    ValueError
        Where the problem contradicts itself.
    """
    terms = terms_of(problem)
    how = _How(habit, whole_containers, thorough, keeps_potable)
    stages, found = _carried_out(terms, problem.vessels, problem.carriers, how)
    return FilledWay.of(problem, terms, habit, stages, found)


class _How(NamedTuple):
    habit: FillHabit
    whole_containers: bool
    thorough: bool
    keeps_potable: bool


@lru_cache(maxsize=_MOST_KEPT)
def _found(terms: Terms, thorough: bool) -> SearchResult:  # noqa: FBT001 - lru_cache is quicker so
    """Return the best verdicts that any filling can reach: the same whatever the habit."""
    return best_steps(terms, thorough=thorough)


@lru_cache(maxsize=_MOST_KEPT)
def _carried_out(
    terms: Terms, vessels: tuple[Vessel, ...], carriers: tuple[Vehicle, ...], how: _How
) -> tuple[tuple[Stage, ...], SearchResult]:
    """Fill on the whole way; trial plans of one trip often ask the same again.

    The last answers outlive a plan, and nothing depends on it: what is asked and what is answered
    cannot be changed by anybody, and the answer follows from the question alone.
    """
    found = _found(terms, how.thorough)
    results = [step.result for step in found.steps]
    return tuple(_RealFilling(terms, results, store_of(vessels, carriers), how).filled()), found


class _RealFilling:
    """The way with its results known: goes through the stops with real containers."""

    def __init__(
        self, terms: Terms, results: Sequence[LegResult], store: ContainerStore, how: _How
    ) -> None:
        self.terms, self.results, self.store, self.how = terms, results, store, how
        fills_all = how.habit is FillHabit.TOP_UP
        self.targets_with = top_up_targets if fills_all else least_targets

    def filled(self) -> list[Stage]:
        """Fill by the habit; if so asked, more is carried where that spares potable water.

        At every stop of lower water where it would be fouled, or where a tap stands beside it, the
        same verdicts are looked for with less of the lower water: its part that needs no container
        of potable water, or none; what the tap cannot give.
        """
        supplies = [stop.supply for stop in self.terms.stops[:-1]]
        stages = self._filled_with(supplies)
        if stages is None:
            raise AssertionError("what filling everything reached can be reached with less")
        if not self.how.keeps_potable:
            return stages
        for _ in range(_MOST_ROUNDS):
            spared = self._spared(supplies, stages)
            if spared is None:
                break
            supplies, stages = spared
        return stages

    def _spared(
        self, supplies: list[Litres], stages: list[Stage]
    ) -> tuple[list[Litres], list[Stage]] | None:
        """Go once through the stops of lower water; None where nothing is spared."""
        is_spared = False
        for k in range(len(stages)):
            for less in self._smaller_supplies(k, stages):
                trial = [*supplies[:k], less, *supplies[k + 1 :]]
                found = self._with_less(k, trial, stages)
                if found is not None:
                    supplies, stages, is_spared = trial, found, True
                    break
        return (supplies, stages) if is_spared else None

    def _with_less(
        self, k: int, trial: list[Litres], stages: Sequence[Stage]
    ) -> list[Stage] | None:
        """Fill with less at stop k; nothing at stops that foul in its stead is tried too."""
        for _ in range(_MOST_IN_ITS_STEAD):
            found = self._filled_with(trial)
            if found is None or self._is_better(k, found, stages):
                return found
            fouls = (j for j in range(len(found)) if self._fouled_ml(j, found) and trial[j].total)
            instead = next(fouls, None)
            if instead is None:
                return None
            trial[instead] = Litres(0, 0)
        return None

    def _filled_with(self, supplies: Sequence[Litres]) -> list[Stage] | None:
        stop_targets = self.targets_with(self.terms, self.results, supplies)
        return None if stop_targets is None else self.carried_out(stop_targets)

    def _smaller_supplies(self, k: int, stages: Sequence[Stage]) -> tuple[Litres, ...]:
        """Give what stop k, of lower water, is to add instead, so that potable water serves."""
        nothing = Litres(0, 0)
        if self.terms.stops[k].is_potable:
            return ()
        if self._fouled_ml(k, stages):
            unfouled = unfouled_supply(self.terms, k, self.store, stages[k].before)
            return (unfouled, nothing) if unfouled.total else (nothing,)
        taps = self._potable_beside(k)
        if not taps or stages[k].take_ml == 0:
            return ()
        potable_ml = stages[taps[0]].before.board.total + sum(
            self.terms.stops[tap].supply.total for tap in taps
        )
        rest = max(0, stages[k].leaving.board.total - potable_ml)
        return (Litres(self.terms.stops[k].supply.potable, rest) if rest else nothing,)

    def _potable_beside(self, k: int) -> list[int]:
        """Give the potable waters of the place of stop k, which all come before it."""
        first = k
        while first and self.terms.legs[first - 1].is_nothing:
            first -= 1
        return [one for one in range(first, k) if self.terms.stops[one].is_potable]

    def _is_better(self, k: int, found: Sequence[Stage], stages: Sequence[Stage]) -> bool:
        """Whether less is fouled on the whole way, or the tap beside serves at no such price."""
        change_ml = sum(
            self._fouled_ml(one, found) - self._fouled_ml(one, stages) for one in range(len(stages))
        )
        return change_ml < 0 or (change_ml == 0 and not self._fouled_ml(k, stages))

    def _fouled_ml(self, k: int, stages: Sequence[Stage]) -> int:
        """Give the potable water on board that gives way to the lower water of stop k."""
        if self.terms.stops[k].is_potable:
            return 0
        before, leaving = stages[k].before.board, stages[k].leaving.board
        return max(0, min(before.potable, leaving.total) - leaving.potable)

    def carried_out(self, stop_targets: Sequence[StopTarget]) -> list[Stage]:
        """Fill at every stop, and draw on every leg what it needs."""
        levels = self.store.at_start()
        stages = []
        for k, (stop_target, result) in enumerate(zip(stop_targets, self.results, strict=True)):
            leaving = _levels_on_leaving(
                self.store, self.terms, k, stop_target, levels, whole=self.how.whole_containers
            )
            take_ml, treated_ml = taken_ml(
                levels.board, leaving.board, is_potable=self.terms.stops[k].is_potable
            )
            arriving = self.store.drawn(leaving, result.arriving(leaving.board))
            stages.append(Stage(levels, leaving, arriving, take_ml, treated_ml))
            levels = arriving
        return stages


def _levels_on_leaving(
    store: ContainerStore,
    terms: Terms,
    k: int,
    stop_target: StopTarget,
    levels: Levels,
    *,
    whole: bool,
) -> Levels:
    board = levels.board
    if whole:
        kept = min(board.total, terms.capacity_ml)
        stop_target = StopTarget(
            Litres(stop_target.board.potable, max(stop_target.board.total, kept)),
            stop_target.clean,
            stop_target.supply,
            stop_target.fills_all,
        )
    load = choose_load(terms, k, stop_target, store, levels)
    if load is None:
        return levels
    is_potable = terms.stops[k].is_potable
    placed = store.placed(levels, load.board, load.assignment, is_potable=is_potable)
    if not whole:
        return placed
    empty_ml = store.empty_potable_ml(levels)
    supply = spared(terms.stops[k], stop_target, board, empty_ml).supply
    spare = Litres(
        supply.potable - max(0, placed.board.potable - board.potable),
        supply.total - max(0, placed.board.total - board.total),
    )
    return store.to_the_mark(levels, placed, spare)
