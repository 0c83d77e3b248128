"""All lines of one file as they were drawn, before one of them is chosen."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from longdry.model.arrays import FloatArray
from longdry.model.route import DrawnAs, Waypoint
from longdry.reading.files.text import quoted

LOWEST_HEIGHT_M = -500.0
HIGHEST_HEIGHT_M = 9000.0
"""No land lies lower or higher; what a file says beyond them is no height."""


@dataclass(frozen=True, slots=True)
class DrawnLine:
    """One track, route or line: a run of the drawing's points."""

    name: str
    """Empty where the file has none."""
    drawn_as: DrawnAs
    part_starts: tuple[int, ...]
    """Index in the drawing of the first point of each unbroken part; at least one."""
    stop: int
    """Index behind its last point."""
    shape_points: int = 0
    """How many of its points came from the extensions of route points."""
    shaped_points: int = 0
    """How many route points hold such."""
    timed: bool = False
    """Whether its points have times."""

    @property
    def first(self) -> int:
        """Index in the drawing of its first point."""
        return self.part_starts[0]

    @property
    def points(self) -> int:
        """Number of points."""
        return self.stop - self.first

    @property
    def title(self) -> str:
        """What it is and its name: 'track "Salt track"'."""
        return f"{self.drawn_as} {quoted(self.name)}" if self.name else f"unnamed {self.drawn_as}"


@dataclass(frozen=True, slots=True, eq=False)
class Drawing:
    """The lines of a file over one set of points in WGS 84 degrees."""

    origin: str
    lat_deg: FloatArray
    """Shape (n,)."""
    lon_deg: FloatArray
    """Shape (n,)."""
    height_m: FloatArray
    """Shape (n,), NaN where the file has none."""
    lines: tuple[DrawnLine, ...]
    """In file order, each with one point at least."""
    waypoints: tuple[Waypoint, ...] = ()
    remarks: tuple[str, ...] = ()


def believable(height_m: FloatArray) -> FloatArray:
    """Return the heights with NaN for those that no land has.

    >>> believable(np.array([12.0, 32767.0])).tolist()
    [12.0, nan]
    """
    fits = (height_m >= LOWEST_HEIGHT_M) & (height_m <= HIGHEST_HEIGHT_M)
    return np.where(fits, height_m, np.nan)


def counted(number: int, noun: str) -> str:
    """Say how many, in words that fit one and many.

    >>> counted(1, "point"), counted(1204, "point")
    ('1 point', '1,204 points')
    """
    return f"{number:,} {noun}" if number == 1 else f"{number:,} {noun}s"
