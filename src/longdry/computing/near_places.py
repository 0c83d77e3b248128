"""Which of many places lie within some metres of one, by geodesic distance on WGS 84."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from longdry.computing.geodesy import azimuths_and_lengths
from longdry.model.arrays import FloatArray

_M_PER_KM = 1000.0
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
        near = slice(int(first), last)
        lat, lon = self._lat_deg[near], self._lon_deg[near]
        if lat.size == 0:
            return ()
        here_lat, here_lon = np.full(lat.shape, lat_deg), np.full(lat.shape, lon_deg)
        distance_m = azimuths_and_lengths(here_lat, here_lon, lat, lon)[1] * _M_PER_KM
        found = np.flatnonzero(distance_m <= metres)
        ranked = found[np.argsort(distance_m[found], kind="stable")]
        indices = self._order[near]
        return tuple(Neighbour(int(indices[i]), float(distance_m[i])) for i in ranked)
