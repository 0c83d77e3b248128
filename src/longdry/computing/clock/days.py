"""The days of a trip, by its one clock."""

from __future__ import annotations

import datetime as dt
import itertools
from collections.abc import Sequence

from longdry.computing.clock.clock import Itinerary
from longdry.model.plan.days import TravelDay
from longdry.model.plan.travel import MOVES, Piece


def travel_days(itinerary: Itinerary, departs_on: dt.date | None) -> tuple[TravelDay, ...]:
    """Return every day from the departure to the arrival, days of rest included.

    Parameters
    ----------
    departs_on
        Date of the first day; None leaves all dates open.
    """
    moves = [p for travel in itinerary.travels for p in travel.pieces if p.doing in MOVES]
    by_day = {day: list(own) for day, own in itertools.groupby(moves, key=lambda piece: piece.day)}
    at_water = _days_that_end_at_water(itinerary)
    last = itinerary.arrives.day
    days: list[TravelDay] = []
    here_km = 0.0
    for number in range(last + 1):
        today: Sequence[Piece] = by_day.get(number, ())
        to_km = today[-1].to_km if today else here_km
        days.append(
            TravelDay(
                number=number + 1,
                date=departs_on + dt.timedelta(days=number) if departs_on else None,
                from_km=here_km,
                to_km=to_km,
                moving_h=sum(piece.hours for piece in today),
                camp=number < last,
                rest=not today,
                at_water=number in at_water,
                arrives_h=today[-1].end_h if today else None,
            )
        )
        here_km = to_km
    return tuple(days)


def _days_that_end_at_water(itinerary: Itinerary) -> set[int]:
    return {
        stay.leaves.day - night for stay in itinerary.stays for night in range(1, stay.nights + 1)
    }
