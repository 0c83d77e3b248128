"""Lines from a GIS layer that GDAL reads, in WGS 84 whatever system they are declared in.

GDAL takes a GeoJSON layer in an unknown coordinate system for WGS 84; a line that lies elsewhere
than the user drew it hides a gap. What GDAL would pass over in silence is checked before it gets
the file.
"""

from __future__ import annotations

import io
import os
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import shapely
from pyproj import CRS, Transformer
from pyproj.exceptions import CRSError, ProjError
from shapely.errors import ShapelyError
from shapely.geometry.base import BaseGeometry

from longdry.errors import Fault, InputError, RouteFileError
from longdry.model.arrays import FloatArray
from longdry.model.route import DrawnAs
from longdry.plain_text import listed
from longdry.reading.files.coordinates import LAT_LIMIT_DEG, LON_LIMIT_DEG
from longdry.reading.files.faults import FaultList
from longdry.reading.files.gdal import NAME_FIELDS, GdalError, GdalLayer, GdalSource, read_gdal
from longdry.reading.files.json_text import json_faults, strict_json
from longdry.reading.files.opening import (
    GZIP_MAGIC,
    file_chunks,
    file_head,
    file_text,
    looks_like_html,
    proved_encoding,
    refuse_packed,
)
from longdry.reading.files.text import COPY_AGAIN, quoted
from longdry.reading.route.drawing import Drawing, DrawnLine, believable, counted

_JSON_ENDINGS = {".geojson", ".json"}
_WGS_84 = "EPSG:4326"
LINE_LAYER_BEGINNINGS: dict[str, tuple[bytes, ...]] = {
    ".geojson": (b"{",),
    ".json": (b"{",),
    ".gpkg": (b"SQLite format 3\x00",),
    ".fgb": (b"fgb",),
    ".shp": (b"\x00\x00\x27\x0a",),
}
"""By ending; a file that begins otherwise is not handed to GDAL."""
_EXPORT_AGAIN = "export the layer again in WGS 84"


@dataclass(frozen=True, slots=True)
class _Feature:
    where: str
    name: str
    geometry: BaseGeometry | None


class LayerLines:
    """Gathers the lines of all layers of one file."""

    def __init__(self, origin: str, without_line: frozenset[str] | None = None) -> None:
        """Begin with none.

        Parameters
        ----------
        without_line
            Where the features stand to which the file really gives no geometry; a geometry of the
            others that cannot be read is a fault. None: nothing is known of that.
        """
        self.origin = origin
        self.without_line = without_line
        self.faults = FaultList()
        self.remarks: list[str] = []
        self.others: Counter[str] = Counter()
        self.empty: list[str] = []
        """Where features without a geometry stand."""
        self.xyz: list[FloatArray] = [np.empty((0, 3))]
        self.lines: list[DrawnLine] = []
        self.points = 0

    def take_layer(self, features: Iterator[_Feature], crs: str | None) -> None:
        """Keep the lines of one layer; what is no line is counted, what lies nowhere is a fault."""
        to_wgs_84 = self._transformer(crs)
        for feature in features:
            if feature.geometry is None or feature.geometry.is_empty:
                self._leave_out(feature)
                continue
            parts = [self._in_degrees(part, to_wgs_84) for part in _line_parts(feature.geometry)]
            if not parts:
                self.others[_kind(feature.geometry)] += 1
            elif self._all_good(feature, parts, crs):
                self._keep(feature, parts)

    def _leave_out(self, feature: _Feature) -> None:
        if self.without_line is None or feature.where in self.without_line:
            self.empty.append(feature.where)
        else:
            what = "has a geometry that cannot be read"
            self.faults.add([Fault(feature.where, what, "draw its line or take it out")])

    def take_line(
        self, where: str, name: str, parts: list[FloatArray], drawn_as: DrawnAs, *, timed: bool
    ) -> None:
        """Keep one line whose parts are in WGS 84: longitude, latitude, height or NaN."""
        feature = _Feature(where, name, None)
        if self._all_good(feature, parts, _WGS_84):
            self._keep(feature, parts, drawn_as, timed=timed)

    def _transformer(self, crs: str | None) -> Transformer | None:
        if crs is None:
            self.remarks.append(
                "The layer declares no coordinate system; its numbers fit longitude and latitude "
                "and are taken as WGS 84"
            )
            return None
        try:
            system = CRS.from_user_input(crs)
            if system.equals(CRS(_WGS_84), ignore_axis_order=True):
                return None
            return Transformer.from_crs(system, _WGS_84, always_xy=True)
        except ProjError as problem:
            raise RouteFileError.single(
                self.origin, "", f"the coordinate system {quoted(crs)} cannot be used",
                "export the layer in WGS 84",
            ) from problem  # fmt: skip

    @staticmethod
    def _in_degrees(xyz: FloatArray, to_wgs_84: Transformer | None) -> FloatArray:
        if to_wgs_84 is None:
            return xyz
        lon, lat = to_wgs_84.transform(xyz[:, 0], xyz[:, 1])
        return np.column_stack([lon, lat, xyz[:, 2]])

    def _all_good(self, feature: _Feature, parts: list[FloatArray], crs: str | None) -> bool:
        xyz = np.concatenate(parts)
        good = (np.abs(xyz[:, 1]) <= LAT_LIMIT_DEG) & (np.abs(xyz[:, 0]) <= LON_LIMIT_DEG)
        if good.all():
            return True
        lon, lat, _ = xyz[np.argmin(good)].tolist()
        self.faults.add([_bad_point(feature.where, lat, lon, crs)])
        return False

    def _keep(
        self,
        feature: _Feature,
        parts: list[FloatArray],
        drawn_as: DrawnAs = DrawnAs.LINE,
        *,
        timed: bool = False,
    ) -> None:
        starts = []
        for part in parts:
            starts.append(self.points)
            self.points += len(part)
        self.xyz += parts
        line = DrawnLine(feature.name, drawn_as, tuple(starts), self.points, timed=timed)
        self.lines.append(line)

    def drawing(self) -> Drawing:
        """Return what was kept.

        Raises
        ------
        RouteFileError
            With all faults, or where there is no line.
        """
        self.faults.raise_any(self.origin, RouteFileError)
        others = listed([counted(number, kind) for kind, number in self.others.items()])
        if self.empty:
            count, places = counted(len(self.empty), "feature"), listed(self.empty)
            self.remarks.append(f"{count} without a geometry left out: {places}")
            others = others or f"{count} without a geometry"
        if not self.lines:
            found = f"only {others}" if others else "no feature at all"
            raise RouteFileError.single(
                self.origin, "", f"holds no line, {found}", "name the layer with the route's line"
            )
        if self.others:
            self.remarks.append(f"Only lines are used; the layer also holds {others}")
        lon_deg, lat_deg, z = np.concatenate(self.xyz).T
        return Drawing(
            origin=self.origin,
            lat_deg=lat_deg,
            lon_deg=lon_deg,
            height_m=self._heights(z),
            lines=tuple(self.lines),
            remarks=tuple(self.remarks),
        )

    def _heights(self, z: FloatArray) -> FloatArray:
        height_m = believable(z)
        odd = int((np.isnan(height_m) & ~np.isnan(z)).sum())
        if odd:
            self.remarks.append(
                f"{counted(odd, 'height')} outside -500 to 9000 m taken for missing"
            )
        if (z == 0.0).all():
            self.remarks.append(
                "All heights are 0, as in a layer without any, and count as missing"
            )
            return np.full_like(z, np.nan)
        return height_m


