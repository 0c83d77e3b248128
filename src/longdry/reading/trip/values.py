"""Whether one value of a trip file can be what its key asks for, and if not, how to mend it."""

from __future__ import annotations

import datetime as dt
import json
import re
from collections.abc import Callable
from dataclasses import dataclass

from longdry.like_names import nearest_name
from longdry.model.trip_file.key import STILL_BLANK, Kind, TripKey, Value
from longdry.plain_text import has_controls

Checked = Value | dt.date
"""A value that passed; a ``datetime`` is a ``date`` too."""

LONGEST_TRIP_TEXT = 200
FIRST_YEAR, LAST_YEAR = 1900, 2199
_WRITTEN_MOMENT = re.compile(
    r"\d{4}-\d{2}-\d{2}(?P<hour>[Tt ]\d{2}:\d{2}(:\d{2}(\.\d{1,6})?)?([Zz]|[+-]\d{2}:\d{2})?)?",
    re.ASCII,
)
"""A date of RFC 3339, with or without a time, its seconds and its offset from UTC."""
_LONGEST_SHOWN = 60
_NAMES = ((bool, "a yes or no"), (dt.datetime, "a date"), (dt.date, "a date"),
          (dt.time, "a time of day"), (str, "text"), (list, "a list"), (dict, "a table"),
          (int, "a number"), (float, "a number"))  # fmt: skip


@dataclass(frozen=True, slots=True)
class ValueFault:
    """What is wrong with a value, and what to write instead."""

    what: str
    mend: str


def as_written(raw: object) -> str:
    """Return ``raw`` as the user wrote it, cut where it is long.

    >>> as_written("20 L"), as_written(True), as_written([1, 2])
    ('"20 L"', 'true', '[1, 2]')
    """
    if isinstance(raw, bool):
        return str(raw).lower()
    if isinstance(raw, dt.date | dt.time):
        return raw.isoformat()
    if isinstance(raw, list | dict) and not raw:
        return "[]" if isinstance(raw, list) else "{}"
    try:
        text = repr(raw)
    except (ValueError, RecursionError):
        text = "a number with thousands of digits" if isinstance(raw, int) else "a deep list"
    if isinstance(raw, str):
        text = '"' + text[1:-1].replace('"', "'") + '"'
    if len(text) <= _LONGEST_SHOWN:
        return text
    cut = f"{text[: _LONGEST_SHOWN - 4]} ..."
    return f'{cut}"' if isinstance(raw, str) else cut


def key_as_written(name: str) -> str:
    r"""Return the name of a key or table so that a terminal can take it: escaped, not too long.

    >>> key_as_written("speed_kmh"), key_as_written("a\x1b[31m")
    ('speed_kmh', 'a\\x1b[31m')
    """
    return as_written(name)[1:-1]


def kind_of(raw: object) -> str:
    """Name in plain words what ``raw`` is: 'a number', 'a list'."""
    return next((name for kind, name in _NAMES if isinstance(raw, kind)), "something else")


def check_value(key: TripKey, raw: object) -> Checked | ValueFault:
    """Return ``raw`` as a value of ``key``, or what is wrong with it."""
    if isinstance(raw, str) and re.fullmatch(STILL_BLANK, raw):
        about = key.help[:1].lower() + key.help[1:].rstrip(".")
        return ValueFault("is still blank", f"write {_form_of(key)} in its place: {about}")
    return _CHECKS[key.kind](key, raw)


def _form_of(key: TripKey) -> str:
    """Say what a value of ``key`` looks like; no number that could be copied is named."""
    if key.kind in {Kind.NUMBER, Kind.WHOLE}:
        return f"a {key.kind} ({key.unit or 'no unit'}), without quotes,"
    if key.kind is Kind.WORD:
        return "one of " + ", ".join(f'"{word}"' for word in key.words)
    if key.kind is Kind.YES_NO:
        return "true or false, without quotes,"
    if key.kind is Kind.TEXTS:
        return f"a list such as {toml_list(key.sample)}"
    if key.kind is Kind.TEXT:
        return "a text in double quotes"
    return f"a {key.kind} such as {key.sample}, without quotes,"


def _number(key: TripKey, raw: object) -> Checked | ValueFault:
    if isinstance(raw, bool) or not isinstance(raw, int | float):
        unit = f" of {key.unit.removeprefix('of ')}" if key.unit else ""
        return ValueFault(
            f"{as_written(raw)} is {kind_of(raw)}, not a number",
            f"write {key.name} as a bare number{unit}, without unit or quotes, "
            f"such as {key.name} = {as_written(key.sample)}",
        )
    if key.range is not None and not key.range.holds(raw):
        return ValueFault(
            f"{as_written(raw)} is out of range",
            f"write {key.name} as a number {key.range} {key.unit}".rstrip(),
        )
    return float(raw)


