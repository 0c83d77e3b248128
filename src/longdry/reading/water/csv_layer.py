"""Tables of sources: a header with lat and lon, apart by commas, semicolons or tabs."""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from pathlib import Path
from types import MappingProxyType

from longdry.errors import Fault, WaterLayerError
from longdry.reading.water.raw import RawFeature, RawLayer, placeless
from longdry.reading.water.source import field_of
from longdry.reading.water.values import shown

LATITUDES = ("lat", "latitude")
LONGITUDES = ("lon", "longitude")
_SEPARATORS = ",;\t"
_AMOUNTS = (
    "flow_l_per_min", "limit_l", "tds_mg_per_l", "open_from_hour", "open_to_hour", "cost_per_l",
    *LATITUDES, *LONGITUDES,
)  # fmt: skip
_DECIMAL_COMMA = re.compile(r"\s*[+-]?\d+,\d+\s*", re.ASCII)
_HEADER_MEND = "begin the table with a line that names its columns, lat and lon among them"

_Row = tuple[int, list[str]]
_NOTHING_RENAMED: Mapping[str, str] = MappingProxyType({})


class _BrokenRowError(Exception):
    """A row that cannot be taken apart."""

    def __init__(self, where: str, what: str) -> None:
        super().__init__(what)
        self.where = where
        self.what = what


def read_csv_layer(
    text: str, path: Path, *, renamed: Mapping[str, str] = _NOTHING_RENAMED
) -> RawLayer:
    """Return the features of a table.

    ``renamed`` tells what a column of another name is read as, where none has that name already.
    A decimal comma is taken where the columns are apart by semicolons or tabs, and told.

    Raises
    ------
    WaterLayerError
        If the header lacks lat or lon, names a column twice, or the quoting is broken.
    """
    separator = separator_of(text)
    try:
        rows = list(_rows(text, separator))
    except _BrokenRowError as cause:
        raise WaterLayerError.single(
            str(path), cause.where, cause.what, "check the quotes, or export it again"
        ) from cause
    header = [_plain(name) for name in rows[0][1]] if rows else []
    known = frozenset(header)
    header = [_renamed(name, renamed, known) for name in header]
    _check_header(header, path)
    body, commas = (rows[1:], 0) if separator == "," else _with_points(header, rows[1:])
    features = [_feature(header, row) for row in body]
    return RawLayer(features, (_comma_remark(commas),) if commas else ())


def separator_of(text: str) -> str:
    """Return the separator that finds lat and lon in the first line, or most columns."""
    first = next((line for line in text.splitlines() if line.strip()), "")
    return max(_SEPARATORS, key=lambda separator: _header_worth(first, separator))


def has_place_columns(text: str) -> bool:
    """Whether the first line names lat and lon."""
    first = next((line for line in text.splitlines() if line.strip()), "")
    return _header_worth(first, separator_of(text))[0] == len(("lat", "lon"))


def _header_worth(line: str, separator: str) -> tuple[int, int]:
    try:
        names = [_plain(name) for name in next(csv.reader([line], delimiter=separator), [])]
    except csv.Error:
        return 0, 0
    found = any(name in LATITUDES for name in names) + any(name in LONGITUDES for name in names)
    return found, len(names)


def _plain(name: str) -> str:
    return name.strip().lower()


def _renamed(name: str, renamed: Mapping[str, str], known: AbstractSet[str]) -> str:
    new = renamed.get(name, name)
    return name if new in known else new


def _rows(text: str, separator: str) -> Iterator[_Row]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    line = 1
    try:
        for fields in reader:
            if any(field.strip() for field in fields):
                yield line, fields
            line = reader.line_num + 1
    except csv.Error as cause:
        raise _BrokenRowError(f"line {line}", f"is no table from here on ({cause})") from cause


def _check_header(header: Sequence[str], path: Path) -> None:
    faults = []
    for names in (LATITUDES, LONGITUDES):
        found = [name for name in header if name in names]
        if not found:
            words = " or ".join(names)
            faults.append(Fault("line 1", f"has no column {words}", _HEADER_MEND))
        elif len(found) > 1:
            faults.append(Fault("line 1", f"has the columns {', '.join(found)}", "keep one"))
    meant = [field for field in map(field_of, header) if field]
    twice = sorted(field for field, count in Counter(meant).items() if count > 1)
    faults += [Fault("line 1", f"has more than one column {name}", "keep one") for name in twice]
    if faults:
        raise WaterLayerError(str(path), faults)


def _with_points(header: Sequence[str], rows: Sequence[_Row]) -> tuple[list[_Row], int]:
    amounts = [
        column
        for column, name in enumerate(header)
        if name in _AMOUNTS or field_of(name) in _AMOUNTS
    ]
    count = 0
    for _, fields in rows:
        for column in amounts:
            if column < len(fields) and _DECIMAL_COMMA.fullmatch(fields[column]):
                fields[column] = fields[column].replace(",", ".")
                count += 1
    return list(rows), count


def _comma_remark(count: int) -> str:
    values = "one number is" if count == 1 else f"{count} numbers are"
    return f"{values} written with a decimal comma, which was read as a decimal point"


def _feature(header: Sequence[str], row: _Row) -> RawFeature:
    line, fields = row
    where = f"line {line}"
    known = dict(zip(header, fields, strict=False))
    if len(fields) != len(header):
        what = f"has {len(fields)} fields where the header has {len(header)}"
        mend = "quote fields that hold the separator, and give each line as many as the header"
        return placeless(where, {"name": shown(known.get("name", "")).strip('"')}, what, mend)
    lat = next(known[name] for name in LATITUDES if name in known)
    lon = next(known[name] for name in LONGITUDES if name in known)
    return RawFeature(where, lon, lat, known)
