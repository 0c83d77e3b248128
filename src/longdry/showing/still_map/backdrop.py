"""The user's own lines, areas and names below the route on the still map."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from longdry.model.arrays import FloatArray
from longdry.model.backdrop import Backdrop, BackdropShape, DrawnBackdrop, ShapeKind
from longdry.showing.still_map.frame import MapFrame
from longdry.showing.still_map.labels import LabelRequest
from longdry.showing.words.markup import Attributes, Markup, clipped_name, tag

_LEAST_PX = 1.0
"""What is smaller than this in the picture is left out."""
_MOST_NAMES = 60
_LONGEST_NAME = 40
_CSS = {
    ShapeKind.AREA: "backdrop-area",
    ShapeKind.LINE: "backdrop-line",
    ShapeKind.POINT: "backdrop-point",
}


@dataclass(frozen=True, slots=True, eq=False)
class _Drawn:
    """A shape in the picture."""

    shape: BackdropShape
    points: FloatArray
    """Shape (n, 2)."""


def backdrop_shapes(backdrops: Sequence[Backdrop], frame: MapFrame) -> Iterator[Markup]:
    """Draw all shapes of one kind as one path: areas, then lines, then points."""
    drawn = _in_picture(backdrops, frame)
    for kind, css in _CSS.items():
        parts = [_path(one) for one in drawn if one.shape.kind is kind]
        if parts:
            given: Attributes = {"class": css, "d": "".join(parts)}
            yield tag("path", given)


def backdrop_names(backdrops: Sequence[Backdrop], frame: MapFrame) -> Iterator[LabelRequest]:
    """Return names with their places, points first; only so many find room on paper."""
    named = [one for one in _in_picture(backdrops, frame) if one.shape.name.strip()]
    named.sort(key=lambda one: one.shape.kind is not ShapeKind.POINT)
    for one in named[:_MOST_NAMES]:
        inside = [(x, y) for x, y in one.points.tolist() if frame.holds(x, y)]
        name = clipped_name(one.shape.name)
        short = name if len(name) <= _LONGEST_NAME else f"{name[:_LONGEST_NAME]}…"
        yield inside[len(inside) // 2], short


def _in_picture(backdrops: Sequence[Backdrop], frame: MapFrame) -> list[_Drawn]:
    shapes = [
        shape for each in backdrops if isinstance(each, DrawnBackdrop) for shape in each.shapes
    ]
    drawn = [
        _Drawn(shape, np.column_stack(frame.place(shape.lat_deg, shape.lon_deg)))
        for shape in shapes
    ]
    return [one for one in drawn if _shows(one, frame)]


def _shows(one: _Drawn, frame: MapFrame) -> bool:
    """Whether a point of it lies in the picture and it is no mere dot there."""
    is_large = (
        one.shape.kind is ShapeKind.POINT or float(np.ptp(one.points, axis=0).max()) > _LEAST_PX
    )
    return is_large and any(frame.holds(x, y) for x, y in one.points.tolist())


def _path(one: _Drawn) -> str:
    """Write the shape with one point a pixel at most; a point is a line of no length."""
    x, y = one.points[0]
    if one.shape.kind is ShapeKind.POINT:
        return f"M{x:.0f} {y:.0f}h0"
    kept = np.round(one.points)
    moves = np.any(np.diff(kept, axis=0, prepend=kept[:1] + 1.0) != 0.0, axis=1)
    line = "L".join(f"{x:.0f} {y:.0f}" for x, y in kept[moves].tolist())
    return f"M{line}{'Z' if one.shape.kind is ShapeKind.AREA else ''}"
