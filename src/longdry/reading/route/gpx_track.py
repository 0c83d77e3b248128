"""The tracks and routes of a GPX file, read strictly in one pass, and the points of a segment.

What a general reader lets through is refused with its line: a latitude of 95 or 'nan', a
decimal comma, a point without coordinates. Points that follow one another in the same place
are kept: legs of no length do no harm, and the file's own points stay countable. A ``trkseg`` is
where a million elements may pass through.
"""

from __future__ import annotations

import math
import os
from array import array

import numpy as np

from longdry.errors import RouteFileError
from longdry.model.route import DrawnAs, Waypoint
from longdry.reading.files.coordinates import LAT_LIMIT_DEG, LON_LIMIT_DEG, coordinate_faults
from longdry.reading.files.text import quoted
from longdry.reading.files.xml_stream import MOST_DEPTH
from longdry.reading.gpx.elements import GpxElements, XmlAttributes, passed_over
from longdry.reading.gpx.waypoints import WaypointElements
from longdry.reading.route.drawing import HIGHEST_HEIGHT_M, LOWEST_HEIGHT_M, Drawing, DrawnLine

_IN_SHAPE = "inside the extensions of a route point"


class LineElements(WaypointElements):
    """Walks through a GPX file and gathers its lines and waypoints.

    A ``trkseg`` is a part of its track. A route is one part; every element with ``lat`` and
    ``lon`` inside the ``extensions`` of a route point, whatever it is called, is a further
    point of the line behind that route point.
    """

    def __init__(self, path: str | os.PathLike[str]) -> None:
        super().__init__(path, RouteFileError)
        self.points = GpxPoints()
        self.lines: list[DrawnLine] = []
        self._segments = SegmentHandlers(self, self.points)
        self._name = ""
        self._part_starts: list[int] = []
        self._shape_points = 0
        self._shaped_points = 0
        self._point_is_shaped = False
        self._route_point_index = 0
        for kind in ("trk", "rte"):
            self.on_start["gpx", kind] = self._begin_line
            self.on_text[kind, "name"] = self._keep_name
        self.on_end["gpx", "trk"] = self._finish_track
        self.on_end["gpx", "rte"] = self._finish_route
        self.on_start["trk", "trkseg"] = self._begin_segment
        self.on_start["rte", "rtept"] = self._route_point
        self.on_text["rtept", "ele"] = self._route_height
        self.on_start["rtept", "extensions"] = passed_over

    def unasked_start(self, parent: str, full_name: str, attributes: XmlAttributes) -> str:
        """Take the shape points inside the ``extensions`` of a route point."""
        if parent == _IN_SHAPE or (parent == "extensions" and self.open[-3] == "rtept"):
            if "lat" in attributes and "lon" in attributes:
                self._shape_point(attributes)
            return _IN_SHAPE
        return super().unasked_start(parent, full_name, attributes)

    def _begin_line(self, _attributes: XmlAttributes) -> None:
        self._name = ""
        self._part_starts = []
        self._shape_points = 0
        self._shaped_points = 0
        self._segments.timed = False

    def _keep_name(self, text: str) -> None:
        self._name = self._name or " ".join(text.split())

    def _count(self) -> int:
        return len(self.points.lat_deg)

    def _begin_segment(self, _attributes: XmlAttributes) -> None:
        self._part_starts.append(self._count())
        self._segments.begin()

    def _route_point(self, attributes: XmlAttributes) -> None:
        if not self._part_starts:
            self._part_starts.append(self._count())
        self._point_is_shaped = False
        self._route_point_index = self._count()
        self.points.add(*(self.point(attributes) or (np.nan, np.nan)))

    def _route_height(self, text: str) -> None:
        self.points.set_height(text, self, self._route_point_index)

    def _shape_point(self, attributes: XmlAttributes) -> None:
        self.points.add(*(self.point(attributes) or (np.nan, np.nan)))
        self._shape_points += 1
        self._shaped_points += not self._point_is_shaped
        self._point_is_shaped = True

    def _finish_track(self) -> None:
        self._finish_line(DrawnAs.TRACK)

    def _finish_route(self) -> None:
        self._finish_line(DrawnAs.ROUTE)

    def _finish_line(self, drawn_as: DrawnAs) -> None:
        stop = self._count()
        ends = [*self._part_starts[1:], stop]
        starts = [start for start, end in zip(self._part_starts, ends, strict=False) if start < end]
        if starts:
            line = DrawnLine(
                self._name,
                drawn_as,
                tuple(starts),
                stop,
                self._shape_points,
                self._shaped_points,
                timed=self._segments.timed,
            )
            self.lines.append(line)


def read_gpx_lines(path: str | os.PathLike[str]) -> Drawing:
    """Read all tracks, routes and waypoints of a GPX 1.0 or 1.1 file.

    Raises
    ------
    RouteFileError
        With all faults of the file: it cannot be opened, is no GPX, or holds points without
        a usable lat or lon.
    """
    reader = LineElements(path)
    reader.run()
    points = reader.points
    return Drawing(
        origin=reader.stream.origin,
        lat_deg=np.array(points.lat_deg),
        lon_deg=np.array(points.lon_deg),
        height_m=np.array(points.height_m),
        lines=tuple(reader.lines),
        waypoints=tuple(Waypoint(w.name, w.lat_deg, w.lon_deg) for w in reader.waypoints),
        remarks=tuple(points.remarks()),
    )


