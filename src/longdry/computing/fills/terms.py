"""The fill problem in whole millilitres and metres, so that every comparison is exact.

Needs are rounded up and supplies down: never optimistic. What follows from the grades:

* Water counts as potable or as lower. ``potable`` and ``total`` litres on board say everything;
  the rest of the total is lower water.
* A leg asks for at least ``potable`` litres of potable water (its potable uses less what can be
  treated on the way) and ``total`` litres in all.
* A stop raises the potable litres by at most ``potable`` and the total by at most ``total``.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache, partial
from typing import NamedTuple

from longdry.computing.fills.sharing import (
    TOLERANCE_ML,
    Assignment,
    are_all_assignments_listed,
    assignments_of,
    capacity_ml,
)
from longdry.model.plan.fills import FillProblem, GradeNeed, Leg, Stop, Vessel
from longdry.model.trip.party import Vehicle
from longdry.model.words import ContainerGrade, Grade

UNBOUNDED_ML = 10**12


class Litres(NamedTuple):
    """Two amounts that belong together, in millilitres."""

    potable: int
    total: int


class StopTerms(NamedTuple):
    """What a stop can add."""

    supply: Litres
    """Most by which the potable and the total millilitres can rise here."""
    is_potable: bool
    is_unlimited: bool
    """Potable without limit and without cost, and nobody else's turn."""
    top_up_ml: int | None = None
    """What who fills all takes at most beyond the need; None: no such limit."""


class LegTerms(NamedTuple):
    """What a leg asks for."""

    length_m: int
    needs: tuple[Litres, Litres, Litres]
    """On the full, lean and bare ration."""
    reserve: Litres
    is_nothing: bool
    """Whether it lies between two waters of one stop."""


@dataclass(frozen=True, slots=True)
class Terms:
    """The problem, ready to be searched."""

    stops: tuple[StopTerms, ...]
    legs: tuple[LegTerms, ...]
    assignments: tuple[Assignment, ...]
    """Ways of sharing the containers out between potable and lower water, none useless."""
    are_all_assignments: bool
    """False where there are too many ways to look at them all."""
    widest: Assignment
    """The one with the most room for lower water."""
    lasting: int
    """Bits of all containers that may take lower water and cannot be cleaned."""
    capacity_ml: int
    start: Litres
    """On board before the first stop."""
    start_tainted: int
    """Bits of the containers that cannot be cleaned and have held lower water."""
    wants_potable: tuple[bool, ...]
    """For each stop: whether some leg after it asks for water that cannot be treated on the way."""


def rounded_up_ml(litres: float) -> int:
    """Round a need up to whole millilitres."""
    return math.ceil(litres * 1000.0 - TOLERANCE_ML)


def rounded_down_ml(litres: float) -> int:
    """Round a supply down to whole millilitres."""
    return min(UNBOUNDED_ML, math.floor(litres * 1000.0 + TOLERANCE_ML))


def terms_of(problem: FillProblem) -> Terms:
    """Put a problem into its terms.

    Raises
    ------
    ValueError
        Where the problem contradicts itself; one sentence names the place.
    """
    _check_stops(problem)
    of_containers = _of_containers(problem.vessels, problem.carriers)
    pairs = zip(problem.legs, problem.stops, strict=False)
    legs = tuple(_leg_terms(leg, stop.km) for leg, stop in pairs)
    return of_containers(
        stops=tuple(_stop_terms(stop) for stop in problem.stops),
        legs=legs,
        wants_potable=_wants_potable(legs),
    )


@lru_cache(maxsize=64)
def _of_containers(vessels: tuple[Vessel, ...], carriers: tuple[Vehicle, ...]) -> partial[Terms]:
    """Return the terms but for stops and legs: containers are the same all through a trip."""
    for vessel in vessels:
        _check_vessel(vessel)
    assignments = assignments_of(vessels, carriers)
    lasting = max(assignment.lasting for assignment in assignments)
    return partial(
        Terms,
        assignments=assignments,
        are_all_assignments=are_all_assignments_listed(vessels),
        widest=max((s for s in assignments if s.lasting == lasting), key=lambda s: s.lower_ml),
        lasting=lasting,
        capacity_ml=capacity_ml(vessels, carriers),
        start=_start(vessels),
        start_tainted=sum(1 << i for i, v in enumerate(vessels) if _is_tainted(v)),
    )


