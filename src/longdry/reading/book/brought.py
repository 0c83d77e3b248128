"""Another file on its way into the water book: its sources in our words, the rest kept."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from longdry.model.water.book import BroughtSource
from longdry.reading.book.mapping import FieldMapping, mapped_layer
from longdry.reading.book.vocabularies import in_our_words
from longdry.reading.book.wpdx_columns import PLACE_COLUMNS
from longdry.reading.water.csv_layer import LATITUDES, LONGITUDES
from longdry.reading.water.layer import raw_layer
from longdry.reading.water.source import field_of
from longdry.reading.water.sources import layer_sources

_MADE = "brought"


@dataclass(frozen=True, slots=True)
class BroughtLayer:
    """The sources of another file."""

    sources: tuple[BroughtSource, ...]
    remarks: tuple[str, ...]
    """One sentence each."""


def read_brought(path: Path, mapping: FieldMapping | None = None) -> BroughtLayer:
    """Read another layer, or the waypoints of a recorded trip.

    Parameters
    ----------
    path
        Any file that `read_water` takes.
    mapping
        How its columns and words are read; without one, OpenStreetMap tags and WPDx columns
        are known.

    Raises
    ------
    WaterLayerError
        With all that is wrong in the file or the mapping.
    """
    places = PLACE_COLUMNS if mapping is None else PLACE_COLUMNS | mapping.places
    held = raw_layer(path, renamed=places)
    layer = in_our_words(held) if mapping is None else mapped_layer(held, mapping)
    found = layer_sources(layer, path, _MADE)
    brought = tuple(
        BroughtSource(source, source.id == f"{_MADE}#{number}", _foreign(feature.properties))
        for number, (source, feature) in enumerate(
            zip(found.sources, layer.features, strict=True), start=1
        )
    )
    return BroughtLayer(brought, tuple(found.remarks))


def _foreign(properties: Mapping[str, object]) -> dict[str, object]:
    """Return what is not ours and no place, in values that JSON can hold."""
    places = {*LATITUDES, *LONGITUDES, *PLACE_COLUMNS}
    return {
        key: _json_value(value)
        for key, value in properties.items()
        if field_of(key) is None and key not in places and not _is_empty(value)
    }


def _is_empty(value: object) -> bool:
    return value in (None, "") or (isinstance(value, float) and not math.isfinite(value))


def _json_value(value: object) -> object:
    try:
        json.dumps(value, allow_nan=False)
    except (TypeError, ValueError, RecursionError):
        return str(value)
    return value
