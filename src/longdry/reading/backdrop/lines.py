"""Lines, areas and points of the user's own layer, for the backdrop, read by GDAL."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np
import shapely
from pyproj import Transformer
from pyproj.exceptions import ProjError

from longdry.errors import BackdropError
from longdry.model.arrays import FloatArray
from longdry.reading.files.coordinates import LAT_LIMIT_DEG
from longdry.reading.files.gdal import NAME_FIELDS, GdalError, GdalLayer, read_gdal, said_by_gdal
from longdry.reading.files.opening import file_head, refuse_packed
from longdry.reading.files.text import quoted

_BEGINNINGS = {
    ".geojson": (b"{",),
    ".json": (b"{",),
    ".gpkg": (b"SQLite format 3\x00",),
    ".fgb": (b"fgb",),
    ".kml": (b"<",),
    ".gpx": (b"<",),
    ".shp": (b"\x00\x00\x27\x0a",),
}
"""What a file of that ending begins with; all else is not handed to GDAL."""
_NAME_FIELDS = (*NAME_FIELDS, "ref")
_MEND = "export it as GeoJSON or GeoPackage in WGS 84"


def read_backdrop_lines(path: Path) -> list[tuple[str, bytes]]:
    """Return name and geometry (WKB, WGS 84, longitude first) of each feature of all layers.

    Features without geometry, and coordinates that no reference system explains, are left out:
    a backdrop is no part of the plan.

    Raises
    ------
    BackdropError
        Where the file cannot be read or holds nothing to draw.
    """
    _check_beginning(path)
    found: list[tuple[str, bytes]] = []
    try:
        for layer in read_gdal(path):
            found += _features(layer)
    except (GdalError, ProjError, ValueError) as cause:
        what = f"is broken, or no such layer; GDAL says: {quoted(said_by_gdal(cause, path))}"
        raise BackdropError.single(str(path), "", what, _MEND) from cause
    if not found:
        raise BackdropError.single(str(path), "", "holds nothing that can be drawn", _MEND)
    return found


def _check_beginning(path: Path) -> None:
    head = file_head(path, error=BackdropError).removeprefix(b"\xef\xbb\xbf").lstrip()
    refuse_packed(path, error=BackdropError)
    begins = _BEGINNINGS.get(path.suffix.lower())
    if begins is None or not head.startswith(begins):
        known = ".mbtiles, .pmtiles, " + ", ".join(_BEGINNINGS)
        raise BackdropError.single(
            str(path), "", f"is no backdrop that is read here ({known})", _MEND
        )


def _features(layer: GdalLayer) -> Iterator[tuple[str, bytes]]:
    fields = [field.lower() for field in layer.fields]
    named = [layer.columns[fields.index(name)] for name in _NAME_FIELDS if name in fields]
    mover = _mover(layer.crs)
    for number, shape in enumerate(layer.shapes(broken_as_none=True)):
        if shape is None or shape.is_empty:
            continue
        moved = shapely.transform(shape, mover) if mover else shape
        xy = shapely.get_coordinates(moved)
        if np.isfinite(xy).all() and np.abs(xy[:, 1]).max() <= LAT_LIMIT_DEG:
            yield _name(named, number), shapely.to_wkb(moved)


def _mover(crs: str | None) -> Callable[[FloatArray], FloatArray] | None:
    """Return what shapely calls with arrays of places; None where they are in degrees."""
    if crs is None or crs == "EPSG:4326":
        return None
    to_degrees = Transformer.from_crs(crs, "OGC:CRS84", always_xy=True)
    return lambda xy: np.column_stack(to_degrees.transform(xy[:, 0], xy[:, 1]))


def _name(named: list[Any], number: int) -> str:
    for column in named:
        if isinstance(column[number], str) and column[number].strip():
            return str(column[number])
    return ""
