"""The waypoints of a GPX file, with all that a water layer can use."""

from __future__ import annotations

import os
from dataclasses import dataclass, field
from functools import partial

from longdry.errors import InputError, WaterLayerError
from longdry.reading.files.coordinates import plain_number
from longdry.reading.files.xml_stream import NAMESPACE_SEPARATOR
from longdry.reading.gpx.elements import GpxElements, XmlAttributes, passed_over

_TEXTS = ("name", "ele", "time", "sym", "type", "cmt", "desc")
_EXTRA = "inside extensions"


@dataclass(frozen=True, slots=True)
class GpxWaypoint:
    """One ``wpt`` as the file has it; texts are stripped, empty where missing."""

    name: str
    lat_deg: float
    lon_deg: float
    line_number: int
    """Line of the file on which it begins, from 1."""
    height_m: float | None = None
    """None where missing or no number."""
    time: str = ""
    """As written; ISO 8601 in a good file."""
    sym: str = ""
    type: str = ""
    cmt: str = ""
    desc: str = ""
    extras: tuple[tuple[str, str], ...] = ()
    """Names (without prefix) and texts of the elements inside its ``extensions``, in order."""
    half: bool = False
    """Whether it has only one of ``lat`` and ``lon``, or neither: both are 0 then."""


@dataclass(slots=True)
class _Draft:
    lat_deg: float
    lon_deg: float
    line_number: int
    texts: dict[str, str] = field(default_factory=dict)
    extras: list[tuple[str, str]] = field(default_factory=list)
    half: bool = False

    def finished(self) -> GpxWaypoint:
        words = {name: self.texts.get(name, "") for name in _TEXTS}
        return GpxWaypoint(
            name=words["name"],
            lat_deg=self.lat_deg,
            lon_deg=self.lon_deg,
            line_number=self.line_number,
            height_m=plain_number(words["ele"]),
            time=words["time"],
            sym=words["sym"],
            type=words["type"],
            cmt=words["cmt"],
            desc=words["desc"],
            extras=tuple(self.extras),
            half=self.half,
        )


class WaypointElements(GpxElements):
    """Walks through a GPX file and gathers its waypoints in ``waypoints``."""

    def __init__(self, path: str | os.PathLike[str], error: type[InputError]) -> None:
        super().__init__(path, error)
        self.keeps_half = False
        self.waypoints: list[GpxWaypoint] = []
        self._draft = _Draft(0.0, 0.0, 0)
        self._good = False
        self.on_start["gpx", "wpt"] = self._begin_waypoint
        self.on_start["wpt", "extensions"] = passed_over
        self.on_end["gpx", "wpt"] = self._finish_waypoint
        for name in _TEXTS:
            self.on_text["wpt", name] = partial(self._keep, name)

    def unasked_start(self, parent: str, full_name: str, attributes: XmlAttributes) -> str:
        """Keep the text of everything inside a waypoint's ``extensions``."""
        if parent == _EXTRA or (parent == "extensions" and self.open[-3] == "wpt"):
            name = full_name.rpartition(NAMESPACE_SEPARATOR)[2]
            self.collect_text(partial(self._keep_extra, name))
            return _EXTRA
        return super().unasked_start(parent, full_name, attributes)

    def _begin_waypoint(self, attributes: XmlAttributes) -> None:
        half = self.keeps_half and not (attributes.get("lat") and attributes.get("lon"))
        point = (0.0, 0.0) if half else self.point(attributes)
        self._good = point is not None
        lat_deg, lon_deg = point or (0.0, 0.0)
        self._draft = _Draft(lat_deg, lon_deg, self.stream.parser.CurrentLineNumber, half=half)

    def _keep(self, name: str, text: str) -> None:
        self._draft.texts.setdefault(name, text.strip())

    def _keep_extra(self, name: str, text: str) -> None:
        if text.strip():
            self._draft.extras.append((name, text.strip()))

    def _finish_waypoint(self) -> None:
        if self._good:
            self.waypoints.append(self._draft.finished())


def read_gpx_waypoints(path: str | os.PathLike[str]) -> tuple[GpxWaypoint, ...]:
    """Read the waypoints of a GPX 1.0 or 1.1 file in file order.

    Parameters
    ----------
    path
        A GPX file, gzip-compressed or not. Its tracks and routes are passed over.

    Returns
    -------
    tuple of GpxWaypoint
        Empty where the file holds none; one without lat or lon says so.

    Raises
    ------
    WaterLayerError
        The file cannot be read, is no GPX, or a waypoint has a lat or lon that is no number.
    """
    reader = WaypointElements(path, WaterLayerError)
    reader.keeps_half = True
    reader.run()
    return tuple(reader.waypoints)
