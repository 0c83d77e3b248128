"""The fill plan: what to take where, into which container.

What it makes least, the first first: legs too long, on the bare ration, on the lean ration, into
the reserve; litres missing; litres short of the reserve; then litres times km; then stops at which
water is taken. Why the search is exact stands in ``docs/why/fill-plan.md``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from longdry.computing.fills.levels import ContainerStore, Levels, Moves, grade_of, moves_between
from longdry.computing.fills.targets import (
    StopTarget,
    choose_load,
    least_targets,
    spared,
    top_up_targets,
    unfouled_supply,
)
from longdry.computing.fills.terms import Litres, Terms, rounded_down_ml, rounded_up_ml, terms_of
from longdry.computing.fills.verdicts import (
    INTO_RESERVE,
    SHORT_BARE,
    SHORT_LEAN,
    TOO_LONG,
    LegResult,
    SearchResult,
    best_steps,
)
from longdry.model.plan.fills import (
    Fill,
    FillObjective,
    FillPlan,
    FillProblem,
    Leg,
    LegOutcome,
    OnBoard,
    VesselLevel,
)
from longdry.model.words import FillHabit, Ration, Verdict

VERDICT_AND_RATION = (
    (Verdict.CLEAR, Ration.FULL),
    (Verdict.INTO_RESERVE, Ration.FULL),
    (Verdict.SHORT_RATION, Ration.LEAN),
    (Verdict.SHORT_RATION, Ration.BARE),
    (Verdict.TOO_LONG, Ration.BARE),
)
"""By severity."""
_MOST_ROUNDS = 3
_MOST_IN_ITS_STEAD = 6
"""Stops of lower water passed by together, so that one of them fouls nothing."""


@dataclass(frozen=True, slots=True)
class _Stage:
    """One stop and the leg after it, as carried out."""

    before: Levels
    moves: Moves
    leaving: Levels
    arriving: Levels


@dataclass(frozen=True, slots=True, eq=False)
class SearchedProblem:
    """The best verdicts of a problem: the same whatever the habit."""

    terms: Terms
    found: SearchResult


def search_verdicts(problem: FillProblem, *, thorough: bool = True) -> SearchedProblem:
    """Find the best verdicts that any filling can reach: see `plan_fills`."""
    terms = terms_of(problem)
    return SearchedProblem(terms, best_steps(terms, thorough=thorough))


def plan_fills(
    problem: FillProblem,
    habit: FillHabit = FillHabit.LEAST,
    *,
    whole_containers: bool = False,
    thorough: bool = True,
    keeps_potable: bool = True,
    known: SearchedProblem | None = None,
) -> FillPlan:
    """Plan what to take at every stop.

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
    known
        The best verdicts of this problem, where another habit has asked for them before.

    Raises
    ------
    ValueError
        Where the problem contradicts itself.
    """
    known = known or search_verdicts(problem, thorough=thorough)
    terms, found = known.terms, known.found
    results = [step.result for step in found.steps]
    stages = _RealFilling(problem, terms, results, habit, whole_containers).filled(keeps_potable)
    return _plan_of(problem, terms, habit, stages, found)


class _RealFilling:
    """The way with its results known: goes through the stops with real containers."""

    def __init__(
        self,
        problem: FillProblem,
        terms: Terms,
        results: Sequence[LegResult],
        habit: FillHabit,
        whole: bool,  # noqa: FBT001 - as it comes
    ) -> None:
        self.problem, self.terms, self.results, self.whole = problem, terms, results, whole
        self.targets_with = top_up_targets if habit is FillHabit.TOP_UP else least_targets
        self.store = ContainerStore(problem.vessels, problem.carriers)

    def filled(self, keeps_potable: bool) -> list[_Stage]:  # noqa: FBT001 - as it comes
        """Fill by the habit; if so asked, more is carried where that spares potable water.

        At every stop of lower water where it would be fouled, or where a tap stands beside it, the
        same verdicts are looked for with less of the lower water: its part that needs no container
        of potable water, or none; what the tap cannot give.
        """
        supplies = [stop.supply for stop in self.terms.stops[:-1]]
        stages = self._filled_with(supplies)
        if stages is None:
            raise AssertionError("what filling everything reached can be reached with less")
        if not keeps_potable:
            return stages
        for _ in range(_MOST_ROUNDS):
            spared = self._spared(supplies, stages)
            if spared is None:
                break
            supplies, stages = spared
        return stages

    def _spared(
        self, supplies: list[Litres], stages: list[_Stage]
    ) -> tuple[list[Litres], list[_Stage]] | None:
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
        self, k: int, trial: list[Litres], stages: Sequence[_Stage]
    ) -> list[_Stage] | None:
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

    def _filled_with(self, supplies: Sequence[Litres]) -> list[_Stage] | None:
        stop_targets = self.targets_with(self.terms, self.results, supplies)
        return None if stop_targets is None else self.carried_out(stop_targets)

    def _smaller_supplies(self, k: int, stages: Sequence[_Stage]) -> tuple[Litres, ...]:
        """Give what stop k, of lower water, is to add instead, so that potable water serves."""
        nothing = Litres(0, 0)
        if self.terms.stops[k].is_potable:
            return ()
        if self._fouled_ml(k, stages):
            unfouled = unfouled_supply(self.terms, k, self.store, stages[k].before)
            return (unfouled, nothing) if unfouled.total else (nothing,)
        taps = self._potable_beside(k)
        if not taps or stages[k].moves.take_ml == 0:
            return ()
        potable_ml = stages[taps[0]].before.board.total + sum(
            self.terms.stops[tap].supply.total for tap in taps
        )
        rest = max(0, stages[k].leaving.board.total - potable_ml)
        return (Litres(self.terms.stops[k].supply.potable, rest) if rest else nothing,)

    def _potable_beside(self, k: int) -> list[int]:
        """Give the potable waters of the place of stop k, which all come before it."""
        first = k
        while first and self.problem.legs[first - 1].days == self.problem.legs[first - 1].km == 0.0:
            first -= 1
        return [one for one in range(first, k) if self.terms.stops[one].is_potable]

    def _is_better(self, k: int, found: Sequence[_Stage], stages: Sequence[_Stage]) -> bool:
        """Whether less is fouled on the whole way, or the tap beside serves at no such price."""
        change_ml = sum(
            self._fouled_ml(one, found) - self._fouled_ml(one, stages) for one in range(len(stages))
        )
        return change_ml < 0 or (change_ml == 0 and not self._fouled_ml(k, stages))

    def _fouled_ml(self, k: int, stages: Sequence[_Stage]) -> int:
        """Give the potable water on board that gives way to the lower water of stop k."""
        if self.terms.stops[k].is_potable:
            return 0
        before, leaving = stages[k].before.board, stages[k].leaving.board
        return max(0, min(before.potable, leaving.total) - leaving.potable)

    def carried_out(self, stop_targets: Sequence[StopTarget]) -> list[_Stage]:
        """Fill at every stop, and draw on every leg what it needs."""
        levels = self.store.at_start()
        stages = []
        for k, (stop_target, result) in enumerate(zip(stop_targets, self.results, strict=True)):
            leaving = _levels_on_leaving(
                self.store, self.terms, k, stop_target, levels, whole=self.whole
            )
            moves = moves_between(
                self.problem.vessels, levels, leaving, is_potable=self.terms.stops[k].is_potable
            )
            arriving = self.store.drawn(leaving, result.arriving(leaving.board))
            stages.append(_Stage(levels, moves, leaving, arriving))
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


def _plan_of(
    problem: FillProblem,
    terms: Terms,
    habit: FillHabit,
    stages: Sequence[_Stage],
    found: SearchResult,
) -> FillPlan:
    results = [step.result for step in found.steps]
    store = ContainerStore(problem.vessels, problem.carriers)
    fills = tuple(_fill(problem, k, stage) for k, stage in enumerate(stages))
    outcomes = tuple(_outcome(*parts) for parts in zip(problem.legs, results, stages, strict=True))
    litre_m = sum(
        leg.length_m * (stage.leaving.board.total + stage.arriving.board.total)
        for leg, stage in zip(terms.legs, stages, strict=True)
    )
    end = stages[-1].arriving if stages else store.at_start()
    return FillPlan(
        habit=habit,
        fills=fills,
        outcomes=outcomes,
        end=_on_board(end),
        end_levels=_vessel_levels(problem, end),
        litre_km=sum(outcome.litre_km for outcome in outcomes),
        smallest_margin_l=min(
            (-f.missing_ml / 1000.0 if f.is_too_long else h.arriving.board.total / 1000.0
             for f, h in zip(results, stages, strict=True)),
            default=0.0,
        ),
        treated_l=sum(f.treated_l for f in fills) + sum(o.treated_l for o in outcomes),
        is_proved=found.is_proved and (terms.are_all_assignments or not terms.wants_potable[0]),
        objective=_objective(results, litre_m, sum(_is_fill(fill) for fill in fills)),
    )  # fmt: skip


def _objective(results: Sequence[LegResult], litre_m: int, fills: int) -> FillObjective:
    severities = [result.severity for result in results]
    return FillObjective(
        too_long=severities.count(TOO_LONG),
        short_bare=severities.count(SHORT_BARE),
        short_lean=severities.count(SHORT_LEAN),
        into_reserve=severities.count(INTO_RESERVE),
        missing_ml=sum(result.missing_ml for result in results),
        reserve_short_ml=sum(result.reserve_short_ml for result in results),
        order=sum(severity * 5**k for k, severity in enumerate(severities)),
        litre_m=litre_m,
        fills=fills,
    )


def _is_fill(fill: Fill) -> bool:
    return fill.take_l > 0.0 or fill.treated_l > 0.0


def _fill(problem: FillProblem, k: int, stage: _Stage) -> Fill:
    stop, moves = problem.stops[k], stage.moves
    take_l = moves.take_ml / 1000.0
    return Fill(
        stop=k,
        km=stop.km,
        source=stop.name,
        grade=stop.grade,
        take_l=take_l,
        into=moves.into,
        treated_l=moves.treated_ml / 1000.0,
        decants=moves.decants,
        drawn_off=moves.drawn_off,
        left_l=moves.left_ml / 1000.0,
        cleaned=moves.cleaned,
        arriving=_on_board(stage.before),
        leaving=_on_board(stage.leaving),
        levels_arriving=_vessel_levels(problem, stage.before),
        levels_leaving=_vessel_levels(problem, stage.leaving),
        minutes=take_l / stop.flow_l_per_min if stop.flow_l_per_min else None,
        cost=take_l * stop.cost_per_l,
        water=stop.water,
    )


def _on_board(levels: Levels) -> OnBoard:
    board = levels.board
    return OnBoard(board.potable / 1000.0, (board.total - board.potable) / 1000.0)


def _vessel_levels(problem: FillProblem, levels: Levels) -> tuple[VesselLevel, ...]:
    return tuple(
        VesselLevel(vessel.name, ml / 1000.0, grade_of(is_lower=is_lower))
        for vessel, ml, is_lower in zip(problem.vessels, levels.ml, levels.is_lower, strict=True)
    )


def _outcome(leg: Leg, result: LegResult, stage: _Stage) -> LegOutcome:
    verdict, ration = VERDICT_AND_RATION[result.severity]
    before, after = stage.leaving.board, stage.arriving.board
    return LegOutcome(
        verdict=verdict,
        ration=ration,
        need_l=result.need.total / 1000.0,
        used_l=(before.total - after.total) / 1000.0,
        missing_l=result.missing_ml / 1000.0,
        reserve_short_l=result.reserve_short_ml / 1000.0,
        treated_l=_treated_ml(leg, ration, before, after) / 1000.0,
        litre_km=leg.km * (before.total + after.total) / 2000.0,
    )


def _treated_ml(leg: Leg, ration: Ration, before: Litres, after: Litres) -> int:
    """Give the lower water that goes on potable uses."""
    need = leg.need(ration)
    lower_used = (before.total - before.potable) - (after.total - after.potable)
    treated = max(0, lower_used - rounded_up_ml(need.treat_l + need.any_l))
    return treated if leg.treat_l is None else min(treated, rounded_down_ml(leg.treat_l))
