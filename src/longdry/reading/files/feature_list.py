"""JSON of a feature collection read feature by feature, with the place of each in the text.

Grammar: RFC 8259, as strict as `json_text`.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple

from longdry.reading.files.json_text import NotStrictError, strict_decoder

_WHITE = re.compile(r"[ \t\n\r]*")
_COMMA = re.compile(r"[ \t\n\r]*,[ \t\n\r]*")
LIST_NAME = "features"


class TextSpan(NamedTuple):
    """One item of the list of features: where its text stands, and its value."""

    begin: int
    end: int
    value: object


@dataclass(frozen=True, slots=True)
class SpannedDocument:
    """An object whose list of features is known by place."""

    members: dict[str, object]
    """All members; the list of features is empty."""
    list_end: int | None
    """Where the bracket that ends the list of features stands; None where there is no list."""


def spanned_document(
    text: str, each: Callable[[TextSpan], None], *, takes_nan: bool = False
) -> SpannedDocument:
    """Read an object and find the places of its features.

    Parameters
    ----------
    text
        The whole file.
    each
        Called with every feature in turn, so that not all of them have to be held at once.
    takes_nan
        See `json_text.strict_decoder`.

    Raises
    ------
    json.JSONDecodeError
        With line and column, for text that is no JSON object.
    ValueError
        For a number of thousands of digits.
    RecursionError
        For text that is nested too deeply.
    """
    return _Scanner(text, each, strict_decoder(takes_nan=takes_nan)).document()


class _Scanner:
    """Walks along the outermost object; what lies inside a member is left to ``json``."""

    def __init__(
        self, text: str, each: Callable[[TextSpan], None], decoder: json.JSONDecoder
    ) -> None:
        self.text = text
        self.at = 0
        self._each = each
        self._decoder = decoder

    def document(self) -> SpannedDocument:
        members: dict[str, object] = {}
        list_end: int | None = None
        more = self._opens("{", "}")
        while more:
            name = self._name()
            if name in members:
                raise self._error(f'the member "{name}" is told twice')
            self._skip_white()
            if name == LIST_NAME and self.text.startswith("[", self.at):
                members[name] = []
                self._take_items()
                list_end = self.at - 1
            else:
                members[name] = self._value()
            more = self._goes_on("}")
        self._skip_white()
        if self.at != len(self.text):
            raise self._error("there is more behind the end of the object")
        return SpannedDocument(members, list_end)

    def _take_items(self) -> None:
        more = self._opens("[", "]")
        while more:
            begin = self.at
            value = self._value()
            self._each(TextSpan(begin, self.at, value))
            more = self._goes_on("]")

    def _opens(self, opening: str, closing: str) -> bool:
        """Take the opening sign, and the closing one where nothing is between them."""
        self._take(opening)
        if not self._is_next(closing):
            return True
        self._take(closing)
        return False

    def _goes_on(self, closing: str) -> bool:
        """Take a comma and what is white behind it, or the closing sign."""
        if comma := _COMMA.match(self.text, self.at):
            self.at = comma.end()
            return True
        self._take(closing)
        return False

    def _name(self) -> str:
        if self.text[self.at : self.at + 1] != '"':
            raise self._error("a name in double quotes is missing")
        name = self._value()
        self._take(":")
        return str(name)

    def _value(self) -> object:
        try:
            value, self.at = self._decoder.raw_decode(self.text, self.at)
        except NotStrictError as refused:
            raise self._error(str(refused)) from refused
        return value

    def _take(self, sign: str) -> None:
        if not self._is_next(sign):
            raise self._error(f'"{sign}" is missing')
        self.at += 1

    def _is_next(self, sign: str) -> bool:
        self._skip_white()
        return self.text.startswith(sign, self.at)

    def _skip_white(self) -> None:
        match = _WHITE.match(self.text, self.at)
        self.at = match.end() if match else self.at

    def _error(self, what: str) -> json.JSONDecodeError:
        return json.JSONDecodeError(what, self.text, self.at)
