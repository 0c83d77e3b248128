"""Latitude and longitude of a feature, in range or refused with a mend."""

from __future__ import annotations

import re

from longdry.reading.field_values import RefusedValueError, number_from

MOST_LAT_DEG = 90.0
MOST_LON_DEG = 180.0
_DEGREES = "degrees"
_DECIMAL_COMMA = re.compile(r"[+-]?\d+,\d+", re.ASCII)


def place_from(lat_deg: object, lon_deg: object) -> tuple[float, float]:
    """Return latitude and longitude as finite degrees in range.

    Raises
    ------
    RefusedValueError
        For anything else; a suspected swap of the two is told.
    """
    if (
        type(lat_deg) is float
        and type(lon_deg) is float
        and -MOST_LAT_DEG <= lat_deg <= MOST_LAT_DEG
        and -MOST_LON_DEG <= lon_deg <= MOST_LON_DEG
    ):
        return lat_deg, lon_deg
    lat, lon = _degrees("lat", lat_deg), _degrees("lon", lon_deg)
    if abs(lat) <= MOST_LAT_DEG and abs(lon) <= MOST_LON_DEG:
        return lat, lon
    raise RefusedValueError(_out_of_range(lat, lon), _mend(lat, lon))


def _degrees(name: str, value: object) -> float:
    if value is None or (isinstance(value, str) and not value.strip()):
        raise RefusedValueError(f"{name} is missing", f"give {name} in degrees, WGS 84")
    try:
        number = number_from(value, _DEGREES)
    except RefusedValueError as refused:
        raise RefusedValueError(f"{name} {refused.what}", _number_mend(name, value)) from None
    return number or 0.0


def _out_of_range(lat: float, lon: float) -> str:
    if abs(lat) > MOST_LAT_DEG:
        return f"lat {lat:.10g} is not within -90 and 90 (lon is {lon:.10g})"
    return f"lon {lon:.10g} is not within -180 and 180 (lat is {lat:.10g})"


def _mend(lat: float, lon: float) -> str:
    if abs(lat) > MOST_LAT_DEG and abs(lat) <= MOST_LON_DEG and abs(lon) <= MOST_LAT_DEG:
        return "lat and lon look swapped: exchange them"
    if abs(lat) <= MOST_LAT_DEG and abs(lon) <= 2 * MOST_LON_DEG:
        return "take 360 off (or add it) so that lon lies within -180 and 180"
    return "give degrees in WGS 84, or a file that declares its coordinate reference system"


def _number_mend(name: str, value: object) -> str:
    mend = f"write {name} in plain decimal degrees, south and west negative"
    if isinstance(value, str) and _DECIMAL_COMMA.fullmatch(value.strip()):
        return f'{mend}, with a decimal point: "{value.strip().replace(",", ".")}"'
    return mend
