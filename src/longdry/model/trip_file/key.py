"""What one key of a trip file is: the kind of value, unit, range, default and its reason."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from longdry.model.words import Travel

BLANK = "___"
"""Stands in a new trip file where the user has to write something."""
STILL_BLANK = f"^ *{BLANK}[_ ]*$"
"""What is taken for it: strokes and spaces more say nothing either (a regular expression)."""
Value = bool | int | float | str | tuple[str, ...]
"""A checked value as it stands in a trip file; days and hours stand beside it."""


class Kind(StrEnum):
    """What a value is written as."""

    NUMBER = "number"
    WHOLE = "whole number"
    TEXT = "text"
    TEXTS = "list of texts"
    WORD = "word"
    YES_NO = "true or false"
    MOMENT = "date and time"
    DAY = "date"


@dataclass(frozen=True, slots=True)
class Range:
    """The sane limits of a number: beyond them it is a slip of the pen."""

    low: float
    high: float
    above: bool = False
    """Whether ``low`` itself is left out."""

    def holds(self, number: float) -> bool:
        """Whether ``number`` lies inside; NaN and infinity never do."""
        return (self.low < number if self.above else self.low <= number) and number <= self.high

    def __str__(self) -> str:
        """In words: 'above 0, up to 24', '0 to 90'.

        >>> str(Range(0, 24, above=True)), str(Range(1, 1000))
        ('above 0, up to 24', '1 to 1000')
        """
        if self.above:
            return f"above {self.low:g}, up to {self.high:.15g}"
        return f"{self.low:g} to {self.high:.15g}"


@dataclass(frozen=True, slots=True)
class TripKey:
    """One key of a trip file."""

    name: str
    kind: Kind
    label: str
    """What it is in two or three words, for the list of assumptions."""
    help: str
    """One line for the user."""
    sample: Value
    """A value that a reader can follow, in the way it is written in the file."""
    unit: str = ""
    range: Range | None = None
    words: tuple[str, ...] = ()
    """The only words allowed, for ``Kind.WORD``."""
    default: Value | Mapping[Travel, Value] | None = field(default=None, hash=False)
    """One for all ways of travel, one for each of some, or none."""
    if_absent: str = ""
    """In words what happens without the key, where there is no default value."""
    why: str = ""
    """Reason and source of the default (or of what happens without the key)."""
    required: bool = False
    is_told: bool = True
    """Whether the default is listed among the assumptions."""

    def default_for(self, travel: Travel) -> Value | None:
        """Return the default for a way of travel, None where there is none."""
        if isinstance(self.default, Mapping):
            return self.default.get(travel)
        return self.default

    def written(self, value: Value) -> str:
        """Return ``value`` with its unit, for people: '4 km/h', 'yes'."""
        if isinstance(value, bool):
            return "yes" if value else "no"
        if isinstance(value, tuple):
            return ", ".join(value)
        shown = value if isinstance(value, str) else f"{value:.15g}"
        return f"{shown} {self.unit}".rstrip()


@dataclass(frozen=True, slots=True)
class TripSection:
    """One table of a trip file, or one list of tables."""

    name: str
    """Empty for the keys that stand before all tables."""
    help: str
    keys: tuple[TripKey, ...]
    many: bool = False
    """Whether it is written ``[[name]]``, once for each thing."""
    one_of: tuple[tuple[str, ...], ...] = ()
    """Groups of keys of which exactly one group must be there."""
    any_of: tuple[str, ...] = ()
    """Keys of which at least one must be there."""

    def key(self, name: str) -> TripKey:
        """Return the key called ``name``; KeyError where there is none."""
        for key in self.keys:
            if key.name == name:
                return key
        raise KeyError(name)

    @property
    def key_names(self) -> tuple[str, ...]:
        """Names of all keys, in the order of the table."""
        return tuple(key.name for key in self.keys)

    @property
    def heading(self) -> str:
        """As it is written: '[pace]', '[[use]]'; empty for the top."""
        if not self.name:
            return ""
        return f"[[{self.name}]]" if self.many else f"[{self.name}]"

    def place(self, key: str = "", number: int | None = None) -> str:
        """Name a place in the file: '[pace] speed_kmh', '[[container]] 2, rated_l'."""
        if not self.many or number is None:
            return f"{self.heading} {key}".strip() or "the top of the file"
        return f"{self.heading} {number}, {key}" if key else f"{self.heading} {number}"
