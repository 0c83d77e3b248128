"""Another file on its way into the water book: its sources in our words, the rest kept."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from longdry.model.water.book import BroughtSource
from longdry.reading.water.csv_layer import TablePlaces
from longdry.reading.water.gpx_layer import SPEAKING_OF_WATER, WaypointChoice
from longdry.reading.water.layer import raw_layer, sources_layer
from longdry.reading.water.mapping import FieldMapping
from longdry.reading.water.source import field_of
from longdry.reading.water.sources import layer_sources

_MADE = "brought"


@dataclass(frozen=True, slots=True)
class BroughtLayer:
    """The sources of another file."""

    sources: tuple[BroughtSource, ...]
    remarks: tuple[str, ...]
    """One sentence each."""


def read_brought(
    path: Path,
    mapping: FieldMapping | None = None,
    choice: WaypointChoice = SPEAKING_OF_WATER,
) -> BroughtLayer:
    """Read another layer, or the waypoints of a recorded trip.

    Parameters
    ----------
    path
        Any file that `read_water` takes.
    mapping
        How its columns and words are read; OpenStreetMap tags and WPDx columns are known
        without one.
    choice
        Which waypoints of a GPX file are taken; the others are listed.

    Raises
    ------
    WaterLayerError
        With all that is wrong in the file or the mapping.
    """
    places = TablePlaces(mapping.places, mapping.crs) if mapping else None
    layer = sources_layer(raw_layer(path, places=places), mapping, path, choice)
    found = layer_sources(layer, path, _MADE)
    brought = tuple(
        BroughtSource(source, source.id.startswith(f"{_MADE}#"), _foreign(feature.properties))
        for source, feature in zip(found.sources, found.features, strict=True)
    )
    return BroughtLayer(brought, tuple(found.remarks))


def _foreign(properties: Mapping[str, object]) -> dict[str, object]:
    """Return what is not ours and no place, in values that JSON can hold."""
    return {
        key: _json_value(value)
        for key, value in properties.items()
        if field_of(key) is None and not _is_empty(value)
    }


def _is_empty(value: object) -> bool:
    return value in (None, "") or (isinstance(value, float) and not math.isfinite(value))


def _json_value(value: object) -> object:
    try:
        json.dumps(value, allow_nan=False)
    except (TypeError, ValueError, RecursionError):
        return str(value)
    return value
