"""Which element of a GPX file stands inside which, for GPX 1.0 and 1.1 under any prefix.

An element counts where its parent is the one that the GPX schema names; the same name
elsewhere (inside ``extensions``, or under a foreign namespace) is passed over.
"""

from __future__ import annotations

import os
from collections.abc import Callable

from longdry.errors import Fault, InputError
from longdry.reading.files.coordinates import coordinate_faults, in_range, plain_number
from longdry.reading.files.faults import FaultList
from longdry.reading.files.text import quoted
from longdry.reading.files.xml_stream import MOST_DEPTH, NAMESPACE_SEPARATOR, XmlStream

MOST_TEXT = 1 << 20
"""Letters of one text that are kept."""
MOST_NAMES_KEPT = 4096
GPX_NAMESPACES = (
    "http://www.topografix.com/GPX/1/0",
    "http://www.topografix.com/GPX/1/1",
    "",
)
LINE_ELEMENTS = frozenset({"trk", "trkseg", "trkpt", "rte", "rtept"})
LINE_PARENTS = LINE_ELEMENTS | {"gpx"}

XmlAttributes = dict[str, str]
StartAction = Callable[[XmlAttributes], None]
TextAction = Callable[[str], None]
EndAction = Callable[[], None]


class GpxElements:
    """Walks through one GPX file and calls back for the elements that were asked for.

    ``on_start[parent, name]`` is called with the attributes, ``on_text[parent, name]`` with
    the element's own text, ``on_end[parent, name]`` when it closes. What stands beneath an
    element that nobody asked for is passed over.
    """

    def __init__(self, path: str | os.PathLike[str], error: type[InputError]) -> None:
        self.stream = XmlStream(path, error)
        self.error = error
        self.faults = FaultList()
        self.on_start: dict[tuple[str, str], StartAction] = {("", "gpx"): passed_over}
        self.on_text: dict[tuple[str, str], TextAction] = {}
        self.on_end: dict[tuple[str, str], EndAction] = {}
        self.open: list[str] = [""]
        self._namespaces = set(GPX_NAMESPACES)
        self._names: dict[str, str] = {}
        self._pieces: list[str] = []
        self._pieces_length = 0
        self._text_depth = 0
        self._text_action: TextAction = passed_over
        self.take_over()

    def take_over(self) -> None:
        """Let this walker hear the elements (again)."""
        self.stream.parser.StartElementHandler = self._start
        self.stream.parser.EndElementHandler = self._end

    def run(self) -> None:
        """Read the file to its end, then raise all its faults at once."""
        self.stream.run()
        self.faults.raise_any(self.stream.origin, self.error)

    def unasked_start(self, _parent: str, _full_name: str, _attributes: XmlAttributes) -> str:
        """Return what an element that nobody asked for is known as; empty: passed over."""
        return ""

    def local_name(self, full_name: str) -> str:
        """Return a GPX element's name without its namespace; empty for foreign ones."""
        known = self._names.get(full_name)
        if known is None:
            namespace, _, local = full_name.rpartition(NAMESPACE_SEPARATOR)
            known = local if namespace in self._namespaces else ""
            if len(self._names) < MOST_NAMES_KEPT:
                self._names[full_name] = known
        return known

    def place(self) -> str:
        """Return the line that is being read, in words; empty once no fault is told any more."""
        return "" if self.faults.full else self.stream.line

    def point(self, attributes: XmlAttributes) -> tuple[float, float] | None:
        """Return latitude and longitude in degrees; None, and faults kept, where they are bad."""
        lat, lon = attributes.get("lat"), attributes.get("lon")
        if lat is not None and lon is not None:
            lat_deg, lon_deg = plain_number(lat), plain_number(lon)
            if lat_deg is not None and lon_deg is not None and in_range(lat_deg, lon_deg):
                return lat_deg, lon_deg
        self.faults.add(coordinate_faults(lat, lon, self.place()))
        return None

    def collect_text(self, action: TextAction) -> None:
        """Gather the text of the element that was just opened and hand it to ``action``."""
        self._pieces.clear()
        self._pieces_length = 0
        self._text_depth = len(self.open)
        self._text_action = action
        self.stream.parser.CharacterDataHandler = self._keep_text

    def refuse_misplaced(self, parent: str, name: str) -> None:
        """Keep a fault where a part of a line stands outside the element that it belongs to."""
        reads_lines = ("gpx", "trk") in self.on_start
        if reads_lines and name in LINE_ELEMENTS and parent in LINE_PARENTS:
            what = f"<{name}> stands inside <{parent}>, where GPX has none"
            self.faults.add([Fault(self.place(), what, "move it to where it belongs")])

    def full_names(self, name: str) -> frozenset[str]:
        """Return all that a GPX element may be called with its namespace."""
        return frozenset(
            f"{space}{NAMESPACE_SEPARATOR}{name}".lstrip() for space in self._namespaces
        )

    def end_element(self) -> None:
        """Close the innermost open element."""
        self._end("")

    def _start(self, full_name: str, attributes: XmlAttributes) -> None:
        depth = len(self.open)
        if depth > MOST_DEPTH:
            raise self.stream.too_deep()
        if depth == 1:
            self._learn_root(full_name)
        parent = self.open[-1]
        asked = parent, self.local_name(full_name)
        if asked in self.on_text:
            self.open.append(asked[1])
            self.collect_text(self.on_text[asked])
        elif asked in self.on_start:
            self.open.append(asked[1])
            self.on_start[asked](attributes)
        else:
            self.refuse_misplaced(*asked)
            self.open.append("")
            self.open[-1] = self.unasked_start(parent, full_name, attributes)

    def _end(self, _full_name: str) -> None:
        if self._text_depth:
            self._end_text()
        name = self.open.pop()
        if name:
            action = self.on_end.get((self.open[-1], name))
            if action is not None:
                action()

    def _end_text(self) -> None:
        if self._text_depth == len(self.open):
            self._text_action("".join(self._pieces))
        self._text_depth = 0
        self.stream.parser.CharacterDataHandler = None

    def _keep_text(self, piece: str) -> None:
        if self._pieces_length < MOST_TEXT:
            self._pieces.append(piece)
            self._pieces_length += len(piece)

    def _learn_root(self, full_name: str) -> None:
        namespace, _, local = full_name.rpartition(NAMESPACE_SEPARATOR)
        if local != "gpx":
            raise self.stream.complaint(
                self.stream.line,
                f"the file begins with the element {quoted(local)}, not with gpx",
                "name a GPX file",
            )
        self._namespaces.add(namespace)


def passed_over(_read: object) -> None:
    """Do nothing with what was read."""
