"""Sources of one name that stand so near each other that they may be one place told twice."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import product

import numpy as np

from longdry.model.arrays import FloatArray
from longdry.model.water_source import WaterSource

NEAR_M = 30.0
_MOST_IN_CELL = 16
_EQUATOR_M = 6_378_137.0
"""WGS 84 semi-major axis (NIMA TR8350.2)."""
_ECCENTRICITY_2 = 0.00669437999014
"""WGS 84 first eccentricity squared (NIMA TR8350.2)."""
_STEPS = tuple(product((-1, 0, 1), repeat=3))

_Cell = tuple[int, int, int]


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
    cells = np.floor(xyz_m / NEAR_M).astype(np.int64).tolist()
    seen: dict[tuple[str, _Cell], list[int]] = {}
    pairs = []
    for row, (x, y, z) in enumerate(cells):
        name = names[shared[row]]
        earlier = _first_near(row, name, (x, y, z), xyz_m, seen)
        if earlier is not None:
            pairs.append((sources[shared[earlier]], sources[shared[row]]))
        here = seen.setdefault((name, (x, y, z)), [])
        if len(here) < _MOST_IN_CELL:
            here.append(row)
    return pairs


def _first_near(
    row: int,
    name: str,
    cell: _Cell,
    xyz_m: FloatArray,
    seen: dict[tuple[str, _Cell], list[int]],
) -> int | None:
    x, y, z = cell
    for dx, dy, dz in _STEPS:
        for other in seen.get((name, (x + dx, y + dy, z + dz)), ()):
            if float(np.linalg.norm(xyz_m[row] - xyz_m[other])) <= NEAR_M:
                return other
    return None


def _earth_fixed_m(sources: Sequence[WaterSource]) -> FloatArray:
    """Return points on the ellipsoid, shape (n, 3); a chord of 30 m is its arc within 1 nm."""
    lat = np.radians([source.lat_deg for source in sources])
    lon = np.radians([source.lon_deg for source in sources])
    radius_m = _EQUATOR_M / np.sqrt(1.0 - _ECCENTRICITY_2 * np.sin(lat) ** 2)
    return np.column_stack(
        (
            radius_m * np.cos(lat) * np.cos(lon),
            radius_m * np.cos(lat) * np.sin(lon),
            radius_m * (1.0 - _ECCENTRICITY_2) * np.sin(lat),
        )
    )
