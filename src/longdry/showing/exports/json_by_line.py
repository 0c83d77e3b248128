"""JSON laid out for reading and for comparing line by line, and quick to write."""

from __future__ import annotations

import json
from collections.abc import Mapping

_LINE = json.JSONEncoder(ensure_ascii=False, allow_nan=False)
_INDENT = " "


def json_by_line(value: object, margin: str = "\n") -> str:
    r"""Return JSON text in which each member of an object and each item of a list has its line.

    An item is one line however much it holds: with ``indent`` the standard library takes more than
    twice as long, since only its compact layout is written by compiled code.

    Parameters
    ----------
    value
        Plain values; only objects outside of lists are taken apart.
    margin
        What the closing bracket stands behind: a line feed and the indent of ``value``.

    Raises
    ------
    ValueError
        Where a number is infinite or none: JSON (RFC 8259) has no word for it.

    Examples
    --------
    >>> print(json_by_line({"format": "x", "at": [{"km": 1.0}, {"km": 2.0}], "no": [], "of": {}}))
    {
     "format": "x",
     "at": [
      {"km": 1.0},
      {"km": 2.0}
     ],
     "no": [],
     "of": {}
    }
    """
    inner = margin + _INDENT
    if isinstance(value, Mapping) and value:
        members = [f"{_LINE.encode(key)}: {json_by_line(of, inner)}" for key, of in value.items()]
        return f"{{{inner}{f',{inner}'.join(members)}{margin}}}"
    if isinstance(value, list) and value:
        return f"[{inner}{f',{inner}'.join(map(_LINE.encode, value))}{margin}]"
    return _LINE.encode(value)
