"""Hourly drinking by US Army TB MED 507: the figure to take where ISO 7933 ends.

Source: US Army and Air Force (2003), TB MED 507 / AFPAM 48-152, *Heat Stress Control and Heat
Casualty Management*, table of fluid replacement and work/rest for acclimatised troops.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from enum import StrEnum

from longdry.units import L_PER_US_QUART

HOURLY_CEILING_L = 1.5 * L_PER_US_QUART
"""TB MED 507: drinking should not pass 1.5 US qt in an hour, 1.42 L ..."""
DAILY_CEILING_L = 12.0 * L_PER_US_QUART
"""... nor 12 US qt in a day, 11.4 L: more in the body can kill by low sodium."""
SPREAD_QT = 0.25
"""TB MED 507: needs differ by 0.25 US qt an hour between people and between sun and shade."""


class Work(StrEnum):
    """The three columns of the table."""

    EASY = "easy"
    MODERATE = "moderate"
    HARD = "hard"


WBGT_BANDS_F = (82.0, 85.0, 88.0, 90.0)
"""Lower ends of the second to the fifth band; the first begins at 78 degrees Fahrenheit."""
HOURLY_QT = {
    Work.EASY: (0.5, 0.5, 0.75, 0.75, 1.0),
    Work.MODERATE: (0.75, 0.75, 0.75, 0.75, 1.0),
    Work.HARD: (0.75, 1.0, 1.0, 1.0, 1.0),
}
_EASY_TO_MET = 2.4
_MODERATE_TO_MET = 4.1
"""TB MED 507: easy 250 W, moderate 425 W, hard 600 W (from memory), over 1.8 m2 of skin."""


def simplified_wbgt_c(air_c: float, humidity_percent: float) -> float:
    """Return the simplified wet-bulb globe temperature.

    WBGT = 0.567 T + 0.393 e + 3.94, with the vapour pressure e = (RH / 100) 6.105
    exp(17.27 T / (237.7 + T)) in hPa: the Australian Bureau of Meteorology's approximation (from
    memory). It holds for moderate sun and light wind; in shade, by night and in wind it is too
    high, which asks for more water.

    >>> round(simplified_wbgt_c(40.0, 20.0), 1)
    32.4
    """
    vapour_hpa = humidity_percent / 100.0 * 6.105 * math.exp(17.27 * air_c / (237.7 + air_c))
    return 0.567 * air_c + 0.393 * vapour_hpa + 3.94


def work_class(met: float) -> Work:
    """Return the column of the table for an effort."""
    if met <= _EASY_TO_MET:
        return Work.EASY
    return Work.MODERATE if met <= _MODERATE_TO_MET else Work.HARD


def table_l_per_h(wbgt_c: float, work: Work) -> float:
    """Return the table's litres per hour; below its first band, that of the first band.

    >>> table_l_per_h(33.0, Work.EASY)
    0.946352946
    """
    wbgt_f = wbgt_c * 9.0 / 5.0 + 32.0
    return HOURLY_QT[work][bisect_right(WBGT_BANDS_F, wbgt_f)] * L_PER_US_QUART


def careful_l_per_h(*, air_c: float, humidity_percent: float, met: float, in_sun: bool) -> float:
    """Return the table's litres per hour for the weather, with the spread on top in the sun."""
    spread_l = SPREAD_QT * L_PER_US_QUART if in_sun else 0.0
    return table_l_per_h(simplified_wbgt_c(air_c, humidity_percent), work_class(met)) + spread_l
