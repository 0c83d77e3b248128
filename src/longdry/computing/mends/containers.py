"""Mend: take one more container of a kind that the trip has."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from longdry.computing.mends.trials import MendSearch, Proposal
from longdry.computing.stretches.verdicts import size_l
from longdry.model.plan.mends import MendFigures, MendKind
from longdry.model.plan.stretch import DryStretch
from longdry.model.trip.party import Container
from longdry.model.trip.trip import Trip
from longdry.model.words import Travel
from longdry.units import KG_PER_L_WATER, rounded_down, rounded_up

_CAUTION = "Fill and weigh it at home before you rely on it."


def by_container(search: MendSearch, stretch: DryStretch) -> Iterator[Proposal]:
    """Yield one more of each kind of container that can be carried, the lightest first."""
    for proposal in by_one_more(search):
        promise = search.guess(stretch, proposal.prepared)
        if promise is not None:
            yield replace(proposal, promise=promise)


def by_one_more(search: MendSearch) -> Iterator[Proposal]:
    """Yield one more of each kind that can be carried, whatever it helps, the lightest first."""
    trip = search.trip
    for box in sorted(_kinds(trip), key=lambda one: full_kg(trip, one)):
        if not can_carry(trip, box):
            continue
        litres, kg = size_l(trip, box), full_kg(trip, box)
        yield Proposal(
            MendKind.CONTAINERS,
            f'Take one more "{box.name}", {litres:g} L; full it weighs'
            f" {rounded_up(kg, 0.1):.1f} kg. {_payload(trip, box)}",
            _CAUTION,
            search.with_trip(with_one_more(trip, box)),
            search.water,
            None,
            MendFigures(litres=litres, count=1, kg=kg),
            key=(MendKind.CONTAINERS, box),
        )


def with_one_more(trip: Trip, box: Container) -> Trip:
    """Return the trip with one more container of a kind, filled where there is water."""
    empty = box.holds_l is not None
    more = replace(box, name=f"{box.name} (added)", count=1, holds_l=0.0 if empty else None)
    return replace(trip, containers=(*trip.containers, more))


def can_carry(trip: Trip, box: Container) -> bool:
    """Whether what carries a kind of container carries one more of them, all of them full.

    Who walks or rides is asked to carry no more than a stated payload; a vehicle without a stated
    one is taken to carry it, and the mend says that it must be weighed.
    """
    left_kg = _payload_left_kg(trip, box)
    if left_kg is None:
        return trip.pace.travel is Travel.VEHICLE
    own = (one for one in trip.containers if one.vehicle == box.vehicle)
    loaded_kg = sum(one.count * full_kg(trip, one) for one in own) + full_kg(trip, box)
    return loaded_kg <= left_kg


def full_kg(trip: Trip, box: Container) -> float:
    """Return what one container weighs when full."""
    return size_l(trip, box) * KG_PER_L_WATER + box.tare_kg


def _kinds(trip: Trip) -> list[Container]:
    alike = {
        (size_l(trip, box), box.tare_kg, box.vehicle, box.grade, box.drinking_only): box
        for box in trip.containers
        if size_l(trip, box) > 0.0
    }
    return list(alike.values())


def _payload_left_kg(trip: Trip, box: Container) -> float | None:
    return next((v.payload_left_kg for v in trip.vehicles if v.name == box.vehicle), None)


def _payload(trip: Trip, box: Container) -> str:
    left_kg = _payload_left_kg(trip, box)
    if left_kg is None:
        return "No payload is given for what carries it: weigh it."
    return (
        f'The payload left of "{box.vehicle}", {rounded_down(left_kg, 0.1):.1f} kg for water and'
        " all its containers, is kept."
    )
