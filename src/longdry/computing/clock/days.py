"""The base clock cut at midnight."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from longdry.computing.clock.clock import Clock
from longdry.computing.clock.moving_hours import Moment
from longdry.model.arrays import value_at
from longdry.model.plan.days import TravelDay


@dataclass(frozen=True, slots=True)
class _Move:
    day: int
    from_km: float
    to_km: float
    moving_h: float


def travel_days(
    clock: Clock, length_km: float, departs_on: dt.date | None
) -> tuple[TravelDay, ...]:
    """Return every day from the departure to the arrival, rest days included.

    Parameters
    ----------
    departs_on
        Date of the first day; None leaves all dates open.
    """
    moves = _moves(clock, length_km)
    last = clock.arrival(length_km).day
    days = []
    here_km = 0.0
    for number in range(last + 1):
        today = [move for move in moves if move.day == number]
        to_km = today[-1].to_km if today else here_km
        days.append(
            TravelDay(
                number=number + 1,
                date=departs_on + dt.timedelta(days=number) if departs_on else None,
                from_km=here_km,
                to_km=to_km,
                moving_h=sum(move.moving_h for move in today),
                camp=number < last,
                rest=not today,
            )
        )
        here_km = to_km
    return tuple(days)


def _moves(clock: Clock, length_km: float) -> list[_Move]:
    moves: list[_Move] = []
    now, here_km = clock.depart, 0.0
    for camp in clock.camps:
        moves += _moves_of_run(clock, now, here_km, camp.km)
        arrived = clock.moving.after_moving(now, clock.profile.between(here_km, camp.km))
        now, here_km = clock.left(arrived, camp), camp.km
    return moves + _moves_of_run(clock, now, here_km, length_km)


def _moves_of_run(clock: Clock, begin: Moment, from_km: float, to_km: float) -> list[_Move]:
    """Cut one unbroken run of the clock, without pinned camps, at its nights."""
    per_day_h = clock.moving.per_day_h
    offered_h = clock.moving.moved_by(begin.hour)
    moved_h = clock.profile.moving_h_at(from_km)
    left_h = clock.profile.between(from_km, to_km)
    end = clock.moving.after_moving(begin, left_h)
    moves = []
    here_km = from_km
    for day in range(int(offered_h / per_day_h + 1e-9), end.day + 1):
        today_h = min((day + 1) * per_day_h - offered_h, left_h)
        if today_h <= 0.0:
            continue
        offered_h, moved_h, left_h = offered_h + today_h, moved_h + today_h, left_h - today_h
        reached_km = to_km if day == end.day else _km_after(clock, moved_h)
        moves.append(_Move(day, here_km, reached_km, today_h))
        here_km = reached_km
    return moves


def _km_after(clock: Clock, moved_h: float) -> float:
    return value_at(moved_h, clock.profile.moving_h, clock.profile.km)
