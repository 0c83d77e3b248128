"""Mend: find out about a source that the route goes by, and whom to ask."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass, replace

from longdry.computing.calls.lists import Item
from longdry.computing.mends.trials import MendSearch, Proposal
from longdry.computing.water.passes import why_not_certain, why_not_counted
from longdry.model.plan.mends import MendFigures, MendKind
from longdry.model.plan.stretch import DryStretch
from longdry.model.trip.trip import Trip
from longdry.model.water.passes import WaterPass
from longdry.model.water.source import Found, Visit, WaterSource
from longdry.model.words import Certainty, Grade

MOST_GUESSED, MOST_PLANNED = 8, 3
_CAUTION = (
    "Until that is known, it does not count. Ask the land manager and the local authorities, and"
    " who looks after it or was there last, or go and look; note who said it and when. Never stake"
    " a life on one uncertain source."
)


@dataclass(frozen=True, slots=True)
class _Supposed:
    """A source as it would be if the facts were known."""

    source: WaterSource
    treats: bool
    """Whether the party must carry a way of treating."""
    facts: tuple[str, ...]


def by_confirmed(search: MendSearch, stretch: DryStretch) -> Iterator[Proposal]:
    """Yield the sources within a stretch that would better it, with what must be known."""
    middle_km = (stretch.begin.km + stretch.end.km) / 2.0
    inside = [
        (water, supposed)
        for water in search.inside(stretch)
        if (supposed := _supposed(water, search)) is not None
    ]
    inside.sort(key=lambda pair: abs(pair[0].km - middle_km))
    hopeful = [
        (promise, water, supposed)
        for water, supposed in inside[:MOST_GUESSED]
        if (promise := search.guess(stretch, search.prepared, search.with_counted(water)))
    ]
    hopeful.sort(key=lambda one: one[0])
    for promise, water, supposed in hopeful[:MOST_PLANNED]:
        yield _proposal(search, water, supposed, promise)


def _supposed(water: WaterPass, search: MendSearch) -> _Supposed | None:
    """Return the source with its facts known; None where that alone would not make it count."""
    source, trip = water.source, search.trip
    if source.retired is not None or source.grade is Grade.NOT_FOR_DRINKING:
        return None
    facts = []
    treats = source.grade is Grade.TREAT and not trip.party.can_treat
    if source.grade is None:
        grade = Grade.TREAT if trip.party.can_treat else Grade.POTABLE
        facts.append(f"that its water is {grade.value}: no grade is given")
        source = replace(source, grade=grade)
    if treats:
        facts.append("that your party carries a way of treating what is in it (can_treat)")
    if why_not_certain(water.judgement, search.water.count_on):
        facts.append(
            f"that there is water in it (it is {water.judgement.certainty.value}:"
            f" {water.judgement.why})"
        )
        source = known_to_hold(source, search.prepared.departs_on)
    if not facts or why_not_counted(source, can_treat=treats or trip.party.can_treat):
        return None
    return _Supposed(source, treats, tuple(facts))


def known_to_hold(source: WaterSource, on: dt.date | None) -> WaterSource:
    """Return a source as it is where somebody tells on leaving that there is water in it."""
    visits = (*source.visits, Visit(on, Found.FLOWING)) if on else source.visits
    return replace(source, certainty=Certainty.CERTAIN, months=None, visits=visits)


def _proposal(search: MendSearch, water: WaterPass, supposed: _Supposed, promise: Item) -> Proposal:
    sources = tuple(
        supposed.source if one.id == supposed.source.id else one for one in search.water.sources
    )
    prepared = search.prepared
    if supposed.treats:
        prepared = search.with_trip(_treating(search.trip))
    return Proposal(
        MendKind.CONFIRMED,
        f"Find out about {water.source.name} (km {water.km:.1f}, {water.offset_km:.1f} km off"
        f" the route). You would have to know {' and '.join(supposed.facts)}.",
        _CAUTION,
        prepared,
        replace(search.water, sources=sources),
        promise,
        MendFigures(at_km=water.km),
    )


def _treating(trip: Trip) -> Trip:
    return replace(trip, party=replace(trip.party, can_treat=True))
