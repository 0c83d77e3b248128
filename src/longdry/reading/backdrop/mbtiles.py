"""MBTiles: a SQLite file with the tables ``metadata`` and ``tiles``.

Format: MBTiles specification 1.3: rows are counted from the south.
"""

from __future__ import annotations

import contextlib
import sqlite3
from collections.abc import Iterator
from pathlib import Path

from longdry.model.backdrop import TileKey
from longdry.reading.backdrop.archive import DEEPEST_ZOOM, ArchiveFacts, broken

_MOST_STEPS = 20_000_000
"""Of SQLite's machine for one question: a view that never ends is cut off."""
_STEPS_PER_LOOK = 100_000


class Mbtiles:
    """An open MBTiles file; made by `opened_mbtiles`."""

    def __init__(self, origin: str, connection: sqlite3.Connection) -> None:
        self.origin = origin
        self._connection = connection
        self._looks_left = 0

    def facts(self) -> ArchiveFacts:
        """Say what the file holds; zooms from its tiles where the metadata lack them."""
        rows = self._rows("SELECT name, value FROM metadata", ())
        header = {str(name): str(value) for name, value in rows}
        zooms = _zoom(header.get("minzoom")), _zoom(header.get("maxzoom"))
        if None in zooms:
            found = self._rows("SELECT min(zoom_level), max(zoom_level) FROM tiles", ())[0]
            zooms = _zoom(found[0]), _zoom(found[1])
        if zooms[0] is None or zooms[1] is None or zooms[0] > zooms[1]:
            raise broken(self.origin, "holds no tiles, or zooms that cannot be")
        return ArchiveFacts(zooms[0], zooms[1], header.get("attribution", ""))

    def tile(self, key: TileKey) -> bytes | None:
        """Return one tile, None where the file has none there."""
        rows = self._rows(
            "SELECT tile_data FROM tiles WHERE zoom_level = ? AND tile_column = ? AND tile_row = ?",
            (key.zoom, key.column, row_from_south(key)),
        )
        data = rows[0][0] if rows else None
        return data if isinstance(data, bytes) else None

    def _rows(self, question: str, values: tuple[int, ...]) -> list[tuple[object, ...]]:
        self._looks_left = _MOST_STEPS // _STEPS_PER_LOOK
        self._connection.set_progress_handler(self._is_too_long, _STEPS_PER_LOOK)
        try:
            return self._connection.execute(question, values).fetchmany(10_000)
        except (sqlite3.Error, OverflowError, UnicodeError) as problem:
            raise broken(self.origin, f"is no sound MBTiles file ({problem})") from problem

    def _is_too_long(self) -> int:
        self._looks_left -= 1
        return 1 if self._looks_left < 0 else 0


def row_from_south(key: TileKey) -> int:
    """Row as MBTiles count it.

    >>> row_from_south(TileKey(11, 327, 791))
    1256
    """
    return int(2**key.zoom - 1 - key.row)


def _zoom(value: object) -> int | None:
    try:
        zoom = int(str(value))
    except ValueError:
        return None
    return zoom if 0 <= zoom <= DEEPEST_ZOOM else None


@contextlib.contextmanager
def opened_mbtiles(path: Path) -> Iterator[Mbtiles]:
    """Open the file for reading only; nothing is written beside it either.

    Raises
    ------
    BackdropError
        Where SQLite cannot open it.
    """
    origin = str(path)
    try:
        connection = sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro&immutable=1", uri=True)
    except sqlite3.Error as problem:
        raise broken(origin, f"cannot be opened ({problem})") from problem
    with contextlib.closing(connection):
        connection.execute("PRAGMA trusted_schema = OFF")
        yield Mbtiles(origin, connection)
