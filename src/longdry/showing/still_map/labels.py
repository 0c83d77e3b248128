"""Words on the still map, each where it hides least of the route, no other words and no sign."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from longdry.model.arrays import FloatArray
from longdry.showing.still_map.frame import MAP_WIDTH, MapFrame, Point, halo_text
from longdry.showing.words.markup import Markup

_FAR = 1e6
LabelRequest = tuple[Point, str]
"""A place in the picture and the words for it."""


class Labels:
    """Keeps the room that is taken; words that find none are left out."""

    def __init__(self, route: FloatArray, signs: Sequence[DrawnSign], frame: MapFrame) -> None:
        """Begin with the route, points in the picture, shape (2, n); what lies outside is taken."""
        self._route = route
        self._signs = signs
        self._taken = [
            LabelBox(-_FAR, -_FAR, 0.0, _FAR),
            LabelBox(MAP_WIDTH, -_FAR, _FAR, _FAR),
            LabelBox(-_FAR, -_FAR, _FAR, 0.0),
            LabelBox(-_FAR, frame.height, _FAR, _FAR),
        ]

    def placed(self, requests: Iterable[LabelRequest], css: str = "halo") -> Iterator[Markup]:
        """Write the words, the more important first."""
        for at, words in requests:
            box = self._free_box(at, words)
            if box:
                self._taken.append(box)
                yield halo_text(
                    (box.left + box.right) / 2.0, box.bottom - 4.0, words, "middle", css
                )

    def _free_box(self, at: Point, words: str) -> LabelBox | None:
        """Return the place near ``at`` that hides least of the route, no words and no sign.

        Returns
        -------
        LabelBox or None
            None where every place near by is taken.
        """
        wide = (len(words) * _LETTER_PX + 4.0) / 2.0
        reach = _reach(at, wide)
        close = [box for box in self._taken if box.overlaps(reach)]
        signs = [sign for sign in self._signs if sign.box.overlaps(reach)]
        close += [sign.box for sign in signs if math.dist(sign.at, at) > _SAME_PX]
        near = (_box(at, to, distance, wide) for distance in _DISTANCES_PX for to in _DIRECTIONS)
        free = (box for box in near if not any(box.overlaps(other) for other in close))
        return _hiding_least(free, self._route)


_LETTER_PX, _TALL_PX = 7.2, 15.0
_DISTANCES_PX = (12.0, 18.0, 30.0)
_SAME_PX = 2.0
_DIRECTIONS = ((0, -1), (0, 1), (1, -1), (-1, -1), (1, 1), (-1, 1), (1, 0), (-1, 0))


@dataclass(frozen=True, slots=True)
class LabelBox:
    """Where words stand, in pixels, y downwards."""

    left: float
    top: float
    right: float
    bottom: float

    def overlaps(self, other: LabelBox) -> bool:
        """Whether two labels would lie on each other."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )

    def covers(self, points: FloatArray) -> int:
        """How many of the points, shape (2, n), lie inside."""
        x, y = points
        held = (x > self.left) & (x < self.right) & (y > self.top) & (y < self.bottom)
        return int(np.count_nonzero(held))


class DrawnSign(NamedTuple):
    """A sign and its place: only the words for that place may lie on it."""

    at: Point
    box: LabelBox


def _hiding_least(boxes: Iterable[LabelBox], points: FloatArray) -> LabelBox | None:
    """Return the first of those that hide the fewest points; none is looked at behind one of 0."""
    best, fewest = None, math.inf
    for box in boxes:
        hidden = box.covers(points)
        if hidden < fewest:
            best, fewest = box, hidden
        if not hidden:
            break
    return best


def _reach(at: Point, wide: float) -> LabelBox:
    """Return the box around every place that is tried for words so wide on either side."""
    across, down = _DISTANCES_PX[-1] + 2.0 * wide, _DISTANCES_PX[-1] + _TALL_PX
    return LabelBox(at[0] - across, at[1] - down, at[0] + across, at[1] + down)


def _box(at: Point, to: tuple[int, int], distance: float, wide: float) -> LabelBox:
    tall = _TALL_PX / 2.0
    x = at[0] + to[0] * (distance + wide)
    y = at[1] + to[1] * (distance + tall)
    return LabelBox(x - wide, y - tall, x + wide, y + tall)
