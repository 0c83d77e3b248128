"""The stops of a trip on some dates, and what is known of the ways travelled along them.

Trial plans of one trip often come by the same calls with the same minutes and on the same dates:
each of these ways is worked out once, and as far as it is asked for.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from functools import cached_property

from longdry.computing.calls.dry_lists import dry_lists
from longdry.computing.calls.groups import stretch_ends
from longdry.computing.calls.lists import WorstFirst
from longdry.computing.fills.filling import Filling, filling_of, stretches_as_filled
from longdry.computing.fills.safe import raised_to
from longdry.computing.fills.settled import Water
from longdry.computing.setbacks.dry_proof import safe_floor
from longdry.computing.stretches.journey import Journey, journey_of
from longdry.computing.stretches.prepared import PreparedTrip
from longdry.computing.water.passes import passes_of
from longdry.model.plan.fills import FillWay
from longdry.model.plan.stretch import DryStretch, StretchEnd
from longdry.model.water.passes import WaterPass
from longdry.model.words import CountOn, FillHabit

PassKey = tuple[str, float]
"""Source and km of a pass."""
Dates = tuple[dt.date | None, ...]
"""On which the party comes by, one for each approach."""


def key_of(water: WaterPass) -> PassKey:
    """Return what a pass is known by."""
    return (water.source.id, water.km)


class KnownStops:
    """The stops of one trip, kept by the dates on which the party comes by."""

    def __init__(self, prepared: PreparedTrip, water: Water, fill: FillWay) -> None:
        self.prepared, self.water, self.fill = prepared, water, fill
        self._on_dates: dict[tuple[Dates, frozenset[tuple[PassKey, str]]], Stops] = {}

    def undated(self) -> Stops:
        """Return the stops at all that may count, whatever the day."""
        nobody_knows = [None] * len(self.water.approaches)
        return self.of(self._passes(nobody_knows, CountOn.ANY))

    def on_dates(self, dates: Dates, out: Mapping[PassKey, str]) -> Stops:
        """Return the stops as judged on the dates.

        Parameters
        ----------
        out
            Passes that have lost their standing, and why.
        """
        key = (dates, frozenset(out.items()))
        if key not in self._on_dates:
            judged = self._passes(dates, self.water.count_on)
            self._on_dates[key] = self.of(_without(judged, out))
        return self._on_dates[key]

    def of(self, passes: tuple[WaterPass, ...]) -> Stops:
        """Return the stops at some passes."""
        return Stops(self.prepared, self.fill, passes)

    def _passes(self, dates: Sequence[dt.date | None], count_on: CountOn) -> tuple[WaterPass, ...]:
        water = self.water
        return passes_of(
            water.approaches, water.sources, self.prepared.trip, count_on, dates, water.judge
        )


def _without(passes: tuple[WaterPass, ...], out: Mapping[PassKey, str]) -> tuple[WaterPass, ...]:
    if not out:
        return passes
    return tuple(
        replace(one, counted=False, why_not=one.why_not or out[key_of(one)])
        if key_of(one) in out
        else one
        for one in passes
    )


class Stops:
    """All that counts on some dates, and the ways along it that were travelled."""

    def __init__(
        self, prepared: PreparedTrip, fill: FillWay, passes: tuple[WaterPass, ...]
    ) -> None:
        self.prepared, self.fill, self.passes = prepared, fill, passes
        self._travelled: dict[tuple[tuple[float, ...], tuple[float, ...]], WayTravelled] = {}
        """By the km of the ends and the minutes at them."""

    @cached_property
    def ends(self) -> tuple[StretchEnd, ...]:
        """The start, the stops and the end."""
        return stretch_ends(self.passes, self.prepared.length_km, self.prepared.trip)

    def travelled(
        self, minutes: Mapping[float, float], calls: Collection[float] | None = None
    ) -> WayTravelled:
        """Go along all stops, or along those at the km of ``calls``.

        Parameters
        ----------
        minutes
            Of each stop, by its km; the usual ones where it is not there.

        Raises
        ------
        TripFileError
            Where the trip takes more than ten years.
        """
        start, *stops, end = self.ends
        ends = (start, *(one for one in stops if calls is None or one.km in calls), end)
        usual = math.ceil(self.prepared.trip.pace.fill_minutes)
        at_ends = tuple(minutes.get(one.km, usual) for one in ends[:-1])
        key = (tuple(one.km for one in ends), at_ends)
        if key not in self._travelled:
            self._travelled[key] = WayTravelled(journey_of(self.prepared, ends, at_ends), self.fill)
        return self._travelled[key]


class WayTravelled:
    """One way along some stops, and its fills where they were asked for."""

    def __init__(self, journey: Journey, fill: FillWay) -> None:
        self.journey, self._fill = journey, fill
        self._filled: dict[Stops, WayFilled] = {}
        self._raised: dict[tuple[float, ...], Filling] = {}
        """By the litres of the floor."""

    def filled(self, stops: Stops) -> WayFilled:
        """Fill on the way, what counts on its dates known."""
        if stops not in self._filled:
            self._filled[stops] = WayFilled(self, stops.passes)
        return self._filled[stops]

    @cached_property
    def filling(self) -> Filling:
        """By the habit, a safe one not raised yet."""
        return filling_of(self.journey.stretches(), self.journey.demand, self._fill)

    def filling_with(self, passes: Sequence[WaterPass]) -> Filling:
        """Fill by the habit; a safe one carries what one dry source asks for."""
        filling = self.filling
        if self._fill.habit is not FillHabit.SAFE:
            return filling
        carried_l = [filling.chosen.fills[index].leaving.total_l for index in filling.last_of_stop]
        floor_l = safe_floor(self.journey, passes, carried_l)
        if floor_l not in self._raised:
            self._raised[floor_l] = raised_to(filling, floor_l)
        return self._raised[floor_l]


class WayFilled:
    """What a way comes to as filled."""

    def __init__(self, way: WayTravelled, passes: tuple[WaterPass, ...]) -> None:
        self._way, self._passes = way, passes
        self.filling = way.filling_with(passes)

    @cached_property
    def stretches(self) -> tuple[DryStretch, ...]:
        """As filled; what is carried on them is not told yet."""
        return stretches_as_filled(self._way.journey.stretches(), self.filling)

    @cached_property
    def if_dry(self) -> tuple[WorstFirst, ...]:
        """With each uncertain call dry in turn."""
        return dry_lists(self._way.journey, self.stretches, self._passes)
