"""Lines and tracks of KML (OGC 12-007r2) and KMZ, read strictly.

A ``Track`` is read in whatever namespace it stands; an empty ``coord`` is a pause of the recorder,
and no place at all. Nothing that the file links to is fetched.
"""

from __future__ import annotations

import os
from array import array
from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from longdry.errors import Fault, RouteFileError
from longdry.model.arrays import FloatArray
from longdry.model.route import DrawnAs
from longdry.reading.files.coordinates import plain_number
from longdry.reading.files.text import quoted
from longdry.reading.files.xml_stream import MOST_DEPTH, NAMESPACE_SEPARATOR, XmlStream
from longdry.reading.route.drawing import Drawing, counted
from longdry.reading.route.line_layer import LayerLines

_LONGEST_POSITION = 1000
_LON_LAT = 2
_MOST_NUMBERS = 30_000_000
"""Three for each point of a line: 240 MB."""
_LON_LAT_HEIGHT = 3
_NUMBERS_MEND = "write lon,lat in degrees with decimal points, and no blank between"
_HOLDERS = {"Placemark", "MultiGeometry", "MultiTrack"}
_LINES = {"LineString", "LinearRing"}
_OTHERS = {"Point": "point", "Polygon": "polygon", "Model": "model"}
_LINKED = "NetworkLink"
_ROOT = "kml"


@dataclass(slots=True)
class _LinePlacemark:
    where: str
    name: str = ""
    lines: list[FloatArray] = field(default_factory=list)
    tracks: list[FloatArray] = field(default_factory=list)
    others: list[str] = field(default_factory=list)
    timed: bool = False


