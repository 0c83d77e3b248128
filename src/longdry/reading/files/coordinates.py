"""Numbers and coordinates as people write them, read strictly and complained about kindly."""

from __future__ import annotations

import math
import re

from longdry.errors import Fault
from longdry.reading.files.text import quoted

LAT_LIMIT_DEG = 90.0
LON_LIMIT_DEG = 180.0

DECIMAL_COMMA = re.compile(r"\s*[+-]?\d+,\d+\s*", re.ASCII)
"""A number with a comma for its decimal point, blanks around it."""


def plain_number(text: str) -> float | None:
    """Read sign, digits, decimal point and exponent, blanks around them; None for all else.

    >>> plain_number(" -4.5e1 "), plain_number("4_5"), plain_number("nan"), plain_number("")
    (-45.0, None, None, None)
    """
    if "_" in text or not text.isascii():
        return None
    try:
        value = float(text)
    except ValueError:
        return None
    return value if math.isfinite(value) else None


def in_range(lat_deg: float, lon_deg: float) -> bool:
    """Tell whether latitude and longitude lie on the globe; NaN does not.

    >>> in_range(-90.0, 180.0), in_range(91.0, 0.0)
    (True, False)
    """
    return abs(lat_deg) <= LAT_LIMIT_DEG and abs(lon_deg) <= LON_LIMIT_DEG


def _unreadable(field: str, text: str | None, where: str) -> Fault:
    if text is None:
        return Fault(where, f"{field} is missing", f"add {field} in decimal degrees")
    if not text.strip():
        return Fault(where, f"{field} is empty", f"add {field} in decimal degrees")
    what = f"{field} {quoted(text)} is not a number"
    if DECIMAL_COMMA.fullmatch(text):
        point = text.strip().replace(",", ".")
        return Fault(where, what, f"write it with a decimal point, {quoted(point)}")
    return Fault(where, what, "write decimal degrees in plain digits, such as -23.7041")


def _out_of_range(lat_deg: float, lon_deg: float, where: str) -> list[Fault]:
    lat_bad = abs(lat_deg) > LAT_LIMIT_DEG
    lon_bad = abs(lon_deg) > LON_LIMIT_DEG
    swapped = lat_bad and abs(lon_deg) <= LAT_LIMIT_DEG and abs(lat_deg) <= LON_LIMIT_DEG
    mend = (
        "lat and lon look swapped: exchange them, or correct the number"
        if swapped
        else "correct it in the file"
    )
    notes = [
        ("lat", lat_deg, LAT_LIMIT_DEG, lat_bad),
        ("lon", lon_deg, LON_LIMIT_DEG, lon_bad),
    ]
    return [
        Fault(where, f"{field} {value:.10g} lies outside -{limit:g} to {limit:g}", mend)
        for field, value, limit, bad in notes
        if bad
    ]


def coordinate_faults(lat: str | None, lon: str | None, where: str) -> list[Fault]:
    """Tell all that is wrong with a latitude and a longitude as written; empty when nothing is.

    Parameters
    ----------
    lat, lon
        The texts in degrees, None where the file has none.
    where
        The place in the file: 'line 12', 'row 3'.

    Examples
    --------
    >>> coordinate_faults("-23.5", "133.1", "line 4")
    []
    >>> coordinate_faults("133.1", "-23.5", "line 4")[0].mend
    'lat and lon look swapped: exchange them, or correct the number'
    """
    lat_deg = None if lat is None else plain_number(lat)
    lon_deg = None if lon is None else plain_number(lon)
    if lat_deg is not None and lon_deg is not None:
        return _out_of_range(lat_deg, lon_deg, where)
    faults = []
    if lat_deg is None:
        faults.append(_unreadable("lat", lat, where))
    if lon_deg is None:
        faults.append(_unreadable("lon", lon, where))
    return faults
