"""Hours of the plan's clock as local times."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from longdry.model.plan.plan import Plan
from longdry.units import MINUTES_PER_HOUR


@dataclass(frozen=True, slots=True)
class Calendar:
    """When the trip departs."""

    departs_on: dt.date | None
    """None where the trip names no departure."""
    depart_h: float
    """Hour at which it leaves, since the midnight before."""

    def local_time(self, hour: float) -> str | None:
        """Return an hour since the midnight before departure as local time, to the minute.

        >>> Calendar(dt.date(2027, 5, 3), 9.0).local_time(34.51)
        '2027-05-04T10:31'
        >>> Calendar(None, 9.0).local_time(34.51) is None
        True
        """
        return self._written(round(hour * MINUTES_PER_HOUR))

    def no_later_than(self, hour: float) -> str | None:
        """Return the same with the minute that has begun.

        >>> Calendar(dt.date(2027, 5, 3), 9.0).no_later_than(34.516)
        '2027-05-04T10:30'
        """
        return self._written(int(hour * MINUTES_PER_HOUR))

    def after_departure(self, hour: float) -> float:
        """Return the hours from the departure to an hour since the midnight before it."""
        return hour - self.depart_h

    def _written(self, minutes: int) -> str | None:
        if self.departs_on is None:
            return None
        midnight = dt.datetime.combine(self.departs_on, dt.time())
        return (midnight + dt.timedelta(minutes=minutes)).isoformat(timespec="minutes")


def calendar_of(plan: Plan) -> Calendar:
    """Return the calendar of a plan."""
    departs = plan.trip.depart
    return Calendar(departs.date() if departs else None, plan.stretches[0].depart_h)
