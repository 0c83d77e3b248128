"""Mend: take more containers of a kind that the trip has."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from longdry.computing.fills.filling import with_best_verdicts
from longdry.computing.mends.trials import (
    MOST_OF_A_KIND,
    Draft,
    MendSearch,
    PlannedAgain,
    asked_l,
    goals_beyond,
    is_better,
    kept,
)
from longdry.computing.setbacks.changes import size_l
from longdry.computing.stretches.stretches import held_by
from longdry.model.plan.mends import Mend, MendFigures, MendKind
from longdry.model.plan.stretch import DryStretch
from longdry.model.trip.party import Container
from longdry.model.trip.trip import Trip
from longdry.model.words import Verdict
from longdry.units import KG_PER_L_WATER, rounded_down, rounded_up

MOST_ADDED = 60
_TRIES_BEYOND = 2
"""Containers tried beyond what the litres ask for: grades and limits may ask for more."""


def by_containers(mending: MendSearch, stretches: Sequence[DryStretch]) -> list[Mend]:
    """Return the fewest containers of each kind that better each stretch, the lightest first."""
    found = []
    for stretch in stretches:
        mends = [m for box in _kinds(mending.trip) for m in _of_kind(mending, stretch, box)]
        mends.sort(key=_best_first)
        found += mends[:MOST_OF_A_KIND]
    return found


def with_more(trip: Trip, box: Container, count: int) -> Trip:
    """Return the trip with more containers of a kind, filled where there is water."""
    empty = box.holds_l is not None
    more = replace(box, name=f"{box.name} (added)", count=count, holds_l=0.0 if empty else None)
    return replace(trip, containers=(*trip.containers, more))


def _best_first(mend: Mend) -> tuple[bool, float]:
    return (mend.verdict_after is not Verdict.CLEAR, mend.figures.kg or 0.0)


def _kinds(trip: Trip) -> list[Container]:
    alike = {
        (size_l(trip, box), box.tare_kg, box.vehicle, box.grade): box for box in trip.containers
    }
    return list(alike.values())


def _of_kind(mending: MendSearch, stretch: DryStretch, box: Container) -> list[Mend]:
    size = size_l(mending.trip, box)
    for goal in goals_beyond(stretch.verdict):
        lacking_l = max(asked_l(stretch, goal) - stretch.available_l, 0.0)
        fewest = max(1, math.ceil(rounded_up(lacking_l / size, 1e-6)))
        for count in range(fewest, min(fewest + _TRIES_BEYOND, MOST_ADDED) + 1):
            again = _held_again(mending, with_more(mending.trip, box, count))
            if not is_better(goal, again.verdict_on(stretch)):
                return kept(mending, stretch, _draft(mending.trip, box, count), again)
    return []


def _held_again(mending: MendSearch, trip: Trip) -> PlannedAgain:
    """Plan again where only the containers change: clock and needs stay."""
    going = replace(mending.ahead.going, trip=trip)
    bare = tuple(held_by(stretch, trip) for stretch in mending.bare)
    return PlannedAgain(with_best_verdicts(bare, going))


def _draft(trip: Trip, box: Container, count: int) -> Draft:
    litres = count * size_l(trip, box)
    kg = litres * KG_PER_L_WATER + count * box.tare_kg
    return Draft(
        MendKind.CONTAINERS,
        f'Take {count} more of "{box.name}", {litres:g} L together;'
        f" full they weigh {rounded_up(kg, 0.1):.1f} kg. {_payload(trip, box)}",
        MendFigures(litres=litres, count=count, kg=kg),
        "Fill and weigh them at home before you rely on them.",
    )


def _payload(trip: Trip, box: Container) -> str:
    left_kg = next((v.payload_left_kg for v in trip.vehicles if v.name == box.vehicle), None)
    if left_kg is None:
        return "No payload is given for what carries them: weigh it."
    return (
        f'The payload left of "{box.vehicle}", {rounded_down(left_kg, 0.1):.1f} kg for water and'
        " all its containers, is kept."
    )
