"""From a mapping of properties to a source with its place, all that is wrong gathered.

The one place that knows the names of the properties, whatever kind of file they come from. A
latitude or longitude is in range or refused with a mend.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Mapping
from functools import lru_cache
from typing import Any

from longdry.errors import Fault
from longdry.model.water.source import WaterSource
from longdry.model.words import Grade, is_rock_hole, known_kind
from longdry.plain_text import one_line
from longdry.reading.files.coordinates import (
    DECIMAL_COMMA,
    LAT_LIMIT_DEG,
    LON_LIMIT_DEG,
    degrees_and_minutes,
)
from longdry.reading.water.values import (
    RefusedValueError,
    amount_from,
    months_from,
    note_from,
    number_from,
    shown,
    text_from,
    word_from,
)
from longdry.reading.water.visits import CERTAINTIES, GRADES, day_from, visits_from
from longdry.units import HOURS_PER_DAY

_YES_NO = {"true": True, "false": False, "yes": True, "no": False, "1": True, "0": False}


def _yes_no_from(value: object) -> bool | None:
    text = str(value).strip().lower() if isinstance(value, bool | str | int) else shown(value)
    if text in _YES_NO:
        return _YES_NO[text]
    if text:
        raise RefusedValueError(f"is {shown(value)}", "write true or false")
    return None


def _hour_from(value: object) -> float | None:
    hour = amount_from(value, "hours")
    if hour is not None and hour > HOURS_PER_DAY:
        raise RefusedValueError(f"is {shown(value)}", "write an hour of the day, 0 to 24")
    return hour


def _text_or_none(value: object) -> str | None:
    return text_from(value) or None


OF_OTHERS = "; of somebody else's file, say in a --fields file what it means"
"""Ends the mend of a grade; whoever types a grade has no such file."""


def _grade_from(value: object) -> Grade | None:
    try:
        return word_from(value, GRADES)
    except RefusedValueError as refused:
        raise RefusedValueError(refused.what, f"{refused.mend}{OF_OTHERS}") from None


def is_worse_grade(word: str, than: str) -> bool:
    """Whether one of our words for grades is worse than another.

    >>> is_worse_grade("not-for-drinking", "potable")
    True
    """
    order = list(GRADES)
    return order.index(word) > order.index(than)


def _kind_from(value: object) -> str | None:
    """Return our word for a usual one; a word that is not known stays, and counts as doubtful.

    A rockhole stays one: it is judged as a pool, and whoever fills all leaves half of it to others.
    """
    text = text_from(value)
    return "rockhole" if is_rock_hole(text) else known_kind(text) or text or None


def _day_from(value: object) -> dt.date | None:
    if value is None or (isinstance(value, str) and not value.strip()):
        return None
    try:
        return day_from(value)
    except RefusedValueError as refused:
        raise RefusedValueError(refused.what.removeprefix("on "), _LAID_MEND) from None


_LAID_MEND = "write the day on which you laid it as year-month-day, for example 2027-05-03"

READERS: Mapping[str, Callable[[object], object]] = {
    "id": _text_or_none,
    "name": _text_or_none,
    "grade": _grade_from,
    "kind": _kind_from,
    "access": _text_or_none,
    "flow_l_per_min": lambda value: amount_from(value, "litres per minute"),
    "limit_l": lambda value: amount_from(value, "litres"),
    "certainty": lambda value: word_from(value, CERTAINTIES),
    "certainty_why": _text_or_none,
    "months": months_from,
    "tds_mg_per_l": lambda value: amount_from(value, "milligrams per litre"),
    "open_from_hour": _hour_from,
    "open_to_hour": _hour_from,
    "cost_per_l": lambda value: amount_from(value, "money per litre"),
    "note": note_from,
    "visits": visits_from,
    "retired": _text_or_none,
    "own": _yes_no_from,
    "unread_salt": _text_or_none,
    "laid_by_us": _yes_no_from,
    "laid_on": _day_from,
}
"""The properties that longdry knows; each reader returns None for an empty value."""

_SALT = re.compile(
    r"tds.*|totaldiss.*|dissolveds.*|salin.*|salts?|salt(mg|ppm|content|level).*"
    r"|ec|ec\d*(us|µs|μs|ms|ds|micro|milli|at|field|lab|value|unit).*|ec\d+|.*conductiv.*"
    r"|specificcond.*"
)
"""Usual names of columns for dissolved salts and electrical conductivity; common practice, no
source."""
DBASE_LETTERS = 10
"""What a Shapefile leaves of the name of a column (dBASE III)."""
TRUNCATED = {
    "flow_l_per": "flow_l_per_min",
    "tds_mg_per": "tds_mg_per_l",
    "open_from_": "open_from_hour",
    "open_to_ho": "open_to_hour",
}
"""Shapefiles cut names to 10 characters (Esri Shapefile, dBASE fields)."""


@lru_cache(maxsize=4096)
def field_of(key: str) -> str | None:
    """Return the property that a column or key means, or None for a foreign one.

    Case and outer blanks do not matter; a name cut to ten characters is known.

    >>> field_of("Grade"), field_of("flow_l_per"), field_of("owner")
    ('grade', 'flow_l_per_min', None)
    """
    plain = key.strip().lower()
    plain = TRUNCATED.get(plain, plain)
    return plain if plain in READERS else None


def source_from_properties(
    properties: Mapping[str, object],
    *,
    lat_deg: object,
    lon_deg: object,
    where: str,
    fallback_id: str,
    layer: str,
) -> tuple[WaterSource | None, list[Fault]]:
    """Return the source that the properties tell of, or all that is wrong with them.

    Parameters
    ----------
    properties
        As the file holds them: numbers or text; unknown ones are left alone.
    lat_deg, lon_deg
        WGS 84; numbers or plain decimal text.
    where
        The feature's place in the file, 'feature 3'; its id and name are added in the faults.
    fallback_id
        The id where the properties hold none; also the name where they hold none.
    layer
        The file, kept in the source.

    Returns
    -------
    tuple
        The source and no fault, or None and at least one.
    """
    values, refused = _read(properties)
    place = (0.0, 0.0)
    try:
        place = place_from(lat_deg, lon_deg)
    except RefusedValueError as wrong_place:
        refused.append(wrong_place)
    if refused:
        place_words = feature_words(where, properties)
        return None, [Fault(place_words, one.what, one.mend) for one in refused]
    identity = values.pop("id", fallback_id)
    name = values.pop("name", identity)
    salt = "" if "tds_mg_per_l" in values else _unread_salt(properties)
    values.setdefault("unread_salt", salt)
    return WaterSource(identity, name, *place, layer=layer, **values), []


@lru_cache(maxsize=4096)
def _names_salt(key: str) -> bool:
    """Whether a column's name speaks of dissolved salts, in whatever unit."""
    plain = re.sub(r"[\W_]+", "", key.removeprefix("theirs:").lower())
    return _SALT.fullmatch(plain) is not None


