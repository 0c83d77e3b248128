"""All the water near a route, and a trip whose dates, stops and litres agree with it."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace

from longdry.computing.calls.groups import means
from longdry.computing.fills.filling import Filling
from longdry.computing.stretches.journey import Journey
from longdry.computing.water.passes import Judge
from longdry.model.plan.fills import FillWay
from longdry.model.plan.stretch import DryStretch
from longdry.model.trip.named_pass import named_pass
from longdry.model.trip.trip import Trip
from longdry.model.water.passes import Approach, WaterPass
from longdry.model.water.source import WaterSource
from longdry.model.words import Certainty, CountOn, Grade
from longdry.units import TOLERANCE_KM

CLOSED = "closed when the party comes by"
"""Why water that opens too late to be waited for does not count."""
MANY_PASSES = 1000
"""Of more, trial plans look at those that matter."""
APART_KM = 1e-9
"""A micrometre: so far apart are passes at one place of the route, since a stop is known by its km.
Two waters lie off one place where the route bends or ends."""
PARTS_OF_ROUTE = 250
"""Of the route, each with the water that trial plans look at: where it is 144 km long, so much is
left every 600 m."""


@dataclass(frozen=True, slots=True, eq=False)
class Water:
    """All the water near the route, and how certain it must be to count."""

    approaches: tuple[Approach, ...]
    """By km."""
    sources: tuple[WaterSource, ...]
    count_on: CountOn
    judge: Judge = field(default_factory=Judge, repr=False)
    """Shared by all plans that are made of this water."""

    def __post_init__(self) -> None:
        """Tell passes at one place of the route apart, the nearest to it first."""
        object.__setattr__(self, "approaches", tuple(_told_apart(self.approaches)))


@dataclass(frozen=True, slots=True, eq=False)
class SettledTrip:
    """A trip whose dates, stops and litres agree."""

    journey: Journey
    passes: tuple[WaterPass, ...]
    """By km, counted or not."""
    bare: tuple[DryStretch, ...]
    """Judged by what the containers hold, the fills aside."""
    stretches: tuple[DryStretch, ...]
    """As filled; the bare ones where the trip names no containers."""
    filling: Filling | None
    """None where the trip names no containers."""
    fill: FillWay
    """How the party wants to fill."""

    @property
    def trip(self) -> Trip:
        """The trip that is gone."""
        return self.journey.trip


def _told_apart(approaches: Sequence[Approach]) -> Iterator[Approach]:
    km = -math.inf
    for one in sorted(approaches, key=lambda one: (one.km, one.offset_km)):
        km = max(one.km, km + APART_KM)
        yield one if km == one.km else replace(one, km=km)


class WaterOfTrials:
    """The water that trial plans of a trip look at: of a dense layer the part that matters.

    Water that is left out helps no trial plan: such a plan is never better than one of all water.
    Left in is what the plan draws on, what the trip names, what a change is about, and of each part
    of the route the best that counts, the best that is certain and the nearest that does not count.
    """

    def __init__(self, settled: SettledTrip, water: Water) -> None:
        """Choose once for all trial plans of a plan."""
        self._all = water
        self._kept: frozenset[str] | None = None
        self.passes = settled.passes
        """Of the plan, those that trial plans look at."""
        if len(settled.passes) > MANY_PASSES:
            self._kept = kept = frozenset(one.source.id for one in _that_matters(settled))
            self.passes = tuple(one for one in settled.passes if one.source.id in kept)

    def of(self, changed: Water, near_km: float | None = None) -> Water:
        """Return what is left in of the water of a changed trip.

        Parameters
        ----------
        near_km
            Where on the route the change is, where it is at one place.
        """
        if self._kept is None:
            return changed
        known = {id(source) for source in self._all.sources}
        return replace(
            changed,
            approaches=tuple(
                one
                for one in changed.approaches
                for source in [changed.sources[one.place]]
                if source.id in self._kept or id(source) not in known or _is_at(one, near_km)
            ),
        )


def _is_at(one: Approach, km: float | None) -> bool:
    return km is not None and abs(one.km - km) <= TOLERANCE_KM


def _that_matters(settled: SettledTrip) -> Iterator[WaterPass]:
    for end in settled.journey.ends:
        yield from (*end.waters, *end.beside)
    policy = settled.trip.policy
    named = [named_pass(name) for name in (*policy.call_at, *policy.pass_by)]
    yield from (one for one in settled.passes if any(means(wanted, one) for wanted in named))
    part_km = max(settled.journey.prepared.length_km, 1e-9) / PARTS_OF_ROUTE
    for _, part in itertools.groupby(settled.passes, key=lambda one: int(one.km // part_km)):
        yield from _best_of_part(tuple(part))


def _best_of_part(part: Sequence[WaterPass]) -> Iterable[WaterPass]:
    counted = [one for one in part if one.counted]
    sure = [one for one in counted if one.judgement.certainty is Certainty.CERTAIN]
    others = [
        one
        for one in part
        if not one.counted
        and one.source.retired is None
        and one.source.grade is not Grade.NOT_FOR_DRINKING
    ]
    return [
        *sorted(counted, key=_worth)[:1],
        *sorted(sure, key=_worth)[:1],
        *sorted(others, key=lambda one: one.way_km)[:1],
    ]


def _worth(water: WaterPass) -> tuple[bool, float, float]:
    is_raw = water.source.trusted_grade is not Grade.POTABLE
    return (is_raw, water.way_km, -water.judgement.chance)
