"""Layers in an open vocabulary that needs no mapping: OpenStreetMap tags and WPDx columns."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import replace

from longdry.reading.water import osm_tags, wpdx_columns
from longdry.reading.water.raw import RawFeature, RawLayer, columns_of
from longdry.reading.water.source import field_of

_OURS = {"grade", "visits", "certainty"}
"""A layer that has one of these speaks our words already."""
_EMPTY_WORDS = {
    "na", "n/a", "n.a.", "#n/a", "null", "<null>", "none", "nil", "nan", "-", "--", "?", "unknown",
    "not known", "not recorded", "no data", "tbc", "tba",
}  # fmt: skip
"""What people write where they know nothing. Common practice, no source."""
_WHOLE_TEXTS = {"note", "visits"}


def without_empty_words(layer: RawLayer) -> RawLayer:
    """Return the layer with nothing in place of words for nothing.

    >>> one = RawFeature("line 2", "131", "-25", {"grade": "N/A", "note": "-", "name": "Old Bore"})
    >>> without_empty_words(RawLayer([one])).features[0].properties
    {'grade': None, 'note': '-', 'name': 'Old Bore'}
    """
    return replace(layer, features=[_without_empty_words(one) for one in layer.features])


def is_empty_word(text: str) -> bool:
    """Whether a text is a word for nothing.

    >>> is_empty_word("N/A"), is_empty_word("Old Bore")
    (True, False)
    """
    return text.strip().lower() in _EMPTY_WORDS


def _without_empty_words(feature: RawFeature) -> RawFeature:
    properties = known_properties(feature.properties)
    return feature if properties is feature.properties else feature._replace(properties=properties)


def known_properties(properties: Mapping[str, object]) -> Mapping[str, object]:
    """Return properties with nothing in place of words for nothing.

    >>> known_properties({"months": "n/a", "name": "Old Bore"})
    {'months': None, 'name': 'Old Bore'}
    """
    empty = [key for key, value in properties.items() if _is_empty(key, value)]
    return {**properties, **dict.fromkeys(empty)} if empty else properties


def _is_empty(key: str, value: object) -> bool:
    if isinstance(value, str):
        return is_empty_word(value) and field_of(key) not in _WHOLE_TEXTS
    return isinstance(value, float) and math.isnan(value)


def in_our_words(layer: RawLayer) -> RawLayer:
    """Return the layer with its properties in our words, and a remark on which were read.

    A layer that speaks no open vocabulary comes back as it is, and so does a book: what was
    brought into it has been read before, and the party may have retired it since. Where only some
    features speak in our words, the others are read by their OpenStreetMap tags if they tell of
    water.

    >>> in_our_words(RawLayer([])).features
    []
    """
    if any(one.properties.get("brought_from") for one in layer.features):
        return layer
    if speaks_ours(layer):
        return _rest_from_osm(layer)
    if any(wpdx_columns.is_wpdx(feature.properties) for feature in layer.features):
        return _from_wpdx(layer)
    if any(osm_tags.is_water(osm_tags.tags_of(one.properties)) for one in layer.features):
        return _from_osm(layer)
    return layer


def speaks_ours(layer: RawLayer) -> bool:
    """Whether a layer tells grades, visits or certainties in our properties.

    An empty column says nothing, and makes no layer ours.

    >>> one = RawFeature("line 2", 131.0, -25.0, {"Grade": "potable"})
    >>> speaks_ours(RawLayer([one])), speaks_ours(RawLayer([]))
    (True, False)
    """
    return any(_is_ours(one, _ours_among(one.properties)) for one in layer.features)


def _ours_among(columns: Iterable[str]) -> list[str]:
    return [column for column in columns if field_of(column) in _OURS]


def _is_ours(feature: RawFeature, ours: Iterable[str]) -> bool:
    return any(map(feature.properties.get, ours))


def _rest_from_osm(layer: RawLayer) -> RawLayer:
    """Read by their tags those features that tell nothing in our words, the others as they are."""
    ours = _ours_among(columns_of(layer.features))
    known = {
        id(one): osm_tags.tags_of(one.properties)
        for one in layer.features
        if not _is_ours(one, ours)
    }
    by_tags = sum(osm_tags.is_water(tags) for tags in known.values())
    if not by_tags:
        return layer
    features = [
        _by_tags(one, known[id(one)])
        if id(one) in known and osm_tags.is_water(known[id(one)])
        else one
        for one in layer.features
    ]
    remark = (
        f"{by_tags} of {len(layer.features)} features read by their OpenStreetMap tags; drinking"
        " water counts as to treat"
    )
    return replace(layer, features=features, remarks=(*layer.remarks, remark))


def _by_tags(feature: RawFeature, tags: dict[str, str]) -> RawFeature:
    if feature.feature_id:
        tags.setdefault("@id", feature.feature_id)
    return feature._replace(properties=osm_tags.our_properties(tags))


def _from_wpdx(layer: RawLayer) -> RawLayer:
    features = [
        one._replace(properties=wpdx_columns.our_properties(one.properties))
        for one in layer.features
    ]
    remark = "read by its WPDx columns; no grade is known from them"
    return replace(layer, features=features, remarks=(*layer.remarks, remark), vocabulary="WPDx")


def _from_osm(layer: RawLayer) -> RawLayer:
    features = []
    for feature in layer.features:
        tags = osm_tags.tags_of(feature.properties)
        if osm_tags.is_water(tags):
            features.append(_by_tags(feature, tags))
    remarks = [*layer.remarks, "read by its OpenStreetMap tags; drinking water counts as to treat"]
    passed_over = len(layer.features) - len(features)
    if passed_over:
        remarks.append(
            f"{passed_over} of {len(layer.features)} features are no water and were left"
        )
    return replace(layer, features=features, remarks=tuple(remarks), vocabulary="OpenStreetMap")
