"""Figures in the units that the reader asked for: needs rounded up, supplies down, in either.

Sentences come from the computation in metric units. For a reader of US units each figure in them
gets its US value in brackets behind it, so that the figure that was rounded with care still
stands.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass

from longdry.model.words import Units
from longdry.units import (
    KG_PER_POUND,
    KM_PER_MILE,
    L_PER_US_GALLON,
    M_PER_FOOT,
    rounded_down,
    rounded_up,
    told_step,
)

_NUMBER = r"(?<![\w.-])(-?\d[\d,]*(?:\.\d+)?)"
_M_S_PER_MPH = KM_PER_MILE / 3.6
_DIGITS = 3


@dataclass(frozen=True, slots=True)
class Measures:
    """How figures are written.

    Examples
    --------
    >>> Measures(Units.US).need(87.0), Measures(Units.METRIC).need(86.2)
    ('23.0 US gal', '87 L')
    """

    units: Units = Units.METRIC

    @property
    def is_us(self) -> bool:
        """Whether US units are asked for."""
        return self.units is Units.US

    @property
    def volume(self) -> str:
        """Unit of water: 'L' or 'US gal'."""
        return "US gal" if self.is_us else "L"

    @property
    def length(self) -> str:
        """Unit of ways: 'km' or 'mi'."""
        return "mi" if self.is_us else "km"

    def need_figure(self, litres: float) -> str:
        """Water that is needed, without its unit: up to whole litres, or 0.1 below 10, 0.1 US gal.

        >>> Measures().need_figure(3.41), Measures().need_figure(0.0), Measures().need_figure(61.2)
        ('3.5', '0', '62')
        """
        if self.is_us:
            return f"{rounded_up(litres / L_PER_US_GALLON, 0.1):.1f}"
        return f"{rounded_up(litres, told_step(litres)):.1f}".removesuffix(".0")

    def supply_figure(self, litres: float) -> str:
        """Water that is there, without its unit: down to whole litres, or 0.1 below 10, 0.1 US gal.

        >>> Measures().supply_figure(3.49), Measures().supply_figure(61.9)
        ('3.4', '61')
        """
        if self.is_us:
            return f"{rounded_down(litres / L_PER_US_GALLON, 0.1):.1f}"
        return f"{rounded_down(litres, told_step(litres)):.1f}".removesuffix(".0")

    def need(self, litres: float) -> str:
        """Water that is needed, rounded up."""
        return f"{self.need_figure(litres)} {self.volume}"

    def supply(self, litres: float) -> str:
        """Water that is there, rounded down."""
        return f"{self.supply_figure(litres)} {self.volume}"

    def way_figure(self, km: float) -> str:
        """Length of a way to be got through, without its unit: up to 0.1."""
        return f"{rounded_up(km / KM_PER_MILE if self.is_us else km, 0.1):.1f}"

    def way(self, km: float) -> str:
        """Length of a way to be got through, rounded up."""
        return f"{self.way_figure(km)} {self.length}"

    @property
    def km_per_length(self) -> float:
        """Kilometres in one unit of ways."""
        return KM_PER_MILE if self.is_us else 1.0

    @property
    def l_per_volume(self) -> float:
        """Litres in one unit of water."""
        return L_PER_US_GALLON if self.is_us else 1.0

    @property
    def mark_word(self) -> str:
        """What stands before a place along the route: 'km' or 'mile'."""
        return "mile" if self.is_us else "km"

    def mark_figure(self, km: float) -> str:
        """Where on the route something is, without a word, to the nearest 0.1."""
        return f"{km / KM_PER_MILE if self.is_us else km:.1f}"

    def mark(self, km: float) -> str:
        """Where on the route something is: 'km 50.0' or 'mile 31.1'."""
        return f"{self.mark_word} {self.mark_figure(km)}"

    def weight(self, mass_kg: float) -> str:
        """Mass of something to be carried, rounded up to 0.1.

        >>> Measures(Units.US).weight(10.0), Measures().weight(1.23)
        ('22.1 lb', '1.3 kg')
        """
        mass = mass_kg / KG_PER_POUND if self.is_us else mass_kg
        return f"{rounded_up(mass, 0.1):.1f} {'lb' if self.is_us else 'kg'}"

    def heat(self, air_c: float) -> str:
        """Air temperature, rounded up to a whole degree.

        >>> Measures(Units.US).heat(40.0), Measures().heat(39.2)
        ('104 °F', '40 °C')
        """
        degrees = air_c * 9.0 / 5.0 + 32.0 if self.is_us else air_c
        return f"{rounded_up(degrees):.0f} °{'F' if self.is_us else 'C'}"

    def sentence(self, text: str) -> str:
        """Give each metric figure of a text its US value, where that is asked for.

        Parameters
        ----------
        text
            As the computation words it. Within brackets the US value stands behind a comma; a
            figure that is itself there for a US one is left alone.

        Examples
        --------
        >>> Measures(Units.US).sentence("At km 50.0, 87 L are missing.")
        'At km 50.0 (mile 31.1), 87 L (23 US gal) are missing.'
        >>> Measures(Units.US).sentence("cooking (12.1 L), at most 1.5 US qt (1.42 L)")
        'cooking (12.1 L, 3.2 US gal), at most 1.5 US qt (1.42 L)'
        >>> Measures(Units.US).sentence("5 C hotter")
        '5 C (9 °F) hotter'
        >>> Measures().sentence("87 L")
        '87 L'
        """
        if not self.is_us:
            return text
        text = _AT_KM.sub(lambda m: _beside(m, f"mile {_number(m[1]) / KM_PER_MILE:.1f}"), text)
        text = _HOTTER.sub(lambda m: f"{m[1]} C ({_rounded(_number(m[1]) * 9.0 / 5.0)} °F)", text)
        return _FIGURE.sub(_with_us, text)


METRIC = Measures()
US = Measures(Units.US)


def _number(digits: str) -> float:
    return float(digits.replace(",", ""))


def _with_us(found: re.Match[str]) -> str:
    if _OF_US.search(found.string, 0, found.start()):
        return found[0]
    unit, convert = _US[found[2]]
    return _beside(found, f"{_rounded(convert(_number(found[1])))} {unit}")


def _beside(found: re.Match[str], in_us: str) -> str:
    """Put the US value in brackets, or behind a comma where brackets have just been opened."""
    opened = found.string[: found.start()].endswith("(")
    return f"{found[0]}, {in_us}" if opened else f"{found[0]} ({in_us})"


def _rounded(value: float) -> str:
    """Write three digits, zeros at the end left out."""
    if value == 0.0:
        return "0"
    places = max(_DIGITS - 1 - math.floor(math.log10(abs(value))), 0)
    shown = f"{value:.{places}f}"
    return shown.rstrip("0").rstrip(".") if "." in shown else shown


_US: dict[str, tuple[str, Callable[[float], float]]] = {
    "L": ("US gal", lambda litres: litres / L_PER_US_GALLON),
    "L/min": ("US gal/min", lambda litres: litres / L_PER_US_GALLON),
    "km/h": ("mph", lambda speed: speed / KM_PER_MILE),
    "m/s": ("mph", lambda speed: speed / _M_S_PER_MPH),
    "km": ("mi", lambda km: km / KM_PER_MILE),
    "m": ("ft", lambda metres: metres / M_PER_FOOT),
    "kg": ("lb", lambda mass: mass / KG_PER_POUND),
    "°C": ("°F", lambda air_c: air_c * 9.0 / 5.0 + 32.0),
    "K": ("°F apart", lambda kelvin: kelvin * 9.0 / 5.0),
}
_UNITS = "|".join(sorted(map(re.escape, _US), key=len, reverse=True))
_FIGURE = re.compile(rf"{_NUMBER} ({_UNITS})(?![\w/°])")
_AT_KM = re.compile(r"\bkm (\d[\d,]*(?:\.\d+)?)(?! (?:L|km|m)\b)")
_HOTTER = re.compile(rf"{_NUMBER} C(?= hotter)")
_OF_US = re.compile(r"(?:US qt|US gal|°F|mph|lb|mi|ft) \($")
