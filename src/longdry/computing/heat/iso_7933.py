"""Sweat and breath loss by ISO 7933 (predicted heat strain), wrapped once.

The library that computes it ignores a misspelt argument in silence, dresses people in reflective
clothing unless told, gives NaN outside the standard and takes more than a second to import. Here
every argument is named and held by value in the tests, a case outside the standard says which limit
it breaks, and the import waits for the first case.

Sources: ISO 7933:2004 and ISO 7933:2023, *Ergonomics of the thermal environment - Analytical
determination and interpretation of heat stress using calculation of the predicted heat strain*;
``pythermalcomfort.models.phs`` (F. Tartarini and S. Schiavon, 2020, SoftwareX 12:100578).
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:  # it takes over a second to load
    from pythermalcomfort.classes_return import PHS

from longdry.model.arrays import FloatArray

W_M2_PER_MET = 58.15
"""ISO 8996 and ISO 7933: 1 met in W per square metre of skin."""
LONGEST_MINUTES = 480
"""The eight hours that the check values of the standard run to."""
REFLECTIVE_SHARE = 0.0
"""The standard's A_p, the share of the body under clothing that reflects heat: plain clothes have
none. The library's own default, 0.54 at an emissivity of 0.42 in the 2023 edition, is that of
people in reflective clothing, who sweat less. With no such share its emissivity plays no part."""
PERMEABILITY = 0.38
"""The standard's i_mst, static moisture permeability index of ordinary woven clothing."""


class Edition(StrEnum):
    """Editions of the standard."""

    ISO_2004 = "2004"
    ISO_2023 = "2023"


class Posture(StrEnum):
    """How the body is held: what share of its skin faces the surroundings."""

    SITTING = "sitting"
    STANDING = "standing"


@dataclass(frozen=True, slots=True)
class Body:
    """The person; the standard's own by default."""

    mass_kg: float = 75.0
    height_m: float = 1.80
    acclimatised: bool = True


@dataclass(frozen=True, slots=True)
class Exposure:
    """The heat around a person and the effort in it, for as long as asked."""

    air_c: float
    """Air temperature in the shade."""
    humidity_percent: float
    """Relative, at ``air_c``."""
    radiant_excess_c: float
    """Mean radiant temperature less air temperature: 0 where nothing around is hotter."""
    wind_m_s: float
    """Air past the body."""
    metabolic_w_m2: float
    """Metabolic rate per square metre of skin."""
    clothing_clo: float
    posture: Posture
    walk_m_s: float = 0.0
    """0: the standard's own estimate from the metabolic rate."""
    walk_to_wind_deg: float = 0.0
    """Angle between walking and wind; 0: no direction known."""

    @property
    def vapour_kpa(self) -> float:
        """Partial pressure of the water vapour."""
        return saturation_kpa(self.air_c) * self.humidity_percent / 100.0


@dataclass(frozen=True, slots=True)
class SweatLoss:
    """What the standard predicts for an exposure within its limits."""

    water_l: float
    """Sweat and evaporation in the breath over the time asked, 1 kg as 1 L."""
    core_c: float
    """Rectal temperature at the end."""
    core_limit_min: float
    """Minutes until it first reaches 38 degrees; the time asked where it never does."""
    loss_limit_mean_min: float
    """Minutes until a mean person has lost as much as the standard allows."""
    loss_limit_95_min: float
    """The same, for 95 % of working people."""


@dataclass(frozen=True, slots=True)
class BrokenLimit:
    """One limit of the standard that an exposure does not keep."""

    quantity: str
    value: float
    lowest: float
    highest: float
    unit: str

    def __str__(self) -> str:
        """One clause: 'air temperature 52 °C is not within 15 to 50 °C'."""
        unit = f" {self.unit}"
        span = f"{self.lowest:g} to {self.highest:g}{unit}"
        return f"{self.quantity} {self.value:.3g}{unit} is not within {span}"


@dataclass(frozen=True, slots=True)
class OutsideStandard:
    """The standard says nothing about an exposure, and why."""

    edition: Edition
    broken: tuple[BrokenLimit, ...]
    """At least one."""

    def __str__(self) -> str:
        """One sentence."""
        return f"Outside ISO 7933:{self.edition}: " + "; ".join(map(str, self.broken)) + "."


@dataclass(frozen=True, slots=True)
class _Limits:
    """Table A.1 of an edition, ends included."""

    vapour_kpa: tuple[float, float]
    metabolic_w_m2: tuple[float, float]


LOWEST_AIR_C = 15.0
HIGHEST_AIR_C = 50.0
HIGHEST_WIND_M_S = 3.0
_LIMITS = {
    Edition.ISO_2004: _Limits(vapour_kpa=(0.0, 4.5), metabolic_w_m2=(100.0, 450.0)),
    Edition.ISO_2023: _Limits(vapour_kpa=(0.5, 4.5), metabolic_w_m2=(56.0, 250.0)),
}
"""ISO 7933, annex A, table A.1, as the library states it for each edition."""


def saturation_kpa(air_c: float) -> float:
    """Return the pressure of saturated water vapour, in kPa.

    The Magnus formula in the form that ISO 7933 annex E uses, 0.6105 exp(17.27 t / (t + 237.3)).

    >>> round(saturation_kpa(40.0), 2)
    7.37
    """
    return 0.6105 * math.exp(17.27 * air_c / (air_c + 237.3))


