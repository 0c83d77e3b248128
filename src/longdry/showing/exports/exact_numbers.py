"""JSON values written back with the very digits that they were read with."""

from __future__ import annotations

import json
from collections.abc import Mapping

_INDENT = "  "


class ExactNumber:
    """A number that remembers its text: 133.50 stays 133.50."""

    __slots__ = ("text",)

    def __init__(self, text: str) -> None:
        self.text = text


def value_with_exact_numbers(text: str) -> object:
    """Return the value of a JSON text, every number in it as a ``ExactNumber``."""
    return json.loads(text, parse_float=ExactNumber, parse_int=ExactNumber)


def json_text(value: object, *, margin: str | None = None) -> str:
    r"""Return JSON text of a value that may hold exact numbers.

    Parameters
    ----------
    value
        As `json` knows them, and ``ExactNumber``.
    margin
        None for one line; else what each further line begins with.

    Examples
    --------
    >>> json_text(value_with_exact_numbers('{"at": [133.50, -25.10], "n": 1e2}'))
    '{"at": [133.50, -25.10], "n": 1e2}'
    """
    if isinstance(value, ExactNumber):
        return value.text
    if isinstance(value, Mapping):
        inner = _inner(margin)
        items = [f"{_plain(str(k))}: {json_text(v, margin=inner)}" for k, v in value.items()]
        return _bracketed("{", items, "}", margin)
    if isinstance(value, list | tuple):
        if all(isinstance(item, ExactNumber | int | float) for item in value):
            margin = None
        items = [json_text(item, margin=_inner(margin)) for item in value]
        return _bracketed("[", items, "]", margin)
    return _plain(value)


def _inner(margin: str | None) -> str | None:
    return None if margin is None else margin + _INDENT


def _bracketed(opening: str, items: list[str], closing: str, margin: str | None) -> str:
    if margin is None or not items:
        return f"{opening}{', '.join(items)}{closing}"
    line = f"\n{margin}{_INDENT}"
    return f"{opening}{line}{f',{line}'.join(items)}\n{margin}{closing}"


def _plain(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False)
