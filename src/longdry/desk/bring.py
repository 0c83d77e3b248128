"""Another layer brought into the water book at the desk: looked at, tried, written."""

from __future__ import annotations

from collections.abc import Mapping

from longdry.desk.desk import Desk
from longdry.desk.refusals import CANNOT_BE, RefusedError
from longdry.desk.water_changes import change_desk_book, read_book_instead
from longdry.desk.water_view import BOOK_FILE, SOURCE_FIELDS, editable_layers, written_json
from longdry.doing.book_transaction import book_or_new
from longdry.doing.bringing import Bringing, layer_brought
from longdry.reading.book.proposing import placeless_table
from longdry.reading.water.columns import usual_columns, values_seen
from longdry.reading.water.gpx_layer import SPEAKING_OF_WATER
from longdry.reading.water.layer import raw_layer
from longdry.reading.water.mapping import FieldMapping, field_mapping_from
from longdry.reading.water.raw import RawFeature, columns_of
from longdry.reading.water.source import field_of
from longdry.reading.water.vocabularies import without_empty_words
from longdry.showing.figures.figure import Json

_MOST_ROWS = 20
_MOST_EXAMPLES = 5
_MOST_WORDS = 30
_LONGEST_SHOWN = 60
_TABLES = ("grades", "kinds", "visits", "crs")
_VISIT = ({"name": "visit_found", "label": "what was found, of a visit"},
          {"name": "visit_on", "label": "day of the visit"})  # fmt: skip


_PLACES = ({"name": "lat", "label": "latitude, in degrees"},
           {"name": "lon", "label": "longitude, in degrees"},
           {"name": "northing", "label": "northing, in the system that is named"},
           {"name": "easting", "label": "easting, in the system that is named"})  # fmt: skip
"""Of a table whose columns of the place have no usual names."""


def look(desk: Desk, wish: Mapping[str, object]) -> Json:
    """Return the columns of a layer with examples and what each is likely to tell, and its rows.

    Raises
    ------
    WaterLayerError
        The file cannot be read.
    """
    path = desk.folder.place(_file(wish))
    placeless = placeless_table(path)
    raw = without_empty_words(placeless or raw_layer(path))
    columns = columns_of(raw.features)
    told = {field_of(column) for column in columns}
    meant = {column: ours for ours, column in usual_columns(raw).items() if ours not in told}
    return {
        "columns": [
            {
                "name": column,
                "examples": values_seen(raw.features, column, _MOST_EXAMPLES),
                "taken_as": field_of(column) or meant.get(column),
            }
            for column in columns
        ],
        "rows": [_row(feature) for feature in raw.features[:_MOST_ROWS]],
        "count": len(raw.features),
        "our": [*({"name": name, "label": label, "words": list(words)}
                  for name, label, _, words, _, _ in SOURCE_FIELDS),
                *_VISIT, *(_PLACES if placeless else ())],
        "words": {
            column: values_seen(raw.features, column, _MOST_WORDS) for column in columns
        },
        "notes": [f"{path.name}: {remark}." for remark in raw.remarks],
    }  # fmt: skip


def bring(desk: Desk, wish: Mapping[str, object]) -> Json:
    """Merge a layer into the book, or with ``dry_run`` tell only what would come of it.

    Raises
    ------
    WaterLayerError
        With all that is wrong in the file or the mapping.
    """
    name = _file(wish)
    mapping = wish.get("mapping")
    told = mapping if isinstance(mapping, Mapping) else {}
    brought = layer_brought(
        desk.folder.place(name),
        _mapping(name, told),
        SPEAKING_OF_WATER,
        own=told.get("own") is True,
    )
    books = editable_layers(desk)
    book = books[0] if books else BOOK_FILE
    if book == name:
        what = "is the book itself"
        raise RefusedError(CANNOT_BE, name, what, "choose a layer of somebody else's")
    if wish.get("dry_run") is True:
        return _tried(desk, book, brought)
    with desk.changing:
        change = change_desk_book(desk, book, brought.change_of, wish.get("version"))
        moved = read_book_instead(desk, book, name)
    how_many = change.notes[:1]  # the rest was shown before it was written
    return written_json(desk, [*how_many, *moved])


def _tried(desk: Desk, book: str, brought: Bringing) -> Json:
    change = brought.change_of(book_or_new(desk.folder.place(book)))
    notes = [*brought.before, *change.notes, "Nothing is written yet."]
    return {"notes": notes, "changes": len(change.features)}


def _mapping(name: str, told: Mapping[str, object]) -> FieldMapping | None:
    fields = told.get("fields")
    given: dict[str, object] = {key: told[key] for key in _TABLES if told.get(key)}
    if isinstance(fields, Mapping):
        # A column in our own words is read as it is.
        given["fields"] = {
            our: their for our, their in fields.items() if field_of(str(their)) != our
        }
    return field_mapping_from(given, name) if any(given.values()) else None


def _row(feature: RawFeature) -> Json:
    return {key: _shown(value) for key, value in feature.properties.items()}


def _shown(value: object) -> object:
    if value is None or isinstance(value, bool):
        return value
    return str(value)[:_LONGEST_SHOWN]


def _file(wish: Mapping[str, object]) -> str:
    name = wish.get("file")
    if not isinstance(name, str):
        raise RefusedError(CANNOT_BE, "", "no file is named", "choose one of the folder")
    return name
