"""Go through a fill plan day by day with real containers, knowing nothing of how it was made.

The replay pours what the plan says to pour, lets the party use water day by day, and tells every
moment at which a container would be below empty or above its size, at which grades would be mixed,
at which untreated water would count as potable, or at which a day's use would not be covered.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from longdry.computing.fills.plan import filled_way
from longdry.computing.fills.shared_limits import filled_way_from_stocks
from longdry.model.plan.fills import (
    Fill,
    FillPlan,
    FillProblem,
    Leg,
    LegOutcome,
    Vessel,
    VesselLevel,
)
from longdry.model.words import ContainerGrade, FillHabit, Grade, Ration, Verdict

TOLERANCE_L = 0.0025
"""Whole millilitres, for a handful of roundings."""


def plan_fills(problem: FillProblem, habit: FillHabit = FillHabit.LEAST, **how: bool) -> FillPlan:
    """Plan what to take at every stop, and tell it: see `filled_way`."""
    return filled_way(problem, habit, **how).told()


def plan_fills_from_stocks(problem: FillProblem) -> FillPlan:
    """Plan what to take where stops draw on one stock: see `filled_way_from_stocks`."""
    return filled_way_from_stocks(problem).told()


@dataclass(slots=True)
class _Can:
    vessel: Vessel
    litres: float
    lower: bool
    """Whether it holds lower water or has held it since it was clean."""


@dataclass(slots=True)
class _Run:
    problem: FillProblem
    cans: dict[str, _Can]
    notes: list[str] = field(default_factory=list)

    def tell(self, km: float, what: str) -> None:
        """Note something that must not be."""
        self.notes.append(f"km {km:g}: {what}")


def replay_faults(problem: FillProblem, plan: FillPlan) -> tuple[str, ...]:
    """Replay a plan; give one sentence for everything that must not be, nothing where all is well.

    Every container must have its own name.
    """
    cans = {v.name: _Can(v, v.holds_l, v.holds_grade is not Grade.POTABLE) for v in problem.vessels}
    run = _Run(problem, cans)
    ends = [fill.levels_arriving for fill in plan.fills[1:]] + [plan.end_levels]
    for k, fill in enumerate(plan.fills):
        _halt(run, fill)
        _check_keeping_up(run, fill, plan.outcomes[k])
        _travel(run, k, plan.outcomes[k], ends[k] if k < len(ends) else ())
    return tuple(run.notes)


def _halt(run: _Run, fill: Fill) -> None:
    """Empty, clean, decant and fill as the plan says; then look at every container."""
    _check_source(run, fill)
    untreated = _empty(run, fill)
    _lift(run, fill)
    for name in fill.cleaned:
        _clean(run, fill.km, name)
    for decant in fill.decants:
        lower = decant.grade is not Grade.POTABLE
        _pour(run, fill.km, decant.into_vessel, decant.litres, lower=lower)
    lower_in = sum(pour.litres for pour in fill.into if pour.grade is not Grade.POTABLE)
    clean_in = sum(pour.litres for pour in fill.into if pour.grade is Grade.POTABLE)
    _check_treating(run, fill, clean_in, lower_in, untreated)
    for pour in fill.into:
        _pour(run, fill.km, pour.vessel, pour.litres, lower=pour.grade is not Grade.POTABLE)
    _check_cans(run, fill.km, fill.levels_leaving)


def _check_keeping_up(run: _Run, fill: Fill, outcome: LegOutcome) -> None:
    most_l = run.problem.legs[fill.stop].treat_with_stop_l
    treated_l = fill.treated_l + outcome.treated_l
    if most_l is not None and treated_l > most_l + TOLERANCE_L:
        run.tell(fill.km, f"{treated_l:g} L treated here and on the way, {most_l:g} L can be")


def _check_source(run: _Run, fill: Fill) -> None:
    stop = run.problem.stops[fill.stop]
    if fill.take_l <= 0.0:
        return
    if stop.grade is None:
        run.tell(fill.km, "water is taken where there is none")
    if stop.limit_l is not None and fill.take_l > stop.limit_l + TOLERANCE_L:
        run.tell(fill.km, f"{fill.take_l:g} L taken of {stop.limit_l:g} L")


def _empty(run: _Run, fill: Fill) -> float:
    """Draw off what is left or treated; give the untreated litres of it."""
    untreated = 0.0
    for drawn in fill.drawn_off:
        run.cans[drawn.vessel].litres -= drawn.litres
        untreated += drawn.litres if run.cans[drawn.vessel].lower else 0.0
    return untreated


def _lift(run: _Run, fill: Fill) -> None:
    """Take out what is decanted; lower water never counts as potable by being poured over."""
    for decant in fill.decants:
        can = run.cans[decant.from_vessel]
        can.litres -= decant.litres
        if can.lower and decant.grade is Grade.POTABLE:
            run.tell(fill.km, f"lower water out of {decant.from_vessel} is told as potable")


def _clean(run: _Run, km: float, name: str) -> None:
    can = run.cans[name]
    if not can.vessel.cleanable:
        run.tell(km, f"{name} cannot be cleaned on the way")
    if abs(can.litres) > TOLERANCE_L:
        run.tell(km, f"{name} is cleaned while it holds {can.litres:g} L")
    can.lower = False


def _check_treating(
    run: _Run, fill: Fill, clean_in: float, lower_in: float, untreated: float
) -> None:
    """See that what goes in as potable is potable or treated, and that the litres add up."""
    stop = run.problem.stops[fill.stop]
    treated = 0.0 if stop.grade is Grade.POTABLE else clean_in
    if abs(treated - fill.treated_l) > TOLERANCE_L:
        run.tell(fill.km, f"{treated:g} L go in as treated, {fill.treated_l:g} L are told")
    if stop.treat_l is not None and treated > stop.treat_l + TOLERANCE_L:
        run.tell(fill.km, f"{treated:g} L treated where {stop.treat_l:g} L can be")
    if treated > fill.take_l + untreated + TOLERANCE_L:
        run.tell(fill.km, "more is treated than there is")
    drawn = sum(drawn.litres for drawn in fill.drawn_off)
    if abs(fill.take_l + drawn - clean_in - lower_in - fill.left_l) > TOLERANCE_L:
        run.tell(fill.km, "the litres taken, drawn off, poured in and left do not add up")


def _pour(run: _Run, km: float, name: str, litres: float, *, lower: bool) -> None:
    can = run.cans[name]
    if can.litres > TOLERANCE_L and lower != can.lower:
        run.tell(km, f"{name} would hold two grades at once")
    if can.lower and not lower:
        run.tell(km, f"potable water goes into {name}, which has held lower water")
    if lower and can.vessel.grade is ContainerGrade.POTABLE:
        run.tell(km, f"lower water goes into {name}, which is kept for potable water")
    can.litres += litres
    can.lower = can.lower or lower


def _check_cans(run: _Run, km: float, notes: Sequence[VesselLevel]) -> None:
    for can in run.cans.values():
        if can.litres < -TOLERANCE_L:
            run.tell(km, f"{can.vessel.name} is below empty")
        if can.litres > can.vessel.size_l + TOLERANCE_L:
            run.tell(km, f"{can.vessel.name} holds {can.litres:g} L")
    for level in notes:
        can = run.cans[level.vessel]
        if abs(can.litres - level.litres) > TOLERANCE_L:
            run.tell(km, f"{level.vessel} holds {can.litres:g} L, the plan says {level.litres:g} L")
        if can.lower and level.grade is Grade.POTABLE:
            run.tell(km, f"{level.vessel} is told as potable and is not")


def _travel(run: _Run, k: int, outcome: LegOutcome, notes: Sequence[VesselLevel]) -> None:
    """Use water day by day, each day's share from the containers that the plan draws from."""
    leg, km = run.problem.legs[k], run.problem.stops[k + 1].km
    if outcome.verdict is Verdict.TOO_LONG:
        _run_dry(run, leg, outcome, km)
        return
    draws = {level.vessel: run.cans[level.vessel].litres - level.litres for level in notes}
    for share in _day_shares(leg.days):
        clean = _drawn(run, draws, share, km, lower=False)
        dirty = _drawn(run, draws, share, km, lower=True)
        _check_day(run, leg, outcome.ration, km, (share, clean, dirty))
    _check_cans(run, km, notes)
    _check_reserve(run, leg, outcome, km)


