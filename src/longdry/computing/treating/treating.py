"""What treating the water of a fill plan takes, by stop and in all, and what it leaves in it.

Minutes, fuel, tablets or drops; and for each method what it does not remove. Boiling at a height:
air pressure by ISO 2533 (1975), the standard atmosphere, up to 11,000 m; boiling point by
IAPWS-IF97 (2007 release), equation 31, the saturation temperature, from 611.213 Pa to 22.064 MPa.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence

from longdry.model.arrays import value_at
from longdry.model.plan.fills import FillPlan, FillProblem
from longdry.model.plan.treating import StopTreatment, TreatmentPlan
from longdry.model.route import MeasuredRoute
from longdry.model.trip.treatment import (
    Fuel,
    Stove,
    TreatEffort,
    TreatLimits,
    Treatment,
    TreatMethod,
)
from longdry.model.trip.trip import Trip
from longdry.units import rounded_up

_LOWEST_M, _HIGHEST_M = -500.0, 11_000.0


BLEACH_DROPS_PER_L = 2
"""Household bleach of 6 % or 8.25 %, clear water: EPA (2017)."""
BLEACH_WAIT_MINUTES = 30.0
"""EPA (2017)."""
_IN_ALL = ("salts", "metals", "most chemicals", "toxins of blue-green algae")
_SOURCE = "CDC; EPA (2017), emergency disinfection of drinking water"
_LIMITS = {
    TreatMethod.BOIL: (*_IN_ALL[:-1], f"{_IN_ALL[-1]}, which boiling may even raise"),
    TreatMethod.CHLORINE_TABLETS: (
        "Cryptosporidium",
        "anything in very cloudy water (above 100 NTU)",
        *_IN_ALL,
    ),
    TreatMethod.IODINE_TABLETS: ("Cryptosporidium", *_IN_ALL),
    TreatMethod.BLEACH: (
        "Cryptosporidium",
        "anything in very cloudy water (above 100 NTU)",
        *_IN_ALL,
    ),
    TreatMethod.FILTER: ("viruses", "protozoa, unless it is 1 micron absolute or finer", *_IN_ALL),
    TreatMethod.UV: _IN_ALL,
}
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


def treating_of(
    plan: FillPlan, problem: FillProblem, trip: Trip, measured: MeasuredRoute
) -> TreatmentPlan | None:
    """Work out what treating takes; None for a party that does not treat.

    On the way water is treated in daily lots; for fuel at the lowest height of the leg, and with
    the long boil wherever one of its heights asks for it or none is known.
    """
    if not trip.party.can_treat:
        return None
    treatment = trip.treatment or Treatment()
    by_stop = tuple(
        StopTreatment(
            here=effort_of(treatment, fill.treated_l, height_m=height_at(measured, fill.km)),
            on_way=_in_daily_lots(
                treatment,
                outcome.treated_l,
                leg.days,
                _least_height(measured, here.km, there.km),
            ),
        )
        for fill, outcome, leg, (here, there) in zip(
            plan.fills,
            plan.outcomes,
            problem.legs,
            itertools.pairwise(problem.stops),
            strict=True,
        )
    )
    return TreatmentPlan(
        method=treatment.method,
        litres_per_day=treatment.litres_per_day,
        by_stop=by_stop,
        in_all=in_all([effort for one in by_stop for effort in (one.here, one.on_way)]),
        limits=limits_of(treatment.method),
    )


def in_all(efforts: Iterable[TreatEffort]) -> TreatEffort:
    """Add efforts up; what one of them does not know the sum does not know.

    >>> in_all([]).litres
    0.0
    """
    treated = [effort for effort in efforts if effort.litres > 0.0]
    boils = [e.boil_minutes for e in treated if e.boil_minutes is not None]
    tablets, drops = ([getattr(e, name) for e in treated] for name in ("tablets", "drops"))
    return TreatEffort(
        litres=sum((e.litres for e in treated), 0.0),
        minutes=_sum([e.minutes for e in treated]) if treated else 0.0,
        fuel_g=_sum([e.fuel_g for e in treated]),
        tablets=None if None in tablets or not tablets else sum(tablets),
        drops=None if None in drops or not drops else sum(drops),
        boil_minutes=max(boils, default=None),
    )


def _sum(parts: Sequence[float | None]) -> float | None:
    known = [part for part in parts if part is not None]
    return sum(known) if known and len(known) == len(parts) else None


def _in_daily_lots(
    treatment: Treatment, litres: float, days: float, height_m: float | None
) -> TreatEffort:
    lots = max(1, math.ceil(days))
    one = effort_of(treatment, litres / lots, height_m=height_m)
    return TreatEffort(
        litres=litres,
        minutes=None if one.minutes is None else one.minutes * lots,
        fuel_g=None if one.fuel_g is None else one.fuel_g * lots,
        tablets=None if one.tablets is None else one.tablets * lots,
        drops=None if one.drops is None else one.drops * lots,
        boil_minutes=one.boil_minutes,
    )


def height_at(measured: MeasuredRoute, km: float) -> float | None:
    """Return the height of the route at a km; None where none is known or it cannot be."""
    height_m = value_at(km, measured.chainage_km, measured.route.height_m)
    return height_m if _LOWEST_M <= height_m <= _HIGHEST_M else None


def _least_height(measured: MeasuredRoute, from_km: float, to_km: float) -> float | None:
    """Give the lowest height of a leg; None where one is not known or only some ask for long."""
    km = measured.chainage_km
    first, end = km.searchsorted(from_km, side="right"), km.searchsorted(to_km, side="left")
    inside = measured.route.height_m[first:end]
    ends = [height_at(measured, from_km), height_at(measured, to_km)]
    heights = [*inside.tolist(), *(math.nan if end is None else end for end in ends)]
    low, high = min(heights), max(heights)
    if any(math.isnan(height) for height in heights) or not _LOWEST_M <= low <= high <= _HIGHEST_M:
        return None
    return None if low < LONG_BOIL_FROM_M <= high else low


def limits_of(method: TreatMethod | None) -> TreatLimits:
    """Tell what a method leaves in the water; of an unnamed one what every method leaves.

    To be shown wherever the method is.
    """
    return TreatLimits(_LIMITS[method] if method else _IN_ALL, _SOURCE)


def treatable_l(treatment: Treatment | None, days: float) -> float | None:
    """Give what can be treated in some days; None: as much as wanted.

    A party without a method treats nothing.

    >>> treatable_l(None, 3.0)
    0.0
    """
    if treatment is None:
        return 0.0
    if treatment.litres_per_day is None:
        return None
    return treatment.litres_per_day * days


def effort_of(
    treatment: Treatment, litres: float, *, height_m: float | None = None, water_c: float = 20.0
) -> TreatEffort:
    """Work out what treating some litres takes.

    Parameters
    ----------
    treatment
        Method and what the user says about it.
    litres
        To be treated.
    height_m
        Of the place; None: not known. Then the boil is the long one and the fuel that of sea level,
        where it is most.
    water_c
        Temperature of the water before it is boiled.
    """
    match treatment.method:
        case None:
            return TreatEffort(litres, None)
        case TreatMethod.BOIL:
            return _boiled(treatment.stove, litres, height_m, water_c)
        case TreatMethod.BLEACH:
            return _bleached(litres, is_double=treatment.is_cloudy_or_cold)
        case TreatMethod.FILTER:
            flow = treatment.filter_l_per_min
            return TreatEffort(litres, litres / flow if flow else None)
        case TreatMethod.UV:
            wait = treatment.wait_minutes
            return TreatEffort(litres, None if wait is None else litres * wait)
        case _:
            return _with_tablets(treatment, litres)


def _boiled(
    stove: Stove | None, litres: float, height_m: float | None, water_c: float
) -> TreatEffort:
    """Boil pot by pot; the stove burns as hard during the boil as before it."""
    hold = boil_minutes(height_m)
    if stove is None:
        return TreatEffort(litres, None, boil_minutes=hold)
    pots = math.ceil(litres / stove.pot_l)
    heat_kj = heat_to_boil_kj(litres, 0.0 if height_m is None else height_m, water_c)
    burnt_kj = heat_kj / stove.efficiency + pots * hold * 60.0 * stove.power_kw
    return TreatEffort(
        litres=litres,
        minutes=burnt_kj / stove.power_kw / 60.0,
        fuel_g=burnt_kj / HEATING_KJ_PER_G[stove.fuel],
        boil_minutes=hold,
    )


def _bleached(litres: float, *, is_double: bool) -> TreatEffort:
    drops = BLEACH_DROPS_PER_L * (2 if is_double else 1)
    minutes = BLEACH_WAIT_MINUTES if litres > 0.0 else 0.0
    return TreatEffort(litres, minutes, drops=int(rounded_up(drops * litres)))


def _with_tablets(treatment: Treatment, litres: float) -> TreatEffort:
    per_tablet = treatment.litres_per_tablet
    tablets = int(rounded_up(litres / per_tablet)) if per_tablet else None
    return TreatEffort(litres, treatment.wait_minutes if litres > 0.0 else 0.0, tablets=tablets)


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
