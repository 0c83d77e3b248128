"""What is drawn below the route so that people know where they are: no part of the plan.

How much all of it together may add to the page stands at the end.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

from longdry.model.arrays import FloatArray


class TileKey(NamedTuple):
    """Which tile of the web Mercator pyramid; rows are counted from the north."""

    zoom: int
    column: int
    row: int


class TileSpan(NamedTuple):
    """The tiles wanted of one zoom."""

    zoom: int
    keys: tuple[TileKey, ...]


@dataclass(frozen=True, slots=True)
class Picture:
    """One picture and all the tiles that show it."""

    media_type: str
    """'image/png', 'image/jpeg' or 'image/webp'."""
    data: bytes
    keys: tuple[TileKey, ...]


@dataclass(frozen=True, slots=True)
class RasterBackdrop:
    """Tiles along the route."""

    pictures: tuple[Picture, ...]
    attribution: str
    """Plain text; empty where the file names none."""
    notes: tuple[str, ...]
    """What was chosen, whole sentences."""
    page_bytes: float
    """What it adds to the page."""

    @property
    def zooms(self) -> tuple[int, int]:
        """The least and the greatest zoom."""
        found = [key.zoom for picture in self.pictures for key in picture.keys]
        return min(found), max(found)


class ShapeKind(StrEnum):
    """How a shape is drawn."""

    LINE = "line"
    AREA = "area"
    POINT = "point"


@dataclass(frozen=True, slots=True, eq=False)
class BackdropShape:
    """A line, the outline of an area, or a point, with its name."""

    kind: ShapeKind
    name: str
    """Empty where it has none."""
    lat_deg: FloatArray
    """Shape (n,); one for a point."""
    lon_deg: FloatArray
    """Shape (n,); may run on beyond 180 where the route does."""


@dataclass(frozen=True, slots=True)
class DrawnBackdrop:
    """Lines, areas and points of the user's own layer near the route."""

    shapes: tuple[BackdropShape, ...]
    notes: tuple[str, ...]
    page_bytes: float
    """What it adds to the page, about."""


@dataclass(frozen=True, slots=True)
class OnlineBackdrop:
    """Tiles that the page asks of the network, because the user wants it so."""

    url: str
    """With ``{z}``, ``{x}`` and ``{y}``."""
    origin: str
    """Scheme, host and port: 'https://tiles.example.org'."""
    attribution: str
    notes: tuple[str, ...]
    page_bytes: float = 0.0


Backdrop = RasterBackdrop | DrawnBackdrop | OnlineBackdrop


BYTES_PER_MB = 1_000_000
MOST_BACKDROP_MB = 6.0
"""What a backdrop may add to the page unless the user says otherwise."""
