"""The tables of a trip file, each value checked by itself, every fault gathered.

And where in the text each table and key stands, so that a fault can name its line.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from longdry.errors import MOST_FAULTS_TOLD, Fault
from longdry.like_names import nearest_name
from longdry.model.trip_file.key import TripSection
from longdry.model.trip_file.keys import SECTIONS, TOP, section_called, sections_with
from longdry.reading.trip.values import (
    Checked,
    ValueFault,
    as_written,
    check_value,
    key_as_written,
    kind_of,
)


@dataclass(frozen=True, slots=True)
class TripTable:
    """One table with those of its values that passed."""

    section: TripSection
    number: int
    """Which of its list, from 1; 1 for a single table."""
    values: Mapping[str, Checked]
    written: frozenset[str]
    """Keys that stand in the file, whether their values passed or not."""

    @property
    def label(self) -> str:
        """The name that the user gave it, else its number."""
        name = self.values.get("name")
        return f"'{name}'" if name else f"{self.section.name} {self.number}"


@dataclass(slots=True)
class TripFaults:
    """Faults of one file, each with its place and line."""

    lines: TripLines
    faults: list[Fault] = field(default_factory=list)

    def add(self, where: tuple[TripSection, int, str], what: str, mend: str) -> None:
        """Note a fault at a key (or, with an empty key, at a table)."""
        section, number, key = where
        line = self.lines.line(section.name, number, key)
        place = section.place(key_as_written(key), number) + (f" (line {line})" if line else "")
        self.faults.append(Fault(place, what, mend))


@dataclass(frozen=True, slots=True)
class TripTables:
    """All tables of a file by the name of their section."""

    by_section: Mapping[str, tuple[TripTable, ...]]

    def one(self, section: TripSection) -> TripTable:
        """Return the single table of ``section``, an empty one where the file has none."""
        tables = self.by_section.get(section.name, ())
        return tables[0] if tables else TripTable(section, 1, {}, frozenset())

    def all(self, section: TripSection) -> tuple[TripTable, ...]:
        """Return the tables of a list, in the order of the file."""
        return self.by_section.get(section.name, ())


def tables_of(data: Mapping[str, object], faults: TripFaults) -> TripTables:
    """Take a parsed file apart; whatever cannot be goes to ``faults``."""
    top = {name: raw for name, raw in data.items() if not name or not section_called(name)}
    by_section: dict[str, tuple[TripTable, ...]] = {}
    by_section[TOP.name] = (_table(TOP, 1, top, faults),)
    for section in SECTIONS:
        if section.name and section.name in data:
            by_section[section.name] = _section_tables(section, data[section.name], faults)
    return TripTables(by_section)


def _section_tables(section: TripSection, raw: object, faults: TripFaults) -> tuple[TripTable, ...]:
    items = raw if section.many else [raw]
    if not isinstance(items, list) or not all(isinstance(item, dict) for item in items):
        faults.add(
            (section, 1, ""),
            f"{as_written(raw)} is {kind_of(raw)}",
            f"write {section.heading} on a line of its own and the keys below it"
            + (", once for each" if section.many else ", only once"),
        )
        return ()
    return tuple(_table(section, n, item, faults) for n, item in enumerate(items, start=1))


def _table(
    section: TripSection, number: int, raw: Mapping[str, object], faults: TripFaults
) -> TripTable:
    values: dict[str, Checked] = {}
    for name, value in raw.items():
        if name not in section.key_names:
            is_told = len(faults.faults) < MOST_FAULTS_TOLD
            what, mend = (
                _unknown(section, name, value) if is_told else _unknown_briefly(section, name)
            )
            faults.add((section, number, name), what, mend)
            continue
        checked = check_value(section.key(name), value)
        if isinstance(checked, ValueFault):
            faults.add((section, number, name), checked.what, checked.mend)
        else:
            values[name] = checked
    _note_missing(section, number, raw, faults)
    return TripTable(section, number, values, frozenset(raw))


def _note_missing(
    section: TripSection, number: int, raw: Mapping[str, object], faults: TripFaults
) -> None:
    for key in section.keys:
        if key.required and key.name not in raw:
            faults.add(
                (section, number, key.name),
                "is missing",
                f"add a line such as {key.name} = {as_written(key.sample)}",
            )


def _unknown(section: TripSection, name: str, value: object) -> tuple[str, str]:
    """Word the fault of a key (or table) that the place does not know."""
    is_table = isinstance(value, dict) or (
        isinstance(value, list) and bool(value) and isinstance(value[0], dict)
    )
    what = f"there is no {'table' if is_table else 'key'} called {as_written(name)}"
    if section is TOP and is_table:
        return what, _nearest_section(name)
    homes = [home.heading for home in sections_with(name) if home.name]
    if close := nearest_name(name, section.key_names):
        return f"{what} here", f"the nearest key is {close}"
    if homes:
        return f"{what} here", f"it belongs under {' or '.join(homes)}"
    if name in TOP.key_names:
        return f"{what} here", "it belongs above all tables"
    return what, _nearest_anywhere(section, name)


def _unknown_briefly(section: TripSection, name: str) -> tuple[str, str]:
    """Word it without looking for near names, which takes long, for a fault beyond those told."""
    keys = ", ".join(section.key_names)
    return f"there is no key called {as_written(name)} here", f"the keys known here are {keys}"


def _nearest_section(name: str) -> str:
    close = nearest_name(name, [section.name for section in SECTIONS if section.name])
    found = section_called(close) if close else None
    if found:
        return f"the nearest is {found.heading}"
    return "use " + ", ".join(section.heading for section in SECTIONS if section.name)


def _nearest_anywhere(section: TripSection, name: str) -> str:
    every = {key: home for home in SECTIONS for key in home.key_names}
    if close := nearest_name(name, every):
        place = every[close].place(close) if every[close].name else f"{close} above all tables"
        return f"the nearest key is {place}"
    return "the keys known here are " + ", ".join(section.key_names)


Spot = tuple[str, int, str]
"""Section, number of the table in its list (1 for a single one), key (empty: the heading)."""

_LIST_HEADING = re.compile(r"\s*\[\[\s*(?P<name>[^\[\]]+?)\s*\]\]")
_HEADING = re.compile(r"\s*\[\s*(?P<name>[^\[\]]+?)\s*\]")
_SETTING = re.compile(r"""\s*(?P<key>[\w-]+|"[^"]*"|'[^']*')\s*(?:\.\s*(?P<inner>[\w-]+)\s*)?=""")
_LONG_QUOTES = ('"""', "'''")


