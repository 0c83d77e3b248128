"""From the reference system that a layer declares to WGS 84."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from longdry.errors import Fault, WaterLayerError
from longdry.reading.raw_layer import RawFeature

if TYPE_CHECKING:
    import pyproj

_WGS_84 = "OGC:CRS84"
_MEND = "declare a known one, for example EPSG:4326, or save the layer in WGS 84"


def in_wgs84(features: list[RawFeature], declared: str, path: Path) -> list[RawFeature]:
    """Return the features with ``x`` and ``y`` as longitude and latitude in WGS 84.

    Coordinates that are no numbers are left for the reader of places to refuse.

    Raises
    ------
    WaterLayerError
        If the declared reference system is unknown or has no way to WGS 84.
    """
    from pyproj import Transformer  # noqa: PLC0415 - loaded when needed
    from pyproj.exceptions import ProjError  # noqa: PLC0415 - loaded when needed

    try:
        transformer = Transformer.from_crs(_parsed(declared), _WGS_84, always_xy=True)
        moved = [_moved(feature, transformer) for feature in features]
    except ProjError as cause:
        what = f'declares the reference system "{declared[:60]}", which cannot be used'
        raise WaterLayerError.single(str(path), "", what, _MEND) from cause
    return moved


def is_wgs84(declared: str) -> bool:
    """Whether the words name WGS 84 in degrees outright."""
    code = declared.upper().replace("::", ":")
    return code.endswith(("EPSG:4326", "CRS84", "CRS:84", "EPSG:4979", "CRS84H"))


def _parsed(declared: str) -> pyproj.CRS:
    from pyproj import CRS  # noqa: PLC0415 - loaded when needed

    return CRS.from_user_input(declared)


def _moved(feature: RawFeature, transformer: pyproj.Transformer) -> RawFeature:
    x, y = feature.x, feature.y
    if feature.wrong_place or not _is_number(x) or not _is_number(y):
        return feature
    lon, lat = transformer.transform(x, y)
    if abs(lon) == float("inf"):
        what = f"the place x {x}, y {y} is outside the declared reference system"
        return feature._replace(wrong_place=Fault("", what, "check the layer's coordinates"))
    return feature._replace(x=float(lon), y=float(lat))


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)
