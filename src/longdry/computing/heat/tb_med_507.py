"""Hourly drinking by US Army TB MED 507: the figure to take where ISO 7933 ends.

Source: US Army and Air Force (2003), TB MED 507 / AFPAM 48-152, *Heat Stress Control and Heat
Casualty Management*, table of fluid replacement and work/rest for acclimatised troops. Its ceilings
of drinking stand in ``model.plan.heat_day``.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from enum import StrEnum

from longdry.units import L_PER_US_QUART

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
WORK_MIN_PER_H = {Work.EASY: 50.0, Work.MODERATE: 20.0, Work.HARD: 10.0}
"""TB MED 507, row of 90 degrees Fahrenheit and more: minutes of work in an hour; the rest of it is
rest in shade."""
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


def shade_wbgt_c(air_c: float, humidity_percent: float, excess_c: float) -> float:
    """Return a wet-bulb globe temperature out of the sun.

    WBGT = 0.7 Tnw + 0.3 Tg (ISO 7243, no sun). The globe counts as hot as all around it, and the
    wet bulb as 1 K above that of R. Stull (2011, J. Appl. Meteorol. Climatol. 50:2267-2269; from
    memory), whose fit is at most 1 K off between 5 and 99 % and -20 and 50 degrees.

    Parameters
    ----------
    excess_c
        Mean radiant temperature less air temperature.

    >>> round(shade_wbgt_c(40.0, 20.0, 5.0), 1)
    29.7
    """
    percent = min(max(humidity_percent, 5.0), 99.0)
    wet_bulb_c = (
        air_c * math.atan(0.151977 * math.sqrt(percent + 8.313659))
        + math.atan(air_c + percent)
        - math.atan(percent - 1.676331)
        + 0.00391838 * percent * math.sqrt(percent) * math.atan(0.023101 * percent)
        - 4.686035
    )
    return 0.7 * (wet_bulb_c + 1.0) + 0.3 * (air_c + excess_c)


def most_moving_min_per_h(wbgt_c: float, met: float) -> float:
    """Return the minutes of an hour that TB MED 507 lets people work from 90 F on; 60 below that.

    Its cooler rows, which ask the hard worker to rest too, are not looked at.

    >>> most_moving_min_per_h(33.0, 3.4), most_moving_min_per_h(32.0, 3.4)
    (20.0, 60.0)
    """
    is_hottest_row = wbgt_c * 9.0 / 5.0 + 32.0 >= WBGT_BANDS_F[-1]
    return WORK_MIN_PER_H[work_class(met)] if is_hottest_row else 60.0


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
