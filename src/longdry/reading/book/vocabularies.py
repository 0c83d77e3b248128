"""Layers in an open vocabulary that needs no mapping: OpenStreetMap tags and WPDx columns."""

from __future__ import annotations

from longdry.reading.book import osm_tags, wpdx_columns
from longdry.reading.water.raw import RawFeature, RawLayer
from longdry.reading.water.source import field_of

_OURS = {"grade", "kind", "visits", "certainty"}
"""A layer that has one of these speaks our words already."""


def in_our_words(layer: RawLayer) -> RawLayer:
    """Return the layer with its properties in our words, and a remark on which were read.

    A layer that speaks no open vocabulary comes back as it is.

    >>> in_our_words(RawLayer([])).features
    []
    """
    if any(_speaks_ours(feature) for feature in layer.features):
        return layer
    if any(wpdx_columns.is_wpdx(feature.properties) for feature in layer.features):
        return _from_wpdx(layer)
    if any(osm_tags.is_water(osm_tags.tags_of(one.properties)) for one in layer.features):
        return _from_osm(layer)
    return layer


def _speaks_ours(feature: RawFeature) -> bool:
    """An empty column says nothing, and makes no layer ours."""
    return any(field_of(key) in _OURS for key, value in feature.properties.items() if value)


def _from_wpdx(layer: RawLayer) -> RawLayer:
    features = [
        one._replace(properties=wpdx_columns.our_properties(one.properties))
        for one in layer.features
    ]
    remark = "read by its WPDx columns; no grade is known from them"
    return RawLayer(features, (*layer.remarks, remark))


def _from_osm(layer: RawLayer) -> RawLayer:
    features = []
    for feature in layer.features:
        tags = osm_tags.tags_of(feature.properties)
        if feature.feature_id:
            tags.setdefault("@id", feature.feature_id)
        if osm_tags.is_water(tags):
            features.append(feature._replace(properties=osm_tags.our_properties(tags)))
    remarks = [*layer.remarks, "read by its OpenStreetMap tags; drinking water counts as to treat"]
    passed_over = len(layer.features) - len(features)
    if passed_over:
        remarks.append(
            f"{passed_over} of {len(layer.features)} features are no water and were left"
        )
    return RawLayer(features, tuple(remarks))
