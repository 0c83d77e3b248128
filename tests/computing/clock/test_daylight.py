"""Sunrise, sunset and darkness, against PyEphem (an independent library) and known extremes."""

import datetime as dt

import ephem
import pytest

from longdry.computing.clock.daylight import daylight, is_dark, local_time, sun_height_deg
from longdry.model.plan.days import LocalTime

PLACES = [
    (0.0, 0.0),
    (-25.0, 131.0),
    (35.5, -116.0),
    (23.0, 15.0),
    (-33.9, 18.4),
    (55.0, 37.6),
    (-45.0, 170.5),
    (10.0, -179.5),
    (10.0, 179.5),
    (64.0, -21.9),
]
DATES = [dt.date(2026, month, 21) for month in range(1, 13)]


def observer(lat_deg, lon_deg, horizon):
    """PyEphem set up as the US Naval Observatory defines rising and setting."""
    place = ephem.Observer()
    place.lat, place.lon = str(lat_deg), str(lon_deg)
    place.pressure, place.horizon = 0, horizon
    return place


def nearest(event, zoned, **options):
    """Return PyEphem's event of that kind nearest to a moment, in UTC."""
    start = ephem.Date((zoned.astimezone(dt.UTC) - dt.timedelta(hours=6)).replace(tzinfo=None))
    return event(ephem.Sun(), start=start, **options).datetime().replace(tzinfo=dt.UTC)


@pytest.mark.parametrize(("lat_deg", "lon_deg"), PLACES)
def test_against_pyephem(lat_deg, lon_deg):
    """Sunrise and sunset (34' refraction, upper limb) are within 2 min of PyEphem's all year."""
    clocks = local_time(None, lon_deg)
    place = observer(lat_deg, lon_deg, "-0:34")
    for date in DATES:
        found = daylight(date, lat_deg=lat_deg, lon_deg=lon_deg, clocks=clocks)
        rise, fall = (time.replace(tzinfo=clocks.zone) for time in (found.sunrise, found.sunset))

        assert found.sunrise.date() == found.sunset.date() == date
        assert abs(rise - nearest(place.next_rising, rise)) < dt.timedelta(minutes=2)
        assert abs(fall - nearest(place.next_setting, fall)) < dt.timedelta(minutes=2)


@pytest.mark.parametrize(("lat_deg", "lon_deg"), PLACES[:-1])
def test_dark_begins_and_ends_with_the_civil_twilight_of_pyephem(lat_deg, lon_deg):
    """Two minutes before PyEphem's dusk (-6 degrees) it is light, two after it dark; so at dawn."""
    clocks, where = local_time(None, lon_deg), {"lat_deg": lat_deg, "lon_deg": lon_deg}
    place, step = observer(lat_deg, lon_deg, "-6"), dt.timedelta(minutes=2)
    for date in DATES:
        noon = dt.datetime.combine(date, dt.time(12), clocks.zone)
        dusk = nearest(place.next_setting, noon + dt.timedelta(hours=6), use_center=True)
        dawn = nearest(place.next_rising, noon - dt.timedelta(hours=6), use_center=True)

        moments = (dusk - step, dusk + step, dawn - step, dawn + step)
        dark = [is_dark(moment, clocks=clocks, **where) for moment in moments]
        assert dark == [False, True, True, False]


def test_equinox_is_half_the_day():
    """At an equinox the day is 12 h and a few minutes everywhere (refraction and the limb)."""
    for lat_deg in (-40.0, 0.0, 40.0):
        found = daylight(
            dt.date(2026, 3, 20), lat_deg=lat_deg, lon_deg=0.0, clocks=LocalTime(0.0, assumed=False)
        )

        assert 0 < (found.sunset - found.sunrise).total_seconds() / 60 - 720 < 15


def test_greenwich_midsummer():
    """Greenwich, 21 June: almanacs give 04:43 and 21:21 summer time (from memory)."""
    found = daylight(
        dt.date(2026, 6, 21), lat_deg=51.48, lon_deg=0.0, clocks=LocalTime(1.0, assumed=False)
    )

    minutes = [time.hour * 60 + time.minute for time in (found.sunrise, found.sunset)]
    assert minutes == pytest.approx([4 * 60 + 43, 21 * 60 + 21], abs=3)


@pytest.mark.parametrize(
    ("lat_deg", "month", "rises", "dark_at_noon", "dark_at_midnight"),
    [
        (78.0, 6, False, False, False),
        (78.0, 12, False, True, True),
        (-78.0, 12, False, False, False),
        (69.0, 12, False, False, True),
        (63.0, 6, True, False, False),
        (30.0, 6, True, False, True),
    ],
)
def test_far_north_and_south(lat_deg, month, rises, dark_at_noon, dark_at_midnight):
    """Midnight sun, polar night and white nights at the solstices come out as the poles know."""
    clocks = LocalTime(0.0, assumed=False)
    found = daylight(dt.date(2026, month, 21), lat_deg=lat_deg, lon_deg=0.0, clocks=clocks)
    dark = [
        is_dark(dt.datetime(2026, month, 21, hour), lat_deg=lat_deg, lon_deg=0.0, clocks=clocks)
        for hour in (12, 0)
    ]

    assert (found.sunrise is not None, found.sunset is not None) == (rises, rises)
    assert dark == [dark_at_noon, dark_at_midnight]


def test_a_zone_of_its_own_is_believed():
    """A moment that names its zone is read by that zone."""
    clocks, place = LocalTime(9.5, assumed=False), {"lat_deg": -25.0, "lon_deg": 131.0}
    local = dt.datetime(2026, 7, 1, 18, 30)
    zoned = dt.datetime(2026, 7, 1, 9, 0, tzinfo=dt.UTC)

    heights = [sun_height_deg(moment, clocks=clocks, **place) for moment in (local, zoned)]
    assert heights[0] == heights[1]


@pytest.mark.parametrize(
    ("given", "lon_deg", "offset_h", "assumed", "label"),
    [
        (9.5, 131.0, 9.5, False, "UTC+9:30"),
        (None, 131.0, 9.0, True, "UTC+9:00"),
        (None, -116.0, -8.0, True, "UTC-8:00"),
        (0.0, 131.0, 0.0, False, "UTC+0:00"),
    ],
)
def test_clocks(given, lon_deg, offset_h, assumed, label):
    """The clocks are those of the trip, else the nearest hour by longitude, said as assumed."""
    clocks = local_time(given, lon_deg)

    assert (clocks.utc_offset_h, clocks.assumed, clocks.label) == (offset_h, assumed, label)
