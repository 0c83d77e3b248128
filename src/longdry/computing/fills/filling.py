"""The fill plans of a trip, and what they make of its verdicts."""

from __future__ import annotations

import dataclasses
import itertools
import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from longdry.computing.fills.problem import NOTHING_BETWEEN, fill_problem, potable_first
from longdry.computing.fills.shared_limits import (
    best_fills,
    smaller_known,
)
from longdry.computing.fills.stays import NOTHING_TAKEN, StayShare, stay_shares
from longdry.computing.needs.needs import WaterDemand
from longdry.computing.stretches.halving import halved
from longdry.computing.stretches.verdicts import (
    held_l,
    severity,
    verdict_of,
)
from longdry.computing.treating.treating import treatable_l
from longdry.model.plan.fills import (
    Fill,
    FillPlan,
    FillProblem,
    FillWay,
    GradeNeed,
    Leg,
    LegOutcome,
)
from longdry.model.plan.stretch import DryStretch, RunsDry
from longdry.model.trip.treatment import Treatment
from longdry.model.words import ContainerGrade, FillHabit, Grade, Ration, Verdict
from longdry.units import HOURS_PER_DAY, TOLERANCE_L

_WITHIN_H = 1.0 / 3600.0


@dataclass(frozen=True, slots=True)
class Filling:
    """How the trip fills."""

    stretches: tuple[DryStretch, ...]
    """As judged by what the containers hold."""
    demand: WaterDemand
    problem: FillProblem
    chosen: FillPlan
    whole_containers: bool
    """Whether containers are filled to their mark only."""

    def of_other_habit(self) -> FillPlan:
        """Plan the fills as the trip does not fill: least for top-up, top-up for the rest."""
        fills_all = self.chosen.habit is FillHabit.TOP_UP
        return best_fills(
            self.problem,
            FillHabit.LEAST if fills_all else FillHabit.TOP_UP,
            whole_containers=self.whole_containers,
        )

    def without_payload(self) -> FillProblem:
        """Return the problem as if nothing were too heavy."""
        return fill_problem(self.stretches, self.demand, payload=False)

    @property
    def last_of_stop(self) -> tuple[int, ...]:
        """Indices of the last fill at each stop: the leg after it is the stretch."""
        return last_of_stops(self.problem)


def last_of_stops(problem: FillProblem) -> tuple[int, ...]:
    """Return the indices of the legs that are stretches, not the step between waters of a stop."""
    return tuple(
        index
        for index, (here, there) in enumerate(itertools.pairwise(problem.stops))
        if not (here.km == there.km and problem.legs[index] is NOTHING_BETWEEN)
    )


def filling_of(stretches: Sequence[DryStretch], demand: WaterDemand, fill: FillWay) -> Filling:
    """Plan the fills; safe ones are raised from the least."""
    problem = fill_problem(stretches, demand)
    habit = FillHabit.TOP_UP if fill.habit is FillHabit.TOP_UP else FillHabit.LEAST
    chosen = best_fills(problem, habit, whole_containers=fill.whole_containers)
    return Filling(tuple(stretches), demand, problem, chosen, fill.whole_containers)


def stretches_as_filled(
    stretches: Sequence[DryStretch], filling: Filling
) -> tuple[DryStretch, ...]:
    """Give each stretch the worse of its two verdicts.

    What the containers hold is one limit; what can be had before the stretch, of which grade,
    treated in time and carried, is the other.
    """
    plan = filling.chosen
    return tuple(
        _as_judged(
            stretch,
            plan.outcomes[index],
            filling.demand,
            lacking_l(filling.problem.legs[index], plan.fills[index]),
        )
        for stretch, index in zip(stretches, filling.last_of_stop, strict=True)
    )


def stretches_as_carried(
    stretches: Sequence[DryStretch], filling: Filling
) -> tuple[DryStretch, ...]:
    """Give each stretch, judged as filled, what is carried on it: see `as_carried`."""
    fills = filling.chosen.fills
    stays = _stays_where_too_long(stretches, filling.demand)
    return tuple(
        as_carried(stretch, filling.demand, fills[index], stay)
        for stretch, index, stay in zip(stretches, filling.last_of_stop, stays, strict=True)
    )


def _stays_where_too_long(
    judged: Sequence[DryStretch], demand: WaterDemand
) -> Sequence[StayShare | None]:
    """Give for each stretch the stay at its end that takes of the water carried there."""
    if all(stretch.verdict is not Verdict.TOO_LONG for stretch in judged):
        return [None] * len(judged)
    shares = stay_shares(judged, demand, potable_first)
    return [*(share if share.carried_l[Ration.BARE] > 0.0 else None for share in shares), None]


