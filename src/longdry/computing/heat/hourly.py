"""Litres that a person loses in an hour, by air temperature: ISO 7933, and where it ends.

A table at whole degrees from 15 up is made once for each kind of hour and read by straight
lines. It never falls with the temperature nor with the humidity: a plan for a hotter or damper day
never asks for less.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from longdry.computing.heat.iso_7933 import (
    HIGHEST_AIR_C,
    HIGHEST_WIND_M_S,
    LONGEST_MINUTES,
    LOWEST_AIR_C,
    W_M2_PER_MET,
    Body,
    Edition,
    Exposure,
    Posture,
    SweatLoss,
    metabolic_limits_w_m2,
    saturation_kpa,
    sweat_losses,
    vapour_limits_kpa,
)
from longdry.computing.heat.tb_med_507 import careful_l_per_h
from longdry.model.arrays import FloatArray, frozen_floats
from longdry.model.trip.heat import HOTTEST_SHADE_C

CLOTHING_CLO = 0.5
"""Light long trousers and a shirt: ISO 7933 annex F's usual case, ASHRAE 55's summer clothing."""
HUMIDITY_STEP_PERCENT = 5
"""Humidity counts as the next of these steps up: nobody knows a day's air any better."""
_HOURS_OF_STANDARD = LONGEST_MINUTES / 60.0


@dataclass(frozen=True, slots=True)
class HourKind:
    """All that an hour's loss depends on beside the air temperature."""

    humidity_percent: float
    radiant_excess_c: float
    in_sun: bool
    met: float
    posture: Posture
    resting: bool
    stillest_m_s: float
    """The least air past the body: its own motion counts."""
    wind_m_s: float | None
    """None: the worse of the stillest and the windiest that the standard knows."""
    body_mass_kg: float
    acclimatised: bool

    @property
    def windy_beyond_standard(self) -> bool:
        """Whether the wind is more than the standard knows."""
        return self.wind_m_s is not None and self.wind_m_s > HIGHEST_WIND_M_S

    @property
    def winds_m_s(self) -> tuple[float, ...]:
        """The air speeds of which the worst counts."""
        if self.wind_m_s is None:
            return (self.stillest_m_s, HIGHEST_WIND_M_S)
        return (min(max(self.wind_m_s, self.stillest_m_s), HIGHEST_WIND_M_S),)

    def outside_at(self, air_c: float) -> str:
        """Return why ISO 7933 does not hold at a temperature; empty where it does.

        Air that is cooler or drier than the standard knows is not told here: it counts as the
        coolest and driest that it does.
        """
        wind = f"Outside ISO 7933: wind above {HIGHEST_WIND_M_S:g} m/s."
        return self.outside_air_at(air_c) or (wind if self.windy_beyond_standard else "")

    def outside_air_at(self, air_c: float) -> str:
        """Return the same for heat and damp alone."""
        if air_c > HIGHEST_AIR_C:
            return f"Outside ISO 7933: air temperature above {HIGHEST_AIR_C:g} °C."
        dampest_kpa = vapour_limits_kpa(Edition.ISO_2023)[1]
        if self.humidity_percent / 100.0 * saturation_kpa(air_c) > dampest_kpa:
            return f"Outside ISO 7933: damper air than {dampest_kpa:g} kPa of vapour pressure."
        return ""


@dataclass(frozen=True, slots=True, eq=False)
class HourTable:
    """What an hour does by whole degrees from 15 to 60."""

    kind: HourKind
    litres: FloatArray
    """Shape (degrees,), lost in an hour, never falling."""
    core_limit_min: FloatArray
    """Shape (degrees,), minutes until the core passes 38 degrees by the stricter of the editions
    that hold at that effort, never rising; 480 where it does not in a day's work."""
    core_c: FloatArray
    """Shape (degrees,), core temperature after eight hours, likewise, never falling."""

    def litres_at(self, air_c: float) -> float:
        """Return the loss in an hour, between whole degrees by a straight line."""
        position = max(air_c - LOWEST_AIR_C, 0.0)
        return float(np.interp(position, np.arange(self.litres.size), self.litres))

    def core_limit_at(self, air_c: float) -> float:
        """Return the minutes at the next whole degree up."""
        return float(self.core_limit_min[_next_up(air_c)])

    def core_at(self, air_c: float) -> float:
        """Return the core after eight hours at the next whole degree up."""
        return float(self.core_c[_next_up(air_c)])

    def at_least(self, other: HourTable) -> HourTable:
        """Return the table with no hour below the same one of ``other``."""
        litres = frozen_floats(np.maximum(self.litres, other.litres))
        return HourTable(self.kind, litres, self.core_limit_min, self.core_c)


def _next_up(air_c: float) -> int:
    return max(math.ceil(air_c - LOWEST_AIR_C - 1e-9), 0)


def counted_humidity_percent(humidity_percent: float) -> float:
    """Return the humidity that a table is made for: the next step up.

    >>> counted_humidity_percent(20.0), counted_humidity_percent(21.0)
    (20.0, 25.0)
    """
    steps = math.ceil(humidity_percent / HUMIDITY_STEP_PERCENT - 1e-9)
    return float(steps * HUMIDITY_STEP_PERCENT)


