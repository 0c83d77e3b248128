"""Everything about a trip that does not depend on which water counts."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace

from longdry.computing.clock.camps import pinned_camps, within_km
from longdry.computing.clock.clock import Camp, Clock
from longdry.computing.clock.darkness import dark_from_of, darkness_along
from longdry.computing.clock.day_rules import DayRules, Moment, never_dark
from longdry.computing.clock.daylight import local_time
from longdry.computing.pace.on_ground import RoutePace, route_pace
from longdry.model.arrays import frozen_floats
from longdry.model.pace import PaceProfile
from longdry.model.plan.days import LocalTime
from longdry.model.route import MeasuredRoute
from longdry.model.trip.here import Here
from longdry.model.trip.trip import Trip


@dataclass(frozen=True, slots=True, eq=False)
class PreparedTrip:
    """The measured line, the pace along it, the rules of the day and the pinned camps."""

    measured: MeasuredRoute
    trip: Trip
    """With its km in the direction of travel."""
    pace: RoutePace
    clock: Clock
    """Without pinned camps: which of them are at water depends on the calls."""
    camps: tuple[Camp, ...]
    """Pinned, by km; days lost are among them."""
    clocks: LocalTime

    @property
    def length_km(self) -> float:
        """Of the route, without ways."""
        return self.measured.length_km

    @property
    def departs_on(self) -> dt.date | None:
        """Date of departure; None where the trip names none."""
        return self.trip.depart.date() if self.trip.depart else None

    def with_hours(self, times: float) -> PreparedTrip:
        """Return the trip with its moving hours multiplied, ways off the route included."""
        pace = self.trip.pace
        sections = tuple(replace(one, speed_kmh=one.speed_kmh / times) for one in pace.sections)
        slower = replace(
            pace,
            speed_kmh=pace.speed_kmh / times,
            off_route_kmh=pace.off_route_kmh / times,
            sections=sections,
        )
        along = self.pace.profile
        profile = PaceProfile(along.km, frozen_floats(along.moving_h * times))
        return replace(
            self,
            trip=replace(self.trip, pace=slower),
            pace=replace(self.pace, profile=profile),
            clock=replace(self.clock, profile=profile, off_route_kmh=slower.off_route_kmh),
        )

    def with_trip(self, trip: Trip) -> PreparedTrip:
        """Return the same line with another trip; what does not change is kept.

        Raises
        ------
        TripFileError
            Where a pinned camp is not on the route.
        """
        same_days = (
            trip.pace is self.trip.pace
            and trip.camps is self.trip.camps
            and trip.depart == self.trip.depart
            and trip.policy.reserve_days == self.trip.policy.reserve_days
            and trip.policy.longest_wait_h == self.trip.policy.longest_wait_h
            and trip.heat is self.trip.heat
            and trip.here == self.trip.here
        )
        if same_days:
            return replace(self, trip=trip)
        return prepare(self.measured, trip, known=self)


def prepare(measured: MeasuredRoute, trip: Trip, known: PreparedTrip | None = None) -> PreparedTrip:
    """Lay the pace along the line and work out the rules of its days.

    Parameters
    ----------
    known
        A trip prepared on the same line; what does not change is taken from it.

    Raises
    ------
    TripFileError
        Where a pinned camp is not on the route.
    """
    is_same_pace = known is not None and known.trip.pace is trip.pace
    pace = known.pace if known and is_same_pace else route_pace(measured, trip.pace)
    clocks = local_time(trip.utc_offset_h, float(measured.route.lon_deg[0]))
    clock = Clock(
        rules=day_rules(measured, trip, clocks),
        profile=pace.profile,
        off_route_kmh=trip.pace.off_route_kmh,
        depart_h=_departure_hour(trip),
    )
    camps = pinned_camps(trip, measured)
    if trip.here is not None:
        clock = replace(clock, here=_moment_on_the_way(clock, trip.here))
        camps = tuple(camp for camp in camps if not _is_behind(camp, trip.here))
    return PreparedTrip(measured, trip, pace, clock, camps, clocks)


def _moment_on_the_way(clock: Clock, here: Here) -> Moment:
    """Return when the party goes on; its day began where its moving hours began, ways aside."""
    now = clock.on_the_way(here.hour, here.km, here.moved_h)
    moved_h = clock.rules.hours_per_day - now.left_h
    begun_km = clock.profile.km_after(clock.profile.moving_h_at(here.km) - moved_h)
    return now._replace(begun_km=begun_km)


def _is_behind(camp: Camp, here: Here) -> bool:
    """Whether a pinned camp was kept before: up to here, or at the water where the party stands."""
    near_km = within_km(camp) if here.source else 0.0
    return camp.km <= here.km + near_km


LAST_MINUTES_H = 0.25
"""So near the end nobody camps, whatever the reserve; common practice, no source."""


def day_rules(measured: MeasuredRoute, trip: Trip, clocks: LocalTime) -> DayRules:
    """Return the rules of the trip's days; a longer day only where the reserve is a day's."""
    pace = trip.pace
    darkness = darkness_along(measured, clocks, trip.depart.date() if trip.depart else None)
    dark_from = dark_from_of(
        darkness,
        start_hour=pace.start_hour,
        hours_per_day=pace.hours_per_day,
        after_dark=pace.after_dark or (trip.heat is not None and trip.heat.moving_by_night),
    )
    return DayRules(
        start_hour=pace.start_hour,
        hours_per_day=pace.hours_per_day,
        break_h=pace.break_h,
        longer_day_h=pace.longer_day_h if trip.policy.reserve_days >= 1.0 else 0.0,
        last_minutes_h=min(pace.longer_day_h, LAST_MINUTES_H),
        shorter_day_h=pace.shorter_day_h,
        longest_wait_h=trip.policy.longest_wait_h,
        dark_from=dark_from or never_dark,
    )


def _departure_hour(trip: Trip) -> float:
    if trip.depart is None:
        return trip.pace.start_hour
    return trip.depart.hour + trip.depart.minute / 60.0 + trip.depart.second / 3600.0