def _as_judged(
    stretch: DryStretch, outcome: LegOutcome, demand: WaterDemand, lacking_l: float
) -> DryStretch:
    worse = severity(outcome.verdict) > severity(stretch.verdict)
    is_held_back = severity(outcome.verdict) > severity(_by_containers(stretch, demand))
    verdict = outcome.verdict if worse else stretch.verdict
    scarcer = worse or outcome.verdict is stretch.verdict is Verdict.SHORT_RATION
    return dataclasses.replace(
        stretch,
        verdict=verdict,
        ration_that_does=_ration_that_does(outcome) if scarcer else stretch.ration_that_does,
        held_back=is_held_back,
        lacking_l=0.0 if verdict is Verdict.CLEAR else lacking_l,
    )


def lacking_l(leg: Leg, fill: Fill) -> float:
    """Return the litres that a stretch lacks for its own need and reserve on leaving its stop.

    In all, or of water fit to drink where that is more: potable, or treated in time on the way. 0
    where the party saves for a later stretch alone.
    """
    treat_l = smaller_known(leg.treat_l, _rest_to_treat_l(leg, fill))
    potable_l = _untreated_l(leg.full, treat_l) + _untreated_l(leg.reserve, leg.reserve_treat_l)
    total_l = leg.full.total_l + leg.reserve.total_l
    lacking = max(total_l - fill.leaving.total_l, potable_l - fill.leaving.potable_l)
    return lacking if lacking > _ROUNDED_L else 0.0


_ROUNDED_L = 0.003
"""Fills are planned in whole millilitres."""


def _rest_to_treat_l(leg: Leg, fill: Fill) -> float | None:
    return leg.treat_with_stop_l and max(leg.treat_with_stop_l - fill.treated_l, 0.0)


def _untreated_l(need: GradeNeed, treat_l: float | None) -> float:
    return 0.0 if treat_l is None else max(need.potable_l - treat_l, 0.0)


def _by_containers(stretch: DryStretch, demand: WaterDemand) -> Verdict:
    """Judge a stretch by what the containers hold, as if nothing were too heavy."""
    is_all = stretch.available_l >= stretch.capacity_l
    room_l = held_l(demand.trip) if is_all else stretch.available_l
    return verdict_of(
        stretch.needs, stretch.reserve_l, room_l, containers=True, always_l=demand.always_l
    )


def _ration_that_does(outcome: LegOutcome) -> Ration | None:
    return None if outcome.verdict is Verdict.TOO_LONG else outcome.ration


def causes(filling: Filling, stretches: Sequence[int]) -> list[tuple[str, ...]]:
    """Return for each of some stretches which limits, each lifted alone, would better its verdict.

    Parameters
    ----------
    stretches
        Their indices.
    """
    if not stretches:
        return []
    lifted = [
        (words, best_fills(problem).outcomes) for words, problem in _each_limit_lifted(filling)
    ]
    now, legs = filling.chosen.outcomes, filling.last_of_stop
    return [
        tuple(
            words
            for words, outcomes in lifted
            if severity(outcomes[legs[one]].verdict) < severity(now[legs[one]].verdict)
        )
        for one in stretches
    ]


def _each_limit_lifted(filling: Filling) -> Iterator[tuple[str, FillProblem]]:
    lifted: tuple[tuple[str, Callable[[FillProblem], FillProblem]], ...] = (
        ("what the sources give", _without_source_limits),
        ("the payload left", lambda _: filling.without_payload()),
        ("what can be treated", _without_treatment_limits),
        ("which containers may hold which water", _with_any_water_in_any_container),
    )
    for words, lift in lifted:
        changed = lift(filling.problem)
        if changed != filling.problem:
            yield words, changed


def _without_source_limits(problem: FillProblem) -> FillProblem:
    stops = tuple(
        dataclasses.replace(stop, limit_l=None, stock=None, top_up_l=None) for stop in problem.stops
    )
    return dataclasses.replace(problem, stops=stops)


def _without_treatment_limits(problem: FillProblem) -> FillProblem:
    return dataclasses.replace(
        problem,
        stops=tuple(dataclasses.replace(stop, treat_l=None) for stop in problem.stops),
        legs=tuple(
            dataclasses.replace(leg, treat_l=None, reserve_treat_l=None, treat_with_stop_l=None)
            for leg in problem.legs
        ),
    )


def _with_any_water_in_any_container(problem: FillProblem) -> FillProblem:
    stops = tuple(
        dataclasses.replace(stop, grade=Grade.POTABLE) if stop.grade else stop
        for stop in problem.stops
    )
    vessels = tuple(
        dataclasses.replace(vessel, grade=ContainerGrade.ANY, holds_grade=Grade.POTABLE)
        for vessel in problem.vessels
    )
    return dataclasses.replace(problem, stops=stops, vessels=vessels)


