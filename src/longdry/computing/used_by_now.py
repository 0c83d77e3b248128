"""How much of a stretch's water is used when it is left off in the middle."""

from __future__ import annotations

import math

from longdry.computing.needs import Asking
from longdry.model.dry_stretch import DryStretch, Span
from longdry.model.words import Ration
from longdry.units import HOURS_PER_DAY


def share_used(
    stretch: DryStretch,
    asking: Asking,
    ration: Ration,
    *,
    by_h: float,
    share_of_way: float,
    midnight_h: float,
) -> float:
    """Return which share of the need of a stretch falls into its time up to an hour.

    Hot days and hours of moving take more than their share of the time, uses of the night
    count when its day is over, uses by the way with the way.

    Parameters
    ----------
    by_h
        Hours after departure.
    share_of_way
        Share of the length that is done by then, 0 to 1.
    midnight_h
        Hours after departure of the midnight before it: zero or negative.

    Returns
    -------
    float
        0 to 1; below 1 at the end where the water must last for days beyond the route.
    """
    span = stretch.span
    after_end = asking.trip.policy.days_after_end if stretch.end.water is None else 0.0
    whole_l = asking.need_l(ration, span, stretch.length_km, extra_days=after_end)
    until_h = min(max(by_h, span.start_h), span.end_h)
    begun = Span(span.start_h, until_h, _nights_by(span, midnight_h, by_h))
    part_l = asking.need_l(ration, begun, stretch.length_km * share_of_way)
    if whole_l <= 0.0:
        return 1.0 if by_h >= span.start_h else 0.0
    return min(part_l / whole_l, 1.0)


def _nights_by(span: Span, midnight_h: float, by_h: float) -> int:
    """Return the nights whose day is over, all of them at the end of the stretch."""
    if by_h >= span.end_h:
        return span.nights
    first_day = math.floor((span.start_h - midnight_h) / HOURS_PER_DAY + 1e-9)
    over = math.floor((by_h - midnight_h) / HOURS_PER_DAY + 1e-9)
    return min(max(over - first_day, 0), span.nights)