class _KmlLines:
    """Walks through a KML file and hands its lines to ``found``."""

    def __init__(self, path: str | os.PathLike[str]) -> None:
        self.stream = XmlStream(path, RouteFileError)
        self.found = LayerLines(self.stream.origin)
        self.linked = 0
        self.empty: list[str] = []
        self._open: list[str] = []
        self.root = ""
        self._placemark: _LinePlacemark | None = None
        self._shape = ""
        self._positions = array("d")
        self._text: list[str] | None = None
        self._rest = ""
        parser = self.stream.parser
        parser.StartElementHandler = self._start
        parser.EndElementHandler = self._end

    def _start(self, full_name: str, _attributes: dict[str, str]) -> None:
        name = full_name.rpartition(NAMESPACE_SEPARATOR)[2]
        if len(self._open) >= MOST_DEPTH:
            raise self.stream.too_deep()
        parent = self._open[-1] if self._open else ""
        self.root = self.root or name
        self._open.append(name)
        self.linked += name == _LINKED
        if name == "Placemark":
            self._placemark = _LinePlacemark(self.stream.line)
        elif self._placemark is not None:
            self._start_inside(self._placemark, parent, name)
        elif name == "coordinates":
            self._listen(self._position_text)

    def _start_inside(self, placemark: _LinePlacemark, parent: str, name: str) -> None:
        if parent in _HOLDERS and name in (*_LINES, "Track", *_OTHERS):
            self._shape = name
            self._positions = array("d")
            if name in _OTHERS:
                placemark.others.append(_OTHERS[name])
        if name == "coordinates":
            self._rest = ""
            self._listen(self._position_text)
        elif name == "coord" or (parent, name) == ("Placemark", "name"):
            self._text = []
            self._listen(self._text.append)
        elif name == "when" and parent == "Track":
            placemark.timed = True

    def _listen(self, heard: Callable[[str], None] | None) -> None:
        self.stream.parser.CharacterDataHandler = heard

    def _end(self, _full_name: str) -> None:
        name = self._open.pop()
        self._listen(None)
        if name == "coordinates":
            self._take_positions(self._rest.split())
            self._rest = ""
        placemark = self._placemark
        if placemark is None:
            return
        if name == "Placemark":
            self._finish(placemark)
            self._placemark = None
        elif name == "coord":
            self._take_coord(placemark, "".join(self._text or []))
        elif name == "name" and self._text is not None and self._open[-1] == "Placemark":
            placemark.name = " ".join("".join(self._text).split())
        elif name == self._shape:
            self._end_shape(placemark, name)

    def _end_shape(self, placemark: _LinePlacemark, name: str) -> None:
        if name in _LINES and self._positions:
            placemark.lines.append(np.array(self._positions).reshape(-1, 3))
        elif name == "Track":
            self._pause(placemark)
        self._shape = ""
        self._positions = array("d")

    def _pause(self, placemark: _LinePlacemark) -> None:
        if self._positions:
            placemark.tracks.append(np.array(self._positions).reshape(-1, 3))
        self._positions = array("d")

    def _position_text(self, piece: str) -> None:
        *whole, self._rest = _words_and_rest(self._rest + piece)
        if len(self._rest) > _LONGEST_POSITION:
            whole.append(self._rest)
            self._rest = ""
        self._take_positions(whole)

    def _take_positions(self, words: list[str]) -> None:
        for word in words:
            position = _position(word.split(","))
            if position is None:
                self._refuse(word)
            elif self._shape in _LINES:
                self._take(position)

    def _take(self, position: tuple[float, float, float]) -> None:
        if len(self._positions) > _MOST_NUMBERS:
            what = f"a line has more than {_MOST_NUMBERS // 3:,} points"
            raise self.stream.complaint(self.stream.line, what, "cut it into shorter ones")
        self._positions.extend(position)

    def _take_coord(self, placemark: _LinePlacemark, text: str) -> None:
        words = text.split()
        if not words:
            self._pause(placemark)
        elif (position := _position(words)) is not None:
            self._take(position)
        else:
            self._refuse(text.strip())

    def _refuse(self, word: str) -> None:
        what = f"the coordinates {quoted(word)} are no numbers"
        where = "" if self.found.faults.full else self.stream.line
        self.found.faults.add([Fault(where, what, _NUMBERS_MEND)])

    def _finish(self, placemark: _LinePlacemark) -> None:
        where = f"{placemark.where} (name {quoted(placemark.name)})"
        where = where if placemark.name else placemark.where
        for kind in placemark.others:
            self.found.others[kind] += 1
        for parts, drawn_as in ((placemark.tracks, DrawnAs.TRACK), (placemark.lines, DrawnAs.LINE)):
            timed = placemark.timed and drawn_as is DrawnAs.TRACK
            if parts:
                self.found.take_line(where, placemark.name, parts, drawn_as, timed=timed)
        if not (placemark.tracks or placemark.lines or placemark.others):
            self.empty.append(quoted(placemark.name) if placemark.name else placemark.where)


def _words_and_rest(text: str) -> list[str]:
    words = text.split()
    return words if words and not text[-1].isspace() else [*words, ""]


def _position(words: list[str]) -> tuple[float, float, float] | None:
    numbers = [plain_number(word) for word in words]
    if not _LON_LAT <= len(numbers) <= _LON_LAT_HEIGHT or None in numbers:
        return None
    lon, lat, *height = (number for number in numbers if number is not None)
    return lon, lat, height[0] if height else np.nan


def read_kml_lines(path: str | os.PathLike[str]) -> Drawing:
    """Read all lines and tracks of a KML or KMZ file; each placemark is one line.

    Raises
    ------
    RouteFileError
        It is no well-formed XML, holds a DOCTYPE, nests too deep, holds coordinates that are no
        numbers, or no line.
    """
    walk = _KmlLines(path)
    walk.stream.run()
    if walk.empty:
        count = counted(len(walk.empty), "placemark")
        names = ", ".join(walk.empty[:10])
        walk.found.remarks.append(f"{count} without a geometry left out: {names}")
    if walk.root != _ROOT and not (walk.found.lines or walk.found.faults.found):
        what = f"it begins with the element {quoted(walk.root)}, not with kml"
        raise walk.stream.complaint("", what, "name a KML file, or rename it as what it is")
    if walk.linked and not walk.found.lines and not walk.found.faults.found:
        raise RouteFileError.single(
            walk.stream.origin, "", "holds no line, only a link to another file",
            "download what it links to, and name that file",
        )  # fmt: skip
    return walk.found.drawing()
