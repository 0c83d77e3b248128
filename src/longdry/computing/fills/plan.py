"""The fill plan: what to take where, into which container.

What it makes least, the first first: legs too long, on the bare ration, on the lean ration, into
the reserve; litres missing; litres short of the reserve; then litre-kilometres; then stops at which
water is taken. Why the search is exact stands in ``docs/why/fill-plan.md``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from longdry.computing.fills.levels import ContainerStore, Levels, Moves, grade_of, moves_between
from longdry.computing.fills.targets import StopTarget, least_wishes, target_of, top_up_wishes
from longdry.computing.fills.terms import Litres, Terms, down_ml, terms_of, up_ml
from longdry.computing.fills.verdicts import (
    INTO_RESERVE,
    SHORT_BARE,
    SHORT_LEAN,
    TOO_LONG,
    LegFate,
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

_VERDICTS = (
    (Verdict.CLEAR, Ration.FULL),
    (Verdict.INTO_RESERVE, Ration.FULL),
    (Verdict.SHORT_RATION, Ration.LEAN),
    (Verdict.SHORT_RATION, Ration.BARE),
    (Verdict.TOO_LONG, Ration.BARE),
)
"""By severity."""


@dataclass(frozen=True, slots=True)
class _Halt:
    """One stop and the leg after it, as carried out."""

    before: Levels
    moves: Moves
    leaving: Levels
    arriving: Levels


@dataclass(frozen=True, slots=True, eq=False)
class Searched:
    """The best verdicts of a problem: the same whatever the habit."""

    terms: Terms
    found: SearchResult


def searched(problem: FillProblem, *, thorough: bool = True) -> Searched:
    """Find the best verdicts that any filling can reach: see `plan_fills`."""
    terms = terms_of(problem)
    return Searched(terms, best_steps(terms, thorough=thorough))


def plan_fills(
    problem: FillProblem,
    habit: FillHabit = FillHabit.LEAST,
    *,
    whole_containers: bool = False,
    thorough: bool = True,
    known: Searched | None = None,
) -> FillPlan:
    """Plan what to take at every stop.

    Parameters
    ----------
    problem
        Stops, legs, containers, carriers.
    habit
        ``least``: only what the way on needs; ``top-up``: everything wherever there is water.
    whole_containers
        Fill every container that takes water to its mark, where the source and the payload allow
        it, so that the rest is known by counting; more is carried than the least.
    thorough
        False: look for verdicts quickly; the plan keeps every rule, but may not be the best.
    known
        The best verdicts of this problem, where another habit has asked for them before.

    Raises
    ------
    ValueError
        Where the problem contradicts itself.
    """
    known = known or searched(problem, thorough=thorough)
    terms, found = known.terms, known.found
    fates = [step.fate for step in found.steps]
    if habit is FillHabit.TOP_UP:
        wishes = top_up_wishes(terms, found.steps)
    else:
        wishes = least_wishes(terms, fates)
    halts = _carried_out(problem, terms, wishes, fates, whole=whole_containers)
    return _plan_of(problem, terms, habit, halts, found)


def _carried_out(
    problem: FillProblem,
    terms: Terms,
    wishes: Sequence[StopTarget],
    fates: Sequence[LegFate],
    *,
    whole: bool,
) -> list[_Halt]:
    """Go through the stops with real containers."""
    rack = ContainerStore(problem.vessels, problem.carriers)
    levels = rack.at_start()
    halts = []
    for k, (wish, fate) in enumerate(zip(wishes, fates, strict=True)):
        leaving = _left_with(rack, terms, k, wish, levels, whole=whole)
        moves = moves_between(
            problem.vessels, levels, leaving, is_potable=terms.stops[k].is_potable
        )
        arriving = rack.drawn(leaving, fate.arriving(leaving.board))
        halts.append(_Halt(levels, moves, leaving, arriving))
        levels = arriving
    return halts


def _left_with(
    rack: ContainerStore, terms: Terms, k: int, wish: StopTarget, levels: Levels, *, whole: bool
) -> Levels:
    board = levels.board
    if whole:
        kept = min(board.total, terms.capacity_ml)
        wish = StopTarget(
            Litres(wish.board.potable, max(wish.board.total, kept)), wish.clean, wish.supply
        )
    target = target_of(terms, k, wish, board, rack.tainted(levels))
    if target is None:
        return levels
    placed = rack.placed(levels, target.board, target.split)
    if not whole:
        return placed
    spare = Litres(
        wish.supply.potable - max(0, placed.board.potable - board.potable),
        wish.supply.total - max(0, placed.board.total - board.total),
    )
    return rack.to_the_mark(levels, placed, spare)


def _plan_of(
    problem: FillProblem,
    terms: Terms,
    habit: FillHabit,
    halts: Sequence[_Halt],
    found: SearchResult,
) -> FillPlan:
    fates = [step.fate for step in found.steps]
    rack = ContainerStore(problem.vessels, problem.carriers)
    fills = tuple(_fill(problem, k, halt) for k, halt in enumerate(halts))
    outcomes = tuple(_outcome(*parts) for parts in zip(problem.legs, fates, halts, strict=True))
    litre_m = sum(
        leg.length_m * (halt.leaving.board.total + halt.arriving.board.total)
        for leg, halt in zip(terms.legs, halts, strict=True)
    )
    end = halts[-1].arriving if halts else rack.at_start()
    return FillPlan(
        habit=habit,
        fills=fills,
        outcomes=outcomes,
        end=_on_board(end),
        end_levels=_vessel_levels(problem, end),
        litre_km=sum(outcome.litre_km for outcome in outcomes),
        smallest_margin_l=min(
            (-f.missing_ml / 1000.0 if f.is_too_long else h.arriving.board.total / 1000.0
             for f, h in zip(fates, halts, strict=True)),
            default=0.0,
        ),
        treated_l=sum(f.treated_l for f in fills) + sum(o.treated_l for o in outcomes),
        is_proved=found.is_proved and (terms.are_all_splits or not terms.wants_potable[0]),
        objective=_objective(fates, litre_m, sum(_is_fill(fill) for fill in fills)),
    )  # fmt: skip


def _objective(fates: Sequence[LegFate], litre_m: int, fills: int) -> FillObjective:
    severities = [fate.severity for fate in fates]
    return FillObjective(
        too_long=severities.count(TOO_LONG),
        short_bare=severities.count(SHORT_BARE),
        short_lean=severities.count(SHORT_LEAN),
        into_reserve=severities.count(INTO_RESERVE),
        missing_ml=sum(fate.missing_ml for fate in fates),
        reserve_short_ml=sum(fate.reserve_short_ml for fate in fates),
        order=sum(severity * 5**k for k, severity in enumerate(severities)),
        litre_m=litre_m,
        fills=fills,
    )


def _is_fill(fill: Fill) -> bool:
    return fill.take_l > 0.0 or fill.treated_l > 0.0


def _fill(problem: FillProblem, k: int, halt: _Halt) -> Fill:
    stop, moves = problem.stops[k], halt.moves
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
        arriving=_on_board(halt.before),
        leaving=_on_board(halt.leaving),
        levels_arriving=_vessel_levels(problem, halt.before),
        levels_leaving=_vessel_levels(problem, halt.leaving),
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


def _outcome(leg: Leg, fate: LegFate, halt: _Halt) -> LegOutcome:
    verdict, ration = _VERDICTS[fate.severity]
    before, after = halt.leaving.board, halt.arriving.board
    return LegOutcome(
        verdict=verdict,
        ration=ration,
        need_l=fate.need.total / 1000.0,
        used_l=(before.total - after.total) / 1000.0,
        missing_l=fate.missing_ml / 1000.0,
        reserve_short_l=fate.reserve_short_ml / 1000.0,
        treated_l=_treated_ml(leg, ration, before, after) / 1000.0,
        litre_km=leg.km * (before.total + after.total) / 2000.0,
    )


def _treated_ml(leg: Leg, ration: Ration, before: Litres, after: Litres) -> int:
    """Give the lower water that goes on potable uses."""
    need = leg.need(ration)
    lower_used = (before.total - before.potable) - (after.total - after.potable)
    treated = max(0, lower_used - up_ml(need.treat_l + need.any_l))
    return treated if leg.treat_l is None else min(treated, down_ml(leg.treat_l))
