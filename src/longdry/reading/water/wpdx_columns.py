"""Columns of the Water Point Data Exchange, read so that nothing sounds better than it is.

Columns: WPDx data standard; list from memory: ``#lat_deg``, ``#lon_deg``, ``#report_date``,
``#status_id`` (Yes, No, Unknown), ``#water_source``, ``#water_tech``, ``#source``.
A point that works says nothing of its water's quality, and its report is nobody's visit of the
party: it is only noted. One reported as not working counts as a visit that had no water.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping

from longdry.plain_text import one_line
from longdry.reading.water.source import DBASE_LETTERS, field_of

_COLUMNS = (
    "#status_id", "#status", "#water_source", "#water_tech", "#report_date", "#source", "#wpdx_id",
    "#lat_deg", "#lon_deg",
)  # fmt: skip
_MARKS = {"#status_id", "#water_source", "#water_tech", "#report_date"}
_LEAST_BARE_MARKS = 2
"""Columns without their sign, as some formats write them, that make a table WPDx."""
_KIND_BY_WORD = (
    ("borehole", "bore"), ("tube well", "bore"), ("tubewell", "bore"), ("spring", "spring"),
    ("well", "well"), ("rain", "tank"), ("tank", "tank"), ("piped", "tap"), ("tap", "tap"),
    ("stand", "tap"), ("kiosk", "tap"), ("sand", "dam"), ("surface", "creek"), ("river", "creek"),
    ("stream", "creek"), ("dam", "dam"), ("pond", "dam"),
)  # fmt: skip
"""The first word that is found in the water source tells the kind."""
_ISO_DAY = re.compile(r"(\d{4}-\d{2}-\d{2})(?:$|[T ])", re.ASCII)
_US_DAY = re.compile(r"(\d{1,2})/(\d{1,2})/(\d{4})(?:$| )", re.ASCII)
_WORKS = {"yes": "working", "no": "not working"}


def is_wpdx(properties: Mapping[str, object]) -> bool:
    """Whether the columns are those of WPDx.

    >>> is_wpdx({"#status_id": "Yes"}), is_wpdx({"status": "Yes"})
    (True, False)
    """
    names = {key.strip().lower() for key in properties}
    signed = {whole for name in names if name[:1] in "#_" and (whole := _whole(name))}
    bare = {whole for name in names if (whole := _whole(f"#{name}"))}
    return bool(signed & _MARKS) or len(bare & _MARKS) >= _LEAST_BARE_MARKS


def _whole(name: str) -> str:
    """Return the WPDx column that a name means, whole where a Shapefile cut it; or nothing."""
    plain = f"#{name.strip().lower().lstrip('#_')}"
    if plain in _COLUMNS:
        return plain
    cut = [one for one in _COLUMNS if len(name) == DBASE_LETTERS and one.startswith(plain)]
    return cut[0] if cut else ""


def our_properties(properties: Mapping[str, object]) -> dict[str, object]:
    """Return the row in our words, and its columns beside them.

    >>> row = {"#status_id": "No", "#report_date": "2024-03-01", "#water_source": "Borehole"}
    >>> our_properties(row)["visits"]
    [{'on': '2024-03-01', 'found': 'unreachable', 'note': 'not working (WPDx)'}]
    """
    row = {
        _whole(key) or key.lower(): one_line(str(value))
        for key, value in properties.items()
        if value is not None
    }
    status = _WORKS.get(row.get("#status_id", "").lower())
    day = _day(row.get("#report_date", ""))
    facts: dict[str, object] = {
        "id": _id(row),
        "kind": _kind(row.get("#water_source", "").lower()),
        "access": row.get("#water_tech"),
        "note": _note(row, status, day),
    }
    if status == "not working" and day:
        note = "not working (WPDx)"
        facts["visits"] = [{"on": day, "found": "unreachable", "note": note}]
    elif status == "not working":
        facts["certainty"] = "doubtful"
    told = {name: value for name, value in facts.items() if value} | {"own": False}
    return told | {_kept_name(key): value for key, value in properties.items()}


def _kept_name(key: str) -> str:
    return f"wpdx:{key}" if field_of(key) else key


def _kind(words: str) -> str | None:
    return next((kind for word, kind in _KIND_BY_WORD if word in words), None)


def _day(text: str) -> str | None:
    """Return the day as year-month-day; None for what is no day of the calendar."""
    day = _written_day(text)
    try:
        return day and dt.date.fromisoformat(day).isoformat()
    except ValueError:
        return None


def _written_day(text: str) -> str | None:
    if iso := _ISO_DAY.match(text):
        return iso[1]
    if us := _US_DAY.match(text):
        return f"{us[3]}-{int(us[1]):02}-{int(us[2]):02}"
    return None


def _note(row: Mapping[str, str], status: str | None, day: str | None) -> str:
    parts = [row.get("#water_source", "")]
    if status:
        parts.append(f"reported {status}{f' on {day}' if day else ', no date'} (WPDx)")
    if source := row.get("#source"):
        parts.append(f"report by {source}")
    return "; ".join(part for part in parts if part)


def _id(row: Mapping[str, str]) -> str | None:
    number = row.get("wpdx_id") or row.get("#wpdx_id") or row.get("row_id")
    return f"wpdx:{number}" if number else None
