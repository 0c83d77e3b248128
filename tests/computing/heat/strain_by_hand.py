"""A second writing of predicted heat strain, to hold the library's answers against.

Written from the algorithm of ISO 7933:2004, annexes A to E, as J. Malchaire and others published
it (2001, Annals of Occupational Hygiene 45:123-135), from memory; that it is that algorithm is
shown by the ten check rows of annex F. What the edition of 2023 changes (the clothes' surface,
ceilings of sweat, reflective clothing, the skin of the first minute) is taken from the notes and
the source of ``pythermalcomfort.models.phs``, not from the standard: for that edition this checks
how the library is called, and what it works out, but not the standard's text.

Where the published program steps towards a solution until it moves less than 0.001, this one
halves the interval, so the two share no code and no path.
"""

from __future__ import annotations

from dataclasses import astuple, dataclass

import numpy as np

STEFAN_BOLTZMANN = 5.67e-8
RADIATING_SHARE = {"standing": 0.77, "sitting": 0.70, "crouching": 0.67}
EMISSIVITY = 0.97
"""Of skin and plain clothes."""


@dataclass(frozen=True)
class Strain:
    """Arrays, one figure for each case."""

    core_c: np.ndarray
    water_g: np.ndarray
    minutes_to_38: np.ndarray
    """480 where it never does."""
    highest_core_by: np.ndarray
    """Shape (480, cases): the highest core up to the end of each minute."""


@dataclass(frozen=True)
class Surroundings:
    """Figures or arrays of one shape, or of shapes that numpy broadcasts."""

    air_c: object
    vapour_kpa: object
    radiant_c: object
    air_m_s: object
    metabolic: object
    """W per square metre of skin."""
    clo: object


def saturated_kpa(air_c):
    return 0.6105 * np.exp(17.27 * air_c / (air_c + 237.3))


def strain(around, *, edition, posture, acclimatised, mass_kg=75.0, walking=(0.0, 0.0)):
    """Return eight hours' strain of people of 1.80 m in plain clothes: nothing reflects heat.

    Posture and whether somebody is acclimatised: one for all or one for each case; many cases in
    one call take little longer than one. Walking is a speed in m/s and its angle to the wind; none:
    guessed from the effort.
    """
    minutes = 480
    facing = np.vectorize(RADIATING_SHARE.get)(posture)
    air_c, vapour_kpa, radiant_c, air_m_s, metabolic, clo = np.broadcast_arrays(
        *(np.atleast_1d(np.asarray(column, dtype=float)) for column in astuple(around))
    )
    skin_m2 = 0.202 * mass_kg**0.425 * 1.80**0.725
    heat_capacity = 57.83 * mass_kg / skin_m2  # of a body, W min per K and m2 of skin
    most_sweat, most_wet = _ceilings(edition, metabolic, skin_m2, acclimatised)

    coat = 1.0 + (0.28 if edition == 2023 else 0.3) * clo
    along_m_s, stride_m_s = _motion(air_m_s, metabolic, *walking)
    dry_clothes, vapour_resistance = _clothing(clo, coat, along_m_s, stride_m_s)
    forced = np.where(along_m_s > 1.0, 8.7 * along_m_s**0.6, 3.5 + 5.2 * along_m_s)

    breath_c = 28.56 + 0.115 * air_c + 0.641 * vapour_kpa
    breath_dry = 0.001516 * metabolic * (breath_c - air_c)
    breath_wet = 0.00127 * metabolic * (59.34 + 0.53 * air_c - 11.63 * vapour_kpa)

    lag_skin, lag_sweat, lag_core = np.exp(-1 / 3), np.exp(-1 / 10), np.exp(-1 / 10)
    skin_c, core_c, rectal_c, set_c = (np.full(air_c.shape, x) for x in (34.1, 36.8, 36.8, 36.8))
    share, sweat, lost = np.full(air_c.shape, 0.3), np.zeros(air_c.shape), np.zeros(air_c.shape)
    cores = np.empty((minutes, air_c.size))

    for minute in range(1, minutes + 1):
        # The core rises to what the effort alone sets, and stores heat in doing so.
        set_before, set_c = set_c, set_c * lag_core + (0.0036 * metabolic + 36.6) * (1 - lag_core)
        stored_by_effort = heat_capacity * (set_c - set_before) * (1.0 - share)

        clothed = (12.165 + 0.02017 * air_c + 0.04361 * radiant_c + 0.19354 * vapour_kpa
                   - 0.25315 * air_m_s + 0.005346 * metabolic + 0.51274 * rectal_c)  # fmt: skip
        nude = (7.191 + 0.064 * air_c + 0.061 * radiant_c + 0.198 * vapour_kpa
                - 0.348 * air_m_s + 0.616 * rectal_c)  # fmt: skip
        steady = nude + np.clip((clo - 0.2) / 0.4, 0.0, 1.0) * (clothed - nude)
        skin_before, skin_c = skin_c, skin_c * lag_skin + steady * (1 - lag_skin)
        if minute == 1 and edition == 2023:
            skin_c = steady

        outer = radiant_c + 0.1 if edition == 2023 else 34.1
        convecting = np.maximum(2.38 * np.abs(outer - air_c) ** 0.25, forced)
        dry = _dry_loss(skin_c, air_c, radiant_c, coat, convecting, dry_clothes, facing)
        can_evaporate = (saturated_kpa(skin_c) - vapour_kpa) / vapour_resistance
        must = metabolic - stored_by_effort - breath_dry - breath_wet - dry
        required = _required_sweat(must, can_evaporate, most_sweat)
        can_evaporate = np.where((must > 0) & (can_evaporate <= 0), 0.0, can_evaporate)
        must = np.maximum(must, 0.0)
        sweat = sweat * lag_sweat + required * (1 - lag_sweat)

        k = can_evaporate / np.maximum(sweat, 1e-6)
        wet = np.where(k >= 0.5, -k + np.sqrt(k * k + 2.0), 1.0)
        evaporated = np.where(sweat > 0, np.minimum(wet, most_wet) * can_evaporate, 0.0)
        stored = must - evaporated + stored_by_effort

        core_c, share = _core(stored / heat_capacity, core_c, skin_before, skin_c, share)
        rectal_c = rectal_c + (2.0 * core_c - 1.962 * rectal_c - 1.31) / 9.0
        cores[minute - 1] = rectal_c
        lost = lost + sweat + breath_wet

    highest = np.maximum.accumulate(cores)
    passed = np.minimum((highest < 38.0).sum(axis=0) + 1, minutes)
    return Strain(rectal_c, lost * 2.67 * skin_m2 / 1.8 / 60.0, passed, highest)


