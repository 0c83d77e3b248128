"""Phrases and figures for people: needs are rounded up, supplies down."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable

from longdry.showing.words.measures import METRIC, Measures
from longdry.units import (
    HOURS_PER_DAY,
    KM_PER_MILE,
    L_PER_US_GALLON,
    M_PER_FOOT,
    rounded_down,
    rounded_up,
    told_step,
)

_HALF_A_METRE_KM = 0.0005
_WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def need_words(litres: float, measures: Measures = METRIC) -> str:
    """Litres that somebody needs, rounded up: by 0.1 L below 10 L, else by 1 L.

    >>> from longdry.showing.words.measures import US
    >>> need_words(86.2), need_words(3.01), need_words(0), need_words(10.0, US)
    ('87 L', '3.1 L', '0 L', '2.7 US gal')
    """
    return _us_gal(litres, rounded_up) if measures.is_us else f"{_up(litres)} L"


def supply_words(litres: float, measures: Measures = METRIC) -> str:
    """Litres that are there, rounded down: by 0.1 L below 10 L, else by 1 L.

    >>> from longdry.showing.words.measures import US
    >>> supply_words(86.9), supply_words(3.09), supply_words(10.0, US)
    ('86 L', '3 L', '2.6 US gal')
    """
    if measures.is_us:
        return _us_gal(litres, rounded_down)
    return f"{_plain(rounded_down(litres, told_step(litres)))} L"


def length_words(km: float, measures: Measures = METRIC) -> str:
    """Length of something to be got through, rounded up by 0.1.

    >>> from longdry.showing.words.measures import US
    >>> length_words(1214.21), length_words(3), length_words(16.1, US)
    ('1214.3 km', '3.0 km', '10.1 mi')
    """
    return measures.way(km)


def place_words(km: float, measures: Measures = METRIC) -> str:
    """Where on the route something is, to the nearest 0.1.

    >>> from longdry.showing.words.measures import US
    >>> place_words(1204.56), place_words(16.1, US)
    ('km 1204.6', 'mile 10.0')
    """
    return measures.mark(km)


def offset_words(km: float, measures: Measures = METRIC) -> str:
    """How far off the route something is, rounded up: in metres below 1 km, in feet below 1 mi.

    >>> from longdry.showing.words.measures import US
    >>> offset_words(0), offset_words(0.2341), offset_words(3.21), offset_words(0.2341, US)
    ('on the route', '240 m', '3.3 km', '800 ft')
    """
    if km < _HALF_A_METRE_KM:
        return "on the route"
    if measures.is_us and km < KM_PER_MILE:
        return f"{rounded_up(km * 1000.0 / M_PER_FOOT, 50.0):,.0f} ft"
    if not measures.is_us and km < 1.0:
        return f"{rounded_up(km * 1000.0, 10.0):.0f} m"
    return length_words(km, measures)


def days_taken_words(days: float) -> str:
    """Elapsed days, rounded up to 0.1 day.

    >>> days_taken_words(2.01), days_taken_words(1)
    ('2.1 days', '1 day')
    """
    return _days_words(rounded_up(days, 0.1))


def time_taken_words(days: float) -> str:
    """Elapsed time that people can picture: hours below a day, else days; rounded up.

    >>> time_taken_words(0.051), time_taken_words(2.01)
    ('1 h 15 min', '2.1 days')
    """
    return hours_words(days * HOURS_PER_DAY) if days < 1.0 else days_taken_words(days)


def days_lasting_words(days: float) -> str:
    """Days that something lasts, rounded down to 0.1 day.

    >>> days_lasting_words(2.09), days_lasting_words(1)
    ('2 days', '1 day')
    """
    return _days_words(rounded_down(days, 0.1))


def hours_words(value: float) -> str:
    """Hours and minutes, rounded up to 5 minutes.

    >>> hours_words(6.52), hours_words(0.9), hours_words(0)
    ('6 h 35 min', '55 min', '0 h')
    """
    minutes = int(rounded_up(value * 60.0, 5.0))
    whole, rest = divmod(minutes, 60)
    if not whole and rest:
        return f"{rest} min"
    return f"{whole} h {rest} min" if rest else f"{whole} h"


def count_words(count: float, one: str, many: str = "") -> str:
    """Write how many there are, in the singular or the plural.

    >>> count_words(1, "stretch", "stretches"), count_words(1200, "point"), count_words(0.5, "day")
    ('1 stretch', '1,200 points', '0.5 days')
    """
    number = f"{count:,}" if isinstance(count, int) else f"{count:g}"
    return f"{number} {one if count == 1 else many or f'{one}s'}"


def flow_words(l_per_min: float, measures: Measures = METRIC) -> str:
    """How fast water comes, rounded down.

    >>> from longdry.showing.words.measures import US
    >>> flow_words(2.5), flow_words(10.0, US)
    ('2.5 L/min', '2.6 US gal/min')
    """
    shown = rounded_down(l_per_min / measures.l_per_volume, 0.1)
    return f"{_plain(shown)} {measures.volume}/min"


def minutes_words(minutes: float | None) -> str:
    """Minutes that drawing water takes, rounded up.

    >>> minutes_words(9.09), minutes_words(None), minutes_words(float("inf"))
    ('10 min', 'flow not known', 'never: no flow')
    """
    if minutes is None:
        return "flow not known"
    return f"{rounded_up(minutes):,.0f} min" if math.isfinite(minutes) else "never: no flow"


def charge_words(charge_ah: float) -> str:
    """Battery charge that a pump takes, rounded up by 0.1.

    >>> charge_words(1.14), charge_words(float("inf"))
    ('1.2 Ah', 'no end: no flow')
    """
    return f"{rounded_up(charge_ah, 0.1):.1f} Ah" if math.isfinite(charge_ah) else "no end: no flow"


def day_name(date: dt.date | None) -> str:
    """A date that nobody can misread.

    >>> import datetime as dt
    >>> day_name(dt.date(2027, 5, 3)), day_name(None)
    ('Mon 3 May 2027', '')
    """
    if date is None:
        return ""
    return f"{_WEEKDAYS[date.weekday()]} {date.day} {_MONTHS[date.month - 1]} {date.year}"


def poured_words(litres: float, measures: Measures = METRIC) -> str:
    """Litres into one container, rounded up by 0.1 L.

    >>> poured_words(22.41), poured_words(20)
    ('22.5 L', '20 L')
    """
    if measures.is_us:
        return _us_gal(litres, rounded_up)
    return f"{_plain(rounded_up(litres, 0.1))} L"


def on_board_words(litres: float, measures: Measures = METRIC) -> str:
    """Litres carried, rounded down by 0.1 L.

    >>> on_board_words(22.49), on_board_words(20)
    ('22.4 L', '20 L')
    """
    if measures.is_us:
        return _us_gal(litres, rounded_down)
    return f"{_plain(rounded_down(litres, 0.1))} L"


HELD_BACK = "not litres alone, see what holds it back"
"""Of a stretch that is not clear although no litres are missing."""


def _us_gal(litres: float, rounded: Callable[[float, float], float]) -> str:
    return f"{_plain(rounded(litres / L_PER_US_GALLON, 0.1))} US gal"


def _days_words(days: float) -> str:
    written = _plain(days)
    return f"{written} {'day' if written == '1' else 'days'}"


def _up(value: float) -> str:
    return _plain(rounded_up(value, told_step(value)))


def _plain(value: float) -> str:
    if math.isclose(value, round(value), abs_tol=1e-6):
        return f"{value:.0f}"
    return f"{value:.1f}"
