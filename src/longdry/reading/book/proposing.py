"""A mapping of another file's columns, to be filled in: what it holds, and what it may mean."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from longdry.errors import WaterLayerError
from longdry.model.words import known_kind
from longdry.plain_text import one_line
from longdry.reading.files.opening import file_text_and_encoding
from longdry.reading.water.columns import usual_columns, values_seen
from longdry.reading.water.csv_layer import (
    BROKEN_MEND,
    BrokenRowError,
    TablePlaces,
    has_place_columns,
    header_of,
    rows_of,
)
from longdry.reading.water.format import LayerFormat, layer_format
from longdry.reading.water.layer import raw_layer
from longdry.reading.water.mapping import FieldMapping
from longdry.reading.water.raw import RawFeature, RawLayer, columns_of
from longdry.reading.water.source import READERS, field_of
from longdry.reading.water.vocabularies import without_empty_words

_MOST_VALUES_SHOWN = 6
_MOST_WORDS = 30
_HEAD = """# How the columns and words of {name} are read as ours.
# A line counts once its # is taken away. Nothing here is guessed for you: unknown stays unknown,
# and unknown is not for drinking. Call water potable only on the word of whoever looks after it.
"""
_PLACE_LINES = (
    '# lat = "..."        # or, with a crs: northing',
    '# lon = "..."        # or, with a crs: easting',
)


def proposed_fields(path: Path, mapping: FieldMapping | None = None) -> str:
    """Return the text of a mapping in which every line is a comment.

    Each column stands with values that it holds; where its name is a usual one, with what it is
    likely to mean; and the words of what may be grades and kinds stand below.

    Raises
    ------
    WaterLayerError
        Where the file cannot be read.
    """
    lines = [_HEAD.format(name=one_line(path.name))]
    layer = placeless_table(path)
    place_lines: tuple[str, ...] = ()
    if layer is not None:
        lines += [*_of_places(columns_of(layer.features)), ""]
        place_lines = _PLACE_LINES
    else:
        places = TablePlaces(mapping.places, mapping.crs) if mapping else None
        layer = raw_layer(path, places=places)
    layer = without_empty_words(layer)
    features = layer.features
    meant = {column: ours for ours, column in usual_columns(layer).items()}
    unknown = [column for column in columns_of(features) if field_of(column) is None]
    lines += [
        "[fields]",
        *place_lines,
        f"# known here: {', '.join(READERS)},",
        "# visit_found, visit_on",
    ]
    lines += [_of_column(features, column, meant.get(column)) for column in unknown]
    lines += ["", *_of_words(features, unknown, meant)]
    return "\n".join(lines) + "\n"


def placeless_table(path: Path) -> RawLayer | None:
    """Return the rows of a table that does not tell which of its columns are places.

    None for any other file.

    Raises
    ------
    WaterLayerError
        The file cannot be read, or a row of it is broken.
    """
    if layer_format(path) is not LayerFormat.TABLE:
        return None
    text, _ = file_text_and_encoding(path, error=WaterLayerError, fallback="cp1252")
    header = header_of(text)
    if has_place_columns(text) and _tells_places(header):
        return None
    try:
        rows = rows_of(text)
    except BrokenRowError as cause:
        raise WaterLayerError.single(str(path), cause.where, cause.what, BROKEN_MEND) from cause
    rows = rows or [dict.fromkeys(header, "")]
    return RawLayer([RawFeature("", "", "", dict(row)) for row in rows])


def _tells_places(header: Sequence[str]) -> bool:
    return TablePlaces().found_in(header) is not None


def _of_places(header: Sequence[str]) -> Iterator[str]:
    yield "# The places: which columns hold them, and in which reference system?"
    yield '# crs = "EPSG:28355"       # only where they are not degrees in WGS 84'
    yield f"# columns: {', '.join(map(_quoted, header))}"


def _of_column(features: Sequence[RawFeature], column: str, ours: str | None) -> str:
    seen = ", ".join(_quoted(value) for value in values_seen(features, column, _MOST_VALUES_SHOWN))
    return f"# {ours or '...'} = {_quoted(column)}    # {seen or 'empty'}"


def _of_words(
    features: Sequence[RawFeature], columns: Sequence[str], meant: dict[str, str]
) -> Iterator[str]:
    yield "[grades]    # potable, treat-before-drinking or not-for-drinking"
    for column in columns:
        if meant.get(column) == "grade":
            yield from _words(features, column, "...")
    yield ""
    yield "[kinds]"
    for column in columns:
        if meant.get(column) == "kind":
            for word in values_seen(features, column, _MOST_WORDS):
                yield f"# {_quoted(word)} = {_quoted(known_kind(word) or '...')}"
    yield ""
    yield "[visits]    # flowing, low, dry or unreachable; with visit_found and visit_on above"
    yield "[retired]   # a word = why nobody should count on it; with retired above"
    yield "[certainty] # a word = certain, likely or doubtful; with certainty above"
    yield '[months]    # a word = months, "Apr-Sep"; with months above'


def _words(features: Sequence[RawFeature], column: str, ours: str) -> Iterator[str]:
    for word in values_seen(features, column, _MOST_WORDS):
        yield f"# {_quoted(word)} = {_quoted(ours)}"


def _quoted(text: str) -> str:
    plain = one_line(text).replace("\\", "\\\\").replace('"', '\\"')
    return f'"{plain}"'
