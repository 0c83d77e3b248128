"""What has to be poured where at a stop, from the levels before and after it."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

from longdry.computing.container_levels import Levels
from longdry.model.fill import Decant, Pour, Vessel, VesselLevel
from longdry.model.words import Grade


@dataclass(frozen=True, slots=True)
class Moves:
    """All that is poured at one stop."""

    decants: tuple[Decant, ...]
    drawn_off: tuple[VesselLevel, ...]
    into: tuple[Pour, ...]
    take_ml: int
    treated_ml: int
    left_ml: int
    cleaned: tuple[str, ...]


def grade_of(*, is_lower: bool) -> Grade:
    """Name the grade that water counts as on board."""
    return Grade.TREAT if is_lower else Grade.POTABLE


def moves_between(
    vessels: Sequence[Vessel], before: Levels, after: Levels, *, is_potable: bool
) -> Moves:
    """Work out the moves; the source here is potable or to be treated."""
    surplus, wanting = _changes(before, after)
    decants = [
        decant
        for grades in ((False, False), (True, True), (False, True))
        for decant in _poured(vessels, surplus, wanting, grades)
    ]
    rise_ml = after.board.potable - before.board.potable
    total_ml = after.board.total - before.board.total
    take_ml = max(0, total_ml, rise_ml if is_potable else 0)
    return Moves(
        decants=tuple(decants),
        drawn_off=tuple(
            VesselLevel(vessels[i].name, ml / 1000.0, grade_of(is_lower=low))
            for (i, low), ml in surplus.items() if ml
        ),
        into=tuple(
            Pour(vessels[i].name, ml / 1000.0, grade_of(is_lower=low))
            for (i, low), ml in wanting.items() if ml
        ),
        take_ml=take_ml,
        treated_ml=0 if is_potable else max(0, rise_ml),
        left_ml=take_ml - total_ml,
        cleaned=_cleaned(vessels, before, after),
    )  # fmt: skip


_Amounts = dict[tuple[int, bool], int]
"""Millilitres by container and whether the water is lower."""


def _changes(before: Levels, after: Levels) -> tuple[_Amounts, _Amounts]:
    """Give what leaves and what enters each container."""
    surplus: _Amounts = {}
    wanting: _Amounts = {}
    for i, (old, new) in enumerate(zip(before.ml, after.ml, strict=True)):
        was, is_now = before.is_lower[i], after.is_lower[i]
        stays = min(old, new) if was == is_now else 0
        surplus[i, was] = old - stays
        wanting[i, is_now] = new - stays
    return surplus, wanting


def _poured(
    vessels: Sequence[Vessel], surplus: _Amounts, wanting: _Amounts, grades: tuple[bool, bool]
) -> list[Decant]:
    """Decant what is over into what is wanted; potable water may go on as lower water."""
    givers = [i for (i, is_lower), ml in surplus.items() if ml and is_lower == grades[0]]
    takers = [j for (j, is_lower), ml in wanting.items() if ml and is_lower == grades[1]]
    decants = []
    for i, j in itertools.product(givers, takers):
        amount = min(surplus[i, grades[0]], wanting[j, grades[1]])
        if amount:
            surplus[i, grades[0]] -= amount
            wanting[j, grades[1]] -= amount
            names = vessels[i].name, vessels[j].name
            decants.append(Decant(*names, amount / 1000.0, grade_of(is_lower=grades[1])))
    return decants


def _cleaned(vessels: Sequence[Vessel], before: Levels, after: Levels) -> tuple[str, ...]:
    pairs = zip(vessels, before.is_lower, after.is_lower, strict=True)
    return tuple(vessel.name for vessel, was, is_now in pairs if was and not is_now)
