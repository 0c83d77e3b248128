"""Lengths and points on the WGS 84 ellipsoid.

Short lengths come from chords between earth-centred coordinates, which is about eight times
as fast as the full inverse problem; long ones and all final figures from the geodesic
algorithms of Karney (2013), "Algorithms for geodesics", Journal of Geodesy 87:43-55, as they
stand in PROJ. `NearPlaces` finds which of many places lie within some metres of one.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from pyproj import Geod

from longdry.model.arrays import BoolArray, FloatArray, IntArray
from longdry.units import M_PER_KM

WGS84 = Geod(ellps="WGS84")
MEAN_RADIUS_KM = 6371.0088
"""Mean radius of the WGS 84 ellipsoid (IUGG), (2a + b) / 3."""
WEB_MAP_EDGE_DEG = 85.0511287798066
"""Latitude where the square of web maps ends: atan(sinh(pi))."""
_LONGEST_CHORD_KM = 10.0
"""Up to here the chord's length is within 0.01 mm of the geodesic."""
_POINTS_A_BLOCK = 8192
"""So few that what is worked out of them stays near the processor: twice as fast as all at once."""


def ecef_km(lat_deg: FloatArray, lon_deg: FloatArray) -> FloatArray:
    """Return earth-centred, earth-fixed coordinates of points on the ellipsoid.

    Parameters
    ----------
    lat_deg, lon_deg
        Shape (n,).

    Returns
    -------
    FloatArray
        Shape (n, 3), km.

    Notes
    -----
    Source: EPSG Guidance Note 7-2, geographic/geocentric conversions (method 9602), height 0.
    """
    points = np.empty((lat_deg.size, 3))
    for block in _blocks(lat_deg.size):
        _write_ecef(points[block], np.radians(lat_deg[block]), np.radians(lon_deg[block]))
    return points


def _blocks(size: int) -> Iterator[slice]:
    return (slice(at, at + _POINTS_A_BLOCK) for at in range(0, size, _POINTS_A_BLOCK))


def _write_ecef(points_km: FloatArray, lat: FloatArray, lon: FloatArray) -> None:
    sin_lat = np.sin(lat)
    normal_km = WGS84.a / M_PER_KM / np.sqrt(1.0 - WGS84.es * sin_lat**2)
    across_km = normal_km * np.cos(lat)
    points_km[:, 0] = across_km * np.cos(lon)
    points_km[:, 1] = across_km * np.sin(lon)
    points_km[:, 2] = normal_km * (1.0 - WGS84.es) * sin_lat


def length_of_chord_km(chord_km: FloatArray) -> FloatArray:
    """Return the length along the ground under straight chords, on a sphere of mean radius.

    The ellipsoid's curvature differs from the sphere's by up to 1 %, so the correction
    c^3 / 24 R^2 is good to 2 %: 0.01 mm at 5 km, 0.2 mm at 20 km, 2 cm at 100 km.
    """
    half = np.clip(chord_km / (2.0 * MEAN_RADIUS_KM), 0.0, 1.0)
    return np.asarray(2.0 * MEAN_RADIUS_KM * np.arcsin(half), dtype=np.float64)


def squared_norms(vectors: FloatArray) -> FloatArray:
    """Return the squared lengths of vectors that lie along the last axis."""
    return np.asarray(np.einsum("...k,...k->...", vectors, vectors), dtype=np.float64)


def leg_lengths_km(lat_deg: FloatArray, lon_deg: FloatArray) -> FloatArray:
    """Return the geodesic lengths between neighbouring points.

    Parameters
    ----------
    lat_deg, lon_deg
        Shape (n,).

    Returns
    -------
    FloatArray
        Shape (n - 1,), within 0.01 mm of Karney (2013) for each leg.

    Examples
    --------
    One degree of the equator, and the empty case of a single point:

    >>> float(leg_lengths_km(np.array([0.0, 0.0]), np.array([179.5, -179.5]))[0].round(6))
    111.319491
    >>> leg_lengths_km(np.array([1.0]), np.array([1.0])).size
    0
    """
    chords_km = np.empty(max(lat_deg.size - 1, 0))
    for block in _blocks(chords_km.size):
        with_next = slice(block.start, block.stop + 1)
        points_km = ecef_km(lat_deg[with_next], lon_deg[with_next])
        chords_km[block] = np.sqrt(squared_norms(np.diff(points_km, axis=0)))
    lengths_km = length_of_chord_km(chords_km)
    far = np.flatnonzero(chords_km > _LONGEST_CHORD_KM)
    if far.size:
        _, lengths_km[far] = azimuths_and_lengths(
            lat_deg[far], lon_deg[far], lat_deg[far + 1], lon_deg[far + 1]
        )
    return lengths_km


