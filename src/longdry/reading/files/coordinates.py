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
PLACE_MEND = "write latitude, comma, longitude: -25.34,131.04, or 25 20.4 S, 131 2.4 E"
_SIDES = ("NS", "EW")
_SIXTY = 60.0
_DEGREES_AND_MINUTES = re.compile(
    r"(?P<before>[NSEW]?)\s*(?P<degrees>[0-9]{1,3})(?:\s*[°º:]\s*|\s+)"
    r"(?P<minutes>[0-9]{1,2}(?:\.[0-9]+)?)"
    r"(?:(?:\s*['′’:]\s*|\s+)(?P<seconds>[0-9]{1,2}(?:\.[0-9]+)?)\s*[\"″”]?|\s*['′’]?)"
    r"\s*(?P<behind>[NSEW]?)"
)


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


def degrees_and_minutes(text: str, sides: str) -> float | None:
    r"""Read degrees and minutes, with seconds or not, as a device or a map tells them.

    The letter of the side must stand there, before or behind: without it nobody knows the sign, and
    25.5345 may be degrees or 25 degrees 53.45 minutes.

    Parameters
    ----------
    sides
        The letters of the positive and the negative side: "NS" or "EW".

    Examples
    --------
    >>> degrees_and_minutes("25 53.4' S", "NS"), degrees_and_minutes('W 7°30\'36"', "EW")
    (-25.89, -7.51)
    >>> [degrees_and_minutes(text, "NS") for text in ("25 53.4", "25 60 S", "25 5 E", "S")]
    [None, None, None, None]
    """
    match = _DEGREES_AND_MINUTES.fullmatch(text.strip().upper())
    if match is None or bool(match["before"]) == bool(match["behind"]):
        return None
    side = match["before"] or match["behind"]
    minutes, seconds = float(match["minutes"]), float(match["seconds"] or 0.0)
    is_broken = "." in match["minutes"] and match["seconds"] is not None
    if side not in sides or max(minutes, seconds) >= _SIXTY or is_broken:
        return None
    degrees = float(match["degrees"]) + minutes / _SIXTY + seconds / _SIXTY**2
    return degrees if side == sides[0] else -degrees


def place_as_written(text: str) -> tuple[float, float] | None:
    """Read latitude, comma, longitude, in decimal degrees or in degrees and minutes.

    >>> place_as_written("-25.5,131.25"), place_as_written("25 30 S, 131 15 E")
    ((-25.5, 131.25), (-25.5, 131.25))
    >>> place_as_written("131 15 E, 25 30 S"), place_as_written("here")
    (None, None)
    """
    parts = [part.strip() for part in text.split("," if "," in text else ";")]
    if len(parts) == 1:
        parts = text.split()
    if len(parts) != len(_SIDES):
        return None
    numbers = [
        plain_number(part) if plain_number(part) is not None else degrees_and_minutes(part, sides)
        for part, sides in zip(parts, _SIDES, strict=True)
    ]
    lat_deg, lon_deg = numbers
    return None if lat_deg is None or lon_deg is None else (lat_deg, lon_deg)


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