def _ceilings(edition, metabolic, skin_m2, acclimatised):
    if edition == 2023:
        most_sweat = np.broadcast_to(np.where(acclimatised, 500.0, 400.0), metabolic.shape)
    else:
        most_sweat = np.clip((metabolic - 32.0) * skin_m2, 250.0, 400.0)
        most_sweat = most_sweat * np.where(acclimatised, 1.25, 1.0)
    return most_sweat, np.where(acclimatised, 1.0, 0.85)


def _motion(air_m_s, metabolic, walk_m_s, walk_deg):
    """Return air past the body and walking speed; without one, ISO 9920's guess from the effort."""
    if walk_m_s == 0.0:
        return air_m_s, np.minimum(0.0052 * (metabolic - 58.0), 0.7)
    stride = np.full(air_m_s.shape, walk_m_s)
    if walk_deg:
        return np.abs(air_m_s - walk_m_s * np.cos(np.radians(walk_deg))), stride
    return np.maximum(air_m_s, walk_m_s), stride


def _clothing(clo, coat, along_m_s, stride_m_s):
    """Return the insulation of the clothes and the whole resistance to vapour, both in motion."""
    still_air = 0.111
    v, w = np.minimum(along_m_s, 3.0), np.minimum(stride_m_s, 1.5)
    dressed = np.minimum(1.044 * np.exp((0.066 * v - 0.398) * v + (0.094 * w - 0.378) * w), 1.0)
    bare = np.minimum(
        np.exp((0.047 * along_m_s - 0.472) * along_m_s + (0.117 * w - 0.342) * w), 1.0
    )
    moved = np.where(clo <= 0.6, ((0.6 - clo) * bare + clo * dressed) / 0.6, dressed)
    total = (0.155 * clo + still_air / coat) * moved
    permeable = np.minimum(0.38 * (4.9 - 6.5 * moved + 2.6 * moved**2), 0.9)
    return total - bare * still_air / coat, total / permeable / 16.7


def _dry_loss(skin_c, air_c, radiant_c, coat, convecting, clothes, facing):
    """Return convection and radiation off the clothes, whose surface is found by halving."""
    radiating = EMISSIVITY * STEFAN_BOLTZMANN * facing

    def off(surface_c):
        radiation = radiating * ((surface_c + 273.0) ** 4 - (radiant_c + 273.0) ** 4)
        return coat * (convecting * (surface_c - air_c) + radiation)

    low = np.minimum(np.minimum(skin_c, air_c), radiant_c) - 1.0
    high = np.maximum(np.maximum(skin_c, air_c), radiant_c) + 1.0
    for _ in range(20):  # from some 50 degrees to less than 0.0001
        middle = (low + high) / 2.0
        too_hot = off(middle) > (skin_c - middle) / clothes
        low, high = np.where(too_hot, low, middle), np.where(too_hot, middle, high)
    return off((low + high) / 2.0)


def _required_sweat(must, can_evaporate, most_sweat):
    with np.errstate(divide="ignore", invalid="ignore"):
        wet = np.where(can_evaporate > 0, must / can_evaporate, np.inf)
    efficiency = np.where(wet > 1.0, (2.0 - wet) ** 2 / 2.0, 1.0 - wet**2 / 2.0)
    with np.errstate(over="ignore", invalid="ignore"):
        asked = np.minimum(must / np.maximum(efficiency, 0.05), most_sweat)
    asked = np.where(wet >= 1.7, most_sweat, asked)
    return np.where(must <= 0, 0.0, asked)


def _core(rise, core_c, skin_before, skin_c, share):
    """Return the core, and the share of skin in the body's mean, that fit each other."""

    def share_at(core):
        return np.clip(0.3 - 0.09 * (core - 36.8), 0.1, 0.3)

    def follows(core):
        a = share_at(core)
        held = core_c * (1.0 - share / 2.0) + skin_before * share / 2.0
        return (rise + held - skin_c * a / 2.0) / (1.0 - a / 2.0)

    low, high = core_c - 1.0, core_c + 1.0  # it moves by some 0.1 degrees in a minute at most
    for _ in range(20):
        middle = (low + high) / 2.0
        below = follows(middle) > middle
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    found = (low + high) / 2.0
    return found, share_at(found)
