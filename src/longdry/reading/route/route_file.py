"""The door for routes: whatever file holds the line, one `Route` comes out."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import replace

from longdry.model.route import Route
from longdry.reading.route.choice import chosen_route
from longdry.reading.route.drawing import Drawing
from longdry.reading.route.gpx_track import read_gpx_lines
from longdry.reading.route.kml_lines import read_kml_lines
from longdry.reading.route.line_layer import (
    LINE_LAYER_BEGINNINGS,
    line_layer_ending,
    read_line_layer,
)
from longdry.reading.route.same_way import without_lines_told_twice

KML_ENDINGS = (".kml", ".kmz")


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


def _drawing(path: str | os.PathLike[str]) -> Drawing:
    ending = line_layer_ending(path)
    if ending in LINE_LAYER_BEGINNINGS:
        return read_line_layer(path)
    if ending in KML_ENDINGS:
        drawing = read_kml_lines(path)
        lines, remarks = without_lines_told_twice(drawing)
        return replace(drawing, lines=lines, remarks=(*drawing.remarks, *remarks))

    return read_gpx_lines(path)
