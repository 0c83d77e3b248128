"""Another file on its way into the water book: its sources in our words, the rest kept."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path

from longdry.errors import Fault, WaterLayerError
from longdry.model.water.book import BroughtSource
from longdry.model.words import known_kind
from longdry.reading.files.text import listed, quoted
from longdry.reading.water.csv_layer import TablePlaces
from longdry.reading.water.layer import layer_in_our_words, raw_layer
from longdry.reading.water.mapping import FieldMapping
from longdry.reading.water.raw import RawFeature, RawLayer
from longdry.reading.water.source import field_of
from longdry.reading.water.sources import layer_sources

_MADE = "brought"


@dataclass(frozen=True, slots=True)
class BroughtLayer:
    """The sources of another file."""

    sources: tuple[BroughtSource, ...]
    remarks: tuple[str, ...]
    """One sentence each."""


@dataclass(frozen=True, slots=True)
class WaypointChoice:
    """Which waypoints of a recorded trip are brought."""

    names: tuple[str, ...] = ()
    """Empty: those that speak of water."""
    everything: bool = False


SPEAKING_OF_WATER = WaypointChoice()


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
    layer = layer_in_our_words(raw_layer(path, places=places), mapping)
    if layer.vocabulary == "GPX":
        layer = _chosen(layer, choice, path)
    elif choice != SPEAKING_OF_WATER:
        what = "--waypoint and --all go with waypoints of a GPX file"
        raise WaterLayerError.single(str(path), "", what, "leave them out")
    found = layer_sources(layer, path, _MADE)
    brought = tuple(
        BroughtSource(source, source.id.startswith(f"{_MADE}#"), _foreign(feature.properties))
        for source, feature in zip(found.sources, found.features, strict=True)
    )
    return BroughtLayer(brought, tuple(found.remarks))


def _chosen(layer: RawLayer, choice: WaypointChoice, path: Path) -> RawLayer:
    if choice.everything:
        return layer
    if choice.names:
        return replace(layer, features=_named(layer.features, choice.names, path))
    taken = [one for one in layer.features if _speaks_of_water(one)]
    left = [one for one in layer.features if one not in taken]
    if not left:
        return layer
    words = listed([_waypoint_words(one) for one in left])
    remark = (
        f"{len(left)} of {len(layer.features)} waypoints do not speak of water and were left:"
        f" {words}; take one with --waypoint NAME, or all with --all"
    )
    return replace(layer, features=taken, remarks=(*layer.remarks, remark))


def _named(features: Sequence[RawFeature], names: Sequence[str], path: Path) -> list[RawFeature]:
    by_name = {name.strip().casefold(): name for name in names}
    found = [one for one in features if _name(one).casefold() in by_name]
    lost = by_name.keys() - {_name(one).casefold() for one in found}
    if lost:
        words = listed([_waypoint_words(one) for one in features]) or "none"
        raise WaterLayerError(
            str(path),
            [
                Fault("", f"no waypoint is called {quoted(by_name[name])}", f"it has {words}")
                for name in sorted(lost)
            ],
        )
    return found


def _name(feature: RawFeature) -> str:
    return str(feature.properties.get("name") or "").strip()


def _waypoint_words(feature: RawFeature) -> str:
    more = [str(feature.properties[key]) for key in ("sym", "type", "cmt")
            if feature.properties.get(key)]  # fmt: skip
    words = quoted(_name(feature)) if _name(feature) else feature.where
    return f"{words} ({', '.join(quoted(text) for text in more)})" if more else words


def _speaks_of_water(feature: RawFeature) -> bool:
    """Whether a waypoint tells a kind, a grade, a visit, or has a word for water in its name."""
    told = {field_of(key) for key, value in feature.properties.items() if value}
    if told & {"kind", "grade", "visits", "flow_l_per_min", "limit_l"}:
        return True
    texts = [_name(feature), *(str(feature.properties.get(key) or "") for key in ("sym", "type"))]
    words = [word for text in texts for word in re.findall(r"[^\W\d_]+", text.lower())]
    pairs = [f"{one} {other}" for one, other in pairwise(words)]
    return "water" in words or any(known_kind(word) for word in (*words, *pairs))


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
