"""Where in the text of a trip file each table and key stands, so that faults can name the line."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Mapping

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
