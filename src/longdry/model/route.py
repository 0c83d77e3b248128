"""The line to be travelled, as it was read and as it was measured."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

import numpy as np

from longdry.model.arrays import FloatArray, IntArray, frozen_floats, frozen_ints


def _within(degrees: FloatArray, limit_deg: float) -> bool:
    return bool((np.abs(degrees) <= limit_deg).all())


class DrawnAs(StrEnum):
    """What the user's file called the line."""

    TRACK = "track"
    ROUTE = "route"
    LINE = "line"


FEWEST_POINTS = 2
"""A line has two ends."""
TOUCHING_KM = 0.01
"""Ends that lie so near touch: no device knows its own place better. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Waypoint:
    """A named place in the route's file; no part of the line."""

    name: str
    lat_deg: float
    lon_deg: float


@dataclass(frozen=True, slots=True, eq=False)
class Route:
    """A line in WGS 84 in travel order; ``n`` points, at least two of them apart.

    Raises
    ------
    ValueError
        Where the arrays differ in length, hold fewer than two points, or a coordinate that
        is not finite or out of range. Readers complain in the user's words before this does.
    """

    name: str
    """Name in the file, else the file's own name."""
    origin: str
    """The file that it came from, for messages."""
    lat_deg: FloatArray
    """Shape (n,), -90 to 90."""
    lon_deg: FloatArray
    """Shape (n,), -180 to 180."""
    height_m: FloatArray
    """Shape (n,), NaN where the file has none."""
    part_starts: IntArray
    """Shape (parts,), ascending, first 0: index of the first point of each unbroken part."""
    drawn_as: DrawnAs = DrawnAs.TRACK
    shape_points: int = 0
    """How many of the points came from the extensions of route points."""
    waypoints: tuple[Waypoint, ...] = ()
    timed: bool = False
    """Whether its points have times, as a recording's do."""
    remarks: tuple[str, ...] = field(default=())
    """What the reader did that the plan must tell, one sentence each."""
    grave_remarks: tuple[str, ...] = field(default=())
    """Those of them that life may hang on: the line may be another one than was meant."""

    def __post_init__(self) -> None:
        for name in ("lat_deg", "lon_deg", "height_m"):
            object.__setattr__(self, name, frozen_floats(getattr(self, name)))
        object.__setattr__(self, "part_starts", frozen_ints(self.part_starts))
        lengths = {self.lat_deg.shape, self.lon_deg.shape, self.height_m.shape}
        if len(lengths) != 1 or self.lat_deg.ndim != 1:
            raise ValueError(f"lat, lon and height differ in shape: {sorted(lengths)}")
        if self.points < FEWEST_POINTS:
            raise ValueError("a route needs two points")
        if not _within(self.lat_deg, 90.0) or not _within(self.lon_deg, 180.0):
            raise ValueError("a latitude or longitude is out of range or not a number")

    @property
    def points(self) -> int:
        """Number of points."""
        return int(self.lat_deg.size)

    def reversed(self) -> Route:
        """Return the same line travelled from its end to its start."""
        last = self.points
        starts = [0, *(last - int(start) for start in self.part_starts[:0:-1])]
        return Route(
            name=self.name,
            origin=self.origin,
            lat_deg=self.lat_deg[::-1],
            lon_deg=self.lon_deg[::-1],
            height_m=self.height_m[::-1],
            part_starts=frozen_ints(starts),
            drawn_as=self.drawn_as,
            shape_points=self.shape_points,
            waypoints=self.waypoints,
            timed=self.timed,
            remarks=self.remarks,
            grave_remarks=self.grave_remarks,
        )


@dataclass(frozen=True, slots=True)
class Bridge:
    """A break between two parts, closed by a straight geodesic."""

    km: float
    """Where on the route the bridge begins."""
    length_km: float


@dataclass(frozen=True, slots=True, eq=False)
class MeasuredRoute:
    """A route with its lengths on the WGS 84 ellipsoid; leg ``i`` goes from point i to i + 1."""

    route: Route
    leg_km: FloatArray
    """Shape (n - 1,), geodesic length of each leg."""
    chainage_km: FloatArray
    """Shape (n,), km travelled up to each point, from 0, winding of straight legs included."""
    bridges: tuple[Bridge, ...]
    """Every break between parts."""
    straight_km: float
    """Total geodesic length of the legs longer than 2 km."""
    winding_factor: float
    """What the legs longer than 2 km were lengthened by."""

    @property
    def length_km(self) -> float:
        """Length travelled, ways to sources not included."""
        return float(self.chainage_km[-1])
