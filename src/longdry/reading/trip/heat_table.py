"""The heat to expect, from a table (CSV) that the user brings: a row for a month or a section."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from pathlib import Path

from longdry.errors import Fault, TripFileError
from longdry.like_names import nearest_name
from longdry.model.trip_file.key import Kind, TripKey, TripSection
from longdry.model.trip_file.keys_heat import HEAT_MONTH, HEAT_SECTION
from longdry.reading.files.opening import file_text
from longdry.reading.files.text import TABLE_SEPARATORS
from longdry.reading.trip.tables import TripTable
from longdry.reading.trip.values import Checked, ValueFault, as_written, check_value

_ROWS_MEND = "give month, or from_km and to_km, and shade_max_c in every row"
_PLACES = ("month", "from_km", "to_km")
_KNOWN = tuple(dict.fromkeys((*HEAT_MONTH.key_names, *HEAT_SECTION.key_names)))


def read_heat_table(path: Path) -> tuple[TripTable, ...]:
    """Return the rows as tables of ``[[heat_month]]`` and ``[[heat_section]]``, in their order.

    The first row names the columns, apart by commas, semicolons or tabs. Empty cells are left
    out. Numbers are written with a point.

    Raises
    ------
    TripFileError
        Where the file cannot be read or holds what cannot be; all faults at once.
    """
    origin = str(path)
    rows = _rows(file_text(path, error=TripFileError), origin)
    if len(rows) <= 1:
        raise TripFileError.single(origin, "", "holds no row of figures", _ROWS_MEND)
    header = [name.strip().lower() for name in rows[0][1]]
    faults = _header_faults(header)
    tables = [] if faults else _tables(header, rows[1:], faults)
    if faults:
        raise TripFileError(origin, faults)
    return tuple(tables)


def _rows(text: str, origin: str) -> list[tuple[int, list[str]]]:
    first = text.partition("\n")[0]
    separator = max(TABLE_SEPARATORS, key=first.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    try:
        rows = [(reader.line_num, fields) for fields in reader]
    except csv.Error as cause:
        raise TripFileError.single(
            origin, "", f"is no table ({cause})", "check the quotes, or export it again"
        ) from cause
    return [
        (line, fields)
        for line, fields in rows
        if any(field.strip() for field in fields) and not fields[0].lstrip().startswith("#")
    ]


def _header_faults(header: Sequence[str]) -> list[Fault]:
    faults = []
    for name in dict.fromkeys(header):
        if name not in _KNOWN:
            close = nearest_name(name, _KNOWN)
            mend = f"the nearest is {close}" if close else "use " + ", ".join(_KNOWN)
            faults.append(Fault("line 1", f"there is no column called {as_written(name)}", mend))
        if header.count(name) > 1:
            faults.append(
                Fault("line 1", f"the column {as_written(name)} stands twice", "keep one")
            )
    if "shade_max_c" not in header:
        faults.append(Fault("line 1", "the column shade_max_c is missing", _ROWS_MEND))
    if "month" not in header and not {"from_km", "to_km"} <= set(header):
        faults.append(Fault("line 1", "no column tells where or when", _ROWS_MEND))
    return faults


def _tables(
    header: Sequence[str], rows: Sequence[tuple[int, list[str]]], faults: list[Fault]
) -> list[TripTable]:
    tables = []
    months: dict[Checked, int] = {}
    for line, fields in rows:
        table = _table(header, line, fields, faults)
        if table is None:
            continue
        tables.append(table)
        month = table.values.get("month")
        if month is not None and month in months:
            what = f"month {month} stands already in line {months[month]}"
            faults.append(Fault(f"line {line}", what, "keep one row for each month"))
        elif month is not None:
            months[month] = line
    return tables


def _table(
    header: Sequence[str], line: int, fields: Sequence[str], faults: list[Fault]
) -> TripTable | None:
    where = f"line {line}"
    if len(fields) != len(header):
        what = f"{len(fields)} cells stand under {len(header)} columns"
        faults.append(Fault(where, what, "give every row as many cells as the first"))
        return None
    cells = {
        name: field.strip() for name, field in zip(header, fields, strict=True) if field.strip()
    }
    section = HEAT_MONTH if "month" in cells else HEAT_SECTION
    here = [name for name in _PLACES if name in cells]
    missing = [key.name for key in section.keys if key.required and key.name not in cells]
    if missing or (section is HEAT_MONTH and len(here) > 1):
        what = f"{missing[0]} is missing" if missing else f"{' and '.join(here)} stand together"
        faults.append(Fault(where, what, _ROWS_MEND))
        return None
    return _checked(section, line, cells, faults)


def _checked(
    section: TripSection, line: int, cells: dict[str, str], faults: list[Fault]
) -> TripTable | None:
    values: dict[str, Checked] = {}
    before = len(faults)
    for name, text in cells.items():
        key = section.key(name)
        checked = check_value(key, _raw(key, text))
        if isinstance(checked, ValueFault):
            faults.append(Fault(f"line {line}, {name}", checked.what, checked.mend))
        else:
            values[name] = checked
    begin, end = values.get("from_km"), values.get("to_km")
    if isinstance(begin, float) and isinstance(end, float) and end <= begin:
        what = f"to_km {end:g} is not beyond from_km {begin:g}"
        faults.append(Fault(f"line {line}", what, "write from_km before to_km"))
    return TripTable(section, line, values, frozenset(values)) if len(faults) == before else None


def _raw(key: TripKey, text: str) -> object:
    """Return the number that a cell holds, else its text for the check to refuse."""
    plain = text.isascii() and "_" not in text
    if key.kind not in {Kind.NUMBER, Kind.WHOLE} or not plain:
        return text
    try:
        return int(text) if text.isdecimal() else float(text)
    except ValueError:
        return text
