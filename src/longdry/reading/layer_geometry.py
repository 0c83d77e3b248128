"""From a shape to the one place that it stands for."""

from __future__ import annotations

from typing import Any

AREAS = ("Polygon", "MultiPolygon")
POINTS = ("Point", "MultiPoint")


class NoPlaceError(Exception):
    """A geometry stands for no single place.

    Parameters
    ----------
    what
        What it is.
    mend
        What the user can do about it.
    """

    def __init__(self, what: str, mend: str) -> None:
        self.what = what
        self.mend = mend
        super().__init__(what)


def empty_place(word: str = "is empty") -> NoPlaceError:
    """Return the error for a geometry without coordinates."""
    return NoPlaceError(f"its geometry {word}", "give the source a point")


def many_points(count: int) -> NoPlaceError:
    """Return the error for a multipoint that is more than one place."""
    return NoPlaceError(f"it has {count} points", "give each source a feature of its own")


def wrong_shape(kind: str) -> NoPlaceError:
    """Return the error for a line or a collection."""
    return NoPlaceError(f"it is a {kind}, which has no single place", "give the source a point")


def within_area(shape: Any) -> tuple[float, float]:  # noqa: ANN401 - shapely ships no types
    """Return a point inside a shapely polygon, near its middle.

    Raises
    ------
    NoPlaceError
        If there is none.
    """
    import numpy as np  # noqa: PLC0415 - loaded when needed
    import shapely  # noqa: PLC0415 - loaded when needed

    try:
        with np.errstate(all="ignore"):
            inside = shapely.point_on_surface(shape)
    except shapely.errors.ShapelyError:
        inside = None
    if inside is None or inside.is_empty:
        raise empty_place("is an area without a place in it")
    return inside.x, inside.y


def area_remark(count: int) -> str:
    """Return the sentence that tells of areas taken as points."""
    if count == 1:
        return "one area is taken as a point inside it; the water's edge may be nearer or farther"
    return f"{count} areas are taken as points inside them; the water's edge may be elsewhere"