def _day_shares(days: float) -> Iterator[float]:
    """Split a leg into its days: each one's share of the whole."""
    whole = math.floor(days)
    for _ in range(whole):
        yield 1.0 / days
    if days > whole:
        yield (days - whole) / days
    if days == 0.0:
        yield 1.0


def _drawn(run: _Run, draws: dict[str, float], share: float, km: float, *, lower: bool) -> float:
    total = 0.0
    for name, litres in draws.items():
        can = run.cans[name]
        if can.lower != lower:
            continue
        if litres < -TOLERANCE_L:
            run.tell(km, f"{name} fills by itself")
        can.litres -= litres * share
        total += litres * share
        if can.litres < -TOLERANCE_L:
            run.tell(km, f"{name} is below empty on the way")
    return total


def _check_day(
    run: _Run, leg: Leg, ration: Ration, km: float, day: tuple[float, float, float]
) -> None:
    """See that a day's potable and total use is covered by what is drawn."""
    share, clean, dirty = day
    need = leg.need(ration)
    other = (need.treat_l + need.any_l) * share
    treatable = math.inf if leg.treat_l is None else leg.treat_l * share
    if clean + dirty < need.total_l * share - TOLERANCE_L:
        run.tell(km, "a day's use is not covered")
    safe = clean + min(dirty, treatable)
    if safe < need.potable_l * share - TOLERANCE_L:
        run.tell(km, "a day's potable use is not covered")
    if dirty > other + min(treatable, need.potable_l * share) + TOLERANCE_L:
        run.tell(km, "more lower water is used than can be")


