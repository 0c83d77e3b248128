"""One figure: its name, its unit, what it means and where its value comes from.

A table of figures is a tuple of them. JSON, CSV, GeoJSON and the reference page follow the same
tables, so that a new figure is a field of the model, a function and a row.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from enum import Flag, auto
from typing import Generic, TypeVar

from longdry.showing.words.markup import clipped_text

T = TypeVar("T")
Cell = str | float | int | bool | None
Json = dict[str, object]
"""One object of a JSON document."""


class ToldIn(Flag):
    """Where a figure stands."""

    DOCUMENT = auto()
    """JSON, whose values may have parts."""
    TABLE = auto()
    """CSV and the properties of GeoJSON, one plain value each."""
    BOTH = DOCUMENT | TABLE


@dataclass(frozen=True, slots=True)
class Figure(Generic[T]):
    """One row of a table of figures."""

    name: str
    unit: str
    """Such as 'km' or 'L'; empty where it has none."""
    meaning: str
    of: Callable[[T], object]
    """Returns the value, None where nothing is known; in a table it is a text or a number."""
    told_in: ToldIn = ToldIn.BOTH
    shown: Callable[[str], str] = clipped_text
    """How a text from a file is written in a table; a document has it as it is."""

    def cell(self, row: T) -> Cell:
        """Return the value for a table.

        Raises
        ------
        TypeError
            Where the value has parts: such a figure is for the document alone.
        """
        value = self.of(row)
        if isinstance(value, str):
            return self.shown(value) if value else None
        if value is None or isinstance(value, bool | int | float):
            return value
        raise TypeError(f"{self.name} has parts, which no table can hold: tell it in the document")


def document_values(figures: Iterable[Figure[T]], row: T) -> dict[str, object]:
    """Return the figures of one thing for JSON, by name, texts and numbers as they are."""
    return document_rows(figures, [row])[0]


def document_rows(figures: Iterable[Figure[T]], rows: Iterable[T]) -> list[dict[str, object]]:
    """Return the same of many things, in order."""
    told = [(one.name, one.of) for one in figures if one.told_in is not ToldIn.TABLE]
    return [{name: of(row) for name, of in told} for row in rows]


def table_names(figures: Iterable[Figure[T]]) -> list[str]:
    """Return the heads of a table, in order."""
    return [one.name for one in figures if one.told_in is not ToldIn.DOCUMENT]


def table_cells(figures: Iterable[Figure[T]], row: T) -> dict[str, Cell]:
    """Return one line of a table, by head, in order."""
    return {one.name: one.cell(row) for one in figures if one.told_in is not ToldIn.DOCUMENT}
