"""From a trip file to a trip."""

from __future__ import annotations

import os
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from longdry.errors import Fault, TripFileError
from longdry.model.trip.ground import GroundFeature
from longdry.model.trip.trip import Trip
from longdry.model.trip_file.key import TripSection
from longdry.model.trip_file.keys import PACE
from longdry.model.trip_file.keys_heat import HEAT, HEAT_MONTH, HEAT_SECTION
from longdry.plain_text import BYTE_ORDER_MARK
from longdry.reading.files.toml_text import toml_fault
from longdry.reading.trip.building import build_trip
from longdry.reading.trip.checks import check_together
from longdry.reading.trip.ground_layer import read_ground
from longdry.reading.trip.heat_table import read_heat_table
from longdry.reading.trip.tables import (
    TripFaults,
    TripTable,
    TripTables,
    lines_of,
    tables_of,
    with_seconds,
)

LARGEST_BYTES = 1_000_000


def read_trip(path: str | os.PathLike[str] | None) -> Trip:
    """Read a trip file; without one, every key takes its default.

    Parameters
    ----------
    path
        A TOML file, or None.

    Raises
    ------
    TripFileError
        Where the file cannot be read, is no TOML, or holds what cannot be; all faults at once.

    Examples
    --------
    >>> trip = read_trip(None)
    >>> trip.pace.travel.value, trip.pace.speed_kmh, trip.containers
    ('foot', 4.0, ())
    """
    if path is None:
        return build_trip(TripTables({}), origin="")
    origin = os.fspath(path)
    text = _text_of(Path(path), origin)
    return trip_from_text(text, origin=origin, folder=Path(path).parent)


def files_named_in_trip(path: str | os.PathLike[str]) -> tuple[Path, ...]:
    """Return the files that a trip file names and that are read with it.

    Raises
    ------
    TripFileError
        Where the file cannot be read or is no TOML.
    """
    origin = os.fspath(path)
    return files_named_in_text(
        _text_of(Path(path), origin), origin=origin, folder=Path(path).parent
    )


def files_named_in_text(text: str, *, origin: str, folder: Path) -> tuple[Path, ...]:
    """Return the files that the text of a trip file names, found from ``folder``.

    Raises
    ------
    TripFileError
        Where the text is no TOML.
    """
    data = _parsed(text.removeprefix(BYTE_ORDER_MARK), origin)
    return files_named(tables_of(data, TripFaults(lines_of(""))), folder)


def trip_from_text(text: str, *, origin: str, folder: Path | None = None) -> Trip:
    r"""Read a trip from the text of a trip file.

    Parameters
    ----------
    text
        TOML 1.0, where the departure may also do without its seconds.
    origin
        What messages call the text, such as the name of its file.
    folder
        Where the files that the text names are looked for; None: they are not read.

    Raises
    ------
    TripFileError
        Where the text is no TOML or holds what cannot be; all faults at once.

    Examples
    --------
    >>> trip_from_text("[party]\npeople = 3", origin="trip.toml").party.people
    3
    """
    text = text.removeprefix(BYTE_ORDER_MARK)
    faults = TripFaults(lines_of(text))
    tables = tables_of(_parsed(text, origin), faults)
    check_together(tables, faults)
    if faults.faults:
        raise TripFileError(origin, faults.faults)
    return _with_files(tables, folder, origin) if folder else build_trip(tables, origin=origin)


def _with_files(tables: TripTables, folder: Path, origin: str) -> Trip:

    brought = brought_files(tables, folder)
    tables = with_heat_rows(tables, brought)
    return build_trip(tables, origin=origin, ground=brought.ground)


def _parsed(text: str, origin: str) -> Mapping[str, object]:

    try:
        return tomllib.loads(with_seconds(text))
    except (ValueError, RecursionError) as error:
        raise TripFileError(origin, [toml_fault(error, text)]) from error


def _text_of(path: Path, origin: str) -> str:
    try:
        with path.open("rb") as file:
            content = file.read(LARGEST_BYTES + 1)
    except FileNotFoundError as error:
        raise _unreadable(origin, "there is no such file", "check the name") from error
    except IsADirectoryError as error:
        raise _unreadable(origin, "this is a folder", "name the trip file in it") from error
    except (OSError, ValueError) as error:
        reason = (getattr(error, "strerror", None) or str(error)).lower()
        mend = "check its name and that you may read it"
        raise _unreadable(origin, f"the file cannot be read ({reason})", mend) from error
    if len(content) > LARGEST_BYTES:
        what = f"the file is larger than {LARGEST_BYTES // 1_000_000} MB"
        raise _unreadable(origin, what, "check that it is a trip file and not another one")
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        what = f"the byte {content[error.start]:#04x} in line {line} is not UTF-8 text"
        raise _unreadable(origin, what, "save the file as UTF-8 text") from error


def _unreadable(origin: str, what: str, mend: str) -> TripFileError:
    return TripFileError(origin, [Fault("", what, mend)])


@dataclass(frozen=True, slots=True)
class Brought:
    """What the files hold."""

    heat_rows: tuple[TripTable, ...] = ()
    ground: tuple[GroundFeature, ...] = ()


def brought_files(tables: TripTables, folder: Path) -> Brought:
    """Read the files that a trip names, found from ``folder``.

    Raises
    ------
    TripFileError
        Where one of them cannot be used; it is named in the message.
    """
    heat, ground = _named(tables, HEAT, "table"), _named(tables, PACE, "ground")
    rows = read_heat_table(folder / heat) if heat else ()
    if not ground:
        return Brought(rows)

    return Brought(rows, read_ground(folder / ground))


def files_named(tables: TripTables, folder: Path) -> tuple[Path, ...]:
    """Return the files that the tables name, found from ``folder``."""
    names = _named(tables, HEAT, "table"), _named(tables, PACE, "ground")
    return tuple(folder / name for name in names if name)


def _named(tables: TripTables, section: TripSection, key: str) -> str:
    return str(tables.one(section).values.get(key, ""))


def with_heat_rows(tables: TripTables, brought: Brought) -> TripTables:
    """Return the tables with the rows of the heat table beside those of the trip file."""
    if not brought.heat_rows:
        return tables
    by_section = dict(tables.by_section)
    for section in (HEAT_MONTH, HEAT_SECTION):
        rows = tuple(row for row in brought.heat_rows if row.section is section)
        by_section[section.name] = (*tables.all(section), *rows)
    return TripTables(by_section)
