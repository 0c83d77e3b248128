"""Sunrise, sunset and darkness at a place, offline.

Computed by ``astral`` (S. Kennedy), which follows the equations of the NOAA solar calculator
(J. Meeus, *Astronomical Algorithms*): within a minute or two up to 72 degrees of latitude. Level
horizon at sea level; a gorge is dark long before.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from functools import partial

from astral import Observer, sun
from astral.sun import elevation, noon

from longdry.model.plan.days import Daylight, LocalTime
from longdry.units import HOURS_PER_DAY

CIVIL_DEG = -6.0
"""Height of the sun's centre at which civil twilight ends: from there on it counts as dark."""
DEGREES_PER_HOUR = 15.0
SECONDS_PER_HOUR = 3600.0


def local_time(given_offset_h: float | None, lon_deg: float) -> LocalTime:
    """Return the clocks of the trip: as given, else the nearest whole hour by the longitude.

    Parameters
    ----------
    given_offset_h
        Hours ahead of UTC that the trip names, or None.
    lon_deg
        Longitude of the start.

    Examples
    --------
    >>> local_time(None, 133.9)
    LocalTime(utc_offset_h=9.0, assumed=True)
    """
    if given_offset_h is not None:
        return LocalTime(given_offset_h, assumed=False)
    return LocalTime(float(round(lon_deg / DEGREES_PER_HOUR)), assumed=True)


def daylight(date: dt.date, *, lat_deg: float, lon_deg: float, clocks: LocalTime) -> Daylight:
    """Return the times of the sun on a date at a place.

    Parameters
    ----------
    date
        By the clocks of the trip.
    lat_deg, lon_deg
        The place, WGS 84.
    clocks
        See `local_time`.
    """
    observer = _observer(lat_deg, lon_deg)
    at = partial(_time_of, observer=observer, date=date, clocks=clocks)
    return Daylight(sunrise=at(sun.sunrise), sunset=at(sun.sunset))


def dusk_hour(date: dt.date, *, lat_deg: float, lon_deg: float, clocks: LocalTime) -> float:
    """Return the hour of the day from which it is dark: the sun 6 degrees below the horizon.

    24 and more where it does not get dark before midnight, 0 where it is dark all day.

    Parameters
    ----------
    date
        By the clocks of the trip.
    lat_deg, lon_deg
        The place, WGS 84.
    clocks
        See `local_time`.
    """
    observer = _observer(lat_deg, lon_deg)
    dusk = _time_of(sun.dusk, observer=observer, date=date, clocks=clocks)
    if dusk is not None:
        hours = (dusk - dt.datetime.combine(date, dt.time())).total_seconds() / SECONDS_PER_HOUR
        return hours if hours > 0.0 else HOURS_PER_DAY
    is_dark_at_noon = _height_deg(observer, noon(observer, date, clocks.zone)) < CIVIL_DEG
    return 0.0 if is_dark_at_noon else HOURS_PER_DAY


def is_dark(moment: dt.datetime, *, lat_deg: float, lon_deg: float, clocks: LocalTime) -> bool:
    """Return whether the sun is more than 6 degrees below the horizon: also before dawn.

    Holds beyond the polar circles too, where a day may have no dusk.

    Parameters
    ----------
    moment
        By the clocks of the trip; a zone of its own, if it has one, is believed instead.
    lat_deg, lon_deg
        The place, WGS 84.
    clocks
        See `local_time`.
    """
    return sun_height_deg(moment, lat_deg=lat_deg, lon_deg=lon_deg, clocks=clocks) < CIVIL_DEG


def sun_height_deg(
    moment: dt.datetime, *, lat_deg: float, lon_deg: float, clocks: LocalTime
) -> float:
    """Return the height of the sun's centre above the level horizon, refraction left out."""
    zoned = moment if moment.tzinfo else moment.replace(tzinfo=clocks.zone)
    return _height_deg(_observer(lat_deg, lon_deg), zoned)


def _observer(lat_deg: float, lon_deg: float) -> Observer:
    return Observer(lat_deg, lon_deg, 0.0)


def _height_deg(observer: Observer, zoned: dt.datetime) -> float:
    return float(elevation(observer, zoned.astimezone(dt.UTC), with_refraction=False))


def _time_of(
    event: Callable[..., dt.datetime],
    *,
    observer: Observer,
    date: dt.date,
    clocks: LocalTime,
) -> dt.datetime | None:
    """Return an event's local time, or None where the sun does not reach it on that date."""
    try:
        return event(observer, date=date, tzinfo=clocks.zone).replace(tzinfo=None)
    except ValueError:
        return None
