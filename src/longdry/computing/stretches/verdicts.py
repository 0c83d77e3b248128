"""What becomes of a stretch with what can be carried, and which of two is worse for the party."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from longdry.model.plan.plan import Longest
from longdry.model.plan.setbacks import WhatIf
from longdry.model.plan.stretch import DryStretch, RationNeed, worst_first, worst_first_key
from longdry.model.trip.party import Container
from longdry.model.trip.trip import Trip
from longdry.model.words import VERDICTS_WORST_FIRST, FillTo, Ration, Verdict
from longdry.units import KG_PER_L_WATER, TOLERANCE_L


def held_l(trip: Trip) -> float:
    """All that the containers hold, to the mark that the trip fills them to, whatever it weighs."""
    return sum(_held_by(box, trip) for box in trip.containers)


def capacity_l(trip: Trip) -> float:
    """All that can be carried: no vehicle bears more than its payload left, tare included.

    What no vehicle of the trip carries is held against no payload.
    """
    payload_kg = {vehicle.name: vehicle.payload_left_kg for vehicle in trip.vehicles}
    free = (box for box in trip.containers if box.vehicle not in payload_kg)
    return sum(_held_by(box, trip) for box in free) + sum(
        _borne_l([box for box in trip.containers if box.vehicle == name], kg, trip)
        for name, kg in payload_kg.items()
    )


def _borne_l(boxes: Sequence[Container], payload_left_kg: float, trip: Trip) -> float:
    water_kg = payload_left_kg - sum(box.count * box.tare_kg for box in boxes)
    return min(sum(_held_by(box, trip) for box in boxes), max(0.0, water_kg) / KG_PER_L_WATER)


def size_l(trip: Trip, box: Container) -> float:
    """Return what one container holds to the mark that the trip fills it to."""
    return box.brimful_l if trip.policy.fill_to is FillTo.BRIMFUL else box.rated_l


def _held_by(box: Container, trip: Trip) -> float:
    return box.count * size_l(trip, box)


def verdict_of(
    needs: Sequence[RationNeed],
    reserve_l: float,
    available_l: float,
    *,
    containers: bool,
    always_l: float = 0.0,
) -> Verdict:
    """Judge a stretch by its needs on the full, lean and bare ration.

    Parameters
    ----------
    containers
        Whether the trip names any: without them nothing is ever clear.
    always_l
        Of the reserve, what is never spent: no ration may drink it.
    """
    if not containers:
        return Verdict.NO_CONTAINERS
    rations_l = [one.need.total_l for one in needs]
    return verdict_of_litres(rations_l, reserve_l, available_l, always_l)


def verdict_of_litres(
    rations_l: Sequence[float], reserve_l: float, available_l: float, always_l: float = 0.0
) -> Verdict:
    """Judge by the litres of the full, lean and bare ration, and what is never spent.

    >>> verdict_of_litres([40.0, 30.0, 25.0], reserve_l=90.0, available_l=80.0, always_l=70.0).value
    'too long'
    """
    room_l = available_l + TOLERANCE_L
    full_l, *fewer_l = rations_l
    if full_l + reserve_l <= room_l:
        return Verdict.CLEAR
    if full_l + always_l <= room_l:
        return Verdict.INTO_RESERVE
    return Verdict.SHORT_RATION if min(fewer_l) + always_l <= room_l else Verdict.TOO_LONG


def ration_that_does(needs: Sequence[RationNeed], available_l: float) -> Ration | None:
    """Return the fullest ration whose need is within what can be carried."""
    return fullest_that_does({one.ration: one.need.total_l for one in needs}, available_l)


def fullest_that_does(litres: Mapping[Ration, float], available_l: float) -> Ration | None:
    """Return the first ration, of the fullest first, whose litres are within what there is."""
    for ration, need_l in litres.items():
        if need_l <= available_l + TOLERANCE_L:
            return ration
    return None


def extremes(stretches: Sequence[DryStretch]) -> Longest:
    """Name the longest stretch in km and in days and the worst one; of equals the first."""
    return Longest(
        by_km=max(stretches, key=lambda s: s.length_km).number,
        by_days=max(stretches, key=lambda s: s.days).number,
        worst=worst_first(stretches)[0].number,
    )


def severity(verdict: Verdict) -> int:
    """Rank a verdict: the larger, the worse."""
    return -VERDICTS_WORST_FIRST.index(verdict)


def worst_verdict(verdicts: Iterable[Verdict]) -> Verdict:
    """Return the worst of some, at least one.

    >>> worst_verdict([Verdict.CLEAR, Verdict.TOO_LONG]).value
    'too long'
    """
    return min(verdicts, key=VERDICTS_WORST_FIRST.index)


def worst_of(what_ifs: Sequence[WhatIf]) -> WhatIf | None:
    """Return what leads to the worst: neither way to water, then the worst verdict.

    Of what two neighbouring sources do together nothing is said: only single failures count.

    >>> worst_of([]) is None
    True
    """
    single = [one for one in what_ifs if len(one.sources) <= 1]
    return min(single, key=_worst_first, default=None)


def _worst_first(one: WhatIf) -> tuple[bool, int, tuple[int, float, float, float]]:
    return (
        not one.leaves_neither,
        VERDICTS_WORST_FIRST.index(one.verdict),
        worst_first_key(one.worst),
    )