LEAST_JUMP_KM = 2.0
"""No shorter leg is a jump, however close the points lie around it."""
TIMES_ITS_NEIGHBOURS = 20.0
"""So many times the median of the ten legs around it. Assumption, no source."""
_ON_EACH_SIDE = 5
_LEAST_NEIGHBOURS = 4
LONGEST_TIMED_JUMP_KM = 20.0
"""A wider one in a recording is another journey, as a break between parts is."""


def jump_legs(leg_km: FloatArray, part_starts: IntArray) -> IntArray:
    """Return, ascending, the legs that are jumps: shape (m,).

    A leg of over 2 km and at least 20 times the median of the ten around it (fewer at the ends of
    the line); the bridge of a break between parts is none.

    Parameters
    ----------
    leg_km
        Shape (n - 1,).
    part_starts
        Index of the first point of each unbroken part.

    Examples
    --------
    >>> legs = np.array([0.1, 0.1, 0.1, 5.0, 0.1, 0.1])
    >>> jump_legs(legs, np.array([0])).tolist(), jump_legs(np.full(6, 5.0), np.array([0])).tolist()
    ([3], [])
    >>> jump_legs(np.array([]), np.array([0])).tolist()
    []
    """
    far = np.flatnonzero(leg_km > LEAST_JUMP_KM)
    far = np.setdiff1d(far, part_starts - 1, assume_unique=True)
    steps = np.concatenate([np.arange(-_ON_EACH_SIDE, 0), np.arange(1, _ON_EACH_SIDE + 1)])
    jumps = [leg for leg in far.tolist() if _is_jump(leg_km, leg, steps)]
    return np.array(jumps, dtype=np.int64)


def _is_jump(leg_km: FloatArray, leg: int, steps: IntArray) -> bool:
    around = leg + steps
    around = around[(around >= 0) & (around < leg_km.size)]
    if around.size < _LEAST_NEIGHBOURS:
        return False
    return bool(leg_km[leg] >= TIMES_ITS_NEIGHBOURS * float(np.median(leg_km[around])))


