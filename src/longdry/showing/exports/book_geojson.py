"""The water book as text: changed features written anew, every other byte as it stood.

Numbers are written back with the very digits that they were read with.
Format: GeoJSON, RFC 7946: WGS 84, longitude before latitude, foreign members kept (section 6.1).
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence

from longdry.model.water.book import BookFeature, FeatureChange, WaterBook
from longdry.model.water.source import Visit
from longdry.showing.exports.route_places import PLACE_DECIMALS

EMPTY_BOOK_TEXT = (
    '{\n"type": "FeatureCollection",\n'
    '"water_book": {"made_by": "longdry", "version": 1},\n"features": [\n]\n}\n'
)
"""A book without a source."""
_INDENT = "  "


def changed_book_text(book: WaterBook, changes: Sequence[FeatureChange]) -> str:
    """Return the text of the book after the changes.

    >>> book = WaterBook("b", EMPTY_BOOK_TEXT, (), EMPTY_BOOK_TEXT.index("]"))
    >>> changed_book_text(book, []) == EMPTY_BOOK_TEXT
    True
    """
    by_number = {change.number: change for change in changes if change.number is not None}
    pieces, done = [], 0
    for number, feature in enumerate(book.features):
        if number in by_number:
            pieces += [book.text[done : feature.begin], _changed(book, feature, by_number[number])]
            done = feature.end
    new = [json_text(_new_feature(change)) for change in changes if change.number is None]
    list_tail = book.features[-1].end if book.features else _after_bracket(book)
    pieces += [book.text[done:list_tail], _added(book, new), book.text[list_tail:]]
    return "".join(pieces)


def changed_features_text(book: WaterBook, changes: Sequence[FeatureChange]) -> str:
    """Return a feature collection of the changed and new features alone."""
    texts = [
        json_text(_new_feature(change))
        if change.number is None
        else _changed(book, book.features[change.number], change)
        for change in changes
    ]
    return f'{{"type": "FeatureCollection", "features": [{", ".join(texts)}]}}'


def _after_bracket(book: WaterBook) -> int:
    """Return where the text behind the opening bracket of an empty list begins."""
    return book.text.rindex("[", 0, book.list_end) + 1


def _added(book: WaterBook, new: list[str]) -> str:
    if not new:
        return ""
    if not book.features:
        tail = "" if "\n" in book.text[_after_bracket(book) : book.list_end] else "\n"
        return "\n" + ",\n".join(new) + tail
    margin = _margin(book.text, book.features[-1].begin)
    return "".join(f",\n{margin}{text}" for text in new)


def _margin(text: str, at: int) -> str:
    """Return the blanks that stand before ``at`` on its line; none where more stands there."""
    before = text[text.rfind("\n", 0, at) + 1 : at]
    return before if not before.strip() else ""


def _changed(book: WaterBook, feature: BookFeature, change: FeatureChange) -> str:
    old_text = book.text[feature.begin : feature.end]
    value = value_with_exact_numbers(old_text)
    members = dict(value) if isinstance(value, Mapping) else {}
    old_properties = members.get("properties")
    properties = dict(old_properties) if isinstance(old_properties, Mapping) else {}
    members["properties"] = _with_changes(properties, change)
    if change.lat_deg is not None and change.lon_deg is not None:
        members["geometry"] = {
            "type": "Point",
            "coordinates": _place(change.lat_deg, change.lon_deg),
        }
    several_lines = "\n" in old_text
    return json_text(members, margin=_margin(book.text, feature.begin) if several_lines else None)


def _with_changes(properties: dict[str, object], change: FeatureChange) -> dict[str, object]:
    for name, value in change.properties:
        key = _key_in(properties, name)
        if value is None:
            properties.pop(key, None)
        else:
            properties[key] = value
    if change.visits or change.replaced_visits:
        key = _key_in(properties, "visits")
        properties[key] = _with_visits(properties.get(key), change)
    return properties


def _key_in(properties: Mapping[str, object], name: str) -> str:
    """Return the key that means ``name``; case and outer blanks do not matter."""
    if name in properties:
        return name
    return next((key for key in properties if key.strip().lower() == name), name)


def _with_visits(old: object, change: FeatureChange) -> object:
    """Return the list with the new visits behind; a list written as text stays text."""
    added = [_visit_members(visit) for visit in change.visits]
    if isinstance(old, str) and old.strip():
        kept = value_with_exact_numbers(old)
        return json_text([*_still(kept, change), *added]) if isinstance(kept, list) else old
    return [*_still(old, change), *added] if isinstance(old, list) else added


def _still(visits: Sequence[object], change: FeatureChange) -> list[object]:
    return [one for index, one in enumerate(visits) if index not in change.replaced_visits]


def _visit_members(visit: Visit) -> dict[str, object]:
    members = {
        "on": visit.on.isoformat(),
        "found": visit.found.value,
        "litres": visit.litres,
        "grade": visit.grade.value if visit.grade else None,
        "tds_mg_per_l": visit.tds_mg_per_l,
        "note": visit.note or None,
        "brought_from": visit.brought_from or None,
    }
    return {name: value for name, value in members.items() if value is not None}


def _new_feature(change: FeatureChange) -> dict[str, object]:
    if change.lat_deg is None or change.lon_deg is None:
        raise ValueError("a new feature needs a place")
    place = _place(change.lat_deg, change.lon_deg)
    return {
        "type": "Feature",
        "geometry": {"type": "Point", "coordinates": place},
        "properties": _with_changes({}, change),
    }


def _place(lat_deg: float, lon_deg: float) -> list[float]:
    return [round(lon_deg, PLACE_DECIMALS), round(lat_deg, PLACE_DECIMALS)]


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
