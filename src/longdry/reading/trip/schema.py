"""The JSON Schema of the trip file, for editors, made from the table of trip keys."""

from __future__ import annotations

import json
from collections.abc import Mapping
from enum import StrEnum

from longdry.model.trip_file.key import STILL_BLANK, Kind, Range, TripKey, TripSection
from longdry.model.trip_file.keys import SECTIONS, TOP
from longdry.plain_text import REFUSED_RANGES
from longdry.reading.trip.values import LONGEST_TRIP_TEXT

Schema = dict[str, object]

_REFUSED = "".join(f"\\u{first:04x}-\\u{last:04x}" for first, last in REFUSED_RANGES)
_ONE_LINE_OF_TEXT = rf"^(?=[\s\S]*\S)[^{_REFUSED}]*(?![\s\S])"
_DAY = r"^(19|20|21)\d{2}-\d{2}-\d{2}"
_LOCAL_MOMENT = _DAY + r"([Tt ]\d{2}:\d{2}(:\d{2}(\.\d+)?)?)?(?![\s\S])"
"""Nothing may follow, so an offset from UTC does not pass."""


def trip_schema() -> Schema:
    """Return the schema (JSON Schema 2020-12) that a trip file must meet.

    A date and time counts as a string, as it does when TOML is turned into JSON. What one value
    asks of another, such as sections that may not overlap, is beyond a schema: the reader
    checks it.
    """
    tables = {section.name: _section(section) for section in SECTIONS if section.name}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Trip file of longdry",
        "description": "Everything that a plan needs beside the route and the water layer.",
        **_table(TOP),
        "properties": {**_properties(TOP), **tables},
    }


def trip_schema_text() -> str:
    """Return the schema as the text of the file that is shipped."""
    return json.dumps(trip_schema(), indent=2, ensure_ascii=False) + "\n"


def _section(section: TripSection) -> Schema:
    if not section.many:
        return {"description": section.help, **_table(section)}
    return {"description": section.help, "type": "array", "items": _table(section)}


def _table(section: TripSection) -> Schema:
    table: Schema = {
        "type": "object",
        "properties": _properties(section),
        "additionalProperties": False,
    }
    required = [key.name for key in section.keys if key.required]
    if required:
        table["required"] = required
    if section.one_of:
        table["oneOf"] = [_only(group, section.one_of) for group in section.one_of]
    if section.any_of:
        table["anyOf"] = [{"required": [key]} for key in section.any_of]
    return table


def _only(group: tuple[str, ...], groups: tuple[tuple[str, ...], ...]) -> Schema:
    others = [key for other in groups if other != group for key in other]
    return {"required": list(group), "properties": dict.fromkeys(others, False)}


def _properties(section: TripSection) -> Schema:
    return {key.name: _value(key) for key in section.keys}


def _value(key: TripKey) -> Schema:
    unit = f" In {key.unit}." if key.unit else ""
    value: Schema = {"description": key.help + unit, **_TYPES[key.kind]}
    if key.words:
        value["enum"] = [str(word) for word in key.words]
    if key.range is not None:
        value |= _limits(key.range)
    if key.default is not None and not isinstance(key.default, Mapping):
        value["default"] = str(key.default) if isinstance(key.default, StrEnum) else key.default
    return value


def _limits(limits: Range) -> Schema:
    lowest = "exclusiveMinimum" if limits.above else "minimum"
    return {lowest: limits.low, "maximum": limits.high}


_TEXT: Schema = {"type": "string", "pattern": _ONE_LINE_OF_TEXT, "maxLength": LONGEST_TRIP_TEXT}
_TYPES: Mapping[Kind, Schema] = {
    Kind.NUMBER: {"type": "number"},
    Kind.WHOLE: {"type": "integer"},
    Kind.TEXT: {**_TEXT, "not": {"pattern": STILL_BLANK}},
    Kind.TEXTS: {"type": "array", "items": _TEXT},
    Kind.WORD: {"type": "string"},
    Kind.YES_NO: {"type": "boolean"},
    Kind.MOMENT: {"type": "string", "pattern": _LOCAL_MOMENT},
    Kind.DAY: {"type": "string", "pattern": _DAY + r"(?![\s\S])"},
}
