"""GeoPackage, Shapefile and whatever else GDAL reads."""

from __future__ import annotations

import datetime as dt
import io
import math
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

from shapely import Geometry

from longdry.errors import InputError, WaterLayerError
from longdry.reading.files.gdal import (
    GdalError,
    GdalLayer,
    GdalSource,
    LayerKind,
    read_gdal,
    said_by_gdal,
)
from longdry.reading.files.opening import file_chunks
from longdry.reading.files.text import COPY_AGAIN
from longdry.reading.water.format import place_for_gdal
from longdry.reading.water.raw import (
    AREAS,
    POINTS,
    NoPlaceError,
    RawFeature,
    RawLayer,
    area_remark,
    empty_place,
    in_wgs84,
    is_wgs84,
    many_points,
    refused_place,
    within_area,
    wrong_shape,
)
from longdry.reading.water.values import shown

_MEND = "give GeoJSON, CSV, GPX, KML, GeoPackage or a Shapefile with all its files"
_NO_CRS = "the layer declares no reference system; its coordinates are taken as WGS 84"


def read_gdal_layer(path: Path, *, in_memory: bool) -> RawLayer:
    """Return the features of every layer of points in the file, in WGS 84.

    Layers of areas are read where there is no layer of points.

    Parameters
    ----------
    path
        A file (or a folder that is one data set).
    in_memory
        Whether GDAL gets a copy, unpacked where it is compressed with gzip.

    Raises
    ------
    WaterLayerError
        If GDAL cannot read it, or it holds no layer with places.
    """
    source: GdalSource = place_for_gdal(path)
    if in_memory:
        source = io.BytesIO(b"".join(file_chunks(path, error=WaterLayerError)))
    skipped: list[str] = []
    try:
        layers = read_gdal(source, choose=lambda kinds: _with_places(kinds, skipped))
    except GdalError as cause:
        raise _unreadable(path, cause) from cause
    if not layers:
        raise WaterLayerError.single(str(path), "", "holds no layer with places", _MEND)
    features: list[RawFeature] = []
    areas = 0
    for layer in layers:
        shapes = layer.shapes(broken_as_none=True)
        areas += sum(1 for shape in shapes if shape is not None and shape.geom_type in AREAS)
        read = _features(layer, shapes, several=len(layers) > 1)
        known = not layer.crs or is_wgs84(layer.crs)
        features += read if known else in_wgs84(read, layer.crs or "", path)
    return RawLayer(features, tuple(_remarks(layers, areas, skipped)))


def _remarks(layers: list[GdalLayer], areas: int, skipped: list[str]) -> Iterator[str]:
    if areas:
        yield area_remark(areas)
    if any(len(layer.wkb) and not layer.crs for layer in layers):
        yield _NO_CRS
    if skipped:
        yield f"layers without points are passed over: {', '.join(map(shown, skipped))}"


def _unreadable(path: Path, cause: GdalError) -> InputError:
    if cause.unknown_format:
        what = "is no kind of layer that is known here"
        return WaterLayerError.single(str(path), "", what, _MEND)
    what = f"is broken or breaks off; GDAL says: {shown(said_by_gdal(cause, path))}"
    beside = ", with its .shx, .dbf and .prj beside it" if path.suffix.lower() == ".shp" else ""
    return WaterLayerError.single(str(path), "", what, f"{COPY_AGAIN}{beside}")


def _with_places(kinds: Sequence[LayerKind], skipped: list[str]) -> Sequence[LayerKind]:
    points = [one for one in kinds if "Point" in one.geometry or "Unknown" in one.geometry]
    areas = [one for one in kinds if "Polygon" in one.geometry or "Surface" in one.geometry]
    chosen = points or areas or list(kinds)
    skipped += [one.name for one in kinds if one not in chosen]
    return chosen


def _features(
    layer: GdalLayer, shapes: Iterable[Geometry | None], *, several: bool
) -> list[RawFeature]:
    prefix = f"layer {shown(layer.name)}, " if several else ""
    rows = ({key: _plain(value) for key, value in row.items()} for row in layer.rows)
    return [
        _feature(f"{prefix}feature {number}", shape, row)
        for number, (shape, row) in enumerate(zip(shapes, rows, strict=True), start=1)
    ]


def _plain(value: object) -> object:
    if isinstance(value, float) and math.isnan(value):  # how GDAL says null
        return None
    if isinstance(value, dt.date | dt.time):
        return value.isoformat()
    return None if isinstance(value, bytes) else value


def _feature(where: str, shape: Geometry | None, properties: dict[str, object]) -> RawFeature:
    try:
        x, y = _place(shape)
    except NoPlaceError as no_place:
        return refused_place(where, properties, no_place)
    return RawFeature(where, x, y, properties)


def _place(shape: Geometry | None) -> tuple[float, float]:
    if shape is None:
        raise empty_place("is null or broken")
    if shape.is_empty:
        raise empty_place()
    kind = shape.geom_type
    if kind in AREAS:
        return within_area(shape)
    if kind not in POINTS:
        raise wrong_shape(kind)
    if kind == "Point":
        return shape.x, shape.y
    if len(shape.geoms) > 1:
        raise many_points(len(shape.geoms))
    return shape.geoms[0].x, shape.geoms[0].y