def as_carried(
    stretch: DryStretch, demand: WaterDemand, fill: Fill, stay: StayShare | None = None
) -> DryStretch:
    """Return the stretch with what is left on arriving, or where its water runs out.

    A stretch that even the bare ration does not do is lived through on it until no drinkable water
    is left: raw water that cannot be treated in time is none.

    Parameters
    ----------
    fill
        At the stop before it: what is carried on leaving, and what was treated there, since what
        can be treated in the time of the stretch is less by it.
    stay
        At its end, where that takes of the water carried there.
    """
    carried = fill.leaving
    told = replace(stretch, on_board_l=carried.total_l)
    used_l = demand.need_l(stretch.ration_told, stretch.travel)
    lasting = replace(told, left_l=max(carried.total_l - used_l, 0.0))
    if stretch.ration_that_does is not None:
        return lasting
    dry = runs_dry(stretch, demand, Drinkable.of(stretch, demand, fill), stay)
    if dry is None and stretch.verdict is not Verdict.TOO_LONG:
        return lasting
    dry = dry or RunsDry(stretch.end.km, _looked_until_h(stretch, demand, stay))
    if dry.hour <= stretch.travel.end_h:
        return replace(told, left_l=0.0, runs_dry=dry)
    return replace(lasting, runs_dry=dry)


@dataclass(frozen=True, slots=True)
class Drinkable:
    """What the party may use on a stretch, and how much of it is fit to drink when."""

    total_l: float
    potable_l: float
    treatable_l_per_day: float | None
    """Of the raw water on the way; None: as much as wanted."""
    most_treated_l: float | None
    """On the whole stretch; None: as much as wanted."""

    @classmethod
    def of(cls, stretch: DryStretch, demand: WaterDemand, fill: Fill) -> Drinkable:
        """Take off what is always carried, and what is treated at the stop."""
        trip, carried = demand.trip, fill.leaving
        free_l = max(carried.total_l - demand.always_l, 0.0)
        if not trip.party.can_treat:
            return cls(free_l, carried.potable_l, 0.0, 0.0)
        a_day_l = treatable_l(trip.treatment or Treatment(), 1.0)
        in_all_l = None if a_day_l is None else max(a_day_l * stretch.days - fill.treated_l, 0.0)
        return cls(free_l, carried.potable_l, a_day_l, in_all_l)

    @property
    def is_all_fit(self) -> bool:
        """Whether litres alone count."""
        return self.most_treated_l is None or self.potable_l >= self.total_l

    def lasts(self, total_l: float, potable_l: float, days: float) -> bool:
        """Whether it covers what is asked for, so many days after it was taken.

        Water is treated in daily lots.
        """
        if total_l > self.total_l + TOLERANCE_L:
            return False
        if self.treatable_l_per_day is None or self.most_treated_l is None:
            return True
        treated_l = min(self.treatable_l_per_day * (int(days) + 1), self.most_treated_l)
        return potable_l <= self.potable_l + treated_l + TOLERANCE_L


def runs_dry(
    stretch: DryStretch, demand: WaterDemand, carried: Drinkable, stay: StayShare | None = None
) -> RunsDry | None:
    """Return where water runs out on the bare ration, to the second; None where it lasts.

    What is used never shrinks with time, so the hour is found by halving: of the first hour in
    which it fails where treating, or the water of a stay, may keep up again in the night.
    """
    travel = stretch.travel

    def lasts_until(hour: float) -> bool:
        extra_days = 0.0 if stay else max(hour - travel.end_h, 0.0) / HOURS_PER_DAY
        way = demand.need_on(Ration.BARE, travel.until(hour), extra_days=extra_days)
        there = stay.takes_until(hour, demand) if stay else NOTHING_TAKEN
        days = (hour - travel.begin_h) / HOURS_PER_DAY
        return carried.lasts(way.total_l + there.total_l, way.potable_l + there.potable_l, days)

    begin_h, end_h = travel.begin_h, _looked_until_h(stretch, demand, stay)
    is_even = carried.is_all_fit and stay is None
    count = 1 if is_even else max(math.ceil(end_h - begin_h), 1)
    hours = [begin_h + (end_h - begin_h) * part / count for part in range(count + 1)]
    for wet_h, next_h in itertools.pairwise(hours):
        if not lasts_until(next_h):
            hour = halved(lasts_until, wet_h, next_h, _WITHIN_H)
            return RunsDry(travel.km_at(hour), hour)
    return None


def _looked_until_h(stretch: DryStretch, demand: WaterDemand, stay: StayShare | None) -> float:
    """Return until when the water of a stretch must last: a stay, or days after the end, too."""
    if stay:
        return stay.stay.travel.end_h
    after_end = demand.trip.policy.days_after_end if stretch.end.water is None else 0.0
    return stretch.travel.end_h + after_end * HOURS_PER_DAY
