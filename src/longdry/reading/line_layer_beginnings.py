"""Which endings a line layer may have, and how such a file begins."""

from __future__ import annotations

LINE_LAYER_BEGINNINGS: dict[str, tuple[bytes, ...]] = {
    ".geojson": (b"{",),
    ".json": (b"{",),
    ".gpkg": (b"SQLite format 3\x00",),
    ".kml": (b"<",),
    ".fgb": (b"fgb",),
    ".shp": (b"\x00\x00\x27\x0a",),
}
"""By ending; a file that begins otherwise is not handed to GDAL."""
