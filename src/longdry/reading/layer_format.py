"""What kind of file a layer is: by its content first, then by its suffix."""

from __future__ import annotations

import re
from enum import Enum, auto
from pathlib import Path

from longdry.errors import WaterLayerError
from longdry.reading.csv_layer import has_place_columns
from longdry.reading.field_values import shown
from longdry.reading.file_bytes import GZIP_MAGIC, bom_encoding, file_head, looks_like_html

_FOLDER_SUFFIXES = (".gdb",)
_TABLE_SUFFIXES = (".csv", ".tsv", ".txt")
_ROOT = re.compile(r"<(?![?!])(?:[\w.-]+:)?([\w.-]+)")
_REACHES_ELSEWHERE = ("OGR", "GDAL", "WMS", "WFS", "VRT")


class LayerFormat(Enum):
    """Which reader takes the file."""

    GEOJSON = auto()
    TABLE = auto()
    GPX = auto()
    KML = auto()
    GDAL = auto()


def layer_format(path: Path) -> LayerFormat:
    """Return the reader for a file (or a folder that is one data set).

    Raises
    ------
    WaterLayerError
        If the file cannot be opened, is a web page, or names data elsewhere.
    """
    if path.suffix.lower() in _FOLDER_SUFFIXES and path.is_dir():
        return LayerFormat.GDAL
    head = file_head(path, error=WaterLayerError)
    if looks_like_html(head):
        raise WaterLayerError.single(
            str(path), "", "is a web page, not a layer", "download the file itself again"
        )
    text = _beginning(head)
    if not text:
        return LayerFormat.TABLE if _is_table(path) else LayerFormat.GDAL
    if text.startswith("<"):
        return _xml_format(text, path)
    if text.startswith(("{", "[")):
        return LayerFormat.GEOJSON
    if _is_table(path) or has_place_columns(text):
        return LayerFormat.TABLE
    return LayerFormat.GEOJSON if "json" in path.suffix.lower() else LayerFormat.GDAL


def is_gzip(path: Path) -> bool:
    """Whether the file is compressed with gzip."""
    if path.is_dir():
        return False
    with path.open("rb") as file:
        return file.read(len(GZIP_MAGIC)) == GZIP_MAGIC


def _is_table(path: Path) -> bool:
    suffixes = [suffix.lower() for suffix in path.suffixes if suffix.lower() != ".gz"]
    return not suffixes or suffixes[-1] in _TABLE_SUFFIXES


def _beginning(head: bytes) -> str:
    """Return the beginning as text, empty for a binary file."""
    encoding = bom_encoding(head)
    if encoding is None and b"\x00" in head[:4096]:
        return ""
    text = head.decode(encoding or "utf-8", errors="replace")
    return text.removeprefix("\ufeff").lstrip()


def _xml_format(text: str, path: Path) -> LayerFormat:
    root = _ROOT.search(text)
    name = root[1] if root else ""
    if name.lower() == "gpx":
        return LayerFormat.GPX
    if name.lower() == "kml" or "<!DOCTYPE" in text or "<!ENTITY" in text:
        return LayerFormat.KML
    if name.upper().startswith(_REACHES_ELSEWHERE):
        what = f"begins with {shown(name)}, which names data elsewhere"
        raise WaterLayerError.single(str(path), "", what, "give the file with the data")
    return LayerFormat.GDAL
