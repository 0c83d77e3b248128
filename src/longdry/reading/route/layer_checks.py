"""What GDAL would pass over in silence in a line layer: checked before it gets the file.

GDAL turns a KML coordinate 'a,b' into 0,0 and takes a GeoJSON layer in an unknown coordinate
system for WGS 84; a line that lies elsewhere than the user drew it hides a gap.
"""

from __future__ import annotations

import os

from pyproj import CRS
from pyproj.exceptions import CRSError

from longdry.errors import Fault, InputError, RouteFileError
from longdry.reading.files.coordinates import plain_number
from longdry.reading.files.faults import FaultList
from longdry.reading.files.json_text import json_faults, strict_json
from longdry.reading.files.opening import file_text
from longdry.reading.files.text import quoted
from longdry.reading.files.xml_stream import MOST_DEPTH, NAMESPACE_SEPARATOR, XmlStream

_LONGEST_POSITION = 1000
_LON_LAT = 2
_LON_LAT_HEIGHT = 3
_EXPORT_AGAIN = "export the layer again in WGS 84"


class _KmlCoordinates:
    """Walks through a KML file and checks the text of every ``coordinates`` element."""

    def __init__(self, path: str | os.PathLike[str]) -> None:
        self.stream = XmlStream(path, RouteFileError)
        self.faults = FaultList()
        self._depth = 0
        self._rest = ""
        self._line = ""
        self.stream.parser.StartElementHandler = self._start
        self.stream.parser.EndElementHandler = self._end

    def run(self) -> None:
        self.stream.run()
        self.faults.raise_any(self.stream.origin, RouteFileError)

    def _start(self, full_name: str, _attributes: dict[str, str]) -> None:
        self._depth += 1
        if self._depth > MOST_DEPTH:
            raise self.stream.too_deep()
        if full_name.rpartition(NAMESPACE_SEPARATOR)[2] == "coordinates":
            self._rest = ""
            self.stream.parser.CharacterDataHandler = self._text

    def _end(self, _full_name: str) -> None:
        self._depth -= 1
        if self.stream.parser.CharacterDataHandler is not None:
            self.stream.parser.CharacterDataHandler = None
            self._check(self._rest.split())

    def _text(self, piece: str) -> None:
        *whole, self._rest = _words_and_rest(self._rest + piece)
        if len(self._rest) > _LONGEST_POSITION:
            whole.append(self._rest)
            self._rest = ""
        self._check(whole)

    def _check(self, words: list[str]) -> None:
        for word in words:
            if not _is_position(word):
                what = f"the coordinates {quoted(word)} are no numbers"
                where = "" if self.faults.full else self.stream.line
                mend = "write lon,lat in degrees with decimal points"
                self.faults.add([Fault(where, what, mend)])


def _words_and_rest(text: str) -> list[str]:
    words = text.split()
    return words if words and not text[-1].isspace() else [*words, ""]


def _is_position(word: str) -> bool:
    numbers = word.split(",")
    return _LON_LAT <= len(numbers) <= _LON_LAT_HEIGHT and None not in map(plain_number, numbers)


def check_kml(path: str | os.PathLike[str]) -> None:
    """Check form and coordinates of a KML file.

    Raises
    ------
    RouteFileError
        It is no well-formed XML, holds a DOCTYPE, nests too deep, or holds coordinates that
        are no numbers; with their lines.
    """
    _KmlCoordinates(path).run()


def check_geojson(path: str | os.PathLike[str]) -> None:
    """Check form and declared coordinate system of a GeoJSON file.

    Raises
    ------
    RouteFileError
        It is no UTF-8 or no JSON, or its ``crs`` (GeoJSON 2008) names no known system.
    """
    document = _parsed(path)
    crs = document.get("crs") if isinstance(document, dict) else None
    if crs is None:
        return
    properties = crs.get("properties") if isinstance(crs, dict) else None
    name = properties.get("name") if isinstance(properties, dict) else None
    if not isinstance(name, str):
        raise _refused(path, '"crs"', "names no coordinate system", _EXPORT_AGAIN)

    try:
        CRS.from_user_input(name)
    except CRSError as problem:
        what = f"the coordinate system {quoted(name)} is not known"
        raise _refused(path, '"crs"', what, _EXPORT_AGAIN) from problem


def _parsed(path: str | os.PathLike[str]) -> object:
    text = file_text(path, error=RouteFileError)
    with json_faults(os.fspath(path), RouteFileError, _EXPORT_AGAIN):
        return strict_json(text, takes_nan=True)


def _refused(path: str | os.PathLike[str], where: str, what: str, mend: str) -> InputError:
    return RouteFileError.single(os.fspath(path), where, what, mend)
