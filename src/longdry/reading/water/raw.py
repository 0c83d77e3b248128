"""What every reader of a water layer hands on: features as the file holds them, placed in WGS 84.

A shape becomes the one place that it stands for, and a place of another reference system, which
the layer declares, becomes one of WGS 84.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from itertools import chain
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pyproj
import shapely
from pyproj import CRS, Transformer
from pyproj.exceptions import ProjError

from longdry.errors import Fault, WaterLayerError
from longdry.reading.files.coordinates import plain_number


class LeftOut(StrEnum):
    """Why a feature is left out and told, in words that stand behind 'has'."""

    NO_PLACE = "no place"
    HALF = "only half a place"
    SHAPE = "no single place, as a line or several points have none,"
    ZERO = "the place 0, 0, which programs write where they know none,"


class RawFeature(NamedTuple):
    """One feature before its properties are judged."""

    where: str
    """Its place in the file: 'feature 3', 'line 12'."""
    x: object
    """Longitude, or easting in the layer's own reference system."""
    y: object
    """Latitude, or northing."""
    properties: Mapping[str, object]
    feature_id: str = ""
    """An id that the format itself knows, beside the properties."""
    wrong_place: Fault | None = None
    """Why the geometry is no place; ``x`` and ``y`` mean nothing then."""
    left_out: LeftOut | None = None
    """Why it gives no source; None: it is judged, and where it is wrong the file is refused."""


@dataclass(frozen=True, slots=True)
class RawLayer:
    """The features of one file, in its order."""

    features: list[RawFeature]
    remarks: tuple[str, ...] = ()
    """What the reader has to tell, one sentence each, without the file's name."""
    vocabulary: str = ""
    """The open vocabulary that it was read by; empty where it speaks none."""
    crs: str = ""
    """The reference system of its places, where that is not WGS 84."""


def columns_of(features: Iterable[RawFeature]) -> tuple[str, ...]:
    """Return the names of all properties, in the order in which they come.

    A layer of many features has few columns: what a name tells is asked once for each column.

    >>> columns_of([RawFeature("line 2", 131.0, -25.0, {"name": "Old Bore", "grade": "potable"})])
    ('name', 'grade')
    """
    return tuple(dict.fromkeys(chain.from_iterable(one.properties for one in features)))


def placeless(
    where: str, properties: Mapping[str, object], what: str, mend: str, feature_id: str = ""
) -> RawFeature:
    """Return a feature whose geometry is no place."""
    return RawFeature(where, 0.0, 0.0, properties, feature_id, Fault("", what, mend))


def refused_place(
    where: str,
    properties: Mapping[str, object],
    no_place: NoPlaceError,
    feature_id: str = "",
) -> RawFeature:
    """Return a feature whose geometry is no place, or is not there at all."""
    feature = placeless(where, properties, no_place.what, no_place.mend, feature_id)
    return feature._replace(left_out=no_place.left_out)


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
    left_out
        Why the feature is left out and told; None where it is wrong and the file is refused.
    """

    def __init__(self, what: str, mend: str, *, left_out: LeftOut | None = None) -> None:
        self.what = what
        self.mend = mend
        self.left_out = left_out
        super().__init__(what)


def empty_place(word: str = "is empty") -> NoPlaceError:
    """Return the error for a geometry without coordinates."""
    what = f"its geometry {word}"
    return NoPlaceError(what, "give the source a point", left_out=LeftOut.NO_PLACE)


def half_place(held: str) -> NoPlaceError:
    """Return the error for coordinates of which one is missing."""
    return NoPlaceError(f"its coordinates are {held}", "give both", left_out=LeftOut.HALF)


def many_points(count: int) -> NoPlaceError:
    """Return the error for a multipoint that is more than one place."""
    what = f"it has {count} points"
    return NoPlaceError(what, "give each source a feature of its own", left_out=LeftOut.SHAPE)


def wrong_shape(kind: str) -> NoPlaceError:
    """Return the error for a line or a collection."""
    return NoPlaceError(f"it is a {kind}", "give the source a point", left_out=LeftOut.SHAPE)


def within_area(shape: shapely.Geometry) -> tuple[float, float]:
    """Return a point inside a shapely polygon, near its middle.

    Raises
    ------
    NoPlaceError
        If there is none.
    """
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


_WGS_84 = "OGC:CRS84"
_MEND = "declare a known one, for example EPSG:4326, or save the layer in WGS 84"


def in_wgs84(features: list[RawFeature], declared: str, path: Path) -> list[RawFeature]:
    """Return the features with ``x`` and ``y`` as longitude and latitude in WGS 84.

    Coordinates that are no numbers are left for the reader of places to refuse.

    Raises
    ------
    WaterLayerError
        If the declared reference system is unknown or has no way to WGS 84.
    """
    try:
        transformer = Transformer.from_crs(_parsed(declared), _WGS_84, always_xy=True)
        moved = [_moved(feature, transformer) for feature in features]
    except ProjError as cause:
        what = f'declares the reference system "{declared[:60]}", which cannot be used'
        raise WaterLayerError.single(str(path), "", what, _MEND) from cause
    return moved


def with_numbers(features: list[RawFeature]) -> list[RawFeature]:
    """Return the features with ``x`` and ``y`` as numbers where they are written as such."""
    return [feature._replace(x=_number(feature.x), y=_number(feature.y)) for feature in features]


def _number(value: object) -> object:
    number = plain_number(value) if isinstance(value, str) else None
    return value if number is None else number


def is_wgs84(declared: str) -> bool:
    """Whether the words name WGS 84 in degrees outright."""
    code = declared.upper().replace("::", ":")
    return code.endswith(("EPSG:4326", "CRS84", "CRS:84", "EPSG:4979", "CRS84H"))


def is_known_crs(declared: str) -> bool:
    """Whether the words name a reference system that is known.

    >>> is_known_crs("EPSG:4326"), is_known_crs("EPSG:999999")
    (True, False)
    """
    try:
        _parsed(declared)
    except ProjError:
        return False
    return True


def _parsed(declared: str) -> pyproj.CRS:

    return CRS.from_user_input(declared)


def _moved(feature: RawFeature, transformer: pyproj.Transformer) -> RawFeature:
    x, y = feature.x, feature.y
    if feature.wrong_place or not _is_number(x) or not _is_number(y):
        return feature
    if x == 0 == y:
        return feature._replace(left_out=LeftOut.ZERO)
    try:
        lon, lat = transformer.transform(x, y)
    except OverflowError:  # a whole number of hundreds of digits: for the reader of places
        return feature
    if abs(lon) == float("inf"):
        what = f"the place x {x}, y {y} is outside the declared reference system"
        return feature._replace(wrong_place=Fault("", what, "check the layer's coordinates"))
    return feature._replace(x=float(lon), y=float(lat))


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)
