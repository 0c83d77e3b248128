"""Conversions with their sources, and roundings that are never optimistic.

Exact factors: NIST Special Publication 811 (2008), appendix B.
"""

from __future__ import annotations

import math

L_PER_US_QUART = 0.946352946
"""NIST SP 811: 1 US quart = 9.463 529 E-04 m3."""
L_PER_US_GALLON = 3.785411784
"""NIST SP 811: 1 US gallon = 3.785 411 784 E-03 m3."""
KM_PER_MILE = 1.609344
"""NIST SP 811: 1 mile = 1.609 344 km."""
M_PER_FOOT = 0.3048
"""NIST SP 811: 1 foot = 0.3048 m."""
KG_PER_POUND = 0.45359237
"""NIST SP 811: 1 pound (avoirdupois) = 4.535 923 7 E-01 kg."""
M_PER_KM = 1000.0
HOURS_PER_DAY = 24.0
MINUTES_PER_HOUR = 60.0
KG_PER_L_WATER = 1.0
"""Within 1 % below 45 degrees Celsius (IAPWS-IF97)."""

TOLERANCE_L = 1e-6
"""Litres below which two amounts are the same: rounding of sums, not water."""
TOLERANCE_KM = 1e-6
"""The same of places on the route: a millimetre."""
UNSEEN_L = 0.05
"""Half of a tenth, which is as fine as litres are shown and read off: less cannot be seen."""
UNSEEN_KM = 0.05
"""The same of kilometres."""
_RELATIVE_NOISE = 1e-9
NOISE = 1e-4
"""Part of a step that is the noise of floats and of files, never a step more or less: of a tenth of
a kilometre a centimetre, of a tenth of a litre a hundredth of a millilitre."""


def rounded_up(value: float, step: float = 1.0) -> float:
    """Round a need up to a multiple of ``step``: what is asked for is never told too small.

    Noise adds no step; a real excess does.

    >>> rounded_up(86.2), rounded_up(87.0), rounded_up(3.01, 0.5)
    (87.0, 87.0, 3.5)
    >>> rounded_up(100.000001, 0.5), rounded_up(100.001, 0.5), rounded_up(-1.8e-15)
    (100.0, 100.5, 0.0)
    """
    steps = value / step
    return math.ceil(steps - _noise(steps)) * step


def rounded_down(value: float, step: float = 1.0) -> float:
    """Round a supply down to a multiple of ``step``: what is there is never told too large.

    >>> rounded_down(86.9), rounded_down(87.0), rounded_down(99.999999), rounded_down(99.999)
    (86.0, 87.0, 100.0, 99.0)
    """
    steps = value / step
    return math.floor(steps + _noise(steps)) * step


def told_step(amount: float) -> float:
    """Return the step to which people are told an amount: tenths below 10, from there on ones.

    >>> told_step(9.96), told_step(10.0)
    (0.1, 1.0)
    """
    return 0.1 if amount < _TENTHS_BELOW else 1.0


_TENTHS_BELOW = 10.0


def _noise(steps: float) -> float:
    return max(NOISE, abs(steps) * _RELATIVE_NOISE)
