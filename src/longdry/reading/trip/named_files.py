"""Files that a trip file names: the table of heat and the layer of ground."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from longdry.model.trip.ground import GroundFeature
from longdry.model.trip_file.key import TripSection
from longdry.model.trip_file.keys import PACE
from longdry.model.trip_file.keys_heat import HEAT, HEAT_MONTH, HEAT_SECTION
from longdry.reading.trip.ground_layer import read_ground
from longdry.reading.trip.heat_table import read_heat_table
from longdry.reading.trip.tables import TripTable, TripTables


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
