"""Room for words beside a drawn line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from longdry.model.arrays import FloatArray

_LETTER_PX, _TALL_PX = 8.0, 18.0
_DISTANCES_PX = (7.0, 20.0, 36.0)
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
        across = self.left < other.right and other.left < self.right
        return across and self.top < other.bottom and other.top < self.bottom

    def inside(self, points: FloatArray) -> FloatArray:
        """Those of the points, shape (n, 2), that lie inside."""
        x, y = points[:, 0], points[:, 1]
        held = (x > self.left) & (x < self.right) & (y > self.top) & (y < self.bottom)
        return np.asarray(points[held], dtype=np.float64)

    def covers(self, points: FloatArray) -> int:
        """How many of the points, shape (n, 2), lie inside."""
        return int(self.inside(points).shape[0])


def free_box(
    at: tuple[float, float], words: str, route: FloatArray, taken: Sequence[LabelBox]
) -> LabelBox | None:
    """Find the place near ``at`` that hides least of the route and no other label.

    Returns
    -------
    LabelBox or None
        None where every place near by is taken.
    """
    wide = (len(words) * _LETTER_PX + 4.0) / 2.0
    near = [
        _box(at, right, down, distance, wide)
        for distance in _DISTANCES_PX
        for right, down in _DIRECTIONS
    ]
    reach = _around(near)
    close = [other for other in taken if other.overlaps(reach)]
    free = [box for box in near if not any(box.overlaps(other) for other in close)]
    points = reach.inside(route)
    return min(free, key=lambda box: box.covers(points), default=None)


def _around(boxes: Sequence[LabelBox]) -> LabelBox:
    return LabelBox(
        min(box.left for box in boxes),
        min(box.top for box in boxes),
        max(box.right for box in boxes),
        max(box.bottom for box in boxes),
    )


def _box(at: tuple[float, float], right: int, down: int, distance: float, wide: float) -> LabelBox:
    tall = _TALL_PX / 2.0
    x = at[0] + right * (distance + wide)
    y = at[1] + down * (distance + tall)
    return LabelBox(x - wide, y - tall, x + wide, y + tall)
