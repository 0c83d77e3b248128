"""The door for routes: whatever file holds the line, one `Route` comes out."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np

from longdry.errors import InputError, RouteFileError
from longdry.geodesy import azimuths_and_lengths, leg_lengths_km
from longdry.model.arrays import FloatArray
from longdry.model.route import FEWEST_POINTS, DrawnAs, Route
from longdry.reading.route.choice import chosen_route, route_of_each_line
from longdry.reading.route.drawing import Drawing, DrawnLine
from longdry.reading.route.gpx_track import read_gpx_lines
from longdry.reading.route.kml_lines import read_kml_lines
from longdry.reading.route.line_layer import (
    LINE_LAYER_BEGINNINGS,
    line_layer_ending,
    read_line_layer,
)

KML_ENDINGS = (".kml", ".kmz")
_ROUTE_ENDINGS = (".gpx", *KML_ENDINGS, *LINE_LAYER_BEGINNINGS)
_APART_KM = 0.15
"""Two ways that nowhere lie farther apart are one."""
_LENGTHS_DIFFER = 0.03
_PLACES = 101


def read_route(path: str | os.PathLike[str], *, track: str | Sequence[str] | None = None) -> Route:
    """Read the line to be travelled from a GPX file or a line layer.

    Parameters
    ----------
    path
        GPX 1.0 or 1.1; KML or KMZ; or GeoJSON, GeoPackage, FlatGeobuf or Shapefile with lines in
        any declared coordinate system. All but a Shapefile may be gzip-compressed.
    track
        Name of the track, route or line to take, or its number such as '#2'; '#3' behind either
        takes its third segment. Several are joined in that order, breaks of up to 20 km bridged
        by straight lines. Without it
        several are joined in file order where each begins within 1 km of the last one's end,
        and tracks go before routes.

    Returns
    -------
    Route
        Points in WGS 84. Points in the same place one after another are kept. Heights that
        are missing, no number, or outside -500 to 9000 m are NaN, never 0. What the reader
        did stands in ``remarks``.

    Raises
    ------
    RouteFileError
        The file cannot be read, or holds no line that can be travelled.
    """
    return chosen_route(_drawing(path), track=track)


def route_files_in(folder: Path) -> tuple[Path, ...]:
    """Return the files of a folder that may hold routes, by name; not those of folders in it.

    Raises
    ------
    RouteFileError
        Where the folder cannot be read or holds none.
    """
    try:
        found = [path for path in folder.iterdir() if line_layer_ending(path) in _ROUTE_ENDINGS]
    except OSError as problem:
        what = problem.strerror or str(problem)
        mend = "name another, or have its permissions changed"
        raise RouteFileError.single(str(folder), "", f"cannot be read: {what}", mend) from problem
    if not found:
        what = "holds no file with a route"
        mend = f"put one there that ends with {', '.join(_ROUTE_ENDINGS)}"
        raise RouteFileError.single(str(folder), "", what, mend)
    return tuple(sorted(path for path in found if path.is_file()))


def read_each_line(path: str | os.PathLike[str]) -> tuple[Route | InputError, ...]:
    """Read every line of a file as a route of its own; of one that leads nowhere its fault.

    Raises
    ------
    RouteFileError
        The file cannot be read, or holds no line.
    """
    return route_of_each_line(_drawing(path))


def route_names(path: str | os.PathLike[str]) -> list[str]:
    """Return what `read_route` takes as ``track`` for each line of a file, in its order.

    A line whose name is its own is known by it, any other by its number, such as '#2'.

    Raises
    ------
    RouteFileError
        As `read_route` does.
    """
    names = [line.name for line in _drawing(path).lines]
    return [
        name if name and names.count(name) == 1 else f"#{number}"
        for number, name in enumerate(names, start=1)
    ]


def _drawing(path: str | os.PathLike[str]) -> Drawing:
    ending = line_layer_ending(path)
    if ending in LINE_LAYER_BEGINNINGS:
        return read_line_layer(path)
    if ending in KML_ENDINGS:
        drawing = read_kml_lines(path)
        lines, remarks = without_lines_told_twice(drawing)
        return replace(drawing, lines=lines, remarks=(*drawing.remarks, *remarks))

    return read_gpx_lines(path)


def without_lines_told_twice(drawing: Drawing) -> tuple[tuple[DrawnLine, ...], list[str]]:
    """Return the lines without those that a track tells too, and a remark on each.

    Two tracks are never one, nor two lines: a party may go a way twice.
    """
    tracks = [line for line in drawing.lines if line.drawn_as is DrawnAs.TRACK]
    kept, remarks = [], []
    for line in drawing.lines:
        twin = _twin(drawing, line, tracks) if line.drawn_as is DrawnAs.LINE else None
        if twin is None:
            kept.append(line)
        else:
            remarks.append(f"The {line.title} tells the same way as the {twin.title}: taken once")
    return tuple(kept), remarks


def _twin(drawing: Drawing, line: DrawnLine, tracks: list[DrawnLine]) -> DrawnLine | None:
    return next((track for track in tracks if _same_way(drawing, line, track)), None)


def _same_way(drawing: Drawing, one: DrawnLine, other: DrawnLine) -> bool:
    if min(one.points, other.points) < FEWEST_POINTS:
        return False
    length_km, lat, lon = _places(drawing, one)
    other_km, other_lat, other_lon = _places(drawing, other)
    if abs(length_km - other_km) > _LENGTHS_DIFFER * max(length_km, other_km) + 2.0 * _APART_KM:
        return False
    apart_km = azimuths_and_lengths(lat, lon, other_lat, other_lon)[1]
    return bool((apart_km <= _APART_KM).all())


def _places(drawing: Drawing, line: DrawnLine) -> tuple[float, FloatArray, FloatArray]:
    """Return length and 101 places at equal shares of it."""
    run = slice(line.first, line.stop)
    lat, lon = drawing.lat_deg[run], np.unwrap(drawing.lon_deg[run], period=360.0)
    along = np.concatenate([[0.0], np.cumsum(leg_lengths_km(lat, lon))])
    at = np.linspace(0.0, float(along[-1]), _PLACES)
    return float(along[-1]), np.interp(at, along, lat), np.interp(at, along, lon)