def _bad_point(where: str, lat: float, lon: float, crs: str | None) -> Fault:
    if not (np.isfinite(lat) and np.isfinite(lon)):
        return Fault(where, "has a coordinate that is not a finite number", "correct it")
    what = f"lat {lat:.10g}, lon {lon:.10g} lies outside the globe"
    if crs is None:
        return Fault(where, what, "declare the layer's coordinate system, or export it in WGS 84")
    if abs(lon) <= LAT_LIMIT_DEG and abs(lat) <= LON_LIMIT_DEG:
        return Fault(where, what, "lat and lon look swapped: exchange them, or correct the number")
    return Fault(where, what, "correct it, or save the layer in WGS 84")


def _kind(geometry: BaseGeometry) -> str:
    return str(geometry.geom_type).lower()


def _line_parts(geometry: BaseGeometry) -> list[FloatArray]:

    if geometry.geom_type in {"LineString", "LinearRing"}:
        return [shapely.get_coordinates(geometry, include_z=True)]
    if geometry.geom_type in {"MultiLineString", "GeometryCollection"}:
        return [part for member in geometry.geoms for part in _line_parts(member)]
    return []


def _check_beginning(path: str | os.PathLike[str]) -> frozenset[str] | None:
    head = file_head(path, error=RouteFileError)
    ending = line_layer_ending(path)
    if ending == ".shp":
        refuse_packed(path, error=RouteFileError)
    if looks_like_html(head):
        raise RouteFileError.single(
            os.fspath(path), "", "this is a web page, not the layer itself",
            "download the file again",
        )  # fmt: skip
    start = _beginning(head) if ending in _JSON_ENDINGS else head
    if not start:
        raise RouteFileError.single(os.fspath(path), "", "the file is empty", COPY_AGAIN)
    if not start.startswith(LINE_LAYER_BEGINNINGS[ending]):
        raise RouteFileError.single(
            os.fspath(path), "", f"its content is not what the ending {ending} says",
            f"export it again as {ending.removeprefix('.')}",
        )  # fmt: skip
    if ending in _JSON_ENDINGS:
        return check_geojson(path)
    return None


def _beginning(head: bytes) -> bytes:
    """Return the first letters in UTF-8 without byte order mark and blanks."""
    text = head[:4096].decode(proved_encoding(head) or "utf-8", "replace")
    return text.removeprefix("\ufeff").lstrip().encode()


