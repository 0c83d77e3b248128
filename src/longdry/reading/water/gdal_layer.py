"""GeoPackage, Shapefile and whatever else GDAL reads, through pyogrio."""

from __future__ import annotations

import datetime as dt
import io
import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import shapely

from longdry.errors import WaterLayerError
from longdry.reading.files.gdal_log import GDAL_ERRORS, quiet_gdal
from longdry.reading.files.opening import file_chunks
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
    placeless,
    within_area,
    wrong_shape,
)
from longdry.reading.water.source import field_of
from longdry.reading.water.values import shown

_MEND = "give GeoJSON, CSV, GPX, KML, GeoPackage or a Shapefile with all its files"
_NO_CRS = "the layer declares no reference system; its coordinates are taken as WGS 84"

GdalSource = str | io.BytesIO


@dataclass(frozen=True, slots=True)
class _GdalLayer:
    """One layer as GDAL hands it over."""

    features: list[RawFeature]
    areas: int
    declared: str


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
    source: GdalSource = os.path.abspath(path)  # noqa: PTH100 - links are left alone
    if in_memory:
        source = io.BytesIO(b"".join(file_chunks(path, error=WaterLayerError)))
    with _told_in_our_words(path):
        names, skipped = _layer_names(source)
        layers = [_read(source, name, several=len(names) > 1) for name in names]
    if not names:
        raise WaterLayerError.single(str(path), "", "holds no layer with places", _MEND)
    features: list[RawFeature] = []
    for layer in layers:
        known = not layer.declared or is_wgs84(layer.declared)
        features += layer.features if known else in_wgs84(layer.features, layer.declared, path)
    return RawLayer(features, tuple(_remarks(layers, skipped)))


def _remarks(layers: list[_GdalLayer], skipped: list[str]) -> Iterator[str]:
    areas = sum(layer.areas for layer in layers)
    if areas:
        yield area_remark(areas)
    if any(layer.features and not layer.declared for layer in layers):
        yield _NO_CRS
    if skipped:
        yield f"layers without points are passed over: {', '.join(map(shown, skipped))}"


@contextmanager
def _told_in_our_words(path: Path) -> Iterator[None]:
    """Keep GDAL's own warnings and log lines from the user; turn its errors into ours."""
    import pyogrio  # noqa: PLC0415 - loaded when needed

    pyogrio.set_gdal_config_options({"GML_DOWNLOAD_SCHEMA": "NO"})
    try:
        with quiet_gdal():
            yield
    except GDAL_ERRORS as cause:
        reason = shown(str(cause).rpartition("; ")[0] or str(cause))
        unknown = "not recognized as being" in str(cause)
        what = (
            "is no kind of layer that is known here"
            if unknown
            else f"cannot be read by GDAL, which says {reason}"
        )
        raise WaterLayerError.single(str(path), "", what, _MEND) from cause


def _layer_names(source: GdalSource) -> tuple[list[str], list[str]]:
    import pyogrio  # noqa: PLC0415 - loaded when needed

    kinds = [(str(name), kind) for name, kind in pyogrio.list_layers(source) if kind]
    points = [name for name, kind in kinds if "Point" in kind or "Unknown" in kind]
    areas = [name for name, kind in kinds if "Polygon" in kind or "Surface" in kind]
    names = points or areas or [name for name, _ in kinds]
    return names, [name for name, _ in kinds if name not in names]


def _read(source: GdalSource, name: str, *, several: bool) -> _GdalLayer:
    import pyogrio  # noqa: PLC0415 - loaded when needed

    meta, _, geometry, columns = pyogrio.raw.read(source, layer=name, force_2d=True)
    if geometry is None:
        return _GdalLayer([], 0, "")
    shapes = shapely.from_wkb(geometry, on_invalid="ignore")
    known = [
        (str(field), [_plain(value) for value in column.tolist()])
        for field, column in zip(meta["fields"], columns, strict=True)
        if field_of(str(field))
    ]
    keys = [field for field, _ in known]
    rows = zip(*(values for _, values in known), strict=True) if known else ((),) * len(shapes)
    prefix = f"layer {shown(name)}, " if several else ""
    features = [
        _feature(f"{prefix}feature {number}", shape, dict(zip(keys, row, strict=True)))
        for number, (shape, row) in enumerate(zip(shapes, rows, strict=True), start=1)
    ]
    areas = sum(1 for shape in shapes if shape is not None and shape.geom_type in AREAS)
    return _GdalLayer(features, areas, meta["crs"] or "")


def _plain(value: object) -> object:
    if isinstance(value, float) and value != value:  # noqa: PLR0124 - NaN is how GDAL says null
        return None
    return value.isoformat() if isinstance(value, dt.date) else value


def _feature(where: str, shape: Any, properties: dict[str, object]) -> RawFeature:  # noqa: ANN401 - shapely ships no types
    try:
        x, y = _place(shape)
    except NoPlaceError as no_place:
        return placeless(where, properties, no_place.what, no_place.mend)
    return RawFeature(where, x, y, properties)


def _place(shape: Any) -> tuple[float, float]:  # noqa: ANN401 - shapely ships no types
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
