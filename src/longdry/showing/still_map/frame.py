"""The frame of the still map: from degrees to the picture."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from longdry.model.arrays import FloatArray
from longdry.showing.map.line import Track, mercator_m
from longdry.showing.words.markup import Markup, runs_from_the_right, tag

MAP_WIDTH = 720.0
"""On paper it is nearly that wide and a third of a page high, so that its words can be read."""
_MARGIN = 36.0
_SHORTEST, _TALLEST = 208.0, 340.0
_FOOT_PX = 36.0
"""Room for the scale bar."""
Point = tuple[float, float]
"""A position in the picture, in pixels, y downwards."""


@dataclass(frozen=True, slots=True)
class MapFrame:
    """From degrees to the picture."""

    west_m: float
    north_m: float
    px_per_m: float
    height: float

    def place(self, lat_deg: FloatArray, lon_deg: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Positions in the picture."""
        x, y = mercator_m(lat_deg, lon_deg)
        across = (x - self.west_m) * self.px_per_m + _MARGIN
        return across, (self.north_m - y) * self.px_per_m + _MARGIN

    def points(self, places: Sequence[Sequence[float]]) -> Iterator[Point]:
        """Positions of places in the picture, each given as latitude and longitude."""
        lat_lon = np.array(places, dtype=np.float64).reshape(-1, 2)
        x, y = self.place(lat_lon[:, 0], lat_lon[:, 1])
        return zip(x.tolist(), y.tolist(), strict=True)

    def holds(self, x: float, y: float) -> bool:
        """Whether a position lies inside the picture."""
        return 0.0 <= x <= MAP_WIDTH and 0.0 <= y <= self.height


def frame_around(track: Track) -> MapFrame:
    """Make the picture as large as the whole route needs."""
    x, y = mercator_m(_least_and_most(track.lat_deg), _least_and_most(track.lon_deg))
    wide, tall = max(float(x[1] - x[0]), 1.0), max(float(y[1] - y[0]), 1.0)
    inner = MAP_WIDTH - 2 * _MARGIN
    px_per_m = min(inner / wide, (_TALLEST - 2 * _MARGIN) / tall)
    height = max(tall * px_per_m + 2 * _MARGIN, _SHORTEST)
    west = float(x[0]) - (inner / px_per_m - wide) / 2
    north = float(y[1]) + ((height - 2 * _MARGIN) / px_per_m - tall) / 2
    return MapFrame(west, north, px_per_m, round(height + _FOOT_PX))


def _least_and_most(degrees: FloatArray) -> FloatArray:
    return np.array([degrees.min(), degrees.max()])


def halo_text(x: float, y: float, words: str, anchor: str, css: str = "halo") -> Markup:
    """Write words that can be read on any line; a name that begins from the right runs so."""
    place = {"x": f"{x:.1f}", "y": f"{y:.1f}", "text-anchor": anchor, "class": css}
    if runs_from_the_right(words):
        place["unicode-bidi"] = "plaintext"
    return tag("text", place, words)
