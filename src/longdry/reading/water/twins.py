"""Sources of one name that stand so near each other that they may be one place told twice."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import product

import numpy as np

from longdry.geodesy import ecef_km
from longdry.model.arrays import FloatArray, IntArray
from longdry.model.water.source import WaterSource

TWIN_WITHIN_M = 30.0
_MOST_IN_CELL = 16
_STEPS = tuple(product((-1, 0, 1), repeat=3))

_CubeKey = tuple[int, int, int, int]
"""Number of the name, and a cube of 30 m."""


def near_pairs(sources: Sequence[WaterSource]) -> list[tuple[WaterSource, WaterSource]]:
    """Return pairs with one name (case does not matter) within 30 m, each later source once.

    Examples
    --------
    >>> near_pairs([])
    []
    """
    names = [source.name.casefold() for source in sources]
    count = Counter(names)
    shared = [index for index, name in enumerate(names) if count[name] > 1]
    if not shared:
        return []
    xyz_m = _earth_fixed_m([sources[index] for index in shared])
    codes = _codes([names[index] for index in shared])
    rows = _with_neighbour_on_each_axis(codes, xyz_m)
    near = _pairs_of_rows([int(code) for code in codes[rows]], xyz_m[rows])
    index_of = np.array(shared)[rows]
    return [(sources[index_of[first]], sources[index_of[later]]) for first, later in near]


def _codes(names: Sequence[str]) -> IntArray:
    """Return a number for each name, the same for the same name."""
    numbers: dict[str, int] = {}
    return np.array([numbers.setdefault(name, len(numbers)) for name in names], dtype=np.int64)


def _with_neighbour_on_each_axis(codes: IntArray, xyz_m: FloatArray) -> IntArray:
    """Return, ascending, the rows with another of their name within 30 m on every axis alone.

    That is quick, and leaves few rows for the exact search.
    """
    rows = np.arange(codes.size)
    for axis in range(3):
        order = rows[np.lexsort((xyz_m[rows, axis], codes[rows]))]
        close = (np.diff(xyz_m[order, axis]) <= TWIN_WITHIN_M) & (np.diff(codes[order]) == 0)
        beside = np.zeros(order.size, dtype=bool)
        beside[:-1] |= close
        beside[1:] |= close
        rows = np.sort(order[beside])
    return rows


def _pairs_of_rows(codes: Sequence[int], xyz_m: FloatArray) -> list[tuple[int, int]]:
    cells = np.floor(xyz_m / TWIN_WITHIN_M).astype(np.int64).tolist()
    seen: dict[_CubeKey, list[int]] = {}
    pairs = []
    for row, (code, cell) in enumerate(zip(codes, cells, strict=True)):
        x, y, z = cell
        earlier = _first_near(row, (code, x, y, z), xyz_m, seen)
        if earlier is not None:
            pairs.append((earlier, row))
        here = seen.setdefault((code, x, y, z), [])
        if len(here) < _MOST_IN_CELL:
            here.append(row)
    return pairs


def _first_near(
    row: int, key: _CubeKey, xyz_m: FloatArray, seen: dict[_CubeKey, list[int]]
) -> int | None:
    code, x, y, z = key
    for dx, dy, dz in _STEPS:
        for other in seen.get((code, x + dx, y + dy, z + dz), ()):
            if float(np.linalg.norm(xyz_m[row] - xyz_m[other])) <= TWIN_WITHIN_M:
                return other
    return None


def _earth_fixed_m(sources: Sequence[WaterSource]) -> FloatArray:
    """Return points on the ellipsoid, shape (n, 3); a chord of 30 m is its arc within 1 nm."""
    lat_deg = np.array([source.lat_deg for source in sources])
    lon_deg = np.array([source.lon_deg for source in sources])
    return ecef_km(lat_deg, lon_deg) * 1000.0
