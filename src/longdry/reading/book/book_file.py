"""The water book read: strictly, and keeping all of it.

Format: GeoJSON, RFC 7946. A feature that is no point is kept and passed over.
"""

from __future__ import annotations

import os
import shlex
from collections.abc import Mapping
from pathlib import Path

from longdry.errors import BookError, Fault, InputError
from longdry.model.water.book import BookFeature, WaterBook
from longdry.model.water.source import WaterSource
from longdry.reading.files.faults import FaultList
from longdry.reading.files.feature_list import SpannedDocument, TextSpan, spanned_document
from longdry.reading.files.json_text import json_faults
from longdry.reading.files.opening import GZIP_MAGIC, file_text
from longdry.reading.water.layer import is_somebody_elses, raw_layer
from longdry.reading.water.raw import is_wgs84
from longdry.reading.water.source import source_from_properties
from longdry.reading.water.values import RefusedValueError, shown, text_from
from longdry.reading.water.vocabularies import known_properties

_COLLECTION_MEND = 'a water book is {"type": "FeatureCollection", "features": [...]}'
_BACK_MEND = "mend it there, or put back the book as it was before it was edited"
_SHAPES = (
    "MultiPoint", "LineString", "MultiLineString", "Polygon", "MultiPolygon", "GeometryCollection",
)  # fmt: skip
_LEAST_POSITION = 2
_OTHER_LAYERS = {".csv", ".tsv", ".txt", ".gpx", ".kml", ".kmz", ".gpkg", ".shp", ".fgb", ".zip"}


def read_book(path: str | os.PathLike[str]) -> WaterBook:
    """Read the water book at ``path``.

    Raises
    ------
    BookError
        With all that is wrong in it: it is missing, no feature collection in WGS 84, or a
        feature of it cannot be used.
    """
    _refuse_other_kinds(Path(path))
    text = file_text(path, error=BookError)
    if _is_packed(path):
        raise BookError.single(
            os.fspath(path), "", "a book compressed with gzip cannot be changed", "unpack it first"
        )
    return book_from_text(text, origin=os.fspath(path))


def _refuse_other_kinds(path: Path) -> None:
    """Say of a layer that is no GeoJSON how to make a book of it."""
    if path.suffix.lower() not in _OTHER_LAYERS or not path.is_file():
        return
    raise _not_written(path, "is a layer that longdry reads and does not write to", " --own")


def _not_written(path: Path, what: str, own: str) -> InputError:
    beside = path.with_suffix(".geojson")
    if beside.exists():
        beside = path.with_name(f"{path.stem}_book.geojson")
    book = shlex.quote(os.fspath(beside))
    mend = f"make a book of it once: longdry bring {book} {shlex.quote(os.fspath(path))}{own}"
    return BookError.single(os.fspath(path), "", what, f"{mend}; then name {book}")


def refuse_others_words(path: str | os.PathLike[str]) -> None:
    """Say of a layer in somebody else's words how to make a book of it.

    One word of ours written among theirs would make the whole layer ours, and what is doubtful
    for being somebody else's would count.

    Raises
    ------
    BookError
        If it is such a layer.
    """
    if is_somebody_elses(raw_layer(Path(path))):
        raise _not_written(Path(path), "tells its water in other words than those of longdry", "")


def _is_packed(path: str | os.PathLike[str]) -> bool:
    with Path(path).open("rb") as file:
        return file.read(len(GZIP_MAGIC)) == GZIP_MAGIC


def book_from_text(text: str, *, origin: str) -> WaterBook:
    """Read a water book that is in memory.

    Raises
    ------
    BookError
        As `read_book` does.
    """
    faults = FaultList()
    features: list[BookFeature] = []
    stem = Path(origin).name.partition(".")[0] or origin

    def keep(span: TextSpan) -> None:
        number = len(features) + 1
        source, wrong = _source(span.value, number, f"{stem}#{number}", origin)
        faults.add(wrong)
        features.append(BookFeature(span.begin, span.end, source, _origin_of(span.value)))

    with json_faults(origin, BookError, _BACK_MEND):
        document = spanned_document(text, keep)
    list_end = _list_end(document, origin)
    _refuse_other_crs(document.members.get("crs"), origin)
    faults.add(_twofold_ids(features))
    faults.raise_any(origin, BookError)
    return WaterBook(origin, text, tuple(features), list_end)


def _list_end(document: SpannedDocument, origin: str) -> int:
    kind = document.members.get("type")
    if kind != "FeatureCollection":
        what = f"is JSON of type {shown(kind)}, not a feature collection"
        raise BookError.single(origin, "", what, _COLLECTION_MEND)
    if document.list_end is None:
        raise BookError.single(origin, "", "has no list of features", _COLLECTION_MEND)
    return document.list_end


def _refuse_other_crs(crs: object, origin: str) -> None:
    """RFC 7946 knows WGS 84 alone; GDAL still writes its name, which does no harm."""
    if crs is None:
        return
    properties = crs.get("properties") if isinstance(crs, Mapping) else None
    name = properties.get("name") if isinstance(properties, Mapping) else None
    if not isinstance(name, str) or not is_wgs84(name):
        raise BookError.single(
            origin,
            '"crs"',
            f"the book declares the reference system {shown(name)}",
            "save it in WGS 84 (RFC 7946)",
        )


def _source(
    item: object, number: int, made_id: str, origin: str
) -> tuple[WaterSource | None, list[Fault]]:
    where = f"feature {number}"
    if not isinstance(item, Mapping) or item.get("type") != "Feature":
        return None, [Fault(where, f"is {shown(item)}, not a feature", _BACK_MEND)]
    properties = item.get("properties")
    if not isinstance(properties, Mapping | None):
        return None, [Fault(where, f"its properties are {shown(properties)}", _BACK_MEND)]
    geometry = item.get("geometry")
    if geometry is None or (isinstance(geometry, Mapping) and geometry.get("type") in _SHAPES):
        return None, []
    position = _position(geometry)
    if position is None:
        mend = 'write {"type": "Point", "coordinates": [lon, lat]}'
        return None, [Fault(where, "its geometry is no place", mend)]
    return source_from_properties(
        known_properties(properties or {}),
        lat_deg=position[1],
        lon_deg=position[0],
        where=where,
        fallback_id=_member_id(item) or made_id,
        layer=origin,
    )


def _position(geometry: object) -> tuple[object, object] | None:
    if not isinstance(geometry, Mapping) or geometry.get("type") != "Point":
        return None
    coordinates = geometry.get("coordinates")
    if not isinstance(coordinates, list) or len(coordinates) < _LEAST_POSITION:
        return None
    lon, lat = coordinates[:_LEAST_POSITION]
    return None if isinstance(lon, bool) or isinstance(lat, bool) else (lon, lat)


def _member_id(item: Mapping[str, object]) -> str:
    try:
        return text_from(item.get("id"))
    except RefusedValueError:
        return ""


def _origin_of(item: object) -> str:
    properties = item.get("properties") if isinstance(item, Mapping) else None
    origin = properties.get("brought_from") if isinstance(properties, Mapping) else None
    return origin if isinstance(origin, str) else ""


def _twofold_ids(features: list[BookFeature]) -> list[Fault]:
    first: dict[str, int] = {}
    faults = []
    for number, feature in enumerate(features, start=1):
        if feature.source is None:
            continue
        earlier = first.setdefault(feature.source.id, number)
        if earlier != number:
            what = f"has the id {shown(feature.source.id)}, as has feature {earlier}"
            faults.append(Fault(f"feature {number}", what, "give each source an id of its own"))
    return faults
