"""The trip file as a form: its keys from the one table of trip keys, its values from the file."""

from __future__ import annotations

import datetime as dt
import math
import re
import tomllib
from collections.abc import Mapping, Sequence
from pathlib import Path

from longdry.desk.choice import new_plan_text
from longdry.desk.desk import Desk
from longdry.desk.folder import NO_FILE, version_of
from longdry.desk.refusals import (
    CANNOT_BE,
    RefusedError,
    TripFaultsError,
    trip_fault_json,
)
from longdry.desk.trip_text import TripChange, change_from, changed_trip_text
from longdry.doing.plan_file import PLAN_FILE
from longdry.errors import Fault, LongdryError, TripFileError
from longdry.model.trip_file.key import TripKey, TripSection
from longdry.model.trip_file.keys import SECTIONS
from longdry.model.words import Travel
from longdry.plain_text import BYTE_ORDER_MARK
from longdry.reading.trip.tables import with_seconds
from longdry.reading.trip.trip_file import files_named_in_text, trip_from_text
from longdry.showing.exports.new_trip import new_trip_text
from longdry.showing.figures.figure import Json

TRIP_FILE = "trip.toml"
"""What a new trip file is called."""
_LINE = re.compile(r" \(line \d+\)$")


def trip_json(desk: Desk) -> Json:
    """Return the form: all sections and keys, the values of the file, and what is wrong in it."""
    name = _trip_name(desk)
    text = _text_of(desk, name)
    return {
        "file": name,
        "version": version_of(text.encode()) if text is not None else NO_FILE,
        **desk.versions_json(),
        "sections": _sections(),
        "values": _values_in(text or ""),
        "faults": [trip_fault_json(name, fault) for fault in _faults_in(text or "", desk, name)],
    }


def change_trip(desk: Desk, wish: Mapping[str, object]) -> Json:
    """Change the trip file as the form wishes, all changes or none.

    Raises
    ------
    RefusedError
        A change cannot be, or somebody else has changed the file meanwhile.
    TripFaultsError
        A value cannot be; each fault is told with its field.
    """
    wishes = wish.get("changes")
    if not isinstance(wishes, list) or not wishes:
        raise RefusedError(CANNOT_BE, "", "no change is wished", "load the page again")
    changes = [change_from(one) for one in wishes]
    name = _trip_name(desk)
    with desk.changing:
        desk.check_version(name, wish.get("version"))
        old = _text_of(desk, name)
        new = changed_trip_text(old or "", changes)
        _refuse_files_outside(desk, name, new)
        _refuse_new_faults(desk, name, old or "", new, changes)
        desk.write(name, new, version_of(old.encode()) if old is not None else NO_FILE)
        _choose(desk, name)
    return trip_json(desk)


def _refuse_new_faults(
    desk: Desk, name: str, old: str, new: str, changes: Sequence[TripChange]
) -> None:
    """Refuse what makes the file worse; what was wrong before may be mended key by key."""
    before = {_without_line(fault) for fault in _faults_in(old, desk, name)}
    added = [one for one in _faults_in(new, desk, name) if _without_line(one) not in before]
    allowed = {change.section.name for change in changes if change.adds and _is_blank(change)}
    of_changes = {change.section.name for change in changes} - allowed
    faults = [
        fault
        for fault in added
        if trip_fault_json(name, fault)["section"] in of_changes or not (before or allowed)
    ]
    if faults:
        raise TripFaultsError(name, faults)


def _is_blank(change: TripChange) -> bool:
    return all(isinstance(value, str) and value.startswith("_") for value in change.values.values())


def _without_line(fault: Fault) -> tuple[str, str]:
    return _LINE.sub("", fault.where), fault.what


def _choose(desk: Desk, name: str) -> None:
    """Take the trip file into the plan, where that takes none by itself."""
    choice = desk.planner.choice()
    if choice.options is not None and choice.options.trip is None:
        desk.write(PLAN_FILE, new_plan_text(desk.folder, choice, {"trip": name}), None)


