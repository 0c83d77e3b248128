"""GeoJSON (RFC 7946) read without GDAL; the older ``crs`` member (GeoJSON 2008) is honoured."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path

from shapely.errors import ShapelyError
from shapely.geometry import shape

from longdry.errors import InputError, WaterLayerError
from longdry.reading.files.feature_list import TextSpan, spanned_document
from longdry.reading.files.json_text import json_faults, strict_json
from longdry.reading.water.raw import (
    AREAS,
    NoPlaceError,
    RawFeature,
    RawLayer,
    area_remark,
    empty_place,
    half_place,
    in_wgs84,
    is_wgs84,
    many_points,
    placeless,
    refused_place,
    within_area,
    wrong_shape,
)
from longdry.reading.water.values import RefusedValueError, shown, text_from

_SHAPES = (
    "Point", "MultiPoint", "LineString", "MultiLineString", "Polygon", "MultiPolygon",
    "GeometryCollection",
)  # fmt: skip
_NUMBERS = (float, int)
_POINT_MEND = 'write {"type": "Point", "coordinates": [lon, lat]}'
_FEATURE_MEND = 'write {"type": "Feature", "geometry": ..., "properties": {...}}'


def read_geojson_layer(text: str, path: Path) -> RawLayer:
    """Return the features of a GeoJSON text: a collection, one feature, or one geometry.

    Raises
    ------
    WaterLayerError
        If the text is no JSON, or JSON of another kind.
    """
    taken = _TakenFeatures()
    document = _parsed(text, path, taken)
    if (alone := _alone(document)) is not None:
        taken = _TakenFeatures()
        taken.take(TextSpan(0, len(text), alone))
    else:
        _refuse_other_than_collection(document, path)
    features = taken.features
    declared = _declared_crs(document, path)
    if declared and not is_wgs84(declared):
        features = in_wgs84(features, declared, path)
    return RawLayer(features, (area_remark(taken.areas),) if taken.areas else ())


class _TakenFeatures:
    """What is kept of the features of a text: far less than their JSON."""

    def __init__(self) -> None:
        self.features: list[RawFeature] = []
        self.areas = 0

    def take(self, span: TextSpan) -> None:
        """Keep the next feature."""
        self.features.append(_feature(f"feature {len(self.features) + 1}", span.value))
        self.areas += _kind(span.value) in AREAS


def _parsed(text: str, path: Path, taken: _TakenFeatures) -> Mapping[str, object]:
    """Return the members of an object, its list of features taken one by one and left empty."""
    with json_faults(str(path), WaterLayerError, _EXPORT_MEND):
        try:
            each = spanned_document(text, taken.take, takes_nan=True)
        except ValueError:
            document = strict_json(text, takes_nan=True)  # tells the fault in the words of JSON
            if isinstance(document, dict):
                raise
        else:
            return each.members
    raise _refused(path, f"holds {shown(document)}, not a GeoJSON object", _COLLECTION_MEND)


_EXPORT_MEND = "export the layer again, it may be cut short"
_COLLECTION_MEND = 'write {"type": "FeatureCollection", "features": [...]}'


def _refused(path: Path, what: str, mend: str) -> InputError:
    return WaterLayerError.single(str(path), "", what, mend)


def _alone(document: Mapping[str, object]) -> object:
    """Return the one feature that a document is, or is the geometry of; None where it is none."""
    kind = document.get("type")
    if kind == "Feature":
        return document
    return {"type": "Feature", "geometry": document} if kind in _SHAPES else None


def _refuse_other_than_collection(document: Mapping[str, object], path: Path) -> None:
    kind = document.get("type")
    if kind != "FeatureCollection":
        what = f"is JSON of type {shown(kind)}, not GeoJSON"
        raise _refused(path, what, _COLLECTION_MEND)
    if not isinstance(document.get("features"), list):
        raise _refused(path, "has no list of features", _COLLECTION_MEND)


def _declared_crs(document: Mapping[str, object], path: Path) -> str:
    crs = document.get("crs")
    if crs is None:
        return ""
    properties = crs.get("properties") if isinstance(crs, dict) else None
    name = properties.get("name") if isinstance(properties, dict) else None
    if not isinstance(name, str):
        raise _refused(
            path,
            'has a "crs" without a name',
            'write {"type": "name", "properties": {"name": "EPSG:..."}}, or save as WGS 84',
        )
    return name


def _feature(where: str, item: object) -> RawFeature:
    if not isinstance(item, dict) or item.get("type") != "Feature":
        return placeless(where, {}, f"{_what_it_is(item)}, not a feature", _FEATURE_MEND)
    properties = item.get("properties")
    if properties is None:
        properties = {}
    elif not isinstance(properties, dict):
        what = f"its properties are {shown(properties)}, not a mapping"
        return placeless(where, {}, what, _FEATURE_MEND)
    try:
        x, y = _place(item.get("geometry"))
    except NoPlaceError as no_place:
        return refused_place(where, properties, no_place, _feature_id(item))
    return RawFeature(where, x, y, properties, _feature_id(item))


def _what_it_is(item: object) -> str:
    if isinstance(item, dict):
        return f"is an object of type {shown(item.get('type'))}"
    return f"is {shown(item)}"


def _feature_id(item: Mapping[str, object]) -> str:
    member = item.get("id")
    if member is None:
        return ""
    try:
        return text_from(member)
    except RefusedValueError:
        return ""


def _kind(item: object) -> object:
    geometry = item.get("geometry") if isinstance(item, dict) else None
    return geometry.get("type") if isinstance(geometry, dict) else None


def _place(geometry: object) -> tuple[object, object]:
    if geometry is None:
        raise empty_place("is null")
    if not isinstance(geometry, dict):
        raise NoPlaceError(f"its geometry is {shown(geometry)}", _POINT_MEND)
    kind = geometry.get("type")
    if kind not in _SHAPES:
        raise NoPlaceError(f"its geometry is of type {shown(kind)}", _POINT_MEND)
    if kind == "GeometryCollection":
        raise wrong_shape(kind)
    coordinates = geometry.get("coordinates")
    if not isinstance(coordinates, list) or not coordinates:
        raise empty_place() if coordinates in (None, []) else _no_position(coordinates)
    return _place_of(kind, coordinates, geometry)


def _place_of(
    kind: object, coordinates: list[object], geometry: Mapping[str, object]
) -> tuple[object, object]:
    if kind == "Point":
        return _position(coordinates)
    if kind == "MultiPoint":
        if len(coordinates) > 1:
            raise many_points(len(coordinates))
        return _position(coordinates[0])
    if kind in AREAS:
        return _inside(geometry)
    raise wrong_shape(str(kind))


def _position(coordinates: object) -> tuple[object, object]:
    if not isinstance(coordinates, list) or not coordinates:
        raise _no_position(coordinates)
    x, y = (*coordinates, None)[:2]
    if type(x) in _NUMBERS and type(y) in _NUMBERS:
        return x, y
    if (type(x) in _NUMBERS and y is None) or (x is None and type(y) in _NUMBERS):
        raise half_place(json.dumps(coordinates)[:60])
    raise _no_position(coordinates)


def _no_position(coordinates: object) -> NoPlaceError:
    held = json.dumps(coordinates)[:60] if isinstance(coordinates, list) else shown(coordinates)
    return NoPlaceError(f"its coordinates are {held}", _POINT_MEND)


def _inside(geometry: Mapping[str, object]) -> tuple[float, float]:

    try:
        area = shape(geometry)
    except (ShapelyError, ValueError, TypeError, LookupError, AttributeError, OverflowError):
        raise empty_place("is an area that cannot be built") from None
    return within_area(area)
