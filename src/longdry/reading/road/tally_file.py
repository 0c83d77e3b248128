"""The tally file: one reading a line, each a JSON object (JSON Lines)."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TypeVar

from longdry.errors import Fault, TallyError, UsageError
from longdry.model.trip.tally import LitresLeft, NewSource, TallyEntry
from longdry.model.words import Grade
from longdry.reading.files.coordinates import in_range
from longdry.reading.files.faults import FaultList
from longdry.reading.files.json_text import strict_json
from longdry.reading.files.opening import file_text
from longdry.reading.road.readings import MOST_L, local_time_from, refuse_twice
from longdry.reading.water.values import (
    RefusedValueError,
    amount_from,
    note_from,
    number_from,
    shown,
    word_from,
)
from longdry.reading.water.visits import FOUND, GRADES

TALLY_ENDING = ".tally.json"
_Value = TypeVar("_Value")


def read_tally(path: Path) -> tuple[TallyEntry, ...]:
    """Read the readings in the order of the file; keys that are not known are passed over.

    Raises
    ------
    TallyError
        One sentence for each fault: file, line, what is wrong, how to mend it.
    """
    return tally_from_text(file_text(path, error=TallyError), origin=str(path))


def tally_from_text(text: str, *, origin: str) -> tuple[TallyEntry, ...]:
    """Read a tally from its text; an empty one has no readings.

    Raises
    ------
    TallyError
        One sentence for each fault.

    Examples
    --------
    >>> tally_from_text("", origin="trip.tally.json")
    ()
    """
    faults = FaultList()
    entries: list[TallyEntry] = []
    for number, line in enumerate(text.split("\n"), start=1):
        if line.strip():
            try:
                entries.append(_entry_from(line))
            except RefusedValueError as refused:
                faults.add([Fault(f"line {number}", refused.what, refused.mend)])
    faults.raise_any(origin, TallyError)
    return tuple(entries)


_MEND = "take the line out, or write it again with longdry tally"


def _entry_from(line: str) -> TallyEntry:
    try:
        item = strict_json(line)
    except (json.JSONDecodeError, ValueError, RecursionError):
        raise RefusedValueError("this is no reading (a JSON object)", _MEND) from None
    if not isinstance(item, dict):
        raise RefusedValueError("this is no reading (a JSON object)", _MEND)
    return entry_from(item)


def entry_from(item: Mapping[str, object]) -> TallyEntry:
    """Read one reading.

    Raises
    ------
    RefusedValueError
        For the first value that cannot be.
    """
    if item.get("at") is None:
        raise RefusedValueError("at is missing", "write the local time as in the other lines")
    try:
        at = local_time_from(str(item["at"]), "at")
    except UsageError as error:
        raise RefusedValueError(f"at: {error.faults[0].what}", error.faults[0].mend) from None
    found = _read(item, "found", lambda value: word_from(value, FOUND))
    new = item.get("new_source")
    entry = TallyEntry(
        at=at,
        km=_read(item, "km", lambda value: amount_from(value, "km")),
        left=_lefts(item.get("left")),
        took_l=_read(item, "took_l", _litres),
        source=_read(item, "source", note_from) or "",
        lost_l=_read(item, "lost_l", _litres),
        why=_read(item, "why", note_from) or "",
        found=found.value if found else "",
        new_source=_new_source(new) if new is not None else None,
        note=_read(item, "note", note_from) or "",
    )
    if (entry.took_l or entry.found) and not (entry.source or entry.new_source):
        what = "water was taken or found, and no source is named"
        raise RefusedValueError(what, 'name it, as "source": "Old Bore"')
    return entry


def _read(item: Mapping[str, object], name: str, read: Callable[[object], _Value]) -> _Value | None:
    value = item.get(name)
    if value is None:
        return None
    try:
        return read(value)
    except RefusedValueError as refused:
        raise RefusedValueError(f"{name} {refused.what}", refused.mend) from None


def _litres(value: object) -> float | None:
    litres = amount_from(value, "litres")
    if litres is not None and litres > MOST_L:
        what = f"is {shown(value)}, more than there can be"
        raise RefusedValueError(what, f"write litres, {MOST_L:.0f} at the most")
    return litres


def _lefts(value: object) -> tuple[LitresLeft, ...]:
    if value is None:
        return ()
    if not isinstance(value, list):
        value = [{"litres": value}]
    found = tuple(_left(one) for one in value)
    try:
        refuse_twice(found, "left")
    except UsageError as error:
        raise RefusedValueError(f"left: {error.faults[0].what}", error.faults[0].mend) from None
    return found


def _left(value: object) -> LitresLeft:
    if not isinstance(value, Mapping):
        raise RefusedValueError(f"left holds {shown(value)}", 'write {"litres": 61}')
    litres = _read(value, "litres", _litres)
    if litres is None:
        raise RefusedValueError("left says no litres", 'write {"litres": 61}')
    grade = _read(value, "grade", lambda one: word_from(one, GRADES))
    return LitresLeft(litres, _read(value, "container", note_from) or "", grade)


def _new_source(value: object) -> NewSource:
    if not isinstance(value, Mapping):
        raise RefusedValueError(f"new_source is {shown(value)}", "give its name, lat and lon")
    name = _read(value, "name", note_from)
    lat_deg = _read(value, "lat", lambda one: number_from(one, "degrees"))
    lon_deg = _read(value, "lon", lambda one: number_from(one, "degrees"))
    if not name or lat_deg is None or lon_deg is None or not in_range(lat_deg, lon_deg):
        raise RefusedValueError("new_source has no name or no place", "give its name, lat and lon")
    return NewSource(name, lat_deg, lon_deg)


def line_of(entry: TallyEntry) -> str:
    """Return a reading as the line of a tally file, with its end."""
    item: dict[str, object] = {"at": entry.at.isoformat(timespec="minutes"), "km": entry.km}
    item["left"] = [
        {"litres": one.litres, "container": one.container or None, "grade": _word(one.grade)}
        for one in entry.left
    ]
    for name in ("took_l", "source", "lost_l", "why", "found", "note"):
        item[name] = getattr(entry, name)
    if new := entry.new_source:
        item["new_source"] = {"name": new.name, "lat": new.lat_deg, "lon": new.lon_deg}
    told = {name: _bare(value) for name, value in item.items() if value not in (None, "", [])}
    return json.dumps(told, ensure_ascii=False) + "\n"


def _bare(value: object) -> object:
    if isinstance(value, list):
        return [{name: one for name, one in row.items() if one is not None} for row in value]
    return value


def _word(grade: Grade | None) -> str | None:
    return grade.value if grade else None
