"""The one clock: when the party is where, with all its ways to water, stops, waits and camps.

The rules stand in ``docs/why/clock.md``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from typing import NamedTuple

from longdry.computing.clock.day_rules import (
    SNAP_H,
    DayRules,
    Moment,
    Stay,
    ToHalt,
    hours_until_open,
)
from longdry.model.pace import PaceProfile
from longdry.model.plan.travel import Doing, Piece, TravelTime
from longdry.units import HOURS_PER_DAY

MOST_DAYS = 3650
"""Ten years: a longer trip is a slip of the pen."""


class EndlessTripError(Exception):
    """The party does not arrive within `MOST_DAYS`."""


@dataclass(frozen=True, slots=True)
class Camp:
    """A pinned camp, or days lost, at a km of the route."""

    km: float
    nights: int
    at_water: bool | None = None
    """Whether water is drawn at it; None: where it is at a call."""
    whole_days: bool = False
    """Whether the party leaves at the hour at which it came, that many days later: days lost."""


class Call(NamedTuple):
    """Water that the party goes to, or calls at in vain."""

    km: float
    way_km: float = 0.0
    """One way."""
    stop_h: float = 0.0
    """Drawing and treating."""
    open_h: tuple[float, float] | None = None
    """Hours of the day; over midnight where the first is later. None: always."""
    pinned_nights: int = 0
    """Of a camp pinned at this water."""
    dry_nights: int = 0
    """Of a camp pinned beside it that does not draw on it."""


_START = Call(0.0)


@dataclass(frozen=True, slots=True, eq=False)
class Itinerary:
    """The whole way."""

    leaves: Moment
    """The start."""
    stays: tuple[Stay, ...]
    """One for each call."""
    travels: tuple[TravelTime, ...]
    """Between them, and to the end: one more than the stays."""
    arrives: Moment
    """At the end."""


class _Move(NamedTuple):
    """Moving between two halts: along the route or off it."""

    hours: float
    from_km: float
    to_km: float
    way_km: float = 0.0


def camped_at(calls: Sequence[Call]) -> list[int]:
    """Return the calls with pinned camps, by index."""
    return [index for index, call in enumerate(calls) if call.pinned_nights or call.dry_nights]


@dataclass(frozen=True, slots=True, eq=False)
class Clock:
    """Rules, pace and pinned camps of a trip."""

    rules: DayRules
    profile: PaceProfile
    off_route_kmh: float
    depart_h: float
    """Hour of the day of departure."""
    camps: tuple[Camp, ...] = ()
    """By km, those that are not at water."""
    here: Moment | None = None
    """When a party that is on its way goes on; None: it leaves the start."""

    @property
    def length_km(self) -> float:
        """Of the route."""
        return float(self.profile.km[-1])

    def start(self) -> Moment:
        """Return when the party leaves the start, or goes on from where it is."""
        return self.here or self.rules.day_begun(0, 0.0).at(self.departs_h)

    @property
    def departs_h(self) -> float:
        """Hour at which the party leaves the start of the route: not before the start hour."""
        return max(self.depart_h, self.rules.begins(0))

    def on_the_way(self, hour: float, km: float, moved_h: float | None = None) -> Moment:
        """Return the moment of a party that is at a km at an hour: see `DayRules`.

        On the first day not all hours since the start hour count as moved, but those since the
        departure.
        """
        departs_h = self.departs_h
        if moved_h is None and departs_h <= hour < self.rules.begins(1):
            moved_h = min(self.rules.moving_between(departs_h, hour), self.rules.hours_per_day)
        return self.rules.moment_on_the_way(hour, km, moved_h)

    def follow(self, calls: Sequence[Call], first: Call = _START) -> Itinerary:
        """Go the whole way.

        Parameters
        ----------
        calls
            In travel order, without those in vain.
        first
            Where the party goes on from.

        Raises
        ------
        EndlessTripError
            Where the party does not arrive within ten years.
        """
        leaves = now = self.start()
        stays: list[Stay] = []
        travels: list[TravelTime] = []
        for travel, stay in self.from_call_to_call(leaves, first, calls):
            stays.append(stay)
            travels.append(travel)
            now = stay.leaves
        here = calls[-1] if calls else first
        travel, arrived = self.onward(now, here, Call(self.length_km))
        return Itinerary(leaves, tuple(stays), (*travels, travel), arrived)

    def from_call_to_call(
        self, leaves: Moment, here: Call, calls: Sequence[Call]
    ) -> Iterator[tuple[TravelTime, Stay]]:
        """Go on from one water over some calls, no farther than is asked for.

        Yields
        ------
        tuple
            For each call the way to it, its wait included, and the stay there.
        """
        kept = camped_at(calls)
        for index, call in enumerate(calls):
            travel, arrived = self.onward(leaves, here, call)
            stay = self.stay_at(arrived, calls, index, kept)
            yield travel.waited(stay.arrives.hour, stay.arrives.day, call.km), stay
            leaves, here = stay.leaves, call

    def onward(
        self, leaves: Moment, here: Call, there: Call, *, vain: Sequence[Call] = ()
    ) -> tuple[TravelTime, Moment]:
        """Go from one water to the next, with pinned camps and calls in vain on the way.

        Returns
        -------
        tuple
            What is done, and when the party is there, before any wait.
        """
        pieces: list[Piece] = []
        now = leaves
        if here.dry_nights:
            now = self._camped(pieces, now, here.km, here.dry_nights)
        legs = [self._way(here)]
        here_km = here.km
        for halt in self._halts_between(here.km, there, vain):
            legs.append(self._along(here_km, halt.km))
            here_km = halt.km
            if isinstance(halt, Camp):
                now = self._gone(pieces, now, legs)
                now = self._kept(pieces, now, halt)
                legs = []
            else:
                legs += [self._way(halt), self._way(halt)]
        legs += [self._along(here_km, there.km), self._way(there)]
        now = self._gone(pieces, now, legs, to_the_end=there.km >= self.length_km)
        return TravelTime(leaves.hour, now.hour, tuple(pieces), self.profile), now

    def freely(
        self, leaves: Moment, hours: float, *, way_km: float, from_km: float, to_km: float
    ) -> tuple[TravelTime, Moment]:
        """Move on for some hours, keeping no pinned camp: off the plan, onward or back.

        Parameters
        ----------
        hours
            Of moving, ways included.
        way_km
            Of it off the route.
        """
        pieces: list[Piece] = []
        along = max(hours - way_km / self.off_route_kmh, 0.0)
        legs = [
            _Move(hours - along, from_km, from_km, way_km),
            _Move(along, from_km, to_km),
        ]
        now = self._gone(pieces, leaves, legs)
        return TravelTime(leaves.hour, now.hour, tuple(pieces), self.profile), now

    def stay(self, arrived: Moment, call: Call, to_halt: ToHalt) -> Stay:
        """Wait, draw, treat, and camp where the day is over.

        Parameters
        ----------
        to_halt
            What the next pinned camp or the end takes from there.
        """
        return self._stay(arrived, call, lambda _: to_halt)

    def stay_at(
        self, arrived: Moment, calls: Sequence[Call], index: int, kept: Sequence[int]
    ) -> Stay:
        """Stay at one of some calls; ``kept`` are those with pinned camps, see `camped_at`."""
        return self._stay(arrived, calls[index], partial(self._to_halt, calls, index, kept))

    def _stay(self, arrived: Moment, call: Call, to_halt: Callable[[float], ToHalt]) -> Stay:
        wait_h = hours_until_open(call.open_h, arrived.hour)
        is_closed = wait_h > self.rules.longest_wait_h + SNAP_H
        if is_closed:
            wait_h = 0.0
        arrives = arrived.at(arrived.hour + wait_h)
        stop_h = 0.0 if is_closed else call.stop_h
        ready, nights = self._rolled(arrives.at(arrives.hour + stop_h), call.km)
        more = 0 if is_closed else call.pinned_nights
        if not more and not call.dry_nights:
            is_over = ready.hour >= self.rules.ends(ready)
            more = int(is_over or (not is_closed and self._camps_here(ready, to_halt)))
        if more:
            ready, nights = self.rules.day_begun(ready.day + more, call.km), nights + more
        return Stay(arrives, ready, wait_h, nights, is_closed)

    def _rolled(self, ready: Moment, km: float) -> tuple[Moment, int]:
        """Let the days begin that begin before the party is ready; each follows a night there."""
        nights = 0
        while ready.hour >= self.rules.begins(ready.day + 1):
            ready = self.rules.day_begun(ready.day + 1, km).at(ready.hour)
            nights += 1
        return ready, nights

    def _camps_here(self, ready: Moment, to_halt: Callable[[float], ToHalt]) -> bool:
        """Whether too little of the day is left to go on, and no camp or end is in reach."""
        moving_h = self.rules.moving_left(ready)
        if min(ready.left_h, moving_h) > self.rules.shorter_day_h + SNAP_H:
            return False
        longer_h = ready.left_h + self.rules.longer_day_h + SNAP_H
        tops_h = (self.rules.on_top_h(to_the_end=is_end) for is_end in (False, True))
        ends_h = [ready.left_h + top_h + SNAP_H for top_h in tops_h]
        halt = to_halt(max(ends_h))
        to_end_h = ends_h[halt.last_h > 0.0]
        is_in_hours = halt.moving_h <= to_end_h and halt.moving_h - halt.last_h <= longer_h
        return not (is_in_hours and halt.moving_h + halt.stops_h <= moving_h + SNAP_H)

    def _to_halt(
        self, calls: Sequence[Call], index: int, kept: Sequence[int], reach_h: float
    ) -> ToHalt:
        """Return what it takes from one of some calls to the next pinned camp or the end.

        Where the way along the route alone takes more than the reach, no call on it is looked at.
        """
        here = calls[index]
        pinned = [calls[later].km for later in kept if later > index]
        pinned += [camp.km for camp in self.camps if camp.km >= here.km]
        halt_km = min(pinned, default=self.length_km)
        along_h = self.profile.between(here.km, halt_km)
        if along_h > reach_h:
            return ToHalt(along_h, 0.0)
        between = [call for call in calls[index + 1 :] if call.km < halt_km]
        ways_km = here.way_km + sum(2.0 * call.way_km for call in between)
        last = between[-1] if between else here
        return ToHalt(
            ways_km / self.off_route_kmh + along_h,
            sum(call.stop_h for call in between),
            0.0 if pinned else self._way(last).hours + self._along(last.km, halt_km).hours,
        )

    def _halts_between(
        self, from_km: float, there: Call, vain: Sequence[Call]
    ) -> list[Camp | Call]:
        camps = [c for c in self.camps if from_km <= c.km < there.km and c.nights > 0]
        return sorted([*camps, *vain], key=lambda halt: halt.km)

    def _way(self, call: Call) -> _Move:
        return _Move(call.way_km / self.off_route_kmh, call.km, call.km, call.way_km)

    def _along(self, from_km: float, to_km: float) -> _Move:
        return _Move(self.profile.between(from_km, to_km), from_km, to_km)

    def _gone(
        self, pieces: list[Piece], now: Moment, legs: Sequence[_Move], *, to_the_end: bool = False
    ) -> Moment:
        """Move through some legs to a halt, day by day, and return when it is reached."""
        on_top_h = self.rules.on_top_h(to_the_end=to_the_end)
        left = [leg for leg in legs if leg.hours > 0.0]
        to_go_h = sum([leg.hours for leg in left])
        while left:
            moving_h = self.rules.moving_left(now)
            usual_h = max(min(now.left_h, moving_h), 0.0)
            longest_h = min(now.left_h + on_top_h, moving_h)
            is_last = to_go_h <= max(usual_h, longest_h) + SNAP_H
            now = self._moved(pieces, now, left, to_go_h if is_last else usual_h, whole=is_last)
            to_go_h -= usual_h
            if left:
                now = self._camped(pieces, now, left[0].from_km, 1)
        return now

    def _moved(
        self, pieces: list[Piece], now: Moment, left: list[_Move], hours: float, *, whole: bool
    ) -> Moment:
        """Move for some hours of a day, around its break; what is gone is taken off ``left``."""
        hour, to_do_h = now.hour, hours
        while left and (whole or to_do_h > 0.0):
            leg = left[0]
            if to_do_h > SNAP_H:
                hour = self._after_break(pieces, hour, now.day, leg.from_km)
            until_break_h = self.rules.until_break(hour)
            step_h = min(leg.hours, until_break_h if whole else min(to_do_h, until_break_h))
            piece = self._begun(leg, hour, step_h, now.day)
            pieces.append(piece)
            hour, to_do_h = piece.end_h, to_do_h - step_h
            if step_h >= leg.hours:
                left.pop(0)
            else:
                way_km = leg.way_km - piece.way_km
                left[0] = _Move(leg.hours - step_h, piece.to_km, leg.to_km, way_km)
        return Moment(hour, now.day, now.left_h - hours, now.begun_km)

    def _begun(self, leg: _Move, hour: float, step_h: float, day: int) -> Piece:
        """Move for some hours from the beginning of a leg, to its end at most."""
        part = min(step_h / leg.hours, 1.0)
        if leg.from_km == leg.to_km:
            gone_km = leg.way_km * part
            return Piece(Doing.WAY, hour, hour + step_h, day, leg.from_km, leg.from_km, gone_km)
        to_km = leg.to_km if part >= 1.0 else self._km_after(leg, part)
        return Piece(Doing.MOVING, hour, hour + step_h, day, leg.from_km, to_km)

    def _km_after(self, leg: _Move, part: float) -> float:
        if leg.to_km < leg.from_km:
            return leg.from_km + (leg.to_km - leg.from_km) * part
        begun_h = self.profile.moving_h_at(leg.from_km)
        km = self.profile.km_after(begun_h + self.profile.between(leg.from_km, leg.to_km) * part)
        return min(max(km, leg.from_km), leg.to_km)

    def _after_break(self, pieces: list[Piece], hour: float, day: int, km: float) -> float:
        if self.rules.break_h is None:
            return hour
        begin, end = self.rules.break_h
        of_day = hour % HOURS_PER_DAY
        if not begin - SNAP_H <= of_day < end:
            return hour
        after = hour + end - of_day
        pieces.append(Piece(Doing.BREAK, hour, after, day, km, km))
        return after

    def _camped(self, pieces: list[Piece], now: Moment, km: float, nights: int) -> Moment:
        """Camp for some nights, from now to the beginning of a day."""
        if now.day + nights > MOST_DAYS:
            raise EndlessTripError
        hour = now.hour
        for night in range(nights):
            morning_h = self.rules.begins(now.day + night + 1)
            pieces.append(Piece(Doing.NIGHT, hour, morning_h, now.day + night, km, km))
            hour = morning_h
        return self.rules.day_begun(now.day + nights, km)

    def _kept(self, pieces: list[Piece], now: Moment, camp: Camp) -> Moment:
        """Keep a pinned camp, or lose whole days."""
        if not camp.whole_days:
            return self._camped(pieces, now, camp.km, camp.nights)
        hour = now.hour
        for lost in range(camp.nights):
            end_h = hour + HOURS_PER_DAY
            pieces.append(Piece(Doing.NIGHT, hour, end_h, now.day + lost, camp.km, camp.km))
            hour = end_h
        return Moment(hour, now.day + camp.nights, now.left_h, now.begun_km)