def _unread_salt(properties: Mapping[str, object]) -> str:
    """Return the first column that tells the salt with a number in it; empty where none does."""
    for key, value in properties.items():
        if _names_salt(key) and re.search(r"\d", str(value)):
            return one_line(key)
    return ""


def id_in(properties: Mapping[str, object]) -> str:
    """Return the id that properties tell, as text; empty where they tell none.

    >>> id_in({"ID": 7}), id_in({"name": "Old Bore"})
    ('7', '')
    """
    notes = next((value for key, value in properties.items() if field_of(key) == "id"), None)
    return "" if notes is None else str(notes).strip()


def feature_words(where: str, properties: Mapping[str, object], feature_id: str = "") -> str:
    """Return the words for a feature: its place in the file, its id and its name.

    >>> feature_words("feature 3", {"ID": 7, "name": "Old Bore"}), feature_words("feature 4", {})
    ('feature 3 (id "7", name "Old Bore")', 'feature 4')
    """
    notes = {field_of(key): value for key, value in properties.items()}
    identity = {"id": notes.get("id") or feature_id, "name": notes.get("name")}
    words = [
        f"{key} {shown(value if isinstance(value, str) else shown(value))}"
        for key, value in identity.items()
        if isinstance(value, str | float) or type(value) is int
        if shown(value) != '""'
    ]
    return f"{where} ({', '.join(words)})" if words else where


