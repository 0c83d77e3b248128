"""Where a party on its way is when the rest of its trip is planned again, and what it has."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from longdry.model.trip.named_pass import NamedPass
from longdry.model.trip.tally import LitresLeft, TallyEntry


@dataclass(frozen=True, slots=True)
class Here:
    """A place on the route, and when the party goes on from it."""

    km: float
    """Of the route in the direction of travel; of a water, that of its pass."""
    hour: float
    """When the party goes on, since the midnight before departure."""
    moved_h: float | None = None
    """Moving hours used on that day; None: all since the day's beginning, breaks left out."""
    source: NamedPass | None = None
    """The water at which the party stands; None: it stands on the route."""
    drawn_at: tuple[str, ...] = ()
    """Sources behind that gave water on this trip, by name or id."""
    names_behind: tuple[str, ...] = ()
    """What the trip says to call at or to pass by, as it says it, where that lies behind."""
    names_ahead: tuple[str, ...] = ()
    """The same where it lies ahead only: it may not count, or be shut, by the time they come."""


@dataclass(frozen=True, slots=True)
class OnTheWay:
    """What a party says that wants the rest of its trip planned again."""

    at: dt.datetime | float
    """When it goes on: local time, or hours since the midnight before departure."""
    left: tuple[LitresLeft, ...]
    """All that is carried."""
    km: float | None = None
    source: NamedPass | None = None
    """The water that it stands at, in place of a km."""
    moved_h: float | None = None
    """Moving hours used on that day; None: see `Here`."""
    tally: tuple[TallyEntry, ...] = ()
    """What was read on this trip; empty: nothing."""
    trusts_tally: bool = False
    """Whether rates below the planned ones are believed too."""