def azimuths_and_lengths(
    from_lat_deg: FloatArray, from_lon_deg: FloatArray, lat_deg: FloatArray, lon_deg: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Return azimuth at the first point (degrees) and length (km) of geodesics."""
    azimuth_deg, _, length_m = WGS84.inv(
        _for_pyproj(from_lon_deg),
        _for_pyproj(from_lat_deg),
        _for_pyproj(lon_deg),
        _for_pyproj(lat_deg),
    )
    return np.asarray(azimuth_deg), np.asarray(length_m) / M_PER_KM


def _for_pyproj(values: FloatArray) -> FloatArray | list[float]:
    """Hand a single value over as a list: of an array of one, pyproj would make a scalar."""
    return values.tolist() if values.shape == (1,) else values


def points_along(
    lat_deg: FloatArray, lon_deg: FloatArray, azimuth_deg: FloatArray, length_km: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return latitude, longitude and azimuth reached along geodesics, all in degrees."""
    to_lon_deg, to_lat_deg, back_deg = WGS84.fwd(
        _for_pyproj(lon_deg),
        _for_pyproj(lat_deg),
        _for_pyproj(azimuth_deg),
        _for_pyproj(length_km * M_PER_KM),
    )
    return np.asarray(to_lat_deg), np.asarray(to_lon_deg), np.asarray(back_deg) + 180.0


def distance_km(from_lat_deg: float, from_lon_deg: float, lat_deg: float, lon_deg: float) -> float:
    """Return the length of one geodesic.

    >>> round(distance_km(0.0, 0.0, 0.0, 1.0), 6)
    111.319491
    """
    return float(WGS84.inv(from_lon_deg, from_lat_deg, lon_deg, lat_deg)[2]) / M_PER_KM


def point_between(
    from_deg: tuple[float, float], to_deg: tuple[float, float], share: float
) -> tuple[float, float]:
    """Return latitude and longitude at a share, 0 to 1, of the geodesic between two points.

    >>> point_between((0.0, 0.0), (0.0, 1.0), 0.25)
    (0.0, 0.25)
    """
    (lat_deg, lon_deg), (to_lat_deg, to_lon_deg) = from_deg, to_deg
    azimuth_deg, _, length_m = WGS84.inv(lon_deg, lat_deg, to_lon_deg, to_lat_deg)
    found_lon_deg, found_lat_deg, _ = WGS84.fwd(lon_deg, lat_deg, azimuth_deg, length_m * share)
    return float(found_lat_deg), float(found_lon_deg)


def points_between(
    from_deg: tuple[float, float], to_deg: tuple[float, float], count: int
) -> tuple[FloatArray, FloatArray]:
    """Return latitudes and longitudes of points that part a geodesic in ``count`` + 1 equal legs.

    >>> points_between((0.0, 0.0), (0.0, 1.0), 1)[1].round(9).tolist()
    [0.5]
    """
    (lat_deg, lon_deg), (to_lat_deg, to_lon_deg) = from_deg, to_deg
    lon_lat = np.array(WGS84.npts(lon_deg, lat_deg, to_lon_deg, to_lat_deg, count))
    return lon_lat[:, 1], lon_lat[:, 0]


_LEAST_M_PER_DEGREE = 110_000.0
"""A degree of latitude is nowhere shorter: 110,574 m at the equator (WGS 84)."""


@dataclass(frozen=True, slots=True)
class Neighbour:
    """A place near another."""

    index: int
    """Which of the places that were searched."""
    distance_m: float


class NearPlaces:
    """Places sorted by latitude, to be asked which lie near.

    >>> NearPlaces([-25.0, -25.001], [131.0, 131.0]).within(-25.0, 131.0, metres=50.0)
    (Neighbour(index=0, distance_m=0.0),)
    >>> NearPlaces([], []).within(0.0, 0.0, metres=150.0)
    ()
    """

    def __init__(self, lat_deg: Sequence[float], lon_deg: Sequence[float]) -> None:
        lat = np.asarray(lat_deg, np.float64)
        self._order = np.argsort(lat, kind="stable")
        self._lat_deg: FloatArray = lat[self._order]
        self._lon_deg: FloatArray = np.asarray(lon_deg, np.float64)[self._order]

    def within(self, lat_deg: float, lon_deg: float, *, metres: float) -> tuple[Neighbour, ...]:
        """Return the places within ``metres``, the nearest first."""
        band_deg = metres / _LEAST_M_PER_DEGREE
        first, last = np.searchsorted(self._lat_deg, [lat_deg - band_deg, lat_deg + band_deg])
        last = max(int(last), int(np.searchsorted(self._lat_deg, lat_deg + band_deg, "right")))
        near = np.arange(int(first), last)
        near = near[self._in_band_of_lon(lon_deg, lat_deg, band_deg, near)]
        lat, lon = self._lat_deg[near], self._lon_deg[near]
        if lat.size == 0:
            return ()
        here_lat, here_lon = np.full(lat.shape, lat_deg), np.full(lat.shape, lon_deg)
        distance_m = azimuths_and_lengths(here_lat, here_lon, lat, lon)[1] * M_PER_KM
        found = np.flatnonzero(distance_m <= metres)
        ranked = found[np.argsort(distance_m[found], kind="stable")]
        indices = self._order[near]
        return tuple(Neighbour(int(indices[i]), float(distance_m[i])) for i in ranked)

    def _in_band_of_lon(
        self, lon_deg: float, lat_deg: float, band_deg: float, near: IntArray
    ) -> BoolArray:
        """Tell which places are near by longitude too: cheap, and keeps all that are near."""
        squeeze = np.cos(np.radians(min(abs(lat_deg) + band_deg, 90.0)))
        if squeeze * 180.0 <= band_deg:
            return np.ones(near.size, dtype=bool)
        apart_deg = np.abs((self._lon_deg[near] - lon_deg + 180.0) % 360.0 - 180.0)
        return np.asarray(apart_deg <= band_deg / squeeze)
