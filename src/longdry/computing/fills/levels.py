"""The level of every single container before and after a stop, and what is poured to get there.

The search knows only litres and sharings out. Here they are put into real containers, with as
little pouring over as can be.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

from longdry.computing.fills.sharing import Assignment, carrier_room_ml, equal_groups, size_ml
from longdry.computing.fills.terms import Litres, rounded_down_ml
from longdry.model.plan.fills import Decant, Pour, Vessel, VesselLevel
from longdry.model.trip.party import Vehicle
from longdry.model.words import ContainerGrade, Grade


class Levels(NamedTuple):
    """Of all containers, in their order."""

    ml: tuple[int, ...]
    is_lower: tuple[bool, ...]
    """Whether the container holds lower water, or held it last and has not been cleaned since."""

    board: Litres
    """Both grades together."""

    @classmethod
    def of(cls, ml: tuple[int, ...], is_lower: tuple[bool, ...]) -> Levels:
        """Add up what the containers hold."""
        potable = sum(one for one, low in zip(ml, is_lower, strict=True) if not low)
        return cls(ml, is_lower, Litres(potable, sum(ml)))


class ContainerStore:
    """The containers and what carries them: puts litres into them and draws from them."""

    def __init__(self, vessels: tuple[Vessel, ...], carriers: tuple[Vehicle, ...]) -> None:
        self.vessels = vessels
        self.sizes = tuple(size_ml(v) for v in vessels)
        self.room = carrier_room_ml(vessels, carriers)
        self.groups = equal_groups(vessels)
        self.order = sorted(
            range(len(vessels)), key=lambda i: (vessels[i].grade is ContainerGrade.ANY, i)
        )
        """In which they are filled: those for any water last."""
        self.members = {
            carrier: [i for i in self.order if vessels[i].carrier == carrier]
            for carrier in self.room
        }
        """Of each carrier, in this order."""

    def at_start(self) -> Levels:
        """Give what they hold before the first stop."""
        lower = tuple(v.holds_grade is not Grade.POTABLE for v in self.vessels)
        return Levels.of(tuple(rounded_down_ml(v.holds_l) for v in self.vessels), lower)

    def tainted(self, levels: Levels) -> int:
        """Bits of the containers that cannot be cleaned and have held lower water.

        Equal containers stand in for each other: the bits are those of the first of their group.
        """
        lasting = [group for group in self.groups if not self.vessels[group[0]].cleanable]
        counts = [sum(levels.is_lower[i] for i in group) for group in lasting]
        return sum(
            1 << i for group, count in zip(lasting, counts, strict=True) for i in group[:count]
        )

    def poured_ml(self, levels: Levels, assignment: Assignment) -> int:
        """Give the litres that stand in containers which are to take the other grade."""
        lower = self._lower_set(levels, assignment)
        return sum(ml for i, ml in enumerate(levels.ml) if levels.is_lower[i] != (i in lower))

    def empty_potable_ml(self, levels: Levels) -> int:
        """Give the room of empty containers that are kept for potable water."""
        kept = ContainerGrade.POTABLE
        trio = zip(self.vessels, self.sizes, levels.ml, strict=True)
        return sum(size for vessel, size, ml in trio if vessel.grade is kept and not ml)

    def placed(
        self, levels: Levels, board: Litres, assignment: Assignment, *, is_potable: bool
    ) -> Levels:
        """Put what a stop is left with into the containers, moving as little as can be.

        What is treated here goes into empty containers first.
        """
        lower = self._needed_lower(levels, self._lower_set(levels, assignment), board)
        kept = [ml if levels.is_lower[i] == (i in lower) else 0 for i, ml in enumerate(levels.ml)]
        found = [0] * len(kept)
        for carrier, amounts in self._shares(kept, lower, board).items():
            members = self.members[carrier]
            for wants_lower, amount in zip((False, True), amounts, strict=True):
                chosen = [i for i in members if (i in lower) == wants_lower]
                if not (is_potable or wants_lower):
                    chosen.sort(key=lambda i: kept[i] > 0)
                self._fill(found, kept, chosen, amount)
        marks = tuple((i in lower) if ml else levels.is_lower[i] for i, ml in enumerate(found))
        return Levels.of(tuple(found), marks)

    def drawn(self, levels: Levels, left: Litres) -> Levels:
        """Draw what a leg uses: one container after the other, those for any water first."""
        found = list(levels.ml)
        use = {
            False: levels.board.potable - left.potable,
            True: (levels.board.total - levels.board.potable) - (left.total - left.potable),
        }
        for i in reversed(self.order):
            amount = min(found[i], use[levels.is_lower[i]])
            found[i] -= amount
            use[levels.is_lower[i]] -= amount
        return Levels.of(tuple(found), levels.is_lower)

    def to_the_mark(self, before: Levels, after: Levels, spare: Litres) -> Levels:
        """Fill every container that takes water here to its mark, as far as the spare goes."""
        found = list(after.ml)
        potable, total = spare.potable, spare.total
        for i, ml in enumerate(after.ml):
            grows = ml > (before.ml[i] if before.is_lower[i] == after.is_lower[i] else 0)
            extra = min(self.sizes[i] - ml, self._room_left(found, i)) if grows else 0
            most = total if after.is_lower[i] else min(potable, total)
            if extra == self.sizes[i] - ml and extra <= most:
                found[i] += extra
                total -= extra
                potable -= 0 if after.is_lower[i] else extra
        return Levels.of(tuple(found), after.is_lower)

    def _room_left(self, ml: Sequence[int], index: int) -> int:
        carrier = self.vessels[index].carrier
        return self.room[carrier] - sum(ml[i] for i in self.members[carrier])

    def _lower_set(self, levels: Levels, assignment: Assignment) -> frozenset[int]:
        """Choose among equal containers: those of lower water first, then the emptiest."""
        lower = {i for i in range(len(self.sizes)) if assignment.lower >> i & 1}
        for group in self.groups:
            count = len(lower.intersection(group))
            ranked = sorted(group, key=lambda i: (not levels.is_lower[i],
                            -levels.ml[i] if levels.is_lower[i] else levels.ml[i], i))  # fmt: skip
            lower = lower.difference(group).union(ranked[:count])
        return frozenset(lower)

    def _needed_lower(self, levels: Levels, lower: frozenset[int], board: Litres) -> frozenset[int]:
        """Leave containers of potable water alone where the others have room for the lower."""
        potable = [i for i in lower if levels.ml[i] and not levels.is_lower[i]]
        for i in sorted(potable, key=lambda i: (-levels.ml[i], i)):
            fewer = lower - {i}
            room = sum(self._carrier_room(carrier, fewer)[1] for carrier in self.room)
            if room >= board.total - board.potable:
                lower = fewer
        return lower

    def _shares(
        self, kept: Sequence[int], lower: frozenset[int], board: Litres
    ) -> dict[str | None, tuple[int, int]]:
        """Share potable and lower litres out between the carriers."""
        rooms = {carrier: self._carrier_room(carrier, lower) for carrier in self.room}
        potable, low = board.potable, board.total - board.potable
        shares = {}
        carriers = list(rooms)
        for n, carrier in enumerate(carriers):
            later = [rooms[c] for c in carriers[n + 1 :]]
            rest = tuple(sum(room[j] for room in later) for j in range(3))
            held = [
                sum(kept[i] for i in self.members[carrier] if (i in lower) == wants_lower)
                for wants_lower in (False, True)
            ]  # fmt: skip
            share = _share((potable, low), rooms[carrier], rest, held)
            shares[carrier] = share
            potable, low = potable - share[0], low - share[1]
        return shares

    def _carrier_room(self, carrier: str | None, lower: frozenset[int]) -> tuple[int, int, int]:
        sums = [0, 0]
        for i in self.members[carrier]:
            sums[i in lower] += self.sizes[i]
        room = self.room[carrier]
        return min(sums[0], room), min(sums[1], room), min(sum(sums), room)

    def _fill(self, found: list[int], kept: Sequence[int], chosen: list[int], amount: int) -> None:
        for i in chosen:
            found[i] = min(kept[i], amount)
            amount -= found[i]
        for i in chosen:
            extra = min(self.sizes[i] - found[i], amount)
            found[i] += extra
            amount -= extra


@lru_cache(maxsize=64)
def store_of(vessels: tuple[Vessel, ...], carriers: tuple[Vehicle, ...]) -> ContainerStore:
    """Return the containers of a trip, looked at once."""
    return ContainerStore(vessels, carriers)


def _share(
    wanted: tuple[int, int], room: tuple[int, int, int], rest: Sequence[int], held: Sequence[int]
) -> tuple[int, int]:
    """Give one carrier what it holds already, as far as the others can hold the remainder."""
    potable_low = max(0, wanted[0] - rest[0])
    lower_low = max(0, wanted[1] - rest[1])
    total_low = max(0, sum(wanted) - rest[2])
    potable = max(potable_low, min(held[0], room[0], wanted[0], room[2] - lower_low))
    lower = max(lower_low, held[1], total_low - potable)
    lower = min(lower, room[1], wanted[1], room[2] - potable)
    potable = max(potable, min(total_low - lower, room[0], wanted[0], room[2] - lower))
    return potable, lower


class Moves(NamedTuple):
    """All that is poured at one stop."""

    decants: tuple[Decant, ...]
    drawn_off: tuple[VesselLevel, ...]
    into: tuple[Pour, ...]
    left_ml: int
    cleaned: tuple[str, ...]


def taken_ml(before: Litres, after: Litres, *, is_potable: bool) -> tuple[int, int]:
    """Return what is taken and what is treated at a stop, potable or to be treated."""
    rise_ml, total_ml = after.potable - before.potable, after.total - before.total
    if is_potable:
        return max(0, total_ml, rise_ml), 0
    return max(0, total_ml), max(0, rise_ml)


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
    take_ml, _ = taken_ml(before.board, after.board, is_potable=is_potable)
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
        left_ml=take_ml - (after.board.total - before.board.total),
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