MOST_HEIGHT_TEXT = 1000
_CHILD_OF_POINT = 2


class GpxPoints:
    """The points of all lines of a file, as they come in."""

    def __init__(self) -> None:
        self.lat_deg = array("d")
        self.lon_deg = array("d")
        self.height_m = array("d")
        self.odd_heights = 0
        self._first_odd = ""

    def add(self, lat_deg: float, lon_deg: float) -> None:
        """Append a point without a height."""
        self.lat_deg.append(lat_deg)
        self.lon_deg.append(lon_deg)
        self.height_m.append(math.nan)

    def set_height(self, text: str, elements: GpxElements, point: int = -1) -> None:
        """Give a point (the last one) the height that is written, or none and a remark."""
        try:
            height_m = float(text)
        except ValueError:
            height_m = math.nan
        in_range = LOWEST_HEIGHT_M <= height_m <= HIGHEST_HEIGHT_M
        if in_range and "_" not in text and text.isascii():
            self.height_m[point] = height_m
        elif text.strip():
            self.odd_heights += 1
            self._first_odd = self._first_odd or f"{quoted(text.strip())} on {elements.stream.line}"

    def remarks(self) -> list[str]:
        """Tell of the heights that were none; empty where all were good."""
        if not self.odd_heights:
            return []
        if self.odd_heights == 1:
            return [f"The height {self._first_odd} is no height on land and counts as missing"]
        many = f"{self.odd_heights:,} heights are no heights on land and count as missing"
        return [f"{many}, the first is {self._first_odd}"]


class SegmentHandlers:
    """Hears the elements of one ``trkseg`` after another in place of the general walker."""

    __slots__ = (
        "_add", "_depth", "_ele_names", "_elements", "_height_text", "_in_height", "_in_point",
        "_parser", "_points", "_time_names", "_trkpt_names", "timed",
    )  # fmt: skip

    def __init__(self, elements: GpxElements, points: GpxPoints) -> None:
        self._elements = elements
        self._parser = elements.stream.parser
        self._points = points
        self._add = points.add
        self._depth = 0
        self._height_text = ""
        self._in_height = False
        self._in_point = False
        self._trkpt_names: frozenset[str] = frozenset()
        self._ele_names: frozenset[str] = frozenset()
        self._time_names: frozenset[str] = frozenset()
        self.timed = False
        """Whether a point of the line that is being read has a time."""

    def begin(self) -> None:
        """Take over from the general walker until the segment closes."""
        self._trkpt_names = self._elements.full_names("trkpt")
        self._ele_names = self._elements.full_names("ele")
        self._time_names = self._elements.full_names("time")
        self._depth = 0
        self._parser.StartElementHandler = self._start
        self._parser.EndElementHandler = self._end

    def _start(self, name: str, attributes: XmlAttributes) -> None:
        self._depth = depth = self._depth + 1
        if depth == 1:
            self._in_point = name in self._trkpt_names
            if self._in_point:
                self._start_point(attributes)
            else:
                self._elements.refuse_misplaced("trkseg", self._elements.local_name(name))
        elif depth == _CHILD_OF_POINT:
            if self._in_point and name in self._ele_names:
                self._in_height = True
                self._parser.CharacterDataHandler = self._keep_height
            elif not self.timed and name in self._time_names:
                self.timed = True
        elif depth > MOST_DEPTH:
            raise self._elements.stream.too_deep()

    def _start_point(self, attributes: XmlAttributes) -> None:
        try:
            lat = attributes["lat"]
            lon = attributes["lon"]
            lat_deg = float(lat)
            lon_deg = float(lon)
        except (KeyError, ValueError):
            return self._bad_point(attributes)
        written = lat + lon
        if (
            -LAT_LIMIT_DEG <= lat_deg <= LAT_LIMIT_DEG
            and -LON_LIMIT_DEG <= lon_deg <= LON_LIMIT_DEG
            and written.isascii()
            and "_" not in written
        ):
            return self._add(lat_deg, lon_deg)
        return self._bad_point(attributes)

    def _bad_point(self, attributes: XmlAttributes) -> None:
        lat, lon = attributes.get("lat"), attributes.get("lon")
        self._elements.faults.add(coordinate_faults(lat, lon, self._elements.place()))
        self._add(math.nan, math.nan)

    def _keep_height(self, piece: str) -> None:
        if len(self._height_text) < MOST_HEIGHT_TEXT:
            self._height_text += piece

    def _end(self, _name: str) -> None:
        self._depth = depth = self._depth - 1
        if depth < 0:
            self._elements.take_over()
            self._elements.end_element()
        elif self._in_height and depth == 1:
            self._in_height = False
            self._parser.CharacterDataHandler = None
            self._points.set_height(self._height_text, self._elements)
            self._height_text = ""
