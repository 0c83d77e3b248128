"""KML (OGC 12-007r2) placemarks as a water layer, read strictly: no network link is followed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from shapely import Polygon
from shapely.errors import ShapelyError

from longdry.errors import WaterLayerError
from longdry.plain_text import listed
from longdry.reading.files.coordinates import plain_number
from longdry.reading.files.xml_stream import MOST_DEPTH, NAMESPACE_SEPARATOR, XmlStream
from longdry.reading.water.gpx_layer import less_sure_kind, names_water
from longdry.reading.water.raw import (
    NoPlaceError,
    RawFeature,
    RawLayer,
    area_remark,
    empty_place,
    half_place,
    many_points,
    refused_place,
    within_area,
    wrong_shape,
)
from longdry.reading.water.source import field_of
from longdry.reading.water.values import shown

_SHAPES = ("Point", "LineString", "LinearRing", "Polygon", "Model", "Track", "MultiTrack")
_SAYS_NOTHING = ("name", "note")
_COORDINATES_MEND = "write lon,lat in degrees with decimal points"


@dataclass(slots=True)
class _WaterPlacemark:
    where: str
    feature_id: str
    properties: dict[str, object] = field(default_factory=dict)
    shapes: list[str] = field(default_factory=list)
    coordinates: list[str] = field(default_factory=list)
    """Of each shape its first: a polygon's first ring is its outer one."""


class _Placemarks:
    """Walks through a KML file and gathers its placemarks in ``features``."""

    def __init__(self, path: Path) -> None:
        self.features: list[RawFeature] = []
        self.areas = 0
        self.stream = XmlStream(path, WaterLayerError)
        self._open: list[str] = []
        self._placemark: _WaterPlacemark | None = None
        self._field = ""
        self._pieces: list[str] | None = None
        parser = self.stream.parser
        parser.StartElementHandler = self._start
        parser.EndElementHandler = self._end
        parser.CharacterDataHandler = self._text

    def _start(self, full_name: str, attributes: dict[str, str]) -> None:
        name = full_name.rpartition(NAMESPACE_SEPARATOR)[2]
        if len(self._open) >= MOST_DEPTH:
            what = f"elements stand more than {MOST_DEPTH} deep inside one another"
            raise self.stream.complaint(self.stream.line, what, "take the nested elements out")
        self._open.append(name)
        if name == "Placemark":
            self._placemark = _WaterPlacemark(self.stream.line, attributes.get("id", ""))
        elif self._placemark is not None:
            self._start_inside(self._placemark, name, attributes)

    def _start_inside(
        self, placemark: _WaterPlacemark, name: str, attributes: dict[str, str]
    ) -> None:
        parent = self._open[-2]
        if name in {"Data", "SimpleData"}:
            self._field = attributes.get("name", "")
        if name in _SHAPES and parent in {"Placemark", "MultiGeometry"}:
            placemark.shapes.append(name)
        is_text = parent == "Placemark" and name in {"name", "description"}
        if is_text or name in {"SimpleData", "coordinates"} or (parent, name) == ("Data", "value"):
            self._pieces = []

    def _text(self, piece: str) -> None:
        if self._pieces is not None:
            self._pieces.append(piece)

    def _end(self, _full_name: str) -> None:
        name = self._open.pop()
        placemark = self._placemark
        if placemark is None:
            return
        if name == "Placemark":
            self.features.append(self._feature(placemark))
            self._placemark = None
        elif self._pieces is not None:
            self._keep(placemark, name, "".join(self._pieces))
            self._pieces = None

    def _keep(self, placemark: _WaterPlacemark, name: str, text: str) -> None:
        if name == "coordinates":
            if len(placemark.coordinates) < len(placemark.shapes):
                placemark.coordinates.append(text)
        elif name in {"value", "SimpleData"}:
            placemark.properties.setdefault(self._field, text)
        else:
            placemark.properties.setdefault("note" if name == "description" else name, text)

    def _feature(self, placemark: _WaterPlacemark) -> RawFeature:
        where, properties, feature_id = placemark.where, placemark.properties, placemark.feature_id
        try:
            lon, lat = self._place(placemark)
        except NoPlaceError as no_place:
            return refused_place(where, properties, no_place, feature_id)
        return RawFeature(where, lon, lat, properties, feature_id)

    def _place(self, placemark: _WaterPlacemark) -> tuple[float, float]:
        if not placemark.shapes or not placemark.coordinates:
            raise empty_place()
        kind = placemark.shapes[0]
        if len(placemark.shapes) > 1:
            if set(placemark.shapes) == {"Point"}:
                raise many_points(len(placemark.shapes))
            raise wrong_shape("MultiGeometry")
        words = placemark.coordinates[0].split()
        if not words:
            raise empty_place()
        if len(words) == 1 and len([part for part in words[0].split(",")[:2] if part]) == 1:
            raise half_place(shown(words[0]))
        positions = [_position(word) for word in words]
        if kind == "Polygon":
            self.areas += 1
            return _inside(positions)
        if kind != "Point":
            raise wrong_shape(kind)
        if len(positions) > 1:
            raise NoPlaceError(
                f"its coordinates are {shown(placemark.coordinates[0])}", _COORDINATES_MEND
            )
        return positions[0]


def read_kml_layer(path: Path) -> RawLayer:
    """Return the placemarks of a KML file; their ExtendedData are properties.

    Raises
    ------
    WaterLayerError
        If the file is no XML, holds a DOCTYPE, or nests too deeply.
    """
    walk = _Placemarks(path)
    walk.stream.run()
    features = [_with_kind(one) for one in walk.features]
    areas = (area_remark(walk.areas),) if walk.areas else ()
    return RawLayer(features, (*areas, *_not_of_water(features)))


def _with_kind(feature: RawFeature) -> RawFeature:
    """Return a placemark as the creek, pool or the like that its name tells of, and no more."""
    kind = less_sure_kind(str(feature.properties.get("name") or ""))
    if not kind or any(field_of(key) == "kind" for key in feature.properties):
        return feature
    return feature._replace(properties={**feature.properties, "kind": kind})


def _not_of_water(features: Sequence[RawFeature]) -> Iterator[str]:
    """Name the placemarks of which nothing says that they are water: a saved map has others too."""
    names = [
        shown(str(one.properties.get("name") or one.where))
        for one in features
        if one.left_out is None
        and not any(field_of(key) not in (None, *_SAYS_NOTHING) for key in one.properties)
        and not any(names_water(str(one.properties.get(key) or "")) for key in _SAYS_NOTHING)
    ]
    if names:
        yield (
            "nothing says that these placemarks are water, and they are read as such: take them out"
            f" of the file, or retire them in the book: {listed(names)}"
        )


def _position(word: str) -> tuple[float, float]:
    numbers = [plain_number(part) for part in word.split(",")]
    if len(numbers) in {2, 3} and numbers[0] is not None and numbers[1] is not None:
        return numbers[0], numbers[1]
    raise NoPlaceError(f"its coordinates hold {shown(word)}", _COORDINATES_MEND)


def _inside(positions: list[tuple[float, float]]) -> tuple[float, float]:

    try:
        area = Polygon(positions)
    except (ShapelyError, ValueError):
        raise empty_place("is an area of too few corners") from None
    return within_area(area)
