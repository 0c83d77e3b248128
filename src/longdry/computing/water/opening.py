"""Whether a source is open at the hour of arrival."""

from __future__ import annotations

from longdry.model.water.source import WaterSource
from longdry.units import HOURS_PER_DAY

TOLERANCE_H = 1e-9


def has_hours(source: WaterSource) -> bool:
    """Whether the layer says when the source is open."""
    return source.open_from_hour is not None or source.open_to_hour is not None


def is_open_at(source: WaterSource, hour: float) -> bool:
    """Whether the source is open at an hour, counted from any midnight on.

    Hours that run past midnight are open across it; where one end is not known, it is midnight.
    A source of unknown hours is taken as open: an assumption, to be told.

    >>> from longdry.model.water.source import WaterSource
    >>> tap = WaterSource("t", "Tap", 0.0, 0.0, open_from_hour=8.0, open_to_hour=17.5)
    >>> is_open_at(tap, 17.0), is_open_at(tap, 24.0 + 17.75)
    (True, False)
    """
    if not has_hours(source):
        return True
    begin = 0.0 if source.open_from_hour is None else source.open_from_hour
    end = HOURS_PER_DAY if source.open_to_hour is None else source.open_to_hour
    of_day = hour % HOURS_PER_DAY
    if begin <= end:
        return begin - TOLERANCE_H <= of_day <= end + TOLERANCE_H
    return of_day >= begin - TOLERANCE_H or of_day <= end + TOLERANCE_H
