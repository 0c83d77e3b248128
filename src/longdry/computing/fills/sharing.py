"""Ways of sharing the containers out between potable and lower water.

A container holds one grade at a time. Only containers that are not kept for potable water have a
choice; equal ones are interchangeable, so a way is how many of each sort take lower water.
"""

from __future__ import annotations

import itertools
import math
from collections import defaultdict
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from longdry.model.plan.fills import Vessel
from longdry.model.trip.party import Vehicle
from longdry.model.words import ContainerGrade, Grade
from longdry.units import KG_PER_L_WATER

MOST_ASSIGNMENTS = 256
"""Beyond so many ways only some are looked at, and the plan is not proved best."""
TOLERANCE_ML = 1e-6
_NO_LIMIT_ML = 10**15


class Assignment(NamedTuple):
    """One way of sharing the containers out."""

    lower: int
    """Bits of the containers that take lower water."""
    lasting: int
    """Those of them that cannot be cleaned on the way: never potable again."""
    potable_ml: int
    """Room for potable water, payload heeded."""
    lower_ml: int
    """Room for lower water, payload heeded."""


def size_ml(vessel: Vessel) -> int:
    """Size in whole millilitres, rounded down."""
    return math.floor(vessel.size_l * 1000.0 + TOLERANCE_ML)


def carrier_room_ml(
    vessels: tuple[Vessel, ...], carriers: tuple[Vehicle, ...]
) -> dict[str | None, int]:
    """Water that each carrier may carry: its payload left less the tare of its containers."""
    room = dict.fromkeys((v.carrier for v in vessels), _NO_LIMIT_ML)
    for carrier in carriers:
        tare_kg = sum(v.tare_kg for v in vessels if v.carrier == carrier.name)
        water_kg = max(0.0, carrier.payload_left_kg - tare_kg)
        room[carrier.name] = math.floor(water_kg / KG_PER_L_WATER * 1000.0 + TOLERANCE_ML)
    return room


def capacity_ml(vessels: tuple[Vessel, ...], carriers: tuple[Vehicle, ...]) -> int:
    """Give what all containers hold together, payload heeded."""
    return _room_of(vessels, range(len(vessels)), carrier_room_ml(vessels, carriers))


def assignments_of(
    vessels: tuple[Vessel, ...], carriers: tuple[Vehicle, ...]
) -> tuple[Assignment, ...]:
    """Give all ways that are not useless, those with the fewest lower containers first.

    Where there are more than ``MOST_ASSIGNMENTS`` for the containers that cannot be cleaned, only
    those are given that hand containers to lower water in a fixed order.
    """
    room = carrier_room_ml(vessels, carriers)
    every = [_assignment(vessels, lower, room) for lower in _lower_sets(vessels)]
    return tuple(sorted(_useful(every), key=lambda s: (s.lower.bit_count(), s.lower)))


def are_all_assignments_listed(vessels: tuple[Vessel, ...]) -> bool:
    """Whether ``assignments_of`` leaves no way out."""
    lasting = [g for g in equal_groups(vessels) if not vessels[g[0]].cleanable]
    return (
        _count_of_assignments(lasting) <= MOST_ASSIGNMENTS
        and _count_of_assignments(equal_groups(vessels)) <= MOST_ASSIGNMENTS**2
    )


def _count_of_assignments(groups: list[list[int]]) -> int:
    return math.prod(len(group) + 1 for group in groups)


def equal_groups(vessels: tuple[Vessel, ...]) -> list[list[int]]:
    """Group the indices of containers that may take lower water and are interchangeable.

    Those that have held lower water come first in their group, so that the first of a group are
    always those that take lower water.
    """
    # Containers of one size, on one carrier, both cleanable or both not, can stand in for each
    # other: so of n equal ones it matters only how many take lower water, n + 1 ways instead of
    # 2 ** n. Which of them it is falls in `levels`, where as little as can be is poured over.
    groups: dict[tuple[int, str | None, bool], list[int]] = defaultdict(list)
    for index, vessel in enumerate(vessels):
        if vessel.grade is ContainerGrade.ANY:
            groups[size_ml(vessel), vessel.carrier, vessel.cleanable].append(index)
    for group in groups.values():
        group.sort(key=lambda i: vessels[i].holds_grade is Grade.POTABLE)
    return list(groups.values())


def _lower_sets(vessels: tuple[Vessel, ...]) -> Iterator[frozenset[int]]:
    groups = equal_groups(vessels)
    if not are_all_assignments_listed(vessels):
        ranked = sorted(_rank(vessels, group) for group in groups)
        order = [index for *_, group in ranked for index in group]
        yield from (frozenset(order[:count]) for count in range(len(order) + 1))
        return
    for counts in itertools.product(*(range(len(group) + 1) for group in groups)):
        chosen = (group[:count] for group, count in zip(groups, counts, strict=True))
        yield frozenset(itertools.chain.from_iterable(chosen))


def _rank(vessels: tuple[Vessel, ...], group: list[int]) -> tuple[bool, bool, int, tuple[int, ...]]:
    """Rank those first that hold lower water already, then those that can be cleaned."""
    first = vessels[group[0]]
    is_clean = first.holds_grade is Grade.POTABLE
    return is_clean, not first.cleanable, -size_ml(first), tuple(group)


def _assignment(
    vessels: tuple[Vessel, ...], lower: frozenset[int], room: dict[str | None, int]
) -> Assignment:
    potable = (i for i in range(len(vessels)) if i not in lower)
    return Assignment(
        lower=sum(1 << i for i in lower),
        lasting=sum(1 << i for i in lower if not vessels[i].cleanable),
        potable_ml=_room_of(vessels, potable, room),
        lower_ml=_room_of(vessels, lower, room),
    )


def _room_of(
    vessels: tuple[Vessel, ...], chosen: Iterable[int], room: dict[str | None, int]
) -> int:
    sizes: dict[str | None, int] = defaultdict(int)
    for index in chosen:
        sizes[vessels[index].carrier] += size_ml(vessels[index])
    return sum(min(size, room[carrier]) for carrier, size in sizes.items())


def _useful(assignments: list[Assignment]) -> list[Assignment]:
    """Drop every way that another one with the same lasting marks beats in room."""
    by_lasting: dict[int, list[Assignment]] = defaultdict(list)
    for assignment in assignments:
        by_lasting[assignment.lasting].append(assignment)
    return [s for group in by_lasting.values() for s in _frontier(group)]


def _frontier(assignments: list[Assignment]) -> list[Assignment]:
    """Keep those that no other one has at least as much room for both grades as."""
    kept: list[Assignment] = []
    ordered = sorted(assignments, key=lambda s: (-s.potable_ml, -s.lower_ml, s.lower.bit_count()))
    for assignment in ordered:
        if not kept or assignment.lower_ml > kept[-1].lower_ml:
            kept.append(assignment)
    return kept
