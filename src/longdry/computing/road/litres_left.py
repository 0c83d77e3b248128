"""Containers with the litres that a party says are left."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from longdry.computing.fills.problem import vessels_at_start
from longdry.computing.stretches.verdicts import size_l
from longdry.errors import InputError, UsageError
from longdry.model.trip.party import Container
from longdry.model.trip.tally import LitresLeft
from longdry.model.trip.trip import Trip
from longdry.model.words import ContainerGrade, Grade
from longdry.units import TOLERANCE_L


def containers_with(trip: Trip, left: Sequence[LitresLeft]) -> tuple[Container, ...]:
    """Return every single container with what it holds now; of what is not named, nothing.

    An empty one of which no grade is said has held the lowest, as if it still held some.

    Litres that are said for all together go into the containers one after the other, those that
    take any water first. Where no grade is said it is the lowest that the party can drink: to be
    treated where it can treat and the container takes such water.

    Raises
    ------
    UsageError
        Where a container is unknown or named twice, more is left than they hold, or water to be
        treated stands in one that is kept for potable water.
    """
    boxes = [_holding(trip, box, 0.0, None) for box in singles(trip)]
    if not boxes:
        mend = "name what carries water in the trip file: [[container]]"
        raise UsageError.single("--left", "", "the trip names no containers", mend)
    together = [one for one in left if not one.container]
    if together and len(left) > 1:
        mend = "give one number for all of them, or NAME=LITRES for each"
        raise UsageError.single("--left", "", "litres for all containers stand beside others", mend)
    if together:
        return tuple(_shared_out(trip, boxes, together[0]))
    for one in left:
        index = _index_of(one, boxes, left)
        _refuse_overfull(one.litres, size_l(trip, boxes[index]), one.container)
        boxes[index] = _holding(trip, boxes[index], one.litres, one.grade)
    return tuple(boxes)


def singles(trip: Trip) -> list[Container]:
    """Return the containers one by one, under the names that the plan calls them by."""
    names = iter(vessel.name for vessel in vessels_at_start(trip))
    return [
        replace(box, name=next(names), count=1) for box in trip.containers for _ in range(box.count)
    ]


def _shared_out(trip: Trip, boxes: Sequence[Container], left: LitresLeft) -> list[Container]:
    _refuse_overfull(left.litres, sum(size_l(trip, box) for box in boxes), "")
    to_go_l = left.litres
    filled = list(boxes)
    order = sorted(range(len(boxes)), key=lambda index: _takes_only_potable(boxes[index]))
    for index in order:
        litres = min(to_go_l, size_l(trip, boxes[index]))
        filled[index] = _holding(trip, boxes[index], litres, left.grade)
        to_go_l -= litres
    return filled


def _takes_only_potable(box: Container) -> bool:
    return box.drinking_only or box.grade is ContainerGrade.POTABLE


def _holding(trip: Trip, box: Container, litres: float, grade: Grade | None) -> Container:
    is_clean = _takes_only_potable(box)
    if litres > 0.0 and is_clean and grade is Grade.TREAT:
        what = f'water to be treated stands in "{box.name}", which is kept for potable water'
        mend = 'write potable where it has been treated, or grade = "any" for it in the trip file'
        raise UsageError.single("--left", "", what, mend)
    lowest = Grade.TREAT if trip.party.can_treat and not is_clean else Grade.POTABLE
    holds = Grade.POTABLE if is_clean else grade or lowest
    return replace(box, holds_l=min(litres, size_l(trip, box)), holds_grade=holds)


def _index_of(one: LitresLeft, boxes: Sequence[Container], left: Sequence[LitresLeft]) -> int:
    wanted = one.container.strip().casefold()
    names = [box.name.strip().casefold() for box in boxes]
    if sum(other.container.strip().casefold() == wanted for other in left) > 1:
        mend = "give each container once"
        raise UsageError.single("--left", "", f'"{one.container}" is named twice', mend)
    if names.count(wanted) != 1:
        known = ", ".join(f'"{box.name}"' for box in boxes[:10])
        what = f'no container is called "{one.container}"'
        raise UsageError.single("--left", "", what, f"they are: {known}")
    return names.index(wanted)


def _refuse_overfull(litres: float, size: float, container: str) -> None:
    if litres <= size + TOLERANCE_L:
        return
    what = f'"{container}" holds' if container else "the containers of the trip hold"
    raise _overfull(f"{what} no more than {size:g} L, not {litres:g} L")


def _overfull(what: str) -> InputError:
    return UsageError.single("--left", "", what, "read them off again, or mend the trip file")
