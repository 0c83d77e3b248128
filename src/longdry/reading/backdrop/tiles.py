"""Tiles of the user's own MBTiles or PMTiles file, as many as there is room for."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator
from contextlib import AbstractContextManager
from pathlib import Path

from longdry.errors import BackdropError
from longdry.model.backdrop import BYTES_PER_MB, Picture, RasterBackdrop, TileKey, TileSpan
from longdry.reading.backdrop.archive import MOST_TILE_BYTES, TileArchive, broken, media_type
from longdry.reading.backdrop.mbtiles import opened_mbtiles
from longdry.reading.backdrop.pmtiles_archive import opened_pmtiles
from longdry.reading.files.opening import file_head

_BASE64_BYTES_PER_BYTE = 4.0 / 3.0
_BYTES_PER_KEY = 20
"""Of a tile's name and the number of its picture in the page."""
_MARKUP = re.compile(r"<[^<>]*>")
_Pictures = dict[bytes, list[TileKey]]


def is_tile_archive(path: Path) -> bool:
    """Whether the file holds tiles, by how it begins and, among SQLite files, by its ending.

    Raises
    ------
    BackdropError
        Where the file is missing, empty or cannot be read.
    """
    head = file_head(path, error=BackdropError)
    is_sqlite = head.startswith(b"SQLite format 3\x00")
    return head.startswith(b"PMTiles") or (is_sqlite and path.suffix.lower() == ".mbtiles")


def opened_archive(path: Path) -> AbstractContextManager[TileArchive]:
    """Open a file for which `is_tile_archive` holds."""
    head = file_head(path, error=BackdropError)
    return opened_pmtiles(path) if head.startswith(b"PMTiles") else opened_mbtiles(path)


def raster_backdrop(
    archive: TileArchive, spans: Iterator[TileSpan], most_bytes: float
) -> RasterBackdrop:
    """Take zoom after zoom until the next would add more than ``most_bytes`` to the page.

    Raises
    ------
    BackdropError
        Where no tile lies along the route, a tile is no picture, or not even the coarsest zoom
        fits.
    """
    kept: _Pictures = {}
    size, left_out = 0.0, None
    for span in spans:
        added, added_size = _with_zoom(archive, span, kept, most_bytes - size)
        if added is None:
            left_out = span.zoom
            break
        kept, size = added, size + added_size
    if not kept:
        raise _nothing(archive, left_out, most_bytes)
    pictures = tuple(_picture(archive.origin, data, keys) for data, keys in kept.items())
    attribution = plain_text(archive.facts().attribution)
    notes = _told(archive.origin, kept, size, left_out)
    return RasterBackdrop(pictures, attribution, (notes,), size)


def _with_zoom(
    archive: TileArchive, span: TileSpan, kept: _Pictures, room: float
) -> tuple[_Pictures | None, float]:
    """Return the pictures with those of one zoom more, None where they find no room."""
    found = {data: list(keys) for data, keys in kept.items()}
    size = 0.0
    for key in span.keys:
        data = archive.tile(key)
        if not data:
            continue
        if len(data) > MOST_TILE_BYTES:
            raise broken(archive.origin, f"tile {_name(key)} takes {len(data):,} bytes")
        size += _BYTES_PER_KEY + (0.0 if data in found else len(data) * _BASE64_BYTES_PER_BYTE)
        if size > room:
            return None, size
        found.setdefault(data, []).append(key)
    return found, size


def _picture(origin: str, data: bytes, keys: list[TileKey]) -> Picture:
    kind = media_type(data)
    if kind is None:
        raise BackdropError.single(
            origin,
            f"tile {_name(keys[0])}",
            "is no picture (PNG, JPEG or WebP)",
            "name a file of raster tiles; vector tiles are not drawn, export them as a layer",
        )
    return Picture(kind, data, tuple(keys))


def _nothing(archive: TileArchive, left_out: int | None, most_bytes: float) -> Exception:
    if left_out is None:
        what, mend = "holds no tile along the route", "name a file that covers the route"
    else:
        what = f"zoom {left_out} alone would add more than {_mb(most_bytes)} MB to the page"
        mend = "allow more with --backdrop-mb"
    return BackdropError.single(archive.origin, "", what, mend)


def _told(origin: str, kept: _Pictures, size: float, left_out: int | None) -> str:
    zooms = [key.zoom for keys in kept.values() for key in keys]
    notes = (
        f"{origin}: zoom {min(zooms)} to {max(zooms)}, {len(zooms):,} tiles, "
        f"{_mb(size)} MB in the page"
    )
    if left_out is None:
        return f"{notes}."
    return f"{notes}; zoom {left_out} and finer left out, they would not fit (--backdrop-mb)."


def _mb(size_bytes: float) -> str:
    return f"{size_bytes / BYTES_PER_MB:.2g}"


def _name(key: TileKey) -> str:
    return "/".join(map(str, key))


def plain_text(text: str) -> str:
    """Return an attribution without its markup.

    >>> plain_text('<a href="https://example.org">&copy; Example</a>')
    '© Example'
    """
    return html.unescape(_MARKUP.sub("", text)).strip()
