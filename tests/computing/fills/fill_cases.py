"""Random fill problems, all figures invented, on a grid of half litres and whole kilometres."""

from __future__ import annotations

import random

from longdry.computing.fills.problem import NOTHING_BETWEEN
from longdry.model.plan.fills import FillProblem, GradeNeed, Leg, Stop, Vessel
from longdry.model.trip.party import Vehicle
from longdry.model.words import ContainerGrade, Grade

ONE_PLACE = 0.15
"""Part of the stops that are another water of the stop before, with nothing needed between."""
SIZES_L = (2.0, 5.0, 10.0, 10.0, 20.0, 20.0, 23.0, 45.0)


def random_problem(seed: int, most_legs: int = 8, most_vessels: int = 6) -> FillProblem:
    """Make a problem; the same seed makes the same one."""
    dice = random.Random(seed)
    vessels = _vessels(dice, most_vessels)
    can_treat = dice.random() < 0.75
    room_l = sum(v.size_l for v in vessels)
    km = 0.0
    stops, legs = [_start(dice, vessels, can_treat=can_treat)], []
    for number in range(dice.randint(1, most_legs)):
        one_place = number > 0 and dice.random() < ONE_PLACE
        leg = NOTHING_BETWEEN if one_place else _leg(dice, room_l, can_treat=can_treat)
        km += leg.km
        legs.append(leg)
        stops.append(_stop(dice, km, room_l, can_treat=can_treat))
    if any(v.holds_l for v in vessels) and dice.random() < 0.6:
        stops[0] = Stop(0.0, None)
    return FillProblem(tuple(stops), tuple(legs), vessels, _carriers(dice, vessels))


def _half(dice: random.Random, most_l: float) -> float:
    return dice.randint(0, max(0, int(2 * most_l))) / 2.0


def _vessels(dice: random.Random, most: int) -> tuple[Vessel, ...]:
    stated = dice.random() < 0.4
    vessels = []
    for n in range(dice.randint(1, most)):
        size_l = dice.choice(SIZES_L)
        kept = ContainerGrade.POTABLE if dice.random() < 0.5 else ContainerGrade.ANY
        lower = kept is ContainerGrade.ANY and dice.random() < 0.25
        vessels.append(
            Vessel(
                name=f"container {n}",
                size_l=size_l,
                grade=kept,
                carrier=dice.choice(("first", "second", None)),
                tare_kg=dice.choice((0.0, 1.0, 2.5)),
                cleanable=dice.random() < 0.4,
                holds_l=_half(dice, size_l) if stated else 0.0,
                holds_grade=Grade.TREAT if lower else Grade.POTABLE,
            )
        )
    return tuple(vessels)


def _carriers(dice: random.Random, vessels: tuple[Vessel, ...]) -> tuple[Vehicle, ...]:
    carriers = []
    for name in ("first", "second"):
        kg = sum(v.size_l + v.tare_kg for v in vessels if v.carrier == name)
        if dice.random() < 0.35:
            carriers.append(Vehicle(name, round(kg * dice.uniform(0.4, 1.1) * 2.0) / 2.0))
    return tuple(carriers)


def _start(dice: random.Random, vessels: tuple[Vessel, ...], *, can_treat: bool) -> Stop:
    room_l = sum(v.size_l for v in vessels)
    if dice.random() < 0.7:
        return Stop(0.0, None, Grade.POTABLE)
    return _stop(dice, 0.0, room_l, can_treat=can_treat)


def _stop(dice: random.Random, km: float, room_l: float, *, can_treat: bool) -> Stop:
    treat_l = dice.choice((0.0, 2.0, 5.0, 10.0, None)) if can_treat else 0.0
    return Stop(
        km=km,
        name=f"source at km {km:g}",
        grade=dice.choice((Grade.POTABLE, Grade.TREAT, Grade.TREAT)),
        limit_l=_half(dice, room_l) if dice.random() < 0.5 else None,
        treat_l=treat_l,
    )


def _leg(dice: random.Random, room_l: float, *, can_treat: bool) -> Leg:
    weight = dice.choice((0.2, 0.4, 0.6, 0.8, 1.1))
    potable_l, treat_l, any_l = (_half(dice, room_l * weight / 2.0) for _ in range(3))
    lean = GradeNeed(_part(potable_l, 0.8), _part(treat_l, 0.5), 0.0)
    bare = GradeNeed(_part(potable_l, 0.5), 0.0, 0.0)
    return Leg(
        km=float(dice.randint(5, 300)),
        days=dice.choice((0.5, 1.0, 2.0, 3.5)),
        full=GradeNeed(potable_l, treat_l, any_l),
        lean=lean,
        bare=bare,
        reserve=GradeNeed(_half(dice, room_l * 0.15), _half(dice, room_l * 0.08)),
        treat_l=dice.choice((0.0, 3.0, 8.0, 15.0, None)) if can_treat else 0.0,
        reserve_treat_l=dice.choice((0.0, 4.0, None)) if can_treat else 0.0,
    )


def _part(litres: float, share: float) -> float:
    return int(litres * 2.0 * share) / 2.0