class TripLines:
    """Line numbers of the headings and keys of one trip file."""

    def __init__(self, lines: Mapping[Spot, int]) -> None:
        self._lines = lines

    def line(self, section: str, number: int, key: str = "") -> int | None:
        """Return the line of a key, else of its table, else of what holds the table."""
        spots = [(section, number, key), (section, number, ""), (section, 1, ""), ("", 1, section)]
        if not section:
            spots.append((key, 1, ""))
        return next((self._lines[spot] for spot in spots if spot in self._lines), None)


def lines_of(text: str) -> TripLines:
    """Index the headings and the ``key =`` lines of ``text``."""
    lines: dict[Spot, int] = {}
    tables: Counter[str] = Counter()
    section, number = "", 1
    for at, line in _lines_outside_long_text(text):
        if heading := _LIST_HEADING.match(line):
            section = heading["name"].strip("\"'")
            tables[section] += 1
            number = tables[section]
            lines[section, number, ""] = at
        elif heading := _HEADING.match(line):
            section, number = heading["name"].strip("\"'"), 1
            lines.setdefault((section, 1, ""), at)
        elif setting := _SETTING.match(line):
            for spot in _spots(setting, section, number):
                lines.setdefault(spot, at)
    return TripLines(lines)


_NO_SECONDS = re.compile(
    r"""(\s*["']?depart["']?\s*=\s*\d{4}-\d{2}-\d{2}[Tt ]\d{2}:\d{2})"""
    r"((?:[Zz]|[+-]\d{2}:\d{2})?\s*(?:\#.*)?)",
    re.ASCII,
)
"""A line with a departure of hours and minutes alone, which TOML 1.0 does not know."""


def with_seconds(text: str) -> str:
    r"""Return ``text`` with the seconds that a bare ``depart`` leaves out; its lines stay in place.

    >>> with_seconds("depart = 2027-05-07T10:30\nname = 'Loop'")
    "depart = 2027-05-07T10:30:00\nname = 'Loop'"
    >>> with_seconds("")
    ''
    """
    lines = text.split("\n")
    for at, line in _lines_outside_long_text(text):
        if match := _NO_SECONDS.fullmatch(line):
            lines[at - 1] = f"{match[1]}:00{match[2]}"
    return "\n".join(lines)


def _spots(setting: re.Match[str], section: str, number: int) -> Iterator[Spot]:
    key = setting["key"].strip("\"'")
    yield section, number, key
    if setting["inner"] and not section:
        yield key, 1, setting["inner"]


def _lines_outside_long_text(text: str) -> Iterator[tuple[int, str]]:
    """Yield numbered lines, but not those inside a text of several lines."""
    closing = ""
    for at, line in enumerate(text.split("\n"), start=1):
        if closing:
            closing = "" if closing in line else closing
            continue
        yield at, line
        closing = next((q for q in _LONG_QUOTES if line.count(q) % 2), "")
