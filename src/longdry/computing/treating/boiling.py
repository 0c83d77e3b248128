"""The physics of boiling water at a height.

Air pressure: ISO 2533 (1975), the standard atmosphere, up to 11,000 m. Boiling point: IAPWS-IF97
(2007 release), equation 31, the saturation temperature, from 611.213 Pa to 22.064 MPa.
"""

from __future__ import annotations

import math

from longdry.model.trip.treatment import Fuel

KJ_PER_L_K = 4.19
"""Heat that warms a litre by a kelvin: the mean from 20 °C to the boil is 4.18 (IAPWS-IF97)."""
HEATING_KJ_PER_G = {Fuel.PROPANE: 46.35, Fuel.BUTANE: 45.75}
"""Lower heating values: propane 46.35, n-butane 45.75 MJ/kg (engineering tables)."""
LONG_BOIL_FROM_M = 1000.0
_LOWEST_M, _HIGHEST_M = -500.0, 11_000.0
_KELVIN = 273.15
_N = (
    0.11670521452767e4, -0.72421316703206e6, -0.17073846940092e2, 0.12020824702470e5,
    -0.32325550322333e7, 0.14915108613530e2, -0.48232657361591e4, 0.40511340542057e6,
    -0.23855557567849, 0.65017534844798e3,
)  # fmt: skip


def air_pressure_pa(height_m: float) -> float:
    """Give the pressure of the standard atmosphere (ISO 2533).

    Raises
    ------
    ValueError
        Below -500 m or above 11,000 m.

    >>> round(air_pressure_pa(0.0))
    101325
    """
    if not _LOWEST_M <= height_m <= _HIGHEST_M:
        raise ValueError(f"{height_m:g} m is outside -500 to 11,000 m.")
    return 101_325.0 * float((1.0 - 0.0065 * height_m / 288.15) ** 5.25588)


def saturation_k(pressure_mpa: float) -> float:
    """Give the temperature at which water boils under a pressure (IAPWS-IF97, equation 31)."""
    beta = math.sqrt(math.sqrt(pressure_mpa))
    e = beta * beta + _N[2] * beta + _N[5]
    f = _N[0] * beta * beta + _N[3] * beta + _N[6]
    g = _N[1] * beta * beta + _N[4] * beta + _N[7]
    d = 2.0 * g / (-f - math.sqrt(f * f - 4.0 * e * g))
    total = _N[9] + d
    return (total - math.sqrt(total * total - 4.0 * (_N[8] + _N[9] * d))) / 2.0


def boiling_point_c(height_m: float) -> float:
    """Give the boiling point of water at a height.

    >>> round(boiling_point_c(2000.0), 1)
    93.3
    """
    return saturation_k(air_pressure_pa(height_m) / 1e6) - _KELVIN


def heat_to_boil_kj(litres: float, height_m: float, water_c: float = 20.0) -> float:
    """Give the heat that brings water to the boil.

    >>> heat_to_boil_kj(0.0, 0.0)
    0.0
    """
    return litres * KJ_PER_L_K * max(0.0, boiling_point_c(height_m) - water_c)


def boil_minutes(height_m: float | None) -> float:
    """Give the length of the rolling boil: 1 min, 3 min from 1,000 m up or where it is unknown.

    3 minutes from 1,000 m up satisfies every authority: CDC says above 2,000 m, EPA (2017) above
    "5,000 ft (1,000 m)", whose two units disagree; WHO (2015) is content with a rolling boil.
    """
    if height_m is None or height_m >= LONG_BOIL_FROM_M:
        return 3.0
    return 1.0
