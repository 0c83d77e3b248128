"""Values of a table with the defaults filled in, and an account of every default that was."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from longdry.model.assumption import Assumption
from longdry.model.trip_file.key import TripKey, TripSection, Value
from longdry.model.words import Travel
from longdry.reading.trip.tables import TripTable
from longdry.reading.trip.values import Checked


class DefaultLog:
    """Gathers the defaults that were filled in; those of one key and value become one line."""

    def __init__(self, travel: Travel) -> None:
        self.travel = travel
        self._labels: dict[tuple[str, str, str, str], list[str]] = {}

    def note(self, table: TripTable, key: TripKey, value: str) -> None:
        """Note that ``key`` of ``table`` was taken as ``value``."""
        section = table.section.name
        entry = (f"{section}.{key.name}".lstrip("."), key.label, value, key.why)
        labels = self._labels.setdefault(entry, [])
        if table.section.many:
            labels.append(table.label)

    def assumptions(self) -> tuple[Assumption, ...]:
        """Return one assumption for each default, in the order in which they were filled in."""
        return tuple(
            Assumption(what=_with_owners(label, owners), value=value, why=why, key=key)
            for (key, label, value, why), owners in self._labels.items()
        )


def _with_owners(label: str, owners: Iterable[str]) -> str:
    names = ", ".join(owners)
    return f"{label} ({names})" if names else label


class FilledTable:
    """One table that answers for every key, from the file or by default."""

    def __init__(self, table: TripTable, log: DefaultLog) -> None:
        self._table = table
        self._log = log

    def number(self, name: str, *, instead: float | None = None, is_told: bool = True) -> float:
        """Return a number; ``instead`` replaces the table's own default."""
        value = self._value(name, instead=instead, is_told=is_told)
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise TypeError(f"{name} has no default number")
        return float(value)

    def number_or_none(self, name: str) -> float | None:
        """Return a number, from the file or by default; None where the way of travel has none."""
        value = self._value(name, instead=None, is_told=True)
        return float(value) if isinstance(value, int | float) else None

    def whole(self, name: str) -> int:
        """Return a whole number."""
        return int(self.number(name))

    def text(self, name: str, *, instead: str | None = None) -> str:
        """Return a text or one of the allowed words."""
        value = self._value(name, instead=instead, is_told=True)
        if not isinstance(value, str):
            raise TypeError(f"{name} has no default text")
        return value

    def yes_no(self, name: str) -> bool:
        """Return true or false."""
        return self._value(name, instead=None, is_told=True) is True

    def yes_no_if_any(self, name: str) -> bool | None:
        """Return true or false, None where the file says neither."""
        value = self.if_any(name)
        return value if isinstance(value, bool) else None

    def texts(self, name: str) -> tuple[str, ...]:
        """Return a list of texts, an empty one where the file has none."""
        value = self.if_any(name)
        return value if isinstance(value, tuple) else ()

    def number_if_any(self, name: str) -> float | None:
        """Return a number, None where the file has none."""
        value = self.if_any(name)
        return float(value) if isinstance(value, int | float) else None

    def text_if_any(self, name: str) -> str | None:
        """Return a text, None where the file has none."""
        value = self.if_any(name)
        return value if isinstance(value, str) else None

    def day_if_any(self, name: str) -> dt.date | None:
        """Return a date, None where the file has none."""
        value = self.if_any(name)
        return value if isinstance(value, dt.date) else None

    def if_any(self, name: str) -> Checked | None:
        """Return what the file says, None where it says nothing; what that means is noted."""
        key = self._section.key(name)
        if name not in self._table.values and key.if_absent:
            self._log.note(self._table, key, key.if_absent)
        return self._table.values.get(name)

    @property
    def _section(self) -> TripSection:
        return self._table.section

    def _value(self, name: str, *, instead: Value | None, is_told: bool) -> Checked | None:
        if name in self._table.values:
            return self._table.values[name]
        key = self._section.key(name)
        value = key.default_for(self._log.travel) if instead is None else instead
        if value is not None and key.is_told and is_told:
            self._log.note(self._table, key, key.written(value))
        return value
