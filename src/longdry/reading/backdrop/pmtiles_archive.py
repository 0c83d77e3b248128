"""PMTiles, version 3, read through the package ``pmtiles`` of its makers.

Directories are kept once they are read: the package alone would read them anew for each tile.
"""

from __future__ import annotations

import contextlib
import gzip
import os
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO

from pmtiles.tile import (
    Entry,
    HeaderDict,
    MagicNumberNotFound,
    SpecVersionUnsupported,
    deserialize_directory,
    deserialize_header,
    find_tile,
    zxy_to_tileid,
)

from longdry.model.backdrop import TileKey
from longdry.reading.backdrop.archive import (
    DEEPEST_ZOOM,
    MOST_TILE_BYTES,
    ArchiveFacts,
    broken,
    unpacked,
)
from longdry.reading.files.json_text import strict_json

_HEADER_BYTES = 127
_MOST_DIRECTORY_BYTES = 4_000_000
_MOST_DEPTH = 4
_FOREIGN_ERRORS = (ArithmeticError, EOFError, LookupError, RecursionError, TypeError, ValueError)


class Pmtiles:
    """An open PMTiles file; made by `opened_pmtiles`."""

    def __init__(self, origin: str, file: BinaryIO) -> None:

        self.origin = origin
        self._file = file
        self._size = os.fstat(file.fileno()).st_size
        self._directories: dict[tuple[int, int], list[Entry]] = {}
        self._header: HeaderDict = deserialize_header(self._bytes(0, _HEADER_BYTES))

    def facts(self) -> ArchiveFacts:
        """Say what the file holds."""
        header = self._header
        least, greatest = header["min_zoom"], header["max_zoom"]
        if not 0 <= least <= greatest <= DEEPEST_ZOOM:
            raise broken(self.origin, f"holds zooms that cannot be ({least} to {greatest})")
        with _told_in_our_words(self.origin):
            text = self._bytes(header["metadata_offset"], header["metadata_length"])
            facts = strict_json((unpacked(text, _MOST_DIRECTORY_BYTES) or b"{}").decode())
        attribution = facts.get("attribution") if isinstance(facts, dict) else None
        return ArchiveFacts(least, greatest, str(attribution or ""))

    def tile(self, key: TileKey) -> bytes | None:
        """Return one tile, None where the file has none there."""
        with _told_in_our_words(self.origin):
            return self._found(key)

    def _found(self, key: TileKey) -> bytes | None:

        header = self._header
        number = zxy_to_tileid(key.zoom, key.column, key.row)
        offset, length = header["root_offset"], header["root_length"]
        for _ in range(_MOST_DEPTH):
            entry = find_tile(self._directory(offset, length), number)
            if entry is None:
                return None
            if entry.run_length:
                data = self._bytes(header["tile_data_offset"] + entry.offset, entry.length)
                return unpacked(data, MOST_TILE_BYTES)
            offset, length = header["leaf_directory_offset"] + entry.offset, entry.length
        return None

    def _directory(self, offset: int, length: int) -> list[Entry]:

        if (offset, length) not in self._directories:
            plain = unpacked(self._bytes(offset, length), _MOST_DIRECTORY_BYTES)
            packed = gzip.compress(plain, compresslevel=1, mtime=0)
            self._directories[offset, length] = deserialize_directory(packed)
        return self._directories[offset, length]

    def _bytes(self, offset: int, length: int) -> bytes:
        if not 0 <= length <= max(_MOST_DIRECTORY_BYTES, MOST_TILE_BYTES):
            raise ValueError(f"a part of {length} bytes")
        if not 0 <= offset <= self._size - length:
            raise ValueError("a part behind the end of the file")
        self._file.seek(offset)
        return self._file.read(length)


@contextlib.contextmanager
def _told_in_our_words(origin: str) -> Iterator[None]:
    try:
        yield
    except _FOREIGN_ERRORS as problem:
        raise broken(origin, f"is no sound PMTiles file ({problem})") from problem


@contextlib.contextmanager
def opened_pmtiles(path: Path) -> Iterator[Pmtiles]:
    """Open the file for reading.

    Raises
    ------
    BackdropError
        Where it is no PMTiles file of version 3.
    """
    with path.open("rb") as file:
        try:
            archive = Pmtiles(str(path), file)
        except (*_FOREIGN_ERRORS, MagicNumberNotFound, SpecVersionUnsupported) as problem:
            raise broken(str(path), "is no PMTiles file of version 3") from problem
        yield archive
