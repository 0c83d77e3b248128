"""Tables of sources: a header with the places, apart by commas, semicolons or tabs."""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import shapely

from longdry.errors import Fault, WaterLayerError
from longdry.reading.files.coordinates import DECIMAL_COMMA
from longdry.reading.files.text import TABLE_SEPARATORS
from longdry.reading.water.columns import (
    PlaceColumns,
    has_metric_columns,
    pair_in,
    place_columns,
)
from longdry.reading.water.raw import (
    LeftOut,
    NoPlaceError,
    RawFeature,
    RawLayer,
    area_remark,
    empty_place,
    placeless,
    refused_place,
    within_area,
    wrong_shape,
)
from longdry.reading.water.source import field_of
from longdry.reading.water.values import shown
from longdry.reading.water.vocabularies import is_empty_word

_AMOUNTS = (
    "flow_l_per_min", "limit_l", "tds_mg_per_l", "open_from_hour", "open_to_hour", "cost_per_l",
)  # fmt: skip
_HEADER_MEND = (
    "name the columns of the places lat and lon, or say in a --fields file which they are"
    " (longdry bring BOOK TABLE --propose-fields FILE writes one to fill in)"
)
_METRIC_MEND = 'say in which, in a --fields file: crs = "EPSG:28355", for example'
_MOST_NAMED = 15
BROKEN_MEND = "check the quotes, or export it again"

_WKT_SHAPE = re.compile(
    r"\s*(?:SRID=4326;)?((?:MULTI)?(?:LINESTRING|POLYGON|POINT)|GEOMETRYCOLLECTION)\b",
    re.IGNORECASE,
)
"""Well-known text (OGC 06-103r4) of what is no point."""

_Row = tuple[int, list[str]]


@dataclass(frozen=True, slots=True)
class TablePlaces:
    """How the user says that a table tells places."""

    columns: Mapping[str, str] = field(default_factory=dict)
    """'lat', 'lon', 'easting', 'northing' -> the column, in small letters."""
    crs: str = ""
    """Their reference system; empty: WGS 84."""

    def found_in(self, header: Sequence[str]) -> PlaceColumns | None:
        """Return the columns that tell places; None where there are none."""
        by_plain = {name.strip().lower(): name for name in header}
        y = by_plain.get(self.columns.get("lat") or self.columns.get("northing") or "", "")
        x = by_plain.get(self.columns.get("lon") or self.columns.get("easting") or "", "")
        if y and x:
            return PlaceColumns(y, x, usual=False)
        return place_columns(header, metric=bool(self.crs))


class BrokenRowError(Exception):
    """A row that cannot be taken apart."""

    def __init__(self, where: str, what: str) -> None:
        super().__init__(what)
        self.where = where
        self.what = what


def read_csv_layer(text: str, path: Path, *, places: TablePlaces | None = None) -> RawLayer:
    """Return the features of a table.

    Columns of usual names are taken for places, and told. A decimal comma is taken where the
    columns are apart by semicolons or tabs, and told.

    Raises
    ------
    WaterLayerError
        If the header has no columns of places, names a column twice, or the quoting is broken.
    """
    separator = separator_of(text)
    try:
        rows = list(_rows(text, separator))
    except BrokenRowError as cause:
        raise WaterLayerError.single(str(path), cause.where, cause.what, BROKEN_MEND) from cause
    header = [name.strip() for name in rows[0][1]] if rows else []
    places = places or TablePlaces()
    found = places.found_in(header)
    faults = _faults_in(header)
    if found is None:
        faults.insert(0, _placeless_header(header))
    if faults or found is None:
        raise WaterLayerError(str(path), faults)
    body, commas = (rows[1:], 0) if separator == "," else _with_points(header, rows[1:], found)
    features = [_feature(header, row, found) for row in body]
    areas = sum(1 for one in features if not one.wrong_place and isinstance(one.x, float))
    told = [area_remark(areas)] if areas else []
    return RawLayer(features, (*_remarks(found, commas), *told), crs=places.crs)


def _remarks(found: PlaceColumns, commas: int) -> Iterator[str]:
    if found.usual:
        columns = " and ".join(shown(name) for name in found.names)
        yield f"places are read from {columns}"
    if commas:
        values = "one number is" if commas == 1 else f"{commas} numbers are"
        yield f"{values} written with a decimal comma, which was read as a decimal point"


def separator_of(text: str) -> str:
    """Return the separator that finds places in the first line, or most columns."""
    first = next((line for line in text.splitlines() if line.strip()), "")
    return max(TABLE_SEPARATORS, key=lambda separator: _header_worth(first, separator))