def _trip_name(desk: Desk) -> str:
    options = desk.planner.choice().options
    return desk.folder.name_of(options.trip) if options and options.trip else TRIP_FILE


def _text_of(desk: Desk, name: str) -> str | None:
    place = desk.folder.place(name)
    if not place.exists():
        return None
    try:
        return place.read_bytes().decode("utf-8")
    except UnicodeDecodeError:
        what = "is not UTF-8 text"
        raise RefusedError(CANNOT_BE, name, what, "save the file as UTF-8 text") from None


def _refuse_files_outside(desk: Desk, name: str, text: str) -> None:
    """Refuse a trip file that has a file read which lies outside the folder."""
    folder = desk.folder.place(name).parent
    for path in files_named_in_text(text, origin=name, folder=folder):
        desk.folder.place_of(path)


def _faults_in(text: str, desk: Desk, name: str) -> tuple[Fault, ...]:
    place: Path = desk.folder.place(name)
    try:
        _refuse_files_outside(desk, name, text)
        trip_from_text(text, origin=name, folder=place.parent)
    except TripFileError as error:
        if error.origin == name:
            return error.faults
        return tuple(Fault("", f"{error.origin}: {fault}", fault.mend) for fault in error.faults)
    except RefusedError as refused:
        return (refused.fault,)
    except LongdryError as error:
        return (Fault("", str(error).rstrip("."), "mend the file that the trip names"),)
    return ()


def _values_in(text: str) -> Json:
    try:
        data = tomllib.loads(with_seconds(text.removeprefix(BYTE_ORDER_MARK)))
    except (tomllib.TOMLDecodeError, ValueError, RecursionError):
        return {}
    tables: Json = {
        "": {name: _plain(data[name]) for name in SECTIONS[0].key_names if name in data}
    }
    for section in SECTIONS:
        found = data.get(section.name) if section.name else None
        if section.many and isinstance(found, list):
            tables[section.name] = [_plain(one) for one in found if isinstance(one, dict)]
        elif not section.many and isinstance(found, dict):
            tables[section.name] = _plain(found)
    return tables


def _plain(value: object) -> object:
    """Return a value of TOML as JSON holds it."""
    if isinstance(value, dict):
        return {key: _plain(one) for key, one in value.items()}
    if isinstance(value, list):
        return [_plain(one) for one in value]
    if isinstance(value, dt.datetime):
        return value.isoformat(timespec="minutes" if not value.second else "auto")
    if isinstance(value, dt.date | dt.time):
        return value.isoformat()
    if isinstance(value, float) and not math.isfinite(value):
        return str(value)
    return value


_USUAL = {travel: tomllib.loads(new_trip_text(travel)) for travel in Travel}


def _is_usual(section: TripSection, key: TripKey) -> bool:
    """Whether a new trip file asks for the key."""
    for file in _USUAL.values():
        table = file if not section.name else file.get(section.name, {})
        tables = table if isinstance(table, list) else [table]
        if any(key.name in one for one in tables):
            return True
    return False


def _sections() -> list[Json]:
    return [
        {
            "name": section.name,
            "heading": section.heading,
            "help": section.help,
            "many": section.many,
            "usual": any(_is_usual(section, key) for key in section.keys),
            "one_of": [list(group) for group in section.one_of],
            "any_of": list(section.any_of),
            "keys": [_key(section, key) for key in section.keys],
        }
        for section in SECTIONS
    ]


def _key(section: TripSection, key: TripKey) -> Json:
    default = key.default
    return {
        "name": key.name,
        "label": key.label,
        "help": key.help,
        "kind": key.kind,
        "unit": key.unit,
        "default": {str(way): _shown(value) for way, value in default.items()}
        if isinstance(default, Mapping)
        else _shown(default),
        "if_absent": key.if_absent,
        "why": key.why,
        "words": [str(word) for word in key.words],
        "range": {"low": key.range.low, "high": key.range.high, "above": key.range.above}
        if key.range
        else None,
        "required": key.required,
        "usual": _is_usual(section, key),
    }


def _shown(value: object) -> object:
    return list(value) if isinstance(value, tuple) else value