def _stop_terms(stop: Stop) -> StopTerms:
    if stop.grade is None:
        return StopTerms(Litres(0, 0), is_potable=False, is_unlimited=False)
    limit_ml = _limit_ml(stop.limit_l)
    is_potable = stop.grade is Grade.POTABLE
    potable_ml = limit_ml if is_potable else _limit_ml(stop.treat_l)
    is_free = stop.cost_per_l == 0.0 and stop.top_up_l is None
    is_unlimited = is_potable and limit_ml == UNBOUNDED_ML and is_free
    return StopTerms(
        Litres(potable_ml, limit_ml),
        is_potable=is_potable,
        is_unlimited=is_unlimited,
        top_up_ml=None if stop.top_up_l is None else rounded_down_ml(stop.top_up_l),
    )


def _limit_ml(litres: float | None) -> int:
    return UNBOUNDED_ML if litres is None else rounded_down_ml(litres)


def _leg_terms(leg: Leg, km: float) -> LegTerms:
    treat_ml = _limit_ml(leg.treat_l)
    whole = [_in_ml(need) for need in (leg.full, leg.lean, leg.bare)]
    _check_leg(leg, km, whole)
    full, lean, bare = (_less_treated(need, treat_ml) for need in whole)
    return LegTerms(
        length_m=max(1, math.ceil(leg.km * 1000.0 - TOLERANCE_ML)),
        needs=(full, lean, bare),
        reserve=_less_treated(_in_ml(leg.reserve), _limit_ml(leg.reserve_treat_l)),
        is_nothing=leg.days == leg.km == 0.0,
    )


def _in_ml(need: GradeNeed) -> Litres:
    potable_ml = rounded_up_ml(need.potable_l)
    return Litres(potable_ml, potable_ml + rounded_up_ml(need.treat_l + need.any_l))


def _less_treated(need: Litres, treat_ml: int) -> Litres:
    return Litres(max(0, need.potable - treat_ml), need.total)


def _start(vessels: tuple[Vessel, ...]) -> Litres:
    total = sum(rounded_down_ml(v.holds_l) for v in vessels)
    potable = sum(rounded_down_ml(v.holds_l) for v in vessels if v.holds_grade is Grade.POTABLE)
    return Litres(potable, total)


def _is_tainted(vessel: Vessel) -> bool:
    return vessel.holds_grade is not Grade.POTABLE and not vessel.cleanable


def _wants_potable(legs: tuple[LegTerms, ...]) -> tuple[bool, ...]:
    wants = [any((*[n.potable for n in leg.needs], leg.reserve.potable)) for leg in legs]
    return tuple(any(wants[k:]) for k in range(len(legs) + 1))


def _check_stops(problem: FillProblem) -> None:
    if len(problem.stops) != len(problem.legs) + 1:
        raise ValueError(f"{len(problem.stops)} stops do not bound {len(problem.legs)} legs.")
    for stop in problem.stops:
        if stop.grade is Grade.NOT_FOR_DRINKING:
            raise ValueError(f"The stop at km {stop.km:g} is not for drinking: leave it out.")


def _check_vessel(vessel: Vessel) -> None:
    if not 0.0 <= vessel.holds_l <= vessel.size_l + 1e-9:
        raise ValueError(f"{vessel.name} of {vessel.size_l:g} L cannot hold {vessel.holds_l:g} L.")
    lower = vessel.holds_grade is not Grade.POTABLE
    if lower and vessel.grade is ContainerGrade.POTABLE:
        raise ValueError(f"{vessel.name} is kept for potable water but holds lower water.")


def _check_leg(leg: Leg, km: float, needs: Sequence[Litres]) -> None:
    for fuller, leaner in itertools.pairwise(needs):
        if leaner.total > fuller.total or leaner.potable > fuller.potable:
            raise ValueError(f"The leg from km {km:g} needs more on a shorter ration.")
    if min(leg.km, leg.days, *(n.potable for n in needs), *(n.total for n in needs)) < 0:
        raise ValueError(f"The leg from km {km:g} has a negative length, time or need.")
