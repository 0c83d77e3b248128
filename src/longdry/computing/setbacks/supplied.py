"""The plan as it goes, with what it carries: what every what-if starts from."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace

from longdry.computing.clock.clock import Call
from longdry.computing.clock.day_rules import SNAP_H, Moment
from longdry.computing.fills.filling import Filling
from longdry.computing.needs.needs import WaterDemand
from longdry.computing.pace.on_ground import route_pace
from longdry.computing.route.mirrored import mirrored_route, mirrored_trip
from longdry.computing.stretches.journey import Journey
from longdry.computing.stretches.verdicts import worst_verdict
from longdry.model.arrays import frozen_floats
from longdry.model.pace import PaceProfile
from longdry.model.plan.stretch import DryStretch, StretchEnd
from longdry.model.trip.trip import Trip
from longdry.model.water.passes import WaterPass
from longdry.model.water.source import WaterSource
from longdry.model.words import Ration, Verdict


@dataclass(frozen=True, slots=True)
class Carried:
    """Litres on leaving the beginning of each stretch."""

    litres: tuple[float, ...]
    potable_l: tuple[float, ...]
    """What of it is potable, or was treated before."""
    by_vehicle: Mapping[str, tuple[float, ...]] = field(default_factory=dict)
    """What of it is in the containers of a vehicle, by its name."""


@dataclass(frozen=True, slots=True, eq=False)
class SuppliedPlan:
    """A journey, and the litres carried on it.

    Raises
    ------
    ValueError
        Where litres or verdicts are not one for each stretch.
    """

    journey: Journey
    """The heat in it should not let days of rest off: who is in need moves on them too."""
    carried_l: tuple[float, ...]
    """On leaving the beginning of each stretch; ``len(ends) - 1`` of them."""
    planned: tuple[Verdict, ...] = ()
    """Of each stretch by the fill plan, which knows grades and limits; empty: by litres alone.
    No stretch is judged better than that."""
    back: PaceProfile | None = None
    """Moving hours along the route for a party that goes back over it, cumulative from km 0 as
    those onward; None: as onward. On slopes they differ."""
    passed: tuple[StretchEnd, ...] = ()
    """Water that counts and that the plan passes by, in travel order: used when it goes wrong."""
    spoilt: frozenset[str] = frozenset()
    """Ids of sources that give nothing."""
    drawn_l: tuple[float, ...] = ()
    """What is drawn at each end but the last as planned; empty: by what is carried here."""
    is_drawn_known: bool = True
    """False while nothing is filled yet: a limited source that was called at is then empty, and a
    slow one gives what flows in the minutes of a fill."""
    taken_through_l: list[Mapping[str, float]] = field(
        default_factory=lambda: [{}], init=False, repr=False
    )
    """Of each limited source before the first end, up to it, up to the next: as far as asked."""
    _stretches: dict[int, DryStretch] = field(default_factory=dict, init=False, repr=False)
    _drawn_l: list[float] = field(default_factory=list, init=False, repr=False)
    _near_day_end: list[frozenset[int]] = field(default_factory=list, init=False, repr=False)
    _at_source: dict[str, list[int]] = field(default_factory=dict, init=False, repr=False)

    def __post_init__(self) -> None:
        count = len(self.journey.ends) - 1
        if len(self.carried_l) != count:
            raise ValueError(f"{len(self.carried_l)} amounts carried for {count} stretches")
        if len(self.planned) not in (0, count):
            raise ValueError(f"{len(self.planned)} verdicts for {count} stretches")

    @property
    def ends(self) -> tuple[StretchEnd, ...]:
        """The start, the stops and the end."""
        return self.journey.ends

    @property
    def trip(self) -> Trip:
        """The trip that is gone."""
        return self.journey.trip

    @property
    def demand(self) -> WaterDemand:
        """What is asked for on the way."""
        return self.journey.demand

    @property
    def last(self) -> int:
        """Index of the end of the route."""
        return len(self.ends) - 1

    @property
    def home(self) -> StretchEnd:
        """Where a party goes back to that finds no water behind: the start of the route."""
        return StretchEnd(0.0) if self.trip.here else self.ends[0]

    def behind_at(self, index: int) -> StretchEnd:
        """Return the end that a party goes back to; for the first one see `home`."""
        return self.ends[index] if index else self.home

    def free_l(self, index: int) -> float:
        """Return what of the litres carried on leaving an end may be spent."""
        return max(0.0, self.carried_l[index] - self.demand.always_l)

    def call(self, index: int) -> Call:
        """Return the call at an end; at the start and the end one without a stay."""
        calls = self.journey.calls
        if 0 < index <= len(calls):
            return calls[index - 1]
        return Call(self.ends[index].km, self.ends[index].way_km)

    def leaves(self, index: int) -> Moment:
        """Return when the party leaves an end, as planned."""
        itinerary = self.journey.itinerary
        return itinerary.stays[index - 1].leaves if index else itinerary.leaves

    def arrives(self, index: int) -> Moment:
        """Return when water can be drawn at an end but the start, as planned."""
        itinerary = self.journey.itinerary
        return itinerary.stays[index - 1].arrives if index < self.last else itinerary.arrives

    def stretch(self, index: int, carried_l: float | None = None) -> DryStretch:
        """Judge the stretch from end ``index`` to the next.

        Parameters
        ----------
        carried_l
            On leaving its beginning; None: as the plan has it.
        """
        if carried_l is not None:
            return self._judged(index, carried_l)
        if index not in self._stretches:
            self._stretches[index] = self._judged(index, self.carried_l[index])
        return self._stretches[index]

    def stretches(self) -> tuple[DryStretch, ...]:
        """Judge all of them, in travel order."""
        return tuple(self.stretch(index) for index in range(self.last))

    def stops_near_day_end(self) -> frozenset[int]:
        """Return the stops at which little is left of a day: it is a question whether to camp."""
        if not self._near_day_end:
            rules = self.journey.clock.rules
            little_h = rules.shorter_day_h + 2.0 * SNAP_H
            self._near_day_end.append(
                frozenset(
                    stop
                    for stop, stay in enumerate(self.journey.itinerary.stays, 1)
                    if stay.nights
                    or min(stay.leaves.left_h, rules.moving_left(stay.leaves)) <= little_h
                )
            )
        return self._near_day_end[0]

    def drawn_at(self, index: int) -> float:
        """Return the litres that the plan draws at an end but the last."""
        return self.all_drawn_l()[index]

    def all_drawn_l(self) -> tuple[float, ...]:
        """Return the litres that the plan draws at each end but the last."""
        if self.drawn_l:
            return self.drawn_l
        if not self._drawn_l:
            left_l = [0.0, *(left_of(self.stretch(i)) for i in range(self.last - 1))]
            self._drawn_l.extend(
                max(0.0, carried - left)
                for carried, left in zip(self.carried_l, left_l, strict=True)
            )
        return tuple(self._drawn_l)

    def sources(self) -> tuple[WaterSource, ...]:
        """Return the sources at the stops once each, in the order of their first passes.

        The start's own are not among them: that one of them is dry is seen before leaving.
        """
        waters = (water for end in self.ends[1:-1] for water in end.waters)
        return tuple({water.source.id: water.source for water in waters}.values())

    def stops_at(self, source_id: str) -> list[int]:
        """Return the indices of the stops at a source, in travel order."""
        if not self._at_source:
            for index in range(1, self.last):
                for one in self.source_ids(index):
                    self._at_source.setdefault(one, []).append(index)
        return self._at_source.get(source_id, [])

    def source_ids(self, index: int) -> set[str]:
        """Return the ids of the sources at an end."""
        return {water.source.id for water in self.ends[index].waters}

    def with_spoilt(self, ids: Collection[str]) -> SuppliedPlan:
        """Return the plan in which some sources give nothing; what is carried stays as it is."""
        gone = replace(self, spoilt=self.spoilt | set(ids), drawn_l=self.all_drawn_l())
        if self.source_ids(0).isdisjoint(ids):
            first = min((stop for one in ids for stop in self.stops_at(one)), default=self.last)
            gone.taken_through_l.extend(self.taken_through_l[1 : first + 1])
        return gone

    def dry_stops(self, dry_ids: Collection[str]) -> list[int]:
        """Return the indices of the stops all of whose water is dry, in travel order."""
        near = {index for one in dry_ids for index in self.stops_at(one)}
        return sorted(index for index in near if self.source_ids(index) <= set(dry_ids))

    def _judged(self, index: int, carried_l: float) -> DryStretch:
        begin, end = self.ends[index], self.ends[index + 1]
        travel = self.journey.itinerary.travels[index]
        by_litres = self.journey.judged(index + 1, begin, end, travel, carried_l=carried_l)
        if not self.planned:
            return by_litres
        verdict = worst_verdict([by_litres.verdict, self.planned[index]])
        return by_litres if verdict is by_litres.verdict else replace(by_litres, verdict=verdict)


def planned_ration(stretch: DryStretch) -> Ration:
    """Return what the party lives on in a stretch: the fullest ration that does, or the bare."""
    return stretch.ration_that_does or Ration.BARE


def used_of(stretch: DryStretch) -> float:
    """Return the litres that the party uses on a stretch, as far as it lives on its ration."""
    lived_on = planned_ration(stretch)
    return next(one.need.total_l for one in stretch.needs if one.ration is lived_on)


def left_of(stretch: DryStretch) -> float:
    """Return what is left of the litres that a stretch was judged with, never below zero."""
    return max(0.0, stretch.available_l - used_of(stretch))


def as_planned(
    journey: Journey, stretches: Sequence[DryStretch], passes: Sequence[WaterPass] = ()
) -> SuppliedPlan:
    """Return the plan with what its stretches carry and their verdicts.

    Parameters
    ----------
    stretches
        As filled; one that no fill plan has seen counts as left with all it can.
    passes
        All of the route: those that count and are no calls are passed by.
    """
    return SuppliedPlan(
        journey,
        tuple(s.available_l if s.on_board_l is None else s.on_board_l for s in stretches),
        tuple(stretch.verdict for stretch in stretches),
        back_of(journey),
        passed_by(journey, passes),
    )


def loaded_full(journey: Journey, passes: Sequence[WaterPass] = ()) -> SuppliedPlan:
    """Return the plan of a party that fills everything wherever there is water.

    What the trip says of the start holds there.
    """
    full = tuple(stretch.available_l for stretch in journey.stretches())
    return SuppliedPlan(journey, full, (), back_of(journey), passed_by(journey, passes))


def passed_by(journey: Journey, passes: Sequence[WaterPass]) -> tuple[StretchEnd, ...]:
    """Return the water that counts and is at no end of the journey, in travel order.

    Where a party on its way stands at water, that is among it: it may be gone back to.
    """
    ends = journey.ends[1:] if journey.trip.here else journey.ends
    drawn_on = {(water.source.id, water.km) for end in ends for water in end.waters}
    found = (
        StretchEnd(one.km, one)
        for one in passes
        if one.counted and (one.source.id, one.km) not in drawn_on
    )
    return tuple(sorted(found, key=lambda end: end.km))


def carried_of(filling: Filling) -> Carried:
    """Return what a fill plan carries on leaving the beginning of each stretch."""
    fills = [filling.chosen.fills[index] for index in filling.last_of_stop]
    vessels = filling.problem.vessels
    vehicles = {vessel.carrier for vessel in vessels if vessel.carrier}
    return Carried(
        tuple(fill.leaving.total_l for fill in fills),
        tuple(fill.leaving.potable_l for fill in fills),
        {
            vehicle: tuple(
                sum(
                    level.litres
                    for vessel, level in zip(vessels, fill.levels_leaving, strict=True)
                    if vessel.carrier == vehicle
                )
                for fill in fills
            )
            for vehicle in vehicles
        },
    )


def back_of(journey: Journey) -> PaceProfile | None:
    """Return the moving hours of the way back, where heights make them others than those onward."""
    prepared = journey.prepared
    if not prepared.pace.heights_used:
        return None
    length_km = prepared.length_km
    mirrored = mirrored_trip(prepared.trip, length_km)
    return profile_back(route_pace(mirrored_route(prepared.measured), mirrored.pace).profile)


def profile_back(of_reversed: PaceProfile) -> PaceProfile:
    """Return the hours back by km of the route as travelled, from those of the route reversed.

    Parameters
    ----------
    of_reversed
        Moving hours of the same route from its end to its start.
    """
    return PaceProfile(
        frozen_floats(of_reversed.km[-1] - of_reversed.km[::-1]),
        frozen_floats(of_reversed.moving_h[-1] - of_reversed.moving_h[::-1]),
    )
