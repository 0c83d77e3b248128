"""Changes in the text of a trip file: remarks, blank lines and the order of the keys stay.

What comes out is read again before it is written: it must say just what the old file said, with
the change.
"""

from __future__ import annotations

import copy
import datetime as dt
import itertools
import tomllib
from collections.abc import Mapping, MutableMapping, Sequence
from dataclasses import dataclass
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT

from longdry.desk.refusals import CANNOT_BE, RefusedError
from longdry.model.trip_file.key import BLANK, Kind, TripKey, TripSection
from longdry.model.trip_file.keys import section_called
from longdry.plain_text import BYTE_ORDER_MARK
from longdry.reading.files.coordinates import plain_number
from longdry.reading.trip.tables import with_seconds

NEW_TRIP = "# Trip file of longdry, made at the desk.\n"


@dataclass(frozen=True, slots=True)
class TripChange:
    """One wish: a key set or taken out, a table added or taken out."""

    section: TripSection
    number: int | None
    """Which table of a list, from 1; None for a single table."""
    values: Mapping[str, object]
    """Key -> value as it stands in a file; None takes the key out."""
    adds: bool = False
    removes: bool = False


def change_from(wish: object) -> TripChange:
    """Return the change that the page wishes.

    Raises
    ------
    RefusedError
        It names no section or key of a trip file.
    """
    if not isinstance(wish, Mapping):
        raise _no_wish("is no object")
    section = section_called(str(wish.get("section", "")))
    if section is None:
        raise _no_wish("names no section of a trip file")
    number = wish.get("number")
    adds, removes = wish.get("add") is True, wish.get("remove") is True
    if section.many and not adds and not (type(number) is int and number > 0):
        raise _no_wish(f"does not say which {section.heading}")
    given = _given(wish)
    if not isinstance(given, Mapping) or not all(name in section.key_names for name in given):
        raise _no_wish(f"names a key that {section.heading or 'the top'} does not have")
    values = {name: _as_in_a_file(section.key(name), value) for name, value in given.items()}
    if adds and not given:
        values = {key.name: BLANK for key in section.keys if key.required}
    which = number if section.many and isinstance(number, int) else None
    return TripChange(section, which, values, adds, removes)


def _given(wish: Mapping[str, object]) -> object:
    """Return key -> value: of several keys at once, or of one."""
    if "values" in wish:
        return wish["values"]
    return {str(wish["key"]): wish.get("value")} if "key" in wish else {}


def _no_wish(what: str) -> RefusedError:
    return RefusedError(CANNOT_BE, "", f"the change {what}", "load the page again")


def _as_in_a_file(key: TripKey, value: object) -> object:
    """Return what a form gives as it stands in TOML; what cannot be is left for the reader."""
    if not isinstance(value, str):
        return value
    text = value.strip()
    if key.kind in (Kind.NUMBER, Kind.WHOLE):
        number = plain_number(text)
        if number is None:
            return value
        return int(text) if text.removeprefix("-").isdigit() else number
    if key.kind in (Kind.MOMENT, Kind.DAY):
        return _moment(text)
    return value


def _moment(text: str) -> object:
    try:
        if len(text) == len("2027-05-03"):
            return dt.date.fromisoformat(text)
        return dt.datetime.fromisoformat(text.replace("t", "T"))
    except ValueError:
        return text


def changed_trip_text(old: str, changes: Sequence[TripChange]) -> str:
    """Return the text after the changes.

    Raises
    ------
    RefusedError
        The file is no TOML, has no such table, or cannot be changed without losing something.
    """
    text = with_seconds(old.removeprefix(BYTE_ORDER_MARK)) or NEW_TRIP
    try:
        document = tomlkit.parse(text)
        meant = tomllib.loads(text)
        for change in changes:
            _apply(document, change, written=True)
            _apply(meant, change, written=False)
        new = tomlkit.dumps(document)
        for written in (_spaced(new, text), new):
            if tomllib.loads(written) == meant:
                return written
    except (TOMLKitError, tomllib.TOMLDecodeError, RecursionError, ValueError) as problem:
        raise _by_hand(f"cannot be changed from here ({problem})") from problem
    raise _by_hand("cannot be changed from here without losing something")


def _spaced(new: str, old: str) -> str:
    """Return the text with a blank line before each table that did not stand so in the old one."""
    stood_so = set(itertools.pairwise(old.splitlines()))
    lines: list[str] = []
    for before, line in itertools.pairwise(["", *new.splitlines(keepends=True)]):
        is_head = line.startswith("[") and before.strip()
        if is_head and (before.rstrip("\r\n"), line.rstrip("\r\n")) not in stood_so:
            lines.append("\n")
        lines.append(line)
    return "".join(lines)


def _by_hand(what: str) -> RefusedError:
    return RefusedError(CANNOT_BE, "trip file", what, "change it in an editor for plain text")


def _apply(tables: MutableMapping[str, Any], change: TripChange, *, written: bool) -> None:
    """Change tables of TOML, be they plain or such as remember how they were written."""
    section = change.section
    if change.adds:
        _add(tables, change, written=written)
    elif section.many:
        _change_one_of_many(tables, change)
    elif change.removes:
        tables.pop(section.name, None)
    elif not section.name:
        _set(tables, change.values)
    else:
        if section.name not in tables:
            tables[section.name] = tomlkit.table() if written else {}
        _set(tables[section.name], change.values)


def _change_one_of_many(tables: MutableMapping[str, Any], change: TripChange) -> None:
    section, number = change.section, change.number or 0
    several = tables.get(section.name, [])
    if not isinstance(several, list) or not 0 < number <= len(several):
        what, mend = f"has no {section.heading} {number}", "load the page again"
        raise RefusedError(CANNOT_BE, "trip file", what, mend)
    if not change.removes:
        _set(several[number - 1], change.values)
        return
    del several[number - 1]
    if not several:
        del tables[section.name]


def _add(tables: MutableMapping[str, Any], change: TripChange, *, written: bool) -> None:
    section = change.section
    new: MutableMapping[str, Any] = tomlkit.table() if written else {}
    _set(new, change.values)
    if not section.many:
        tables[section.name] = new
        return
    if section.name not in tables:
        tables[section.name] = AoT([]) if written else []
    tables[section.name].append(new)


def _set(table: MutableMapping[str, Any], values: Mapping[str, object]) -> None:
    for name, value in values.items():
        if value is None:
            table.pop(name, None)
        else:
            table[name] = copy.deepcopy(value)
