"""Checks that several tables of a trip file ask for alike."""

from __future__ import annotations

from longdry.model.trip_file.key import TripSection
from longdry.model.words import Travel
from longdry.reading.trip.tables import TripFaults, TripTable, TripTables
from longdry.reading.trip.values import as_written


def number_of(table: TripTable, name: str) -> float | None:
    """Return a number as written, else its default; None where it is faulty or has none."""
    value = table.values.get(name)
    if name not in table.written:
        value = table.section.key(name).default_for(Travel.FOOT)
    return float(value) if isinstance(value, int | float) else None


def values_differ(
    tables: TripTables, faults: TripFaults, section: TripSection, key: str, mend: str
) -> None:
    """Add a fault for each table of a section whose value of ``key`` an earlier one has."""
    seen: dict[object, int] = {}
    for table in tables.all(section):
        value = table.values.get(key)
        if value is not None and value in seen:
            faults.add(
                (section, table.number, key),
                f"{as_written(value)} is already the {key} of {section.heading} {seen[value]}",
                mend,
            )
        seen.setdefault(value, table.number)


def forward_spans(
    tables: TripTables, faults: TripFaults, section: TripSection
) -> list[tuple[float, float, int]]:
    """Return begin, end (km) and number of each table that runs forward; the others are faults."""
    spans: list[tuple[float, float, int]] = []
    for table in tables.all(section):
        begin, end = number_of(table, "from_km"), number_of(table, "to_km")
        if begin is None or end is None:
            continue
        if end > begin:
            spans.append((begin, end, table.number))
            continue
        faults.add(
            (section, table.number, "to_km"),
            f"{end:g} km is not beyond from_km, {begin:g} km",
            "write sections in the direction of travel, from_km before to_km",
        )
    return spans
