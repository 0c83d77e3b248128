"""The frame of the profile: from km and litres to the picture, and its simple shapes."""

from __future__ import annotations

import math
from dataclasses import dataclass

from longdry.showing.words.markup import Attributes, Markup, tag

CHART_WIDTH, TOP, BOTTOM = 580.0, 26.0, 150.0
LEFT, RIGHT = 40.0, 22.0
"""Edges of the plot; the room right of it is ``RIGHT`` wide."""
_SHORT = 3
"""Digits that there is room for between the picture's edge and the first container."""
_NICE = (1.0, 2.0, 2.5, 5.0, 10.0)


@dataclass(frozen=True, slots=True)
class Scale:
    """From km and litres to the picture."""

    length_km: float
    most_l: float

    def x(self, km: float) -> float:
        """Left to right."""
        return round(LEFT + km / self.length_km * (CHART_WIDTH - LEFT - RIGHT), 1)

    def y(self, litres: float) -> float:
        """Bottom to top."""
        return round(BOTTOM - litres / self.most_l * (BOTTOM - TOP), 1)


def nice_step(span: float, most_steps: int) -> float:
    """Step of 1, 2, 2.5 or 5 times a power of ten that divides ``span`` into few enough parts.

    >>> nice_step(1000.0, 8), nice_step(3.0, 8)
    (200.0, 0.5)
    """
    raw = max(span, 1e-6) / most_steps
    power = 10.0 ** math.floor(math.log10(raw))
    return next(nice * power for nice in _NICE if nice * power >= raw * (1.0 - 1e-9))


def line(x1: float, y1: float, x2: float, y2: float, css: str) -> Markup:
    """Draw a straight line."""
    return tag("path", {"class": css, "d": f"M{x1:g} {y1:g}L{x2:g} {y2:g}"})


def polyline(points: list[tuple[float, float]], css: str) -> Markup:
    """Draw a line through points of the picture."""
    return tag("path", {"class": css, "d": "M" + "L".join(f"{x:g} {y:g}" for x, y in points)})


def box(x: float, y: float, width: float, height: float, css: str) -> Markup:
    """Draw a rectangle."""
    place: Attributes = {
        "x": f"{x:g}",
        "y": f"{y:g}",
        "width": f"{width:g}",
        "height": f"{height:.1f}",
    }
    return tag("rect", {"class": css, **place})


def scale_text(y: float, figure: float) -> Markup:
    """Write a figure of the scale left of the plot; a long one begins at the picture's edge.

    >>> str(scale_text(10.0, 1250.0))
    '<text x="1" y="14" text-anchor="start">1250</text>'
    """
    words = f"{figure:g}"
    if len(words) > _SHORT:
        return text(1.0, y + 4.0, words, "start")
    return text(LEFT - 12.0, y + 4.0, words, "end")


def text(x: float, y: float, words: str, anchor: str) -> Markup:
    """Write words."""
    return tag("text", {"x": f"{x:g}", "y": f"{y:g}", "text-anchor": anchor}, words)