def _check_reserve(run: _Run, leg: Leg, outcome: LegOutcome, km: float) -> None:
    clean = sum(can.litres for can in run.cans.values() if not can.lower)
    dirty = sum(can.litres for can in run.cans.values() if can.lower)
    treatable = math.inf if leg.reserve_treat_l is None else leg.reserve_treat_l
    short = max(
        leg.reserve.potable_l - clean - min(dirty, treatable), leg.reserve.total_l - clean - dirty
    )
    if short > outcome.reserve_short_l + TOLERANCE_L:
        run.tell(km, f"the reserve lacks {short:g} L, the plan says {outcome.reserve_short_l:g} L")
    if outcome.verdict is Verdict.CLEAR and short > TOLERANCE_L:
        run.tell(km, "a leg told as clear ends without its reserve")


def _run_dry(run: _Run, leg: Leg, outcome: LegOutcome, km: float) -> None:
    """Use up everything on a leg that is too long."""
    clean = sum(can.litres for can in run.cans.values() if not can.lower)
    dirty = sum(can.litres for can in run.cans.values() if can.lower)
    treatable = math.inf if leg.treat_l is None else leg.treat_l
    missing = max(
        leg.bare.potable_l - clean - min(dirty, treatable), leg.bare.total_l - clean - dirty
    )
    is_shared = leg.treat_with_stop_l is not None
    told_more = outcome.missing_l > missing + TOLERANCE_L and not is_shared
    if told_more or missing > outcome.missing_l + TOLERANCE_L:
        run.tell(km, f"{missing:g} L are missing, the plan says {outcome.missing_l:g} L")
    for can in run.cans.values():
        can.litres = 0.0