def rows_of(text: str) -> list[dict[str, str]]:
    r"""Return what each row tells by its columns, whether they tell places or not.

    >>> rows_of("site;owner\nOld Bore;shire")
    [{'site': 'Old Bore', 'owner': 'shire'}]
    """
    header, *rows = [row for _, row in _rows(text, separator_of(text))] or [[]]
    names = [name.strip() for name in header]
    return [dict(zip(names, row, strict=False)) for row in rows]


def header_of(text: str) -> list[str]:
    """Return the names of the columns.

    >>> header_of("site;lat;lon")
    ['site', 'lat', 'lon']
    """
    first = next(iter(_rows(text, separator_of(text))), (1, []))
    return [name.strip() for name in first[1]]


def has_place_columns(text: str) -> bool:
    """Whether the first line names columns of places."""
    first = next((line for line in text.splitlines() if line.strip()), "")
    return _header_worth(first, separator_of(text))[0]


def _header_worth(line: str, separator: str) -> tuple[bool, int]:
    try:
        names = [name.strip() for name in next(csv.reader([line], delimiter=separator), [])]
    except csv.Error:
        return False, 0
    return place_columns(names, metric=False) is not None or has_metric_columns(names), len(names)


def _rows(text: str, separator: str) -> Iterator[_Row]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    line = 1
    try:
        for fields in reader:
            if any(cell.strip() for cell in fields):
                yield line, fields
            line = reader.line_num + 1
    except csv.Error as cause:
        raise BrokenRowError(f"line {line}", f"is no table from here on ({cause})") from cause


def _placeless_header(header: Sequence[str]) -> Fault:
    names = ", ".join(shown(name).strip('"') for name in header[:_MOST_NAMED] if name) or "nothing"
    if has_metric_columns(header):
        what = f"has eastings and northings in no known reference system (columns: {names})"
        return Fault("line 1", what, _METRIC_MEND)
    return Fault("line 1", f"has no columns of places (columns: {names})", _HEADER_MEND)


def _faults_in(header: Sequence[str]) -> list[Fault]:
    faults = []
    for names in (("lat", "latitude"), ("lon", "longitude")):
        found = [name for name in header if name.lower() in names]
        if len(found) > 1:
            faults.append(Fault("line 1", f"has the columns {', '.join(found)}", "keep one"))
    meant = [ours for ours in map(field_of, header) if ours]
    twice = sorted(ours for ours, count in Counter(meant).items() if count > 1)
    return faults + [Fault("line 1", f"has more than one column {name}", "keep one")
                     for name in twice]  # fmt: skip


def _with_points(
    header: Sequence[str], rows: Sequence[_Row], found: PlaceColumns
) -> tuple[list[_Row], int]:
    amounts = [
        column
        for column, name in enumerate(header)
        if (name in found.names and not found.together) or field_of(name) in _AMOUNTS
    ]
    count = 0
    for _, fields in rows:
        for column in amounts:
            if column < len(fields) and DECIMAL_COMMA.fullmatch(fields[column]):
                fields[column] = fields[column].replace(",", ".")
                count += 1
    return list(rows), count


def _feature(header: Sequence[str], row: _Row, found: PlaceColumns) -> RawFeature:
    line, fields = row
    where = f"line {line}"
    known = dict(zip(header, fields, strict=False))
    if len(fields) != len(header):
        what = f"has {len(fields)} fields where the header has {len(header)}"
        mend = "quote fields that hold the separator, and give each line as many as the header"
        name = next((value for key, value in known.items() if field_of(key) == "name"), "")
        return placeless(where, {"name": shown(name).strip('"')}, what, mend)
    theirs = {key: value for key, value in known.items() if key not in found.names}
    cells = [known[name] for name in found.names]
    empty = [not cell.strip() or is_empty_word(cell) for cell in cells]
    if any(empty):
        why = LeftOut.NO_PLACE if all(empty) else LeftOut.HALF
        return placeless(where, theirs, f"has {why}", "give its place")._replace(left_out=why)
    if not found.together:
        return RawFeature(where, cells[1], cells[0], theirs)
    try:
        lat, lon = pair_in(cells[0]) or _place_of_shape(cells[0], found.together)
    except NoPlaceError as no_place:
        return refused_place(where, theirs, no_place)
    return RawFeature(where, lon, lat, theirs)


def _place_of_shape(cell: str, column: str) -> tuple[float, float]:
    """Return latitude and longitude inside an area as well-known text."""
    kind = _WKT_SHAPE.match(cell)
    if kind is None:
        what = f"{shown(cell)} in {shown(column)} is no place"
        raise NoPlaceError(what, 'write "lat, lon" in decimal degrees')
    if not kind[1].upper().endswith("POLYGON"):
        raise wrong_shape(kind[1])
    area = shapely.from_wkt(cell[kind.start(1) :], on_invalid="ignore")
    if area is None or area.is_empty:
        raise empty_place("is an area that cannot be built")
    lon, lat = within_area(area)
    return lat, lon
