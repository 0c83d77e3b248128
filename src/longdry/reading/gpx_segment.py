"""The points of a ``trkseg``: the one place where a million elements pass through.

While a segment is open these handlers stand in for the general ones of
`longdry.reading.gpx_elements`, which take longer over each point.
"""

from __future__ import annotations

import math
from array import array

from longdry.reading.coordinates import coordinate_faults
from longdry.reading.drawing import HIGHEST_HEIGHT_M, LOWEST_HEIGHT_M
from longdry.reading.gpx_elements import Attributes, GpxElements
from longdry.reading.quoting import quoted
from longdry.reading.xml_stream import MOST_DEPTH

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
        "_parser", "_points", "_trkpt_names",
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

    def begin(self) -> None:
        """Take over from the general walker until the segment closes."""
        self._trkpt_names = self._elements.full_names("trkpt")
        self._ele_names = self._elements.full_names("ele")
        self._depth = 0
        self._parser.StartElementHandler = self._start
        self._parser.EndElementHandler = self._end

    def _start(self, name: str, attributes: Attributes) -> None:
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
        elif depth > MOST_DEPTH:
            raise self._elements.stream.too_deep()

    def _start_point(self, attributes: Attributes) -> None:
        try:
            lat = attributes["lat"]
            lon = attributes["lon"]
            lat_deg = float(lat)
            lon_deg = float(lon)
        except (KeyError, ValueError):
            return self._bad_point(attributes)
        written = lat + lon
        if (
            -90.0 <= lat_deg <= 90.0  # noqa: PLR2004 - a name would be looked up a million times
            and -180.0 <= lon_deg <= 180.0  # noqa: PLR2004 - the same
            and written.isascii()
            and "_" not in written
        ):
            return self._add(lat_deg, lon_deg)
        return self._bad_point(attributes)

    def _bad_point(self, attributes: Attributes) -> None:
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
