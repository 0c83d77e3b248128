"""Which endings a line layer may have, and how such a file begins."""

from __future__ import annotations

import os
from pathlib import Path

LINE_LAYER_BEGINNINGS: dict[str, tuple[bytes, ...]] = {
    ".geojson": (b"{",),
    ".json": (b"{",),
    ".gpkg": (b"SQLite format 3\x00",),
    ".kml": (b"<",),
    ".fgb": (b"fgb",),
    ".shp": (b"\x00\x00\x27\x0a",),
}
"""By ending; a file that begins otherwise is not handed to GDAL."""


def line_layer_ending(path: str | os.PathLike[str]) -> str:
    """Return the ending that says what a layer is, without the .gz of a compressed one.

    >>> line_layer_ending("trip.GeoJSON.gz"), line_layer_ending("trip.gpx")
    ('.geojson', '.gpx')
    """
    plain = Path(os.fspath(path).lower().removesuffix(".gz"))
    return plain.suffix
