"""Litres that a person loses in an hour, by air temperature: ISO 7933, and where it ends.

A table at whole degrees from 15 up is made once for each kind of hour and read by straight
lines. It never falls with the temperature: a plan for a hotter day never asks for less.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

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
    OutsideStandard,
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
CORE_LIMIT_C = 38.0
"""ISO 7933: the rectal temperature that work is to stop at."""
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


@dataclass(frozen=True, slots=True, eq=False)
class HourTable:
    """Litres in an hour by whole degrees from 15 up."""

    litres: FloatArray
    """Shape (degrees,), never falling."""
    core_limit_min: FloatArray
    """Shape (degrees,), minutes until the core of a body that does not cope passes 38 degrees;
    480 where it copes: where by the end of a day's work its core is below that. Edition 2023;
    efforts above its limit count as at it."""
    outside: tuple[str, ...]
    """For each degree why ISO 7933 does not hold there; empty where it does."""

    def litres_at(self, air_c: float) -> float:
        """Return the loss in an hour, between whole degrees by a straight line."""
        position = max(air_c - LOWEST_AIR_C, 0.0)
        return float(np.interp(position, np.arange(self.litres.size), self.litres))

    def core_limit_at(self, air_c: float) -> float:
        """Return the minutes at the next whole degree up."""
        return float(self.core_limit_min[_degree_index(air_c)])

    def outside_at(self, air_c: float) -> str:
        """Return why the standard does not hold at the next whole degree up, or nothing."""
        return self.outside[_degree_index(air_c)]

    def at_least(self, other: HourTable) -> HourTable:
        """Return the table with no hour below the same one of ``other``."""
        litres = frozen_floats(np.maximum(self.litres, other.litres))
        return HourTable(litres, self.core_limit_min, self.outside)


def _degree_index(air_c: float) -> int:
    return max(math.ceil(air_c - LOWEST_AIR_C - 1e-9), 0)


def hour_tables(kinds: Iterable[HourKind], hottest_c: float) -> dict[HourKind, HourTable]:
    """Make the table of each kind, with one call of the standard for each edition and body.

    Parameters
    ----------
    kinds
        Any number; equal ones are computed once.
    hottest_c
        The highest temperature that will be asked for.

    Returns
    -------
    dict
        A table for each kind, from 15 degrees to the next whole degree above ``hottest_c``.
    """
    degrees = np.arange(LOWEST_AIR_C, max(math.ceil(hottest_c), LOWEST_AIR_C + 1) + 1)
    degrees = degrees[degrees <= HOTTEST_SHADE_C]
    questions: dict[tuple[Body, Edition], list[tuple[HourKind, int, Exposure]]] = defaultdict(list)
    distinct = dict.fromkeys(kinds)
    for kind in distinct:
        for body in _bodies(kind):
            for edition in Edition:
                questions[body, edition] += _exposures(kind, degrees, edition)
    answers: dict[HourKind, list[_Answer]] = {kind: [] for kind in distinct}
    for (body, edition), asked in questions.items():
        found = sweat_losses([exposure for *_, exposure in asked], body=body, edition=edition)
        for (kind, index, _), loss in zip(asked, found, strict=True):
            answers[kind].append(_Answer(body, edition, index, loss))
    return {kind: _table(kind, degrees, notes) for kind, notes in answers.items()}


@dataclass(frozen=True, slots=True)
class _Answer:
    """What the standard says of one kind at one degree in one wind."""

    body: Body
    edition: Edition
    index: int
    loss: SweatLoss | OutsideStandard


def _bodies(kind: HourKind) -> tuple[Body, ...]:
    """Return the acclimatised body, which sweats more, and the one that goes, which heats up."""
    sweating = Body(mass_kg=kind.body_mass_kg, acclimatised=True)
    if kind.acclimatised:
        return (sweating,)
    return (sweating, Body(mass_kg=kind.body_mass_kg, acclimatised=False))


def _exposures(
    kind: HourKind, degrees: FloatArray, edition: Edition
) -> list[tuple[HourKind, int, Exposure]]:
    """Return what to ask of an edition: nothing where it has no say at that effort."""
    metabolic = kind.met * W_M2_PER_MET
    lowest, highest = metabolic_limits_w_m2(edition)
    if edition is Edition.ISO_2023:
        metabolic = min(max(metabolic, lowest), highest)
    elif not lowest <= metabolic <= highest:
        return []
    return [
        (kind, index, _exposure(kind, float(air_c), wind_m_s, metabolic, edition))
        for index, air_c in enumerate(degrees)
        if air_c <= HIGHEST_AIR_C
        for wind_m_s in kind.winds_m_s
    ]


def _exposure(
    kind: HourKind, air_c: float, wind_m_s: float, metabolic: float, edition: Edition
) -> Exposure:
    """Return one exposure; air drier than the edition knows counts as its driest."""
    driest_percent = 100.0 * vapour_limits_kpa(edition)[0] / saturation_kpa(air_c)
    return Exposure(
        air_c=air_c,
        humidity_percent=max(kind.humidity_percent, driest_percent),
        radiant_excess_c=kind.radiant_excess_c,
        wind_m_s=wind_m_s,
        metabolic_w_m2=metabolic,
        clothing_clo=CLOTHING_CLO,
        posture=kind.posture,
    )


def _table(kind: HourKind, degrees: FloatArray, answers: list[_Answer]) -> HourTable:
    """Gather the answers of one kind: the most litres, the fewest minutes, and what is outside."""
    litres = np.zeros(degrees.size)
    minutes = np.full(degrees.size, float(LONGEST_MINUTES))
    outside = ["" for _ in degrees]
    for answer in answers:
        at, loss = answer.index, answer.loss
        if isinstance(loss, OutsideStandard):
            outside[at] = str(loss)
            continue
        if loss.core_c >= CORE_LIMIT_C and answer.edition is Edition.ISO_2023:
            minutes[at] = min(minutes[at], loss.core_limit_min)
        if answer.body.acclimatised:
            litres[at] = max(litres[at], loss.water_l / _HOURS_OF_STANDARD)
    for at, air_c in enumerate(degrees):
        if air_c > HIGHEST_AIR_C:
            outside[at] = f"Outside ISO 7933: air temperature above {HIGHEST_AIR_C:g} °C."
        if outside[at] or (kind.windy_beyond_standard and not kind.resting):
            litres[at] = max(litres[at], _army_l(kind, float(air_c)))
        if kind.windy_beyond_standard and not outside[at]:
            outside[at] = f"Outside ISO 7933: wind above {HIGHEST_WIND_M_S:g} m/s."
    return HourTable(
        litres=frozen_floats(np.maximum.accumulate(litres)),
        core_limit_min=frozen_floats(np.minimum.accumulate(minutes)),
        outside=tuple(outside),
    )


def _army_l(kind: HourKind, air_c: float) -> float:
    return careful_l_per_h(
        air_c=air_c, humidity_percent=kind.humidity_percent, met=kind.met, in_sun=kind.in_sun
    )
