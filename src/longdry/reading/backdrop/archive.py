"""What every file of tiles is asked: what it holds, and one tile."""

from __future__ import annotations

import zlib
from typing import NamedTuple, Protocol

from longdry.errors import BackdropError, InputError
from longdry.model.backdrop import TileKey
from longdry.reading.files.opening import GZIP_MAGIC

DEEPEST_ZOOM = 24
MOST_TILE_BYTES = 4_000_000
_SIGNS = ((b"\x89PNG\r\n\x1a\n", "image/png"), (b"\xff\xd8\xff", "image/jpeg"))


class ArchiveFacts(NamedTuple):
    """What a file of tiles says of itself."""

    least_zoom: int
    greatest_zoom: int
    attribution: str


class TileArchive(Protocol):
    """A file of tiles, open."""

    origin: str

    def facts(self) -> ArchiveFacts:
        """Say what the file holds."""
        ...

    def tile(self, key: TileKey) -> bytes | None:
        """Return one tile, None where the file has none there."""
        ...


def media_type(data: bytes) -> str | None:
    r"""Tell a picture by how it begins; None for what browsers draw as no plain picture.

    >>> media_type(b"\xff\xd8\xff\xe0"), media_type(b"<svg>")
    ('image/jpeg', None)
    """
    for sign, kind in _SIGNS:
        if data.startswith(sign):
            return kind
    return "image/webp" if data[:4] == b"RIFF" and data[8:12] == b"WEBP" else None


def unpacked(data: bytes, most_bytes: int) -> bytes:
    """Return what may be gzip-compressed as it was before, never more than ``most_bytes``.

    Raises
    ------
    ValueError
        Where it is larger or broken.
    """
    if not data.startswith(GZIP_MAGIC):
        return data
    worker = zlib.decompressobj(wbits=31)
    try:
        found = worker.decompress(data, most_bytes)
    except zlib.error as problem:
        raise ValueError(str(problem)) from problem
    if not worker.eof:
        raise ValueError("larger than it may be, or cut short")
    return found


def broken(origin: str, what: str) -> InputError:
    """Make the error for a file of tiles that cannot be read."""
    return BackdropError.single(
        origin, "", what, "make it again, or name another file (MBTiles 1.3 or PMTiles 3)"
    )