def _whole(key: TripKey, raw: object) -> Checked | ValueFault:
    number = _number(key, raw)
    if isinstance(number, ValueFault):
        return number
    if not isinstance(number, float) or not number.is_integer():
        return ValueFault(
            f"{as_written(raw)} is not a whole number", f"write {key.name} without decimals"
        )
    return int(number)


def _text(key: TripKey, raw: object) -> Checked | ValueFault:
    if not isinstance(raw, str):
        return ValueFault(
            f"{as_written(raw)} is {kind_of(raw)}, not text", f"write {key.name} in double quotes"
        )
    if not raw.strip():
        return ValueFault(
            f"{as_written(raw)} is empty",
            f"write {key.name} as text{'' if key.required else ', or leave it out'}",
        )
    if has_controls(raw):
        return ValueFault(
            f"{as_written(raw)} holds a line break or another control character",
            f"write {key.name} on one line of plain text",
        )
    if len(raw) > LONGEST_TRIP_TEXT:
        return ValueFault(
            f"{as_written(raw)} has {len(raw)} characters",
            f"write {key.name} in {LONGEST_TRIP_TEXT} or fewer",
        )
    return raw.strip()


def _word(key: TripKey, raw: object) -> Checked | ValueFault:
    if isinstance(raw, str) and raw in key.words:
        return raw
    allowed = ", ".join(f'"{word}"' for word in key.words)
    close = nearest_name(raw, key.words) if isinstance(raw, str) else None
    hint = f' ("{close}" is the nearest)' if close else ""
    return ValueFault(
        f"{as_written(raw)} is not a word that {key.name} knows", f"write one of {allowed}{hint}"
    )


def _yes_no(key: TripKey, raw: object) -> Checked | ValueFault:
    if isinstance(raw, bool):
        return raw
    return ValueFault(
        f"{as_written(raw)} is {kind_of(raw)}, not true or false",
        f"write {key.name} = true or {key.name} = false, without quotes",
    )


def _texts(key: TripKey, raw: object) -> Checked | ValueFault:
    if not isinstance(raw, list):
        return ValueFault(
            f"{as_written(raw)} is {kind_of(raw)}, not a list of texts",
            f"write {key.name} in brackets, such as {key.name} = {toml_list(key.sample)}",
        )
    texts: list[str] = []
    for number, item in enumerate(raw, start=1):
        text = _text(key, item)
        if isinstance(text, ValueFault):
            return ValueFault(f"item {number}, {text.what}", text.mend)
        texts.append(str(text))
    return tuple(texts)


def toml_list(texts: Value) -> str:
    """Write a list of texts as it stands in a trip file.

    >>> toml_list(("Old Bore", "Gum Well@182")), toml_list(())
    ('["Old Bore", "Gum Well@182"]', '[]')
    """
    return json.dumps(texts, ensure_ascii=False)


def _moment(key: TripKey, raw: object) -> Checked | ValueFault:
    example = f"{key.name} = {key.sample}"
    raw = _read_moment(raw) if isinstance(raw, str) else raw
    if not isinstance(raw, dt.date):
        return ValueFault(f"{as_written(raw)} is {kind_of(raw)}, not a date", f"write {example}")
    if isinstance(raw, dt.datetime) and raw.tzinfo is not None:
        return ValueFault(
            f"{as_written(raw)} has an offset from UTC",
            f"write the local time at the place of departure, without an offset: {example}",
        )
    if not FIRST_YEAR <= raw.year <= LAST_YEAR:
        return ValueFault(
            f"{as_written(raw)} is out of range", f"write a year from {FIRST_YEAR} to {LAST_YEAR}"
        )
    return raw


def _day(key: TripKey, raw: object) -> Checked | ValueFault:
    moment = _moment(key, raw)
    if not isinstance(moment, dt.datetime):
        return moment
    return ValueFault(
        f"{as_written(moment)} has an hour", f"write the day alone: {key.name} = {key.sample}"
    )


def _read_moment(text: str) -> dt.date | str:
    """Return the date or local time that stands in quotes, the text itself where none does."""
    match = _WRITTEN_MOMENT.fullmatch(text.strip())
    if match is None:
        return text
    try:
        if match["hour"]:
            return dt.datetime.fromisoformat(text.strip().upper())
        return dt.date.fromisoformat(text.strip())
    except ValueError:
        return text


_CHECKS: dict[Kind, Callable[[TripKey, object], Checked | ValueFault]] = {
    Kind.NUMBER: _number,
    Kind.WHOLE: _whole,
    Kind.TEXT: _text,
    Kind.TEXTS: _texts,
    Kind.WORD: _word,
    Kind.YES_NO: _yes_no,
    Kind.MOMENT: _moment,
    Kind.DAY: _day,
}