@lru_cache(maxsize=256)
def hour_table(kind: HourKind) -> HourTable:
    """Make the table of a kind of hour, with one call of the standard for each edition and body.

    Where a kind or a degree is outside the standard, the larger counts of what the standard gives
    at its limit and of the hourly drinking of TB MED 507.

    Parameters
    ----------
    kind
        With a humidity of `counted_humidity_percent`.

    Raises
    ------
    ArithmeticError
        Where the standard gives no finite number.
    """
    degrees = np.arange(LOWEST_AIR_C, HOTTEST_SHADE_C + 1.0)
    litres = np.zeros(degrees.size)
    minutes = np.full(degrees.size, float(LONGEST_MINUTES))
    core_c = np.zeros(degrees.size)
    for edition in Edition:
        asked = list(_exposures(kind, degrees, edition))
        at = [index for index, _ in asked]
        exposures = [exposure for _, exposure in asked]
        for body in _bodies(kind):
            water_l, limit_min, core = _predicted(exposures, body, edition)
            np.minimum.at(minutes, at, limit_min)
            np.maximum.at(core_c, at, core)
            if body.acclimatised:
                np.maximum.at(litres, at, water_l / _HOURS_OF_STANDARD)
    armys = np.array([_army_l(kind, air_c) for air_c in degrees.tolist()])
    return HourTable(
        kind=kind,
        litres=frozen_floats(np.maximum.accumulate(np.maximum(litres, armys))),
        core_limit_min=frozen_floats(np.minimum.accumulate(minutes)),
        core_c=frozen_floats(np.maximum.accumulate(core_c)),
    )


def _bodies(kind: HourKind) -> tuple[Body, ...]:
    """Return the acclimatised body, which sweats more, and the one that goes, which heats up."""
    sweating = Body(mass_kg=kind.body_mass_kg, acclimatised=True)
    if kind.acclimatised:
        return (sweating,)
    return (sweating, Body(mass_kg=kind.body_mass_kg, acclimatised=False))


def _predicted(
    exposures: list[Exposure], body: Body, edition: Edition
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return litres in eight hours, minutes to 38 degrees and the core at the end."""
    losses = sweat_losses(exposures, body=body, edition=edition)
    rows = [
        (loss.water_l, loss.core_limit_min, loss.core_c)
        for loss in losses
        if isinstance(loss, SweatLoss)
    ]
    if len(rows) < len(losses):
        raise ArithmeticError("an hour within the limits of ISO 7933 was found outside them")
    columns = np.array(rows, dtype=np.float64).reshape(-1, 3).T
    return columns[0], columns[1], columns[2]


def _exposures(
    kind: HourKind, degrees: FloatArray, edition: Edition
) -> Iterator[tuple[int, Exposure]]:
    """Yield what to ask of an edition: nothing where it has no say at that effort.

    Each degree is asked for its humidity and for every drier step, since ISO 7933 lets a body that
    sweats all it can lose a little less in damper air: the most of them counts.
    """
    metabolic = kind.met * W_M2_PER_MET
    lowest, highest = metabolic_limits_w_m2(edition)
    if edition is Edition.ISO_2023:
        metabolic = min(max(metabolic, lowest), highest)
    elif not lowest <= metabolic <= highest:
        return
    for index, air_c in enumerate(degrees[degrees <= HIGHEST_AIR_C].tolist()):
        for humidity_percent in _humidities(kind, air_c, edition):
            for wind_m_s in kind.winds_m_s:
                exposure = Exposure(
                    air_c=air_c,
                    humidity_percent=humidity_percent,
                    radiant_excess_c=kind.radiant_excess_c,
                    wind_m_s=wind_m_s,
                    metabolic_w_m2=metabolic,
                    clothing_clo=CLOTHING_CLO,
                    posture=kind.posture,
                )
                yield index, exposure


def _humidities(kind: HourKind, air_c: float, edition: Edition) -> list[float]:
    """Return the steps up to a kind's humidity, moved into the vapour that the edition knows."""
    steps = np.arange(0.0, kind.humidity_percent + 1e-9, HUMIDITY_STEP_PERCENT)
    driest_kpa, dampest_kpa = vapour_limits_kpa(edition)
    percent_per_kpa = 100.0 / saturation_kpa(air_c)
    inside = np.clip(steps, driest_kpa * percent_per_kpa, dampest_kpa * percent_per_kpa)
    return list(dict.fromkeys(inside.tolist()))


def _army_l(kind: HourKind, air_c: float) -> float:
    """Return the army's litres where the standard ends: in heat, damp, and wind under way."""
    windy = kind.windy_beyond_standard and not kind.resting
    if not windy and not kind.outside_air_at(air_c):
        return 0.0
    return careful_l_per_h(
        air_c=air_c, humidity_percent=kind.humidity_percent, met=kind.met, in_sun=kind.in_sun
    )
