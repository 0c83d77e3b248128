"""Whole plans made again with one thing changed, and the mends that they prove.

A guess, by the containers alone, keeps changes that cannot help from being planned.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np

from longdry.computing.calls.groups import ONE_STOP_KM, stretch_ends
from longdry.computing.calls.lists import Item, item_of, list_of
from longdry.computing.fills.settled import SettledTrip, Water, WaterOfTrials
from longdry.computing.route.approaches import find_approaches
from longdry.computing.stretches.journey import journey_of
from longdry.computing.stretches.prepared import PreparedTrip, prepare
from longdry.computing.stretches.verdicts import severity, worst_verdict
from longdry.errors import TripFileError
from longdry.model.plan.mends import Mend, MendFigures, MendKind
from longdry.model.plan.stretch import DryStretch, StretchEnd
from longdry.model.trip.trip import Trip
from longdry.model.water.passes import Approach, WaterPass
from longdry.model.words import Travel, Verdict
from longdry.units import HOURS_PER_DAY, TOLERANCE_L, rounded_up

LEAST_SHARE = 0.1
"""Of the litres missing that a change must take off, where the verdict stays. Common practice, no
source: less is within the spread of what people use."""
MOST_PLANS_AGAIN = 20
"""Whole plans that are made again for a trip."""
_TIMES_DETOUR = 5.0
_LEAST_REACH_KM, _MOST_REACH_KM = 10.0, 50.0

PlanAgain = Callable[[PreparedTrip, Water], SettledTrip]
"""Plans a trip as a whole, filled as the plan that is to be mended."""


class TrialsSpentError(Exception):
    """All trial plans of the trip are made."""


@dataclass(frozen=True, slots=True)
class Cost:
    """What a mend takes beyond the plan; below zero: less."""

    km: float = 0.0
    hours: float = 0.0
    litres: float = 0.0

    def beyond(self, before: Cost, beforehand: Cost) -> Cost:
        """Return what is more than before; what is saved on the trip pays for nothing beforehand.

        >>> Cost(90.0, 9.0, 9.0).beyond(Cost(100.0, 8.0, 10.0), Cost(20.0, 2.0, 0.0))
        Cost(km=20.0, hours=3.0, litres=-1.0)
        """
        return Cost(
            _more(before.km, self.km, beforehand.km),
            _more(before.hours, self.hours, beforehand.hours),
            _more(before.litres, self.litres, beforehand.litres),
        )


def _more(before: float, after: float, beforehand: float) -> float:
    more = after - before
    if abs(more) < TOLERANCE_L:
        more = 0.0
    return max(more, 0.0) + beforehand if beforehand > 0.0 else more


@dataclass(frozen=True, slots=True, eq=False)
class Proposal:
    """A mend before it is tried."""

    kind: MendKind
    change: str
    """What to do, in whole sentences."""
    caution: str
    prepared: PreparedTrip
    water: Water
    promise: Item | None = None
    """What the part of the route may come to by the containers alone; None: nothing was guessed."""
    figures: MendFigures = field(default_factory=MendFigures)
    """But for what it costs."""
    beforehand: Cost = field(default_factory=Cost)
    """What is done before the trip."""
    key: Hashable = None
    """Of a change that is the same for every stretch, and planned once; None: for one alone."""
    is_turned: bool = False
    """Whether its km count from the other end of the route."""


class MendSearch:
    """The plan to be mended, and the trial plans made so far."""

    def __init__(self, settled: SettledTrip, water: Water, plan_again: PlanAgain) -> None:
        self.settled = settled
        self.water = water
        self.journey = settled.journey
        self.prepared = settled.journey.prepared
        self.trip = settled.trip
        self.trials = 0
        self._plan_again = plan_again
        self._looked_at = WaterOfTrials(settled, water)
        self._known: dict[Hashable, SettledTrip | None] = {}
        self._before = _cost_of(settled)
        self._worst = worst_verdict(one.verdict for one in settled.stretches)
        self._list = list_of(settled.stretches)
        self._counted = {(one.source.id, one.km) for one in settled.passes if one.counted}
        self._minutes = {
            end.km: minutes
            for end, minutes in zip(self.journey.ends[:-1], self.journey.stop_minutes, strict=True)
        }

    @cached_property
    def farther(self) -> tuple[Approach, ...]:
        """Approaches to water beyond the greatest detour of the trip, by km."""
        detour_km = self.trip.policy.max_detour_km
        sources = self.water.sources
        found = find_approaches(
            self.prepared.measured,
            np.array([source.lat_deg for source in sources], dtype=np.float64),
            np.array([source.lon_deg for source in sources], dtype=np.float64),
            max_detour_km=reach_km(detour_km),
        )
        return tuple(one for one in found if one.offset_km > detour_km)

    def with_trip(self, trip: Trip) -> PreparedTrip:
        """Return the same line with another trip."""
        return prepare(self.prepared.measured, trip, known=self.prepared)

    def inside(self, stretch: DryStretch) -> list[WaterPass]:
        """Return the passes between the ends of a stretch that do not count."""
        return [
            one
            for one in self.settled.passes
            if not one.counted and stretch.begin.km < one.km < stretch.end.km
        ]

    def with_counted(self, *waters: WaterPass) -> list[WaterPass]:
        """Return the passes that trial plans look at with some that count now."""
        keys = {(one.source.id, one.km) for one in waters}
        others = [one for one in self._looked_at.passes if (one.source.id, one.km) not in keys]
        return [*others, *(replace(one, counted=True, why_not="") for one in waters)]

    def guess(
        self,
        stretch: DryStretch,
        prepared: PreparedTrip,
        passes: Sequence[WaterPass] | None = None,
        *,
        is_heat_new: bool = False,
    ) -> Item | None:
        """Return what a stretch may come to by the containers alone; None where nothing is won.

        Won is what `betters` says. The fills can only make that worse. It is no word on the mend:
        the trial plan is.

        Parameters
        ----------
        passes
            None: those of the plan.
        is_heat_new
            Whether the heat is another, or asks the same of each day as it does in the plan.
        """
        ends = self.journey.ends
        if passes is not None:
            ends = self._ends_along(passes, prepared)
        usual = prepared.trip.pace.fill_minutes
        minutes = [self._minutes.get(end.km, usual) for end in ends[:-1]]
        heat = None if is_heat_new else self.journey.demand.heat
        try:
            gone = journey_of(prepared, ends, minutes, heat=heat).stretches()
        except TripFileError:
            return None
        inside = _between(gone, stretch.begin.km, stretch.end.km)
        may_be = max(item_of(one.verdict, one.wanted_l - one.available_l) for one in inside)
        asks_less = max(one.wanted_l for one in inside) < stretch.wanted_l - TOLERANCE_L
        if not betters(may_be, item(stretch)) or (stretch.held_back and not asks_less):
            return None
        return may_be

    def _ends_along(
        self, passes: Sequence[WaterPass], prepared: PreparedTrip
    ) -> tuple[StretchEnd, ...]:
        """Return the calls of the plan, and the stops at what did not count in it."""
        called = {end.km for end in self.journey.ends[1:-1]}
        new = {(one.source.id, one.km) for one in passes if one.counted} - self._counted
        start, *stops, end = stretch_ends(passes, prepared.length_km, prepared.trip)
        kept = (
            stop
            for stop in stops
            if stop.km in called or any((one.source.id, one.km) in new for one in stop.waters)
        )
        return (start, *kept, end)

    def tried(self, stretch: DryStretch, proposal: Proposal) -> Mend | None:
        """Plan the trip again with a change, and return the mend if it is one.

        It is one where the same part of the route is better, and where of both trips, compared by
        their stretches, the worst first, the new one is the better. So nobody is sent in circles:
        of two plans only one betters the other.

        Raises
        ------
        TrialsSpentError
            Where no more trial plans may be made.
        """
        again = self.planned(proposal)
        return self._mend(stretch, proposal, again) if again else None

    def planned(self, proposal: Proposal) -> SettledTrip | None:
        """Plan the trip again with a change; None where that cannot be planned.

        Raises
        ------
        TrialsSpentError
            Where no more trial plans may be made.
        """
        if proposal.key is not None and proposal.key in self._known:
            return self._known[proposal.key]
        if self.trials >= MOST_PLANS_AGAIN:
            raise TrialsSpentError
        self.trials += 1
        try:
            water = self._looked_at.of(proposal.water, proposal.figures.at_km)
            again = self._plan_again(proposal.prepared, water)
        except TripFileError:
            again = None
        if proposal.key is not None:
            self._known[proposal.key] = again
        return again

    def _mend(self, stretch: DryStretch, proposal: Proposal, again: SettledTrip) -> Mend | None:
        after = self.part_after(stretch, proposal, again)
        is_better_trip = list_of(again.stretches) < self._list
        if not betters(item(after), item(stretch)) or not is_better_trip:
            return None
        if proposal.kind is MendKind.PACE and after.verdict is stretch.verdict:
            return None  # nobody hurries for something that is not enough
        return self.mend_of(stretch, proposal, again)

    def mend_of(self, stretch: DryStretch, proposal: Proposal, again: SettledTrip) -> Mend:
        """Tell a proposal with what a plan made again with it comes to."""
        after = self.part_after(stretch, proposal, again)
        cost = self.cost_of(again, proposal)
        return Mend(
            stretch=stretch.number,
            what=proposal.kind,
            change=f"{proposal.change} {mend_cost_words(cost, self.trip.pace.travel)}",
            verdict_before=stretch.verdict,
            verdict_after=after.verdict,
            missing_before_l=stretch.missing_l,
            missing_after_l=after.missing_l,
            trip_after=worst_verdict(one.verdict for one in again.stretches),
            figures=replace(
                proposal.figures,
                extra_km=cost.km,
                extra_days=cost.hours / HOURS_PER_DAY,
                extra_l=cost.litres,
            ),
            caution=proposal.caution,
        )

    def part_after(self, stretch: DryStretch, proposal: Proposal, again: SettledTrip) -> DryStretch:
        """Return the worst stretch of the same part of the route in a plan made again."""
        from_km, to_km = stretch.begin.km, stretch.end.km
        if proposal.is_turned:
            from_km, to_km = self.prepared.length_km - to_km, self.prepared.length_km - from_km
        return max(_between(again.stretches, from_km, to_km), key=item)

    def cost_of(self, again: SettledTrip, proposal: Proposal) -> Cost:
        """Return what a plan made again takes beyond this one."""
        return _cost_of(again).beyond(self._before, proposal.beforehand)

    def not_going(self, stretch: DryStretch, *, is_all_tried: bool) -> Mend:
        """Return what is left to do where nothing helps."""
        left = "" if is_all_tried else " Not every change was tried."
        return Mend(
            stretch=stretch.number,
            what=MendKind.DO_NOT_GO,
            change=(
                "Do not go this way with this party and these containers: no single change that was"
                f" tried makes the water last on this stretch.{left}"
            ),
            verdict_before=stretch.verdict,
            verdict_after=stretch.verdict,
            missing_before_l=stretch.missing_l,
            missing_after_l=stretch.missing_l,
            trip_after=self._worst,
            figures=MendFigures(),
            caution=(
                "Ask the land manager and the local authorities about water, other ways and other"
                " seasons, and plan anew."
            ),
        )


def item(stretch: DryStretch) -> Item:
    """Return a stretch as an item to compare: its verdict, then its litres missing."""
    return item_of(stretch.verdict, stretch.missing_l)


def betters(after: Item, before: Item) -> bool:
    """Whether a verdict is better, or the same with a tenth less missing, a litre at the least.

    >>> two_less, many_less = item_of(Verdict.TOO_LONG, 38.0), item_of(Verdict.TOO_LONG, 36.0)
    >>> too_long = item_of(Verdict.TOO_LONG, 40.0)
    >>> betters(two_less, too_long), betters(many_less, too_long)
    (False, True)
    """
    (severity_after, missing_l), (severity_before, before_l) = after, before
    if severity_after != severity_before:
        return severity_after < severity_before
    return before_l - missing_l >= max(LEAST_SHARE * before_l, 1.0)


def is_better(one: Verdict, other: Verdict) -> bool:
    """Whether one verdict is better than the other.

    >>> is_better(Verdict.CLEAR, Verdict.TOO_LONG), is_better(Verdict.CLEAR, Verdict.CLEAR)
    (True, False)
    """
    return severity(one) < severity(other)


def may_be_enough(promise: Item | None) -> bool:
    """Whether a change may bring a stretch so far that nobody goes short.

    >>> may_be_enough(None), may_be_enough(item_of(Verdict.TOO_LONG, 2.0))
    (True, False)
    """
    return promise is None or promise[0] <= severity(Verdict.INTO_RESERVE)


def is_enough(verdict: Verdict) -> bool:
    """Whether nobody goes short on the full ration.

    >>> is_enough(Verdict.INTO_RESERVE), is_enough(Verdict.SHORT_RATION)
    (True, False)
    """
    return verdict in {Verdict.CLEAR, Verdict.INTO_RESERVE}


def reach_km(max_detour_km: float) -> float:
    """Return how far off the route sources are looked for.

    >>> reach_km(1.0), reach_km(5.0), reach_km(30.0), reach_km(80.0)
    (10.0, 25.0, 50.0, 80.0)
    """
    wanted_km = min(max(_TIMES_DETOUR * max_detour_km, _LEAST_REACH_KM), _MOST_REACH_KM)
    return max(wanted_km, max_detour_km)


def mend_cost_words(cost: Cost, travel: Travel) -> str:
    """Tell what a mend costs; what it saves is not told.

    >>> mend_cost_words(Cost(26.0, 2.61, 2.2), Travel.VEHICLE)
    'It costs 26.0 km, 2.7 hours and 3 L more: have you the fuel?'
    >>> mend_cost_words(Cost(), Travel.FOOT)
    'It costs no more way, time or water.'
    """
    parts = []
    if (km := rounded_up(cost.km, 0.1)) > 0.0:
        parts.append(f"{km:.1f} km")
    if (hours := rounded_up(cost.hours, 0.1)) > 0.0:
        parts.append(f"{hours:.1f} hours")
    if (litres := rounded_up(cost.litres)) > 0.0:
        parts.append(f"{litres:.0f} L")
    if not parts:
        return "It costs no more way, time or water."
    *first, last = parts
    listed = f"{', '.join(first)} and {last}" if first else last
    fuel = ": have you the fuel?" if km > 0.0 and travel is Travel.VEHICLE else "."
    return f"It costs {listed} more{fuel}"


def _cost_of(settled: SettledTrip) -> Cost:
    """Return the way, the hour of arrival and the need of a whole trip."""
    return Cost(
        sum(one.length_km for one in settled.stretches),
        settled.journey.itinerary.arrives.hour - settled.journey.itinerary.leaves.hour,
        sum(one.need.total_l for one in settled.stretches),
    )


def _between(stretches: Sequence[DryStretch], from_km: float, to_km: float) -> Sequence[DryStretch]:
    """Return what lies on a part of the route; neighbours that share metres of it do not.

    Where water nearby joins a stop, its km moves by less than the length of a stop.
    """
    shared_km = [min(one.end.km, to_km) - max(one.begin.km, from_km) for one in stretches]
    least_km = min(ONE_STOP_KM, max(shared_km) / 2.0)
    return [one for one, km in zip(stretches, shared_km, strict=True) if km >= least_km]
