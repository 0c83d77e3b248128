"""From a measured route and its passes to stretches: the steps that planning again repeats."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from longdry.computing.clock.camps import camps_on_route, pinned_on_route
from longdry.computing.clock.clock import Camp, Clock
from longdry.computing.clock.moving_hours import Moment, daily_windows
from longdry.computing.heat.by_day import DayOfHeat, as_drinking, days_of_heat
from longdry.computing.pace.on_ground import RoutePace, route_pace, with_halts
from longdry.computing.pace.profile import PaceProfile
from longdry.computing.stretches.late_clock import told_late
from longdry.computing.stretches.stretches import StretchContext, dry_stretches, stretch_ends
from longdry.errors import TripFileError
from longdry.model.plan.stretch import DryStretch
from longdry.model.route import MeasuredRoute
from longdry.model.trip.trip import Trip
from longdry.model.water.passes import WaterPass

ON_ROUTE_KM = 0.01
"""A source nearer than that has no way to it worth telling: decimals of a file make metres."""
MOST_DAYS = 3650
"""Ten years: a longer trip is a slip of the pen."""


@dataclass(frozen=True, slots=True, eq=False)
class Outset:
    """What a plan starts from once lengths and passes are known."""

    measured: MeasuredRoute
    trip: Trip
    """With its km in the direction of travel."""
    passes: tuple[WaterPass, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Ahead:
    """Clock and heat of a trip."""

    outset: Outset
    pace: RoutePace
    heat: tuple[DayOfHeat, ...]
    going: StretchContext

    def stretches(self) -> tuple[DryStretch, ...]:
        """Judge every stretch by what the containers hold, the fills aside."""
        ends = stretch_ends(self.outset.passes, self.outset.measured.length_km)
        return told_late(dry_stretches(ends, self.going), self.going)


def look_ahead(outset: Outset, known: Ahead | None = None) -> Ahead:
    """Work out the clock, and what the heat asks for on each day.

    Parameters
    ----------
    known
        A plan of the same route; what does not change is taken from it.

    Raises
    ------
    TripFileError
        Where a pinned camp is not on the route.
    """
    pace = _pace(outset, known)
    clock = _clock_ahead(outset, pace)
    _refuse_endless(clock, outset)
    heat = _heat(outset, clock, known)
    going = StretchContext(outset.trip, clock, as_drinking(heat, clock), outset.measured.length_km)
    return Ahead(outset, pace, heat, going)


def going_in_known_heat(outset: Outset, known: Ahead) -> StretchContext:
    """Return a quick guess at another pace: the days ask for what they asked for before.

    Raises
    ------
    TripFileError
        Where a pinned camp is not on the route.
    """
    clock = _clock_ahead(outset, _pace(outset, known))
    heat = as_drinking(known.heat, clock)
    return StretchContext(outset.trip, clock, heat, outset.measured.length_km)


def _clock_ahead(outset: Outset, pace: RoutePace) -> Clock:
    measured, trip, passes = outset.measured, outset.trip, outset.passes
    profile = _with_fills(pace.profile, passes, trip)
    return clock_of(profile, trip, camps_on_route(trip, measured, passes))


def _refuse_endless(clock: Clock, outset: Outset) -> None:
    days = clock.arrival(outset.measured.length_km).day + 1
    if days > MOST_DAYS:
        raise TripFileError.single(
            outset.trip.origin or "the trip",
            "[pace]",
            f"at this pace the route takes {days:,} days",
            f"plan no more than {MOST_DAYS:,}: check speed_kmh and hours_per_day, or cut the route",
        )


def clock_of(profile: PaceProfile, trip: Trip, camps: tuple[Camp, ...]) -> Clock:
    """Return the clock of a trip on a profile of moving hours."""
    pace = trip.pace
    return Clock(
        moving=daily_windows(
            start_hour=pace.start_hour, hours_per_day=pace.hours_per_day, break_h=pace.break_h
        ),
        profile=profile,
        depart=Moment(_departure_hour(trip), 0),
        camps=camps,
    )


def dates_on(measured: MeasuredRoute, trip: Trip) -> Callable[[float], dt.date | None]:
    """Date each km by a clock on which camps at the water are not yet moved to it."""
    departs_on = departure_date(trip)
    if departs_on is None:
        return lambda _km: None
    profile = route_pace(measured, trip.pace).profile
    clock = clock_of(profile, trip, pinned_on_route(trip, measured))
    return lambda km: departs_on + dt.timedelta(days=clock.arrival(km).day)


def departure_date(trip: Trip) -> dt.date | None:
    """Return the date of departure; None where the trip names none."""
    return trip.depart.date() if trip.depart else None


def _pace(outset: Outset, known: Ahead | None) -> RoutePace:
    same = (
        known is not None
        and known.outset.measured is outset.measured
        and known.outset.trip.pace is outset.trip.pace
    )
    return known.pace if known and same else route_pace(outset.measured, outset.trip.pace)


def _heat(outset: Outset, clock: Clock, known: Ahead | None) -> tuple[DayOfHeat, ...]:
    ways = _has_ways(outset.passes)
    if known and _same_days(clock, known.going.clock) and ways is _has_ways(known.outset.passes):
        return known.heat
    return days_of_heat(outset.trip, clock, ways=ways)


def _same_days(one: Clock, other: Clock) -> bool:
    return (
        one.profile is other.profile
        and one.moving == other.moving
        and one.depart == other.depart
        and one.camps == other.camps
    )


def _has_ways(passes: Sequence[WaterPass]) -> bool:
    return any(water.counted and water.way_km >= ON_ROUTE_KM for water in passes)


def _with_fills(profile: PaceProfile, passes: Sequence[WaterPass], trip: Trip) -> PaceProfile:
    halts_km = [water.km for water in passes if water.counted]
    return with_halts(profile, halts_km, trip.pace.fill_minutes)


def _departure_hour(trip: Trip) -> float:
    if trip.depart is None:
        return trip.pace.start_hour
    return trip.depart.hour + trip.depart.minute / 60.0 + trip.depart.second / 3600.0
