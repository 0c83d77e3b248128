"""Which tiles a map of the route needs, zoom by zoom.

Tiles of the web Mercator pyramid: OGC 17-083r4, 'Two Dimensional Tile Matrix Set', annex D.1
(WebMercatorQuad): at zoom z the world is a square of 2**z by 2**z tiles, rows counted from the
north.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from longdry.geodesy import WEB_MAP_EDGE_DEG
from longdry.model.arrays import FloatArray
from longdry.model.backdrop import TileKey, TileSpan
from longdry.model.route import MeasuredRoute

CORRIDOR_KM = 7.5
"""To either side of the route."""
_MOST_TILES = 20_000
_WHOLE_BOX_TILES = 24
"""A zoom that shows the whole route on so few tiles gets them all, not the corridor alone."""
_TILES_ACROSS = 4.0
"""About as many tiles of 256 pixels stand side by side on a screen that shows the whole route."""
_KM_PER_DEGREE = 110.574
"""Least length of a degree on the WGS 84 ellipsoid, of latitude at the equator."""


def tiles_by_zoom(
    measured: MeasuredRoute, least_zoom: int, greatest_zoom: int
) -> Iterator[TileSpan]:
    """Yield the tiles along the route, the coarsest zoom first.

    It begins where the whole route fills the screen, and ends at ``greatest_zoom`` or where a
    zoom would take more than 20,000 tiles.

    Parameters
    ----------
    measured
        The route.
    least_zoom, greatest_zoom
        What there is; a file that begins finer is begun there, one that ends coarser gives its
        finest zoom.
    """
    places = _places(measured)
    first = min(max(least_zoom, _first_zoom(*places)), greatest_zoom)
    for zoom in range(first, greatest_zoom + 1):
        boxes = _boxes(*places, zoom)
        if int(boxes[:, 4].max()) > _MOST_TILES:
            return
        keys = _keys(boxes, zoom)
        if len(keys) > _MOST_TILES:
            return
        yield TileSpan(zoom, keys)


def _places(measured: MeasuredRoute) -> tuple[FloatArray, FloatArray]:
    """Latitudes and unwrapped longitudes, never farther apart than half the corridor is wide."""
    count = max(2, int(np.ceil(measured.length_km / (CORRIDOR_KM / 2.0))) + 1)
    evenly = np.linspace(0.0, measured.length_km, count)
    lon = np.unwrap(measured.route.lon_deg, period=360.0)
    lat = np.interp(evenly, measured.chainage_km, measured.route.lat_deg)
    return lat, np.interp(evenly, measured.chainage_km, lon)


def _first_zoom(lat: FloatArray, lon: FloatArray) -> int:
    x, y = _in_square(lat, lon)
    extent = max(float(np.ptp(x)), float(np.ptp(y)), 1e-6)
    return max(0, int(np.floor(np.log2(_TILES_ACROSS / extent))) - 1)


def _in_square(lat: FloatArray, lon: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Place in the square of the world: 0 to 1 from west to east and from north to south."""
    held = np.clip(lat, -WEB_MAP_EDGE_DEG, WEB_MAP_EDGE_DEG)
    y = 0.5 - np.arctanh(np.sin(np.radians(held))) / (2.0 * np.pi)
    return lon / 360.0 + 0.5, np.clip(y, 0.0, 1.0)


def _boxes(lat: FloatArray, lon: FloatArray, zoom: int) -> FloatArray:
    """Columns and rows that the corridor takes at each place: from, to, from, to, how many."""
    high = CORRIDOR_KM / _KM_PER_DEGREE
    wide = high / np.cos(np.radians(np.minimum(np.abs(lat) + high, WEB_MAP_EDGE_DEG)))
    west, north = _in_square(lat + high, lon - wide)
    east, south = _in_square(lat - high, lon + wide)
    side = 2.0**zoom
    edges = [np.floor(edge * side) for edge in (west, east, north, south)]
    edges[2:] = [np.clip(edge, 0.0, side - 1.0) for edge in edges[2:]]
    count = (edges[1] - edges[0] + 1.0) * (edges[3] - edges[2] + 1.0)
    return np.column_stack([*edges, count])


def _keys(boxes: FloatArray, zoom: int) -> tuple[TileKey, ...]:
    whole = _square_around(boxes, zoom)
    if (whole[1] - whole[0] + 1.0) * (whole[3] - whole[2] + 1.0) <= _WHOLE_BOX_TILES:
        boxes = whole[np.newaxis]
    found: set[TileKey] = set()
    for west, east, north, south in np.unique(boxes[:, :4].astype(int), axis=0).tolist():
        found.update(
            TileKey(zoom, column % 2**zoom, row)
            for row in range(north, south + 1)
            for column in range(west, east + 1)
        )
        if len(found) > _MOST_TILES:
            break
    return tuple(sorted(found))


def _square_around(boxes: FloatArray, zoom: int) -> FloatArray:
    """Columns and rows of all boxes, widened to a square: screens are wide or tall."""
    west, east = boxes[:, 0].min(), boxes[:, 1].max()
    north, south = boxes[:, 2].min(), boxes[:, 3].max()
    more = np.ceil(((east - west) - (south - north)) / 2.0)
    wider, taller = max(-more, 0.0), max(more, 0.0)
    last = 2.0**zoom - 1.0
    return np.array(
        [west - wider, east + wider, max(north - taller, 0.0), min(south + taller, last)]
    )
