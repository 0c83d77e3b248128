"""The tracks and routes of a GPX file, read strictly in one pass.

What a general reader lets through is refused with its line: a latitude of 95 or 'nan', a
decimal comma, a point without coordinates. Points that follow one another in the same place
are kept: legs of no length do no harm, and the file's own points stay countable.
"""

from __future__ import annotations

import os

import numpy as np

from longdry.errors import RouteFileError
from longdry.model.route import DrawnAs, Waypoint
from longdry.reading.drawing import Drawing, DrawnLine
from longdry.reading.gpx_elements import Attributes, passed_over
from longdry.reading.gpx_segment import GpxPoints, SegmentHandlers
from longdry.reading.gpx_waypoints import WaypointElements

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

    def unasked_start(self, parent: str, full_name: str, attributes: Attributes) -> str:
        """Take the shape points inside the ``extensions`` of a route point."""
        if parent == _IN_SHAPE or (parent == "extensions" and self.open[-3] == "rtept"):
            if "lat" in attributes and "lon" in attributes:
                self._shape_point(attributes)
            return _IN_SHAPE
        return super().unasked_start(parent, full_name, attributes)

    def _begin_line(self, _attributes: Attributes) -> None:
        self._name = ""
        self._part_starts = []
        self._shape_points = 0
        self._shaped_points = 0

    def _keep_name(self, text: str) -> None:
        self._name = self._name or " ".join(text.split())

    def _count(self) -> int:
        return len(self.points.lat_deg)

    def _begin_segment(self, _attributes: Attributes) -> None:
        self._part_starts.append(self._count())
        self._segments.begin()

    def _route_point(self, attributes: Attributes) -> None:
        if not self._part_starts:
            self._part_starts.append(self._count())
        self._point_is_shaped = False
        self._route_point_index = self._count()
        self.points.add(*(self.point(attributes) or (np.nan, np.nan)))

    def _route_height(self, text: str) -> None:
        self.points.set_height(text, self, self._route_point_index)

    def _shape_point(self, attributes: Attributes) -> None:
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
                self._name, drawn_as, tuple(starts), stop, self._shape_points, self._shaped_points
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
