"""What a file of the folder is, by its name and by what stands in it."""

from __future__ import annotations

import contextlib
import re
import sqlite3
import tomllib
from collections.abc import Callable, Iterator, Mapping
from enum import StrEnum
from pathlib import Path
from urllib.parse import quote

from longdry.doing.plan_outputs import SAVED_AS
from longdry.errors import LongdryError, WaterLayerError
from longdry.reading.files.opening import file_chunks, file_head
from longdry.reading.road.tally_file import TALLY_ENDING
from longdry.reading.water.csv_layer import has_place_columns
from longdry.reading.water.mapping import TABLES_OF_WORDS

_OUR_TABLES = frozenset(name for name in SAVED_AS.values() if name.endswith((".csv", ".json")))
"""What a plan is saved as where the content does not tell that it is one."""
_PIECE = 1 << 20
_MOST_LOOKED_AT = 1 << 28


class FileKind(StrEnum):
    """What the desk takes a file for."""

    ROUTE = "route"
    BOOK = "book"
    WATER = "water"
    TRIP = "trip"
    FIELDS = "fields"
    TALLY = "tally"
    BACKDROP = "backdrop"
    PAGE = "page"
    PLAN = "plan"
    OTHER = "other"


def kind_of(path: Path) -> FileKind:
    """Return what a file is taken for; one that cannot be read is other."""
    name = path.name.lower()
    if name == "plan.txt":
        return FileKind.PLAN
    if name.endswith(TALLY_ENDING):
        return FileKind.TALLY
    if name in _OUR_TABLES:
        return FileKind.OTHER
    look = _LOOKS.get(Path(name.removesuffix(".gz")).suffix)
    if look is None:
        return FileKind.OTHER
    try:
        return look(path)
    except (OSError, ValueError, RecursionError, LongdryError):
        return FileKind.OTHER


_IN_GPX = re.compile(rb"<(?:[\w.-]+:)?(trk|rte|wpt)[\s>]|creator=[\"']longdry ")
_IN_KML = re.compile(rb"<(?:[\w.-]+:)?(LineString|MultiTrack|Track|Point)[\s>]")
_IN_GEOJSON = re.compile(
    rb'"(water_book|caution": "A planning aid)|"type"\s*:\s*"(?:Multi)?(LineString|Point|Polygon)"'
)


def _found_first(path: Path, signs: re.Pattern[bytes]) -> Iterator[re.Match[bytes]]:
    """Yield what is found of the signs, in the order of the file, unpacked."""
    before = b""
    looked_at = 0
    for piece in file_chunks(path, error=WaterLayerError):
        yield from signs.finditer(before + piece)
        before = piece[-64:]
        looked_at += len(piece)
        if looked_at >= _MOST_LOOKED_AT:
            return


def _gpx(path: Path) -> FileKind:
    kind = FileKind.OTHER
    for found in _found_first(path, _IN_GPX):
        if found[1] is None:
            return FileKind.OTHER
        if found[1] != b"wpt":
            return FileKind.ROUTE
        kind = FileKind.WATER
    return kind


def _kml(path: Path) -> FileKind:
    kind = FileKind.OTHER
    for found in _found_first(path, _IN_KML):
        if found[1] != b"Point":
            return FileKind.ROUTE
        kind = FileKind.WATER
    return kind


def _geojson(path: Path) -> FileKind:
    kinds = {b"LineString": FileKind.ROUTE, b"Point": FileKind.WATER, b"Polygon": FileKind.BACKDROP}
    for found in _found_first(path, _IN_GEOJSON):
        if found[2]:
            return kinds[found[2]]
        return FileKind.BOOK if found[1] == b"water_book" else FileKind.OTHER  # a plan of ours
    return FileKind.OTHER


def _table(path: Path) -> FileKind:
    head = file_head(path, error=WaterLayerError).decode("utf-8", "replace")
    return FileKind.WATER if has_place_columns(head) else FileKind.OTHER


def _toml(path: Path) -> FileKind:
    with path.open("rb") as file:
        text = file.read(_PIECE).decode("utf-8", "replace")
    try:
        tables: Mapping[str, object] = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return FileKind.TRIP
    is_mapping = bool(tables) and all(name in TABLES_OF_WORDS for name in tables)
    return FileKind.FIELDS if is_mapping else FileKind.TRIP


_SHAPES = {1: FileKind.WATER, 3: FileKind.ROUTE, 5: FileKind.BACKDROP}
"""Esri Shapefile, main file header: bytes 32 to 35, by tens for those with heights and measures."""


def _shapefile(path: Path) -> FileKind:
    with path.open("rb") as file:
        head = file.read(36)
    return _SHAPES.get(int.from_bytes(head[32:36], "little") % 10, FileKind.OTHER)


def _geopackage(path: Path) -> FileKind:
    """Read what shapes it holds; opened as immutable, so that nothing is written beside it."""
    place = f"file:{quote(str(path.resolve()))}?mode=ro&immutable=1"
    try:
        with contextlib.closing(sqlite3.connect(place, uri=True)) as base:
            found = base.execute("select geometry_type_name from gpkg_geometry_columns").fetchone()
    except sqlite3.Error:
        return FileKind.OTHER
    shape = str(found[0]).upper() if found else ""
    if "LINE" in shape:
        return FileKind.ROUTE
    return FileKind.WATER if "POINT" in shape else FileKind.BACKDROP


_LOOKS: Mapping[str, Callable[[Path], FileKind]] = {
    ".gpx": _gpx,
    ".kml": _kml,
    ".kmz": _kml,
    ".geojson": _geojson,
    ".json": _geojson,
    ".csv": _table,
    ".tsv": _table,
    ".toml": _toml,
    ".gpkg": _geopackage,
    ".fgb": lambda _: FileKind.WATER,
    ".shp": _shapefile,
    ".mbtiles": lambda _: FileKind.BACKDROP,
    ".pmtiles": lambda _: FileKind.BACKDROP,
    ".html": lambda _: FileKind.PAGE,
}
