"""A way with waiting before it: for those who set out between a first and a last minute."""

from __future__ import annotations

from collections.abc import Iterator

from longdry.computing.needs.drinking import moving_by_waking_day
from longdry.model.plan.travel import Doing, Piece, TravelTime
from longdry.units import HOURS_PER_DAY


def with_wait_before(
    last: TravelTime, first: TravelTime, *, starts_h: float, at_km: float, by_moving_hours: bool
) -> TravelTime:
    """Return the way from the last minute with waiting before it, from the first minute on.

    Of each day it has as many moving hours as the way from the first minute, where that has more:
    who sets out between the two moves long on the first day and on the last.

    Parameters
    ----------
    starts_h
        The hour at which days begin: the nights that begin in the wait are counted.
    at_km
        Where they wait.
    by_moving_hours
        Whether drinking asks for the hours on the move.
    """
    first_h, hour = first.begin_h, last.begin_h
    if first_h >= hour:
        return last
    nights = int((hour - starts_h) // HOURS_PER_DAY) - int((first_h - starts_h) // HOURS_PER_DAY)
    pieces = [Piece(Doing.NIGHT, first_h, first_h, 0, at_km, at_km) for _ in range(nights)]
    pieces.append(Piece(Doing.WAIT, first_h, hour, 0, at_km, at_km))
    if by_moving_hours:
        pieces += _moved_more(first, last, starts_h, at_km)
    return TravelTime(first_h, last.end_h, (*pieces, *last.pieces), last.profile)


def _moved_more(
    first: TravelTime, last: TravelTime, starts_h: float, at_km: float
) -> Iterator[Piece]:
    """Yield the moving hours of each day that the first way has and the last has not."""
    by_first, by_last = (moving_by_waking_day([way], starts_h) for way in (first, last))
    for day, hours in by_first.items():
        more_h = hours - by_last.get(day, 0.0)
        if more_h > 0.0:
            begin_h = starts_h + day * HOURS_PER_DAY
            yield Piece(Doing.MOVING, begin_h, begin_h + more_h, day, at_km, at_km)
