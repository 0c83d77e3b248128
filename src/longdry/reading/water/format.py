"""What kind of file a layer is: by its content first, then by its suffix."""

from __future__ import annotations

import os
import re
from enum import Enum, auto
from pathlib import Path, PurePosixPath

from longdry.errors import InputError, WaterLayerError
from longdry.reading.files.opening import (
    GZIP_MAGIC,
    MOST_TIMES_A_TABLE_UNPACKED,
    WORKBOOK,
    ZIP_MAGIC,
    file_head,
    is_workbook,
    looks_like_html,
    proved_encoding,
    refuse_bomb,
    zip_members,
)
from longdry.reading.water.csv_layer import has_place_columns
from longdry.reading.water.values import shown

_FOLDER_SUFFIXES = (".gdb",)
_TABLE_SUFFIXES = (".csv", ".tsv", ".txt")
_ROOT = re.compile(r"<(?![?!])(?:[\w.-]+:)?([\w.-]+)")
_COMMENT = re.compile(r"<!--.*?-->", re.DOTALL)
_REACHES_ELSEWHERE = re.compile(r"<((?:OGR|GDAL|VRT|WFS|WMS)\w*)")
_ZIPPED = (".shp", ".gpkg", ".fgb", ".tab", ".mif", ".geojson", ".gdbtable")


class LayerFormat(Enum):
    """Which reader takes the file."""

    GEOJSON = auto()
    TABLE = auto()
    GPX = auto()
    KML = auto()
    GDAL = auto()
    GDAL_IN_MEMORY = auto()
    """For GDAL, but read from a copy: beside some files GDAL would write files of its own."""


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
    if not head.strip():
        raise WaterLayerError.single(
            str(path), "", "the file is empty", "copy it again from where it came from"
        )
    if is_workbook(head):
        raise _workbook(path)
    text = _beginning(head)
    if not text:
        return LayerFormat.TABLE if _is_table(path) else _gdal_format(path, head)
    if text.startswith("<"):
        return _xml_format(text, path)
    if text.startswith(("{", "[")):
        return LayerFormat.GEOJSON
    if _is_table(path) or has_place_columns(text):
        return LayerFormat.TABLE
    return LayerFormat.GEOJSON if "json" in path.suffix.lower() else _gdal_format(path, head)


def _gdal_format(path: Path, head: bytes) -> LayerFormat:
    if head.startswith(ZIP_MAGIC):
        _check_zip(path)
    with path.open("rb") as file:
        packed = file.read(len(GZIP_MAGIC)) == GZIP_MAGIC
    return LayerFormat.GDAL_IN_MEMORY if packed else LayerFormat.GDAL


def _check_zip(path: Path) -> None:
    """Let only archives through whose files hold their own data, and no more than map data do."""
    with path.open("rb") as raw:
        members = zip_members(raw, str(path), WaterLayerError)[1]
    names = [one.filename for one in members]
    suffixes = {PurePosixPath(name).suffix.lower() for name in names}
    if ".xml" in suffixes and ("xl/workbook.xml" in names or "content.xml" in names):
        raise _workbook(path)
    if any(one.flag_bits & 1 for one in members):
        raise WaterLayerError.single(
            str(path), "", "is locked with a password", "unpack it and name the layer"
        )
    if ".vrt" in suffixes or not suffixes.intersection(_ZIPPED):
        raise WaterLayerError.single(
            str(path), "", "is a zip archive without a layer", "unpack it and name the layer"
        )
    unpacked_bytes = sum(one.file_size for one in members)
    times = MOST_TIMES_A_TABLE_UNPACKED
    refuse_bomb(unpacked_bytes, path.stat().st_size, str(path), WaterLayerError, times)


def place_for_gdal(path: Path) -> str:
    """Return what GDAL opens: the file, or what lies in the one folder of a zip archive.

    Folders that begin with two underscores hold marks of the system that made the archive.

    Raises
    ------
    WaterLayerError
        If layers lie in several folders.
    """
    whole = os.path.abspath(path)  # noqa: PTH100 - links are left alone
    if path.is_dir():
        return whole
    with path.open("rb") as raw:
        if not raw.read(len(ZIP_MAGIC)).startswith(ZIP_MAGIC):
            return whole
        members = zip_members(raw, str(path), WaterLayerError)[1]
    names = [PurePosixPath(one.filename) for one in members]
    layers = [
        name
        for name in names
        if name.suffix.lower() in _ZIPPED and not name.parts[0].startswith("__")
    ]
    folders = list(dict.fromkeys(str(name.parent) for name in layers))
    if len(folders) > 1:
        what = f"is a zip archive with layers in several folders: {', '.join(map(shown, folders))}"
        raise WaterLayerError.single(str(path), "", what, "unpack it and name the layer")
    if folders in ([], ["."]) or any(".." in name.parts or name.is_absolute() for name in layers):
        return whole
    return f"/vsizip/{{{whole}}}/{layers[0] if len(layers) == 1 else layers[0].parent}"


def _workbook(path: Path) -> InputError:
    return WaterLayerError.single(
        str(path),
        "",
        f"is {WORKBOOK}, which may hold many sheets and formulas",
        "open it there and save the sheet with the sources as CSV",
    )


def _is_table(path: Path) -> bool:
    suffixes = [suffix.lower() for suffix in path.suffixes if suffix.lower() != ".gz"]
    return not suffixes or suffixes[-1] in _TABLE_SUFFIXES


def _beginning(head: bytes) -> str:
    """Return the beginning as text, empty for a binary file."""
    encoding = proved_encoding(head)
    if encoding is None and b"\x00" in head[:4096]:
        return ""
    text = head.decode(encoding or "utf-8", errors="replace")
    return text.removeprefix("\ufeff").lstrip()


def _xml_format(text: str, path: Path) -> LayerFormat:
    elsewhere = _REACHES_ELSEWHERE.search(text)
    if elsewhere:
        what = f"holds {shown(elsewhere[1])}, which names data elsewhere"
        raise WaterLayerError.single(str(path), "", what, "give the file with the data")
    root = _ROOT.search(_COMMENT.sub("", text))
    name = root[1].lower() if root else ""
    if name == "gpx":
        return LayerFormat.GPX
    if name == "kml" or "<!DOCTYPE" in text or "<!ENTITY" in text:
        return LayerFormat.KML
    return LayerFormat.GDAL_IN_MEMORY