def _for_gdal(path: str | os.PathLike[str]) -> GdalSource:
    """Return what GDAL is to read: the file, or what it cannot read itself as a copy it can."""
    with open(path, "rb") as raw:  # noqa: PTH123 - a path may be text
        head = raw.read(4)
    packed = head.startswith(GZIP_MAGIC)
    if line_layer_ending(path) in _JSON_ENDINGS:
        if packed or proved_encoding(head) not in {None, "utf-8"}:
            text = file_text(path, error=RouteFileError)
            return io.BytesIO(text.encode("utf-8", "surrogatepass"))
    elif packed:
        return io.BytesIO(b"".join(file_chunks(path, error=RouteFileError)))
    return path


def _unreadable(path: str | os.PathLike[str]) -> InputError:
    ending = line_layer_ending(path)
    beside = " with its .shx, .dbf and .prj beside it" if ending == ".shp" else ""
    return RouteFileError.single(
        os.fspath(path), "", f"the {ending.removeprefix('.')} layer is broken or breaks off",
        f"{COPY_AGAIN}{beside}",
    )  # fmt: skip


def _features(layer: GdalLayer, *, several: bool) -> Iterator[_Feature]:
    fields = [field.lower() for field in layer.fields]
    named = next(
        (layer.columns[fields.index(name)] for name in NAME_FIELDS if name in fields), None
    )
    prefix = f"layer {quoted(layer.name)}, " if several else ""
    for index, shape in enumerate(layer.shapes(broken_as_none=False)):
        name = "" if named is None or named[index] is None else str(named[index])
        yield _Feature(f"{prefix}feature {index + 1}", " ".join(name.split()), shape)


def read_line_layer(path: str | os.PathLike[str]) -> Drawing:
    """Read all lines of all layers in a file; each feature is one line, each member a part.

    Parameters
    ----------
    path
        A file with one of ``LINE_LAYER_BEGINNINGS``. Points and polygons beside the lines, and
        features without a geometry, are told and left out.

    Raises
    ------
    RouteFileError
        The file cannot be read, holds no line, or coordinates outside the globe.
    """
    found = LayerLines(os.fspath(path), _check_beginning(path))
    try:
        layers = read_gdal(_for_gdal(path), flat=False)
    except GdalError as problem:
        raise _unreadable(path) from problem
    try:
        for layer in layers:
            found.take_layer(_features(layer, several=len(layers) > 1), layer.crs)
    except ShapelyError as problem:
        raise RouteFileError.single(
            os.fspath(path), "", "holds a geometry that cannot be read",
            "export its lines without curves or surfaces",
        ) from problem  # fmt: skip
    return found.drawing()


def line_layer_ending(path: str | os.PathLike[str]) -> str:
    """Return the ending that says what a layer is, without the .gz of a compressed one.

    >>> line_layer_ending("trip.GeoJSON.gz"), line_layer_ending("trip.gpx")
    ('.geojson', '.gpx')
    """
    plain = Path(os.fspath(path).lower().removesuffix(".gz"))
    return plain.suffix


def check_geojson(path: str | os.PathLike[str]) -> frozenset[str]:
    """Check form and declared coordinate system, and return which features lie nowhere.

    RFC 7946, section 3.2: the geometry of a feature may be null; of 3.1 its coordinates empty.

    Raises
    ------
    RouteFileError
        It is no UTF-8 or no JSON, or its ``crs`` (GeoJSON 2008) names no known system.
    """
    document = _parsed(path)
    crs = document.get("crs") if isinstance(document, dict) else None
    if crs is None:
        return _lying_nowhere(document)
    properties = crs.get("properties") if isinstance(crs, dict) else None
    name = properties.get("name") if isinstance(properties, dict) else None
    if not isinstance(name, str):
        raise _refused(path, '"crs"', "names no coordinate system", _EXPORT_AGAIN)

    try:
        CRS.from_user_input(name)
    except CRSError as problem:
        what = f"the coordinate system {quoted(name)} is not known"
        raise _refused(path, '"crs"', what, _EXPORT_AGAIN) from problem
    return _lying_nowhere(document)


def _lying_nowhere(document: object) -> frozenset[str]:
    features = document.get("features") if isinstance(document, dict) else None
    if not isinstance(features, list):
        features = [document]
    return frozenset(
        f"feature {number}" for number, one in enumerate(features, 1) if _lies_nowhere(one)
    )


def _lies_nowhere(feature: object) -> bool:
    shape = feature.get("geometry", feature) if isinstance(feature, dict) else None
    if not isinstance(shape, dict):
        return shape is None
    return not shape.get("coordinates", shape.get("geometries"))


def _parsed(path: str | os.PathLike[str]) -> object:
    text = file_text(path, error=RouteFileError)
    with json_faults(os.fspath(path), RouteFileError, _EXPORT_AGAIN):
        return strict_json(text, takes_nan=True)


def _refused(path: str | os.PathLike[str], where: str, what: str, mend: str) -> InputError:
    return RouteFileError.single(os.fspath(path), where, what, mend)
