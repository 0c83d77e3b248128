"""What is wrong with a file that is no TOML (TOML 1.0), in words and with its place."""

from __future__ import annotations

import re
import tomllib

from longdry.errors import Fault

_PLACE = re.compile(
    r"(?P<what>.*) \(at (?P<place>line \d+, column \d+|end of document)\)", re.DOTALL
)
_LINE_BY_LINE = "write one key = value a line, text in double quotes, numbers and dates bare"
_IN_OUR_WORDS = (
    ("Cannot overwrite a value", "a key stands a second time", "keep one of the two"),
    ("Cannot declare", "a table stands a second time", "put its keys under one heading"),
    ("Cannot mutate", "a table stands a second time", "put its keys under one heading"),
    (
        "Expected newline or end of document after a statement",
        "something stands behind the value",
        "write it alone: a number with a decimal point and no unit, a date as 2027-05-03T08:00:00",
    ),
    (
        "Invalid date or datetime",
        "this is no date of the calendar",
        "write it as 2027-05-03 or 2027-05-03T08:00:00",
    ),
    ("Invalid statement", "this is no line of TOML", _LINE_BY_LINE),
    ("Expected '='", "no = stands behind the key", _LINE_BY_LINE),
    ("Invalid value", "no value stands here, or text without its quotes", _LINE_BY_LINE),
    ("Illegal character", "a text in quotes does not end on its line", 'close it with "'),
    ("Unterminated string", "a text in quotes does not end", 'close it with "'),
    ("Expected ']'", "a bracket is not closed", "close it with ] or ]]"),
    ("Unclosed", "a bracket is not closed", "close it"),
)
"""How the messages of tomllib begin, what they mean, and the mend."""


def toml_fault(problem: Exception, text: str) -> Fault:
    """Return the fault that a text is no TOML.

    Parameters
    ----------
    problem
        What ``tomllib`` raised.
    text
        The whole file.

    Examples
    --------
    >>> try:
    ...     tomllib.loads("people = 4,5")
    ... except ValueError as problem:
    ...     print(toml_fault(problem, "people = 4,5").where)
    line 1, column 11
    """
    if not isinstance(problem, tomllib.TOMLDecodeError):
        mend = "keep the file to plain tables with one value a line"
        return Fault("", "a number is too long or lists are too deep to be read", mend)
    found = _PLACE.fullmatch(str(problem))
    said, place = (found["what"], found["place"]) if found else (str(problem), "")
    last = f"line {text.rstrip().count(chr(10)) + 1}, where the file ends"
    as_said = (said, f"{said[:1].lower()}{said[1:]}", _LINE_BY_LINE)
    known = (one for one in (*_IN_OUR_WORDS, as_said) if said.startswith(one[0]))
    _, what, mend = next(known)
    return Fault(place.replace("end of document", last), f"this is not TOML: {what}", mend)