def metabolic_limits_w_m2(edition: Edition) -> tuple[float, float]:
    """Return the lowest and highest metabolic rate of an edition, in W/m2."""
    return _LIMITS[edition].metabolic_w_m2


def vapour_limits_kpa(edition: Edition) -> tuple[float, float]:
    """Return the lowest and highest vapour pressure of an edition, in kPa."""
    return _LIMITS[edition].vapour_kpa


def broken_limits(exposure: Exposure, edition: Edition) -> tuple[BrokenLimit, ...]:
    """Return every limit of ``edition`` that the exposure breaks; none: it can be computed."""
    limits = _LIMITS[edition]
    checks = (
        ("air temperature", exposure.air_c, (LOWEST_AIR_C, HIGHEST_AIR_C), "°C"),
        ("radiant less air temperature", exposure.radiant_excess_c, (0.0, 60.0), "K"),
        ("wind", exposure.wind_m_s, (0.0, HIGHEST_WIND_M_S), "m/s"),
        ("vapour pressure", exposure.vapour_kpa, limits.vapour_kpa, "kPa"),
        ("metabolic rate", exposure.metabolic_w_m2, limits.metabolic_w_m2, "W/m2"),
        ("clothing", exposure.clothing_clo, (0.1, 1.0), "clo"),
    )
    return tuple(
        BrokenLimit(quantity, value, lowest, highest, unit)
        for quantity, value, (lowest, highest), unit in checks
        if not lowest - 1e-9 <= value <= highest + 1e-9
    )


def sweat_losses(
    exposures: Sequence[Exposure],
    *,
    body: Body,
    edition: Edition,
    minutes: int = LONGEST_MINUTES,
) -> tuple[SweatLoss | OutsideStandard, ...]:
    """Predict the water that a person loses in each exposure, in one call of the library.

    Parameters
    ----------
    exposures
        Any number, in any order; walking given by speed and angle costs a call of its own.
    body
        The person.
    edition
        The edition of ISO 7933.
    minutes
        How long each exposure lasts, 1 to 480.

    Returns
    -------
    tuple
        One answer for each exposure: never NaN, and never zero for want of an answer.

    Raises
    ------
    ValueError
        Where ``minutes`` is out of range.
    ArithmeticError
        Where the library gives no finite number within the standard's limits.

    Examples
    --------
    >>> sweat_losses([], body=Body(), edition=Edition.ISO_2023)
    ()
    """
    if not 1 <= minutes <= LONGEST_MINUTES:
        raise ValueError(f"minutes is {minutes}, not 1 to {LONGEST_MINUTES}")
    answers: dict[int, SweatLoss | OutsideStandard] = {}
    calls: dict[tuple[float, float], list[int]] = defaultdict(list)
    for index, exposure in enumerate(exposures):
        broken = broken_limits(exposure, edition)
        if broken:
            answers[index] = OutsideStandard(edition, broken)
        else:
            calls[exposure.walk_m_s, exposure.walk_to_wind_deg].append(index)
    for indices in calls.values():
        group = [exposures[index] for index in indices]
        answers.update(zip(indices, _predict(group, body, edition, minutes), strict=True))
    return tuple(answers[index] for index in range(len(exposures)))


def _predict(
    group: Sequence[Exposure], body: Body, edition: Edition, minutes: int
) -> list[SweatLoss]:
    """Call the library for exposures that share walking speed and angle, all within limits."""
    from pythermalcomfort.models import phs  # noqa: PLC0415 - loaded when needed: over a second

    # At least two rows: numpy warns of a single one, which the library broadcasts in place.
    rows = [*group, group[-1]] if len(group) == 1 else list(group)
    air_c = np.array([row.air_c for row in rows], dtype=np.float64)
    excess_c = np.array([row.radiant_excess_c for row in rows], dtype=np.float64)
    metabolic = np.array([row.metabolic_w_m2 for row in rows], dtype=np.float64)
    found = phs(
        tdb=air_c,
        tr=air_c + excess_c,
        v=np.array([row.wind_m_s for row in rows], dtype=np.float64),
        rh=np.array([row.humidity_percent for row in rows], dtype=np.float64),
        met=metabolic / W_M2_PER_MET,
        clo=np.array([row.clothing_clo for row in rows], dtype=np.float64),
        posture=[row.posture.value for row in rows],
        model=f"7933-{edition.value}",
        round_output=False,
        limit_inputs=False,
        weight=body.mass_kg,
        height=body.height_m,
        acclimatized=100 if body.acclimatised else 0,
        a_p=REFLECTIVE_SHARE,
        i_mst=PERMEABILITY,
        drink=1,
        walk_sp=rows[0].walk_m_s,
        theta=rows[0].walk_to_wind_deg,
        duration=minutes,
    )
    return _unpacked(found, len(group))


def _unpacked(found: PHS, count: int) -> list[SweatLoss]:
    columns: list[FloatArray] = [
        np.asarray(column, dtype=np.float64)[:count]
        for column in (
            found.sweat_loss_g / 1000.0,
            found.t_re,
            found.d_lim_t_re,
            found.d_lim_loss_50,
            found.d_lim_loss_95,
        )
    ]
    if not all(np.isfinite(column).all() for column in columns):
        raise ArithmeticError("the heat library gave a number that is not finite")
    return [SweatLoss(*map(float, row)) for row in zip(*columns, strict=True)]
