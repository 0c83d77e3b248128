"""Mend: know for sure what is not known of a source that the route goes by."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from longdry.computing.mends.trials import (
    MOST_OF_A_KIND,
    Draft,
    MendSearch,
    PlannedAgain,
    kept,
)
from longdry.computing.stretches.verdicts import severity
from longdry.computing.water.passes import why_not_certain, why_not_counted
from longdry.model.plan.mends import Mend, MendFigures, MendKind
from longdry.model.plan.stretch import DryStretch
from longdry.model.trip.party import Party
from longdry.model.trip.trip import Trip
from longdry.model.water.passes import WaterPass
from longdry.model.water.source import WaterSource
from longdry.model.words import Certainty, Grade

MOST_TRIED = 8


@dataclass(frozen=True, slots=True)
class _Supposed:
    """A source as it would be if the facts were known."""

    source: WaterSource
    treats: bool
    """Whether the party must carry a way of treating."""
    facts: tuple[str, ...]


def by_confirmed(mending: MendSearch, stretches: Sequence[DryStretch]) -> list[Mend]:
    """Return the sources within each stretch that would better it, with what must be known."""
    return [mend for stretch in stretches for mend in _of_stretch(mending, stretch)]


def _of_stretch(mending: MendSearch, stretch: DryStretch) -> list[Mend]:
    middle_km = (stretch.begin.km + stretch.end.km) / 2.0
    inside = [
        (water, supposed)
        for water in mending.ahead.outset.passes
        if stretch.begin.km < water.km < stretch.end.km
        and (supposed := _supposed(water, mending)) is not None
    ]
    inside.sort(key=lambda pair: abs(pair[0].km - middle_km))
    found: list[Mend] = []
    for water, supposed in inside[:MOST_TRIED]:
        again = _again(mending, supposed)
        found += kept(mending, stretch, _draft(water, supposed), again)
    found.sort(key=lambda mend: severity(mend.verdict_after))
    return found[:MOST_OF_A_KIND]


def _supposed(water: WaterPass, mending: MendSearch) -> _Supposed | None:
    """Return the source with its facts known; None where it counts or never can."""
    source = water.source
    if water.counted or source.retired is not None or source.grade is Grade.NOT_FOR_DRINKING:
        return None
    facts = []
    treats = source.grade is Grade.TREAT and not mending.trip.party.can_treat
    if source.grade is None:
        grade = Grade.TREAT if mending.trip.party.can_treat else Grade.POTABLE
        facts.append(f"that its water is {grade.value}: no grade is given")
        source = replace(source, grade=grade)
    if treats:
        facts.append("that your party carries a way of treating what is in it (can_treat)")
    if why_not_certain(water.judgement, mending.counting.count_on):
        facts.append(
            f"that there is water in it (it is {water.judgement.certainty.value}:"
            f" {water.judgement.why})"
        )
        source = replace(source, certainty=Certainty.CERTAIN)
    return _Supposed(source, treats, tuple(facts))


def _again(mending: MendSearch, supposed: _Supposed) -> PlannedAgain:
    trip = _treating(mending.trip) if supposed.treats else mending.trip
    passes = [_as_supposed(water, supposed, mending, trip) for water in mending.ahead.outset.passes]
    return mending.again(trip=trip, passes=passes)


def _treating(trip: Trip) -> Trip:
    return replace(trip, party=Party(people=trip.party.people, can_treat=True))


def _as_supposed(
    water: WaterPass, supposed: _Supposed, mending: MendSearch, trip: Trip
) -> WaterPass:
    """Return a pass counted as it would be; all else that can be treated then counts, too."""
    if water.source.id == supposed.source.id:
        return replace(water, source=supposed.source, counted=True, why_not="")
    why_not = why_not_counted(water.source, can_treat=trip.party.can_treat) or why_not_certain(
        water.judgement, mending.counting.count_on
    )
    return replace(water, counted=not why_not, why_not=why_not)


def _draft(water: WaterPass, supposed: _Supposed) -> Draft:
    return Draft(
        MendKind.CONFIRMED,
        f"Find out about {water.source.name} (km {water.km:.1f}, {water.offset_km:.1f} km off"
        f" the route). You would have to know {' and '.join(supposed.facts)}.",
        MendFigures(at_km=water.km),
        "Until that is known, it does not count: go and look, or ask those who look after it.",
    )
