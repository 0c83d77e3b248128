"""What making water safe takes, and what each method leaves in it.

This is no medical advice: where local authorities say otherwise, they are right.
"""

from __future__ import annotations

import math

from longdry.computing.boiling import HEATING_KJ_PER_G, boil_minutes, heat_to_boil_kj
from longdry.model.treat_method import TreatMethod
from longdry.model.treatment import Stove, TreatEffort, TreatLimits, Treatment
from longdry.units import rounded_up

BLEACH_DROPS_PER_L = 2
"""Household bleach of 6 % or 8.25 %, clear water: EPA (2017)."""
BLEACH_WAIT_MINUTES = 30.0
"""EPA (2017)."""
_IN_ALL = ("salts", "metals", "most chemicals", "toxins of blue-green algae")
_SOURCE = "CDC; EPA (2017), emergency disinfection of drinking water"
_LIMITS = {
    TreatMethod.BOIL: (
        *_IN_ALL,
        "boiling may even raise the toxins of blue-green algae",
    ),
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


def fuel_to_boil_g(stove: Stove, litres: float, *, height_m: float, water_c: float = 20.0) -> float:
    """Give the fuel that brings water to the boil, the boil itself not counted."""
    heat_kj = heat_to_boil_kj(litres, height_m, water_c)
    return heat_kj / stove.efficiency / HEATING_KJ_PER_G[stove.fuel]


def _bleached(litres: float, *, is_double: bool) -> TreatEffort:
    drops = BLEACH_DROPS_PER_L * (2 if is_double else 1)
    minutes = BLEACH_WAIT_MINUTES if litres > 0.0 else 0.0
    return TreatEffort(litres, minutes, drops=int(rounded_up(drops * litres)))


def _with_tablets(treatment: Treatment, litres: float) -> TreatEffort:
    per_tablet = treatment.litres_per_tablet
    tablets = int(rounded_up(litres / per_tablet)) if per_tablet else None
    return TreatEffort(litres, treatment.wait_minutes if litres > 0.0 else 0.0, tablets=tablets)
