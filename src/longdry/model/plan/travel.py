"""What the party does from leaving one water to arriving at the next, piece by piece."""

from __future__ import annotations

from collections.abc import Iterator
from enum import Enum, auto
from typing import NamedTuple

from longdry.model.pace import PaceProfile
from longdry.units import HOURS_PER_DAY


class Doing(Enum):
    """What a piece of time goes on."""

    MOVING = auto()
    """Along the route."""
    WAY = auto()
    """Off the route, to water or back from it."""
    BREAK = auto()
    """Hours of the day in which nobody moves."""
    WAIT = auto()
    """For water that is not open yet, or lost."""
    NIGHT = auto()
    """From the end of one day's moving to the beginning of the next: a camp, or a day of rest."""


MOVES = (Doing.MOVING, Doing.WAY)


class Piece(NamedTuple):
    """One thing that the party does without a break."""

    doing: Doing
    begin_h: float
    """Hours since the midnight before departure."""
    end_h: float
    day: int
    """The day that it belongs to; a night belongs to the day before it."""
    from_km: float
    """Of the route; the same as ``to_km`` off the route and at a standstill."""
    to_km: float
    way_km: float = 0.0
    """Gone off the route."""

    @property
    def hours(self) -> float:
        """How long it takes."""
        return self.end_h - self.begin_h

    @property
    def length_km(self) -> float:
        """What is gone in it, on and off the route."""
        return abs(self.to_km - self.from_km) + self.way_km


class TravelTime(NamedTuple):
    """From one time to another without water: what a stretch takes."""

    begin_h: float
    end_h: float
    pieces: tuple[Piece, ...]
    """In order, without gaps."""
    profile: PaceProfile
    """Moving hours along the route, in the direction of the pieces."""

    @property
    def days(self) -> float:
        """Elapsed time in units of 24 h, camps included."""
        return (self.end_h - self.begin_h) / HOURS_PER_DAY

    @property
    def nights(self) -> int:
        """Camps in it."""
        return [piece.doing for piece in self.pieces].count(Doing.NIGHT)

    @property
    def moving_h(self) -> float:
        """Hours on the move, ways included."""
        return sum([piece.hours for piece in self.pieces if piece.doing in MOVES])

    @property
    def wait_h(self) -> float:
        """Hours of waiting for water to open."""
        return sum(piece.hours for piece in self.pieces if piece.doing is Doing.WAIT)

    @property
    def length_km(self) -> float:
        """On and off the route."""
        return sum([abs(one.to_km - one.from_km) + one.way_km for one in self.pieces])

    def until(self, hour: float) -> TravelTime:
        """Return what is done up to a time; a night that has begun counts."""
        if hour >= self.end_h:
            return self
        kept = (self._cut(piece, hour) for piece in self.pieces if piece.begin_h < hour)
        return TravelTime(self.begin_h, max(hour, self.begin_h), tuple(kept), self.profile)

    def waited(self, until_h: float, day: int, km: float) -> TravelTime:
        """Return the same with a wait at its end.

        Parameters
        ----------
        day
            That the wait belongs to.
        km
            Of the route, where the party waits.
        """
        if until_h <= self.end_h:
            return self
        wait = Piece(Doing.WAIT, self.end_h, until_h, day, km, km)
        return self._replace(end_h=until_h, pieces=(*self.pieces, wait))

    def until_km(self, km: float) -> TravelTime:
        """Return what is done up to a km of the route, before a camp or a way out there."""
        return self.until(self._reached_h(km))

    def hour_at_km(self, km: float) -> float:
        """Return when a km of the route is reached, before a camp or a way out there."""
        hour = self._reached_h(km)
        return self.end_h if hour >= self.end_h else max(hour, self.begin_h)

    def _reached_h(self, km: float) -> float:
        for piece in self.pieces:
            if piece.doing is Doing.MOVING and piece.from_km <= km <= piece.to_km:
                return self._hour_at(piece, km)
        return self.begin_h if km < self._first_km() else self.end_h

    def km_at(self, hour: float) -> float:
        """Return where on the route the party is at a time."""
        for piece in self.pieces:
            if piece.begin_h <= hour < piece.end_h:
                return self._cut(piece, hour).to_km
        return self.pieces[-1].to_km if self.pieces and hour >= self.end_h else self._first_km()

    def moving_by_day(self, first_hour: float) -> Iterator[tuple[int, float, float]]:
        """Yield the day, the first and the last hour of every move, cut at an hour of the day.

        Parameters
        ----------
        first_hour
            Hour of the day at which its days begin; below zero for one of the day before.
        """
        for piece in self.pieces:
            if piece.doing not in MOVES:
                continue
            begin_h = piece.begin_h
            while begin_h < piece.end_h:
                day = int((begin_h - first_hour) // HOURS_PER_DAY)
                end_h = min(piece.end_h, (day + 1) * HOURS_PER_DAY + first_hour)
                yield day, begin_h, end_h
                begin_h = end_h

    def _first_km(self) -> float:
        return self.pieces[0].from_km if self.pieces else 0.0

    def _cut(self, piece: Piece, hour: float) -> Piece:
        if hour >= piece.end_h:
            return piece
        part = (hour - piece.begin_h) / piece.hours
        if piece.doing is Doing.WAY:
            return piece._replace(end_h=hour, way_km=piece.way_km * part)
        if piece.doing is not Doing.MOVING:
            return piece._replace(end_h=hour)
        moved_h = self.profile.moving_h_at(piece.from_km)
        all_h = self.profile.between(piece.from_km, piece.to_km)
        return piece._replace(end_h=hour, to_km=self.profile.km_after(moved_h + all_h * part))

    def _hour_at(self, piece: Piece, km: float) -> float:
        all_h = self.profile.between(piece.from_km, piece.to_km)
        part = self.profile.between(piece.from_km, km) / all_h if all_h > 0.0 else 0.0
        return piece.begin_h + piece.hours * part
