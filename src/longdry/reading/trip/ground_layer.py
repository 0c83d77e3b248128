"""A layer of areas and lines that say what the ground is like."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from pathlib import Path

import numpy as np
import shapely
from pyproj import CRS, Transformer
from pyproj.exceptions import ProjError
from shapely.geometry.base import BaseGeometry

from longdry.errors import Fault, TripFileError
from longdry.like_names import nearest_name
from longdry.model.arrays import FloatArray
from longdry.model.trip.ground import SURFACES, GroundFeature
from longdry.model.trip_file.keys import PACE_SECTION
from longdry.reading.files.coordinates import LAT_LIMIT_DEG, LON_LIMIT_DEG
from longdry.reading.files.gdal import GdalError, read_gdal, said_by_gdal
from longdry.reading.files.opening import file_head, refuse_packed
from longdry.reading.trip.values import as_written

_BEGINNINGS = {
    ".geojson": b"{",
    ".json": b"{",
    ".gpkg": b"SQLite format 3\x00",
    ".fgb": b"fgb",
    ".shp": b"\x00\x00\x27\x0a",
}
_ENDINGS = ", ".join(_BEGINNINGS)
_SHAPES = ("Polygon", "MultiPolygon", "LineString", "MultiLineString")
_FIELDS_MEND = "give it a field surface (a word) or speed_kmh (a number)"

_Shift = Callable[["BaseGeometry"], "BaseGeometry"]


def read_ground(path: Path) -> tuple[GroundFeature, ...]:
    """Return the areas and lines of a layer, in WGS 84.

    Raises
    ------
    TripFileError
        Where the file cannot be read, or a feature is no area or line, or tells neither a
        surface that is known nor a speed; all faults at once.
    """
    _check_beginning(path)
    faults: list[Fault] = []
    found = []
    try:
        layers = read_gdal(path)
    except GdalError as cause:
        what = f"is broken, or no such layer; GDAL says: {as_written(said_by_gdal(cause, path))}"
        mend = "export it again as GeoJSON or GeoPackage"
        raise TripFileError.single(str(path), "", what, mend) from cause
    for layer in layers:
        move = _to_wgs_84(path, layer.crs)
        name = f"layer {as_written(layer.name)}, " if len(layers) > 1 else ""
        for number, (shape, row) in enumerate(
            zip(layer.shapes(broken_as_none=True), layer.rows, strict=True), start=1
        ):
            feature = _feature(shape, row, f"{name}feature {number}", move, faults)
            if feature is not None:
                found.append(feature)
    if faults:
        raise TripFileError(str(path), faults)
    if not found:
        raise TripFileError.single(str(path), "", "holds no area and no line", _FIELDS_MEND)
    return tuple(found)


def _check_beginning(path: Path) -> None:
    """Let nothing through to GDAL but formats that hold their own data."""
    refuse_packed(path, error=TripFileError)
    head = file_head(path, error=TripFileError).removeprefix(b"\xef\xbb\xbf").lstrip()
    begins = _BEGINNINGS.get(path.suffix.lower())
    if begins is None or not head.startswith(begins):
        what = f"is no layer that is read here ({_ENDINGS})"
        raise TripFileError.single(str(path), "", what, "export it as GeoJSON or GeoPackage")


def _to_wgs_84(path: Path, crs: str | None) -> _Shift:

    if crs is None:
        return lambda shape: shape
    try:
        to_degrees = Transformer.from_crs(CRS.from_user_input(crs), "OGC:CRS84", always_xy=True)
    except ProjError as cause:
        raise TripFileError.single(
            str(path),
            "",
            f"the reference system {as_written(crs)} cannot be used",
            "save the layer in WGS 84",
        ) from cause

    def moved(xy: FloatArray) -> FloatArray:
        return np.column_stack(to_degrees.transform(xy[:, 0], xy[:, 1]))

    return lambda shape: shapely.transform(shape, moved)


def _feature(
    shape: BaseGeometry | None,
    row: Mapping[str, object],
    where: str,
    move: _Shift,
    faults: list[Fault],
) -> GroundFeature | None:
    trouble = _shape_trouble(shape)
    if trouble is None:
        shape = move(shape)
        trouble = _place_trouble(shape)
    speed, surface = row.get("speed_kmh"), row.get("surface")
    words = str(surface).strip() if isinstance(surface, str) else ""
    speed_kmh = _speed(speed)
    trouble = trouble or _ground_trouble(speed, speed_kmh, words)
    if trouble is not None:
        faults.append(Fault(where, *trouble))
        return None
    return GroundFeature(shapely.to_wkb(shape), speed_kmh, "" if speed_kmh else words)


def _shape_trouble(shape: BaseGeometry | None) -> tuple[str, str] | None:
    if shape is None or shape.is_empty:
        return "it has no geometry", "draw it or take it out"
    if shape.geom_type not in _SHAPES:
        return f"it is a {shape.geom_type}", "give areas or lines"
    if not shape.is_valid:
        return "its outline crosses itself or is broken", "mend its geometry"
    return None


def _place_trouble(shape: BaseGeometry) -> tuple[str, str] | None:
    west, south, east, north = shape.bounds
    if max(-west, east) <= LON_LIMIT_DEG and max(-south, north) <= LAT_LIMIT_DEG:
        return None
    reach = f"from {west:.10g} {south:.10g} to {east:.10g} {north:.10g}"
    return f"it reaches {reach}, which is beside the globe", "save it in WGS 84"


def _speed(raw: object) -> float | None:
    if not isinstance(raw, str | int | float):
        return None
    try:
        speed = float(raw)
    except ValueError:
        return None
    limits = PACE_SECTION.key("speed_kmh").range
    return speed if limits is not None and limits.holds(speed) else None


def _ground_trouble(raw: object, speed_kmh: float | None, surface: str) -> tuple[str, str] | None:
    given = raw is not None and not (isinstance(raw, float) and math.isnan(raw))
    if given and speed_kmh is None:
        return f"speed_kmh {as_written(raw)} is no speed", "write km/h above 0, up to 150"
    if given or surface in SURFACES:
        return None
    if not surface:
        return "it tells neither surface nor speed_kmh", _FIELDS_MEND
    close = nearest_name(surface, SURFACES)
    mend = f"the nearest is {close}" if close else "use one of " + ", ".join(SURFACES)
    return f"the surface {as_written(surface)} is not known", mend
