"""Tiny tiles and files of tiles for tests: one colour each, made with zlib, sqlite3 and pmtiles."""

from __future__ import annotations

import io
import sqlite3
import struct
import zlib
from pathlib import Path

from pmtiles.tile import Compression, TileType, zxy_to_tileid
from pmtiles.writer import Writer

from longdry.model.backdrop import TileKey

Tiles = dict[TileKey, bytes]


def png(red: int, green: int, blue: int, *, side: int = 256) -> bytes:
    """Make a PNG of one colour (PNG specification, 3rd edition: IHDR, IDAT, IEND)."""
    head = struct.pack(">IIBBBBB", side, side, 8, 2, 0, 0, 0)
    rows = (b"\x00" + bytes((red, green, blue)) * side) * side
    parts = ((b"IHDR", head), (b"IDAT", zlib.compress(rows)), (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
        for kind, data in parts
    )


def world(least: int, greatest: int) -> Tiles:
    """Make every tile of the zooms, each of a colour of its own."""
    return {
        TileKey(zoom, column, row): png(zoom * 20, column % 256, row % 256, side=16)
        for zoom in range(least, greatest + 1)
        for column in range(2**zoom)
        for row in range(2**zoom)
    }


def write_mbtiles(path: Path, tiles: Tiles, **told: str) -> Path:
    """Write MBTiles 1.3: rows from the south, so 11/327/791 is stored as row 1256."""
    connection = sqlite3.connect(path)
    connection.execute("PRAGMA synchronous = OFF")
    connection.execute("CREATE TABLE metadata (name text, value text)")
    connection.execute(
        "CREATE TABLE tiles (zoom_level integer, tile_column integer, tile_row integer, "
        "tile_data blob)"
    )
    connection.executemany("INSERT INTO metadata VALUES (?, ?)", told.items())
    rows = [(k.zoom, k.column, 2**k.zoom - 1 - k.row, data) for k, data in tiles.items()]
    connection.executemany("INSERT INTO tiles VALUES (?, ?, ?, ?)", rows)
    connection.commit()
    connection.close()
    return path


def write_pmtiles(path: Path, tiles: Tiles, **told: str) -> Path:
    """Write PMTiles 3 with the writer of its makers."""
    zooms = [key.zoom for key in tiles]
    file = io.BytesIO()
    writer = Writer(file)
    for number, data in sorted((zxy_to_tileid(*key), data) for key, data in tiles.items()):
        writer.write_tile(number, data)
    writer.finalize(
        {
            "tile_type": TileType.PNG,
            "tile_compression": Compression.NONE,
            "min_zoom": min(zooms),
            "max_zoom": max(zooms),
        },
        told,
    )
    path.write_bytes(file.getvalue())
    return path