def _read(properties: Mapping[str, object]) -> tuple[dict[str, Any], list[RefusedValueError]]:
    values: dict[str, Any] = {}
    refused: list[RefusedValueError] = []
    for key, raw in properties.items():
        field = field_of(key)
        if field is None or raw is None or (key != field and field in properties):
            continue
        try:
            value = READERS[field](raw)
        except RefusedValueError as wrong:
            refused.append(RefusedValueError(f"{field} {wrong.what}", wrong.mend))
            continue
        if value is None:
            continue
        if values.setdefault(field, value) != value:
            refused.append(_twofold(field, values[field], value))
    return values, refused


def _twofold(field: str, first: object, second: object) -> RefusedValueError:
    return RefusedValueError(
        f"{field} is told twice, {shown(first)} and {shown(second)}",
        f"keep one property that means {field}",
    )


_DEGREES = "degrees"


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
        and -LAT_LIMIT_DEG <= lat_deg <= LAT_LIMIT_DEG
        and -LON_LIMIT_DEG <= lon_deg <= LON_LIMIT_DEG
    ):
        return lat_deg, lon_deg
    lat, lon = _degrees("lat", lat_deg), _degrees("lon", lon_deg)
    if abs(lat) <= LAT_LIMIT_DEG and abs(lon) <= LON_LIMIT_DEG:
        return lat, lon
    raise RefusedValueError(_out_of_range(lat, lon), _mend(lat, lon))


def _degrees(name: str, value: object) -> float:
    if value is None or (isinstance(value, str) and not value.strip()):
        raise RefusedValueError(f"{name} is missing", f"give {name} in degrees, WGS 84")
    sides = "NS" if name == "lat" else "EW"
    if isinstance(value, str) and (degrees := degrees_and_minutes(value, sides)) is not None:
        return degrees
    try:
        number = number_from(value, _DEGREES)
    except RefusedValueError as refused:
        raise RefusedValueError(f"{name} {refused.what}", _number_mend(name, value)) from None
    return number or 0.0


def _out_of_range(lat: float, lon: float) -> str:
    if abs(lat) > LAT_LIMIT_DEG:
        return f"lat {lat:.10g} is not within -90 and 90 (lon is {lon:.10g})"
    return f"lon {lon:.10g} is not within -180 and 180 (lat is {lat:.10g})"


def _mend(lat: float, lon: float) -> str:
    if abs(lat) > LAT_LIMIT_DEG and abs(lat) <= LON_LIMIT_DEG and abs(lon) <= LAT_LIMIT_DEG:
        return "lat and lon look swapped: exchange them, or correct the number"
    if abs(lat) <= LAT_LIMIT_DEG and abs(lon) <= 2 * LON_LIMIT_DEG:
        return "take 360 off (or add it) so that lon lies within -180 and 180"
    if max(abs(lat), abs(lon)) <= 2 * LON_LIMIT_DEG:
        return "correct the number: lat lies within -90 and 90, lon within -180 and 180"
    return (
        "give degrees in WGS 84, or a file that declares its coordinate reference system; of a"
        ' table, say crs = "EPSG:..." in a --fields file'
    )


def _number_mend(name: str, value: object) -> str:
    letter = "25 53.4 S" if name == "lat" else "131 15.2 E"
    mend = (
        f"write {name} in plain decimal degrees, south and west negative, or in degrees and minutes"
        f" with their letter: {letter}"
    )
    if isinstance(value, str) and DECIMAL_COMMA.fullmatch(value.strip()):
        return f'{mend}, with a decimal point: "{value.strip().replace(",", ".")}"'
    return mend
