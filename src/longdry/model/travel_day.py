"""One day of the base clock."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class TravelDay:
    """A calendar day of the trip, from one midnight (or the departure) to the next."""

    number: int
    """From 1."""
    date: dt.date | None
    """None where the trip names no departure."""
    from_km: float
    to_km: float
    moving_h: float
    camp: bool
    """Whether the day ends in a camp."""
    rest: bool
    """A day on which the party does not move."""
