"""What of the user's own layer lies near the route, thinned until it is small enough."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from longdry.computing.backdrop.tiles import CORRIDOR_KM
from longdry.model.backdrop import BackdropShape, ShapeKind
from longdry.model.route import MeasuredRoute

_MARGIN_SHARE = 0.1
_THINNED_TO_DEG = (0.00005, 0.0005, 0.005)
"""About 5 m, 50 m, 500 m."""
_BYTES_PER_POINT = 19
_BYTES_PER_SHAPE = 40
_MOST_REACH_DEG = 85.0
NamedWkb = tuple[str, bytes]


def shapes_near_route(
    named: Sequence[NamedWkb], measured: MeasuredRoute, most_bytes: float
) -> tuple[tuple[BackdropShape, ...], float]:
    """Cut the layer to the surroundings of the route and thin it until it fits.

    Parameters
    ----------
    named
        Name and geometry (WKB, WGS 84, longitude first) of each feature.
    measured
        The route; kept is what lies in the box around it, widened by a tenth and the corridor.
    most_bytes
        About what it may add to the page.

    Returns
    -------
    tuple
        The shapes, and how many bytes they take; more than ``most_bytes`` where even lines thinned
        to about 500 m take more.
    """
    near = list(_near(named, measured))
    shapes: tuple[BackdropShape, ...] = ()
    size = 0.0
    for tolerance in _THINNED_TO_DEG:
        shapes = tuple(shape for name, cut in near for shape in _drawn(name, cut, tolerance))
        size = float(sum(map(_size, shapes)))
        if size <= most_bytes:
            break
    return shapes, size


def _near(named: Sequence[NamedWkb], measured: MeasuredRoute) -> Iterator[tuple[str, BaseGeometry]]:
    """Cut each geometry to the box; the world is laid out three times side by side for that."""
    box = _box(measured)
    for name, wkb in named:
        shape = shapely.from_wkb(wkb)
        for turns in (0.0, -360.0, 360.0):
            moved = (
                shapely.transform(shape, lambda xy, t=turns: np.add(xy, (t, 0.0)))
                if turns
                else shape
            )
            if not shapely.box(*box).intersects(shapely.box(*moved.bounds)):
                continue
            cut = shapely.clip_by_rect(moved, *box)
            if not cut.is_empty:
                yield name, cut


def _box(measured: MeasuredRoute) -> tuple[float, float, float, float]:
    lat = measured.route.lat_deg
    lon = np.unwrap(measured.route.lon_deg, period=360.0)
    extent = max(float(np.ptp(lat)), float(np.ptp(lon)))
    margin = CORRIDOR_KM / 111.0 / np.cos(np.radians(min(float(np.abs(lat).max()), 85.0)))
    margin = float(margin) + _MARGIN_SHARE * extent
    south = max(float(lat.min()) - margin, -_MOST_REACH_DEG)
    north = min(float(lat.max()) + margin, _MOST_REACH_DEG)
    return float(lon.min()) - margin, south, float(lon.max()) + margin, north


def _drawn(name: str, cut: BaseGeometry, tolerance_deg: float) -> Iterator[BackdropShape]:

    for part in shapely.get_parts(cut):
        kind = part.geom_type
        if kind == "Point":
            yield _shape(ShapeKind.POINT, name, part)
        elif kind in ("LineString", "LinearRing"):
            yield _shape(ShapeKind.LINE, name, part.simplify(tolerance_deg))
        elif kind == "Polygon":
            yield _shape(ShapeKind.AREA, name, part.exterior.simplify(tolerance_deg))
        elif kind in ("MultiPoint", "MultiLineString", "MultiPolygon", "GeometryCollection"):
            yield from _drawn(name, part, tolerance_deg)


def _shape(kind: ShapeKind, name: str, part: BaseGeometry) -> BackdropShape:

    xy = shapely.get_coordinates(part)
    return BackdropShape(kind, name, xy[:, 1], xy[:, 0])


def _size(shape: BackdropShape) -> int:
    return _BYTES_PER_SHAPE + len(shape.name[:100]) + _BYTES_PER_POINT * int(shape.lat_deg.size)
