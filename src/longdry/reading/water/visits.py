"""What a feature tells of visits to its source."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Iterable, Mapping
from typing import TypeVar

from longdry.model.water.source import Found, Visit
from longdry.model.words import Certainty, Grade
from longdry.plain_text import one_line
from longdry.reading.water.values import (
    RefusedValueError,
    amount_from,
    json_list_from,
    note_from,
    shown,
    word_from,
)

_Value = TypeVar("_Value")

GRADES = {grade.value: grade for grade in Grade}
CERTAINTIES = {certainty.value: certainty for certainty in Certainty}
FOUND = {found.value: found for found in Found}

_DAY = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)
_ISO = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:$|[T ])", re.ASCII)
_NUMBERS = re.compile(r"(\d{1,2})[-/. ](\d{1,2})[-/. ](\d{4})(?:$|[T ,])", re.ASCII)
_IN_WORDS = ("%d %B %Y", "%d %b %Y", "%B %d %Y", "%b %d %Y", "%d-%b-%Y", "%d-%b-%y")
_DAY_MEND = "write the day of the visit as year-month-day, for example 2027-05-03"


def visits_from(value: object) -> tuple[Visit, ...]:
    """Return the visits in the order of the file.

    Parameters
    ----------
    value
        A list of mappings with ``on`` and ``found`` and, where known, ``litres``, ``grade``,
        ``tds_mg_per_l`` and ``note``; or the same as JSON text.

    Raises
    ------
    RefusedValueError
        For the first visit that cannot be used; its place in the list is told.
    """
    items = json_list_from(value) or []
    return tuple(_visit_at(number, item) for number, item in enumerate(items, start=1))


def _visit_at(number: int, item: object) -> Visit:
    if not isinstance(item, Mapping):
        raise RefusedValueError(
            f"hold {shown(item)} as visit {number}",
            'write each visit as {"on": "2027-05-03", "found": "flowing"}',
        )
    try:
        return visit_from(item)
    except RefusedValueError as refused:
        raise RefusedValueError(f"hold visit {number} whose {refused.what}", refused.mend) from None


def visit_from(item: Mapping[str, object]) -> Visit:
    """Return one visit.

    Raises
    ------
    RefusedValueError
        With the field in its text: 'found is "wet"'.
    """
    found = _field(item, "found", lambda value: word_from(value, FOUND))
    if found is None:
        raise RefusedValueError("found is missing", f"write one of {', '.join(FOUND)}")
    return Visit(
        on=day_from(item.get("on")),
        found=found,
        litres=_field(item, "litres", lambda value: amount_from(value, "litres")),
        grade=_field(item, "grade", lambda value: word_from(value, GRADES)),
        tds_mg_per_l=_field(item, "tds_mg_per_l", lambda value: amount_from(value, "mg/l")),
        note=_field(item, "note", note_from) or "",
        brought_from=_field(item, "brought_from", note_from) or "",
    )


def day_from(value: object) -> dt.date:
    """Return a calendar day.

    Raises
    ------
    RefusedValueError
        For anything but year-month-day, and for a day that does not exist.
    """
    if isinstance(value, dt.date) and not isinstance(value, dt.datetime):
        return value
    if value is None or value == "":
        raise RefusedValueError("on is missing", _DAY_MEND)
    if isinstance(value, str) and _DAY.fullmatch(value.strip()):
        try:
            return dt.date.fromisoformat(value.strip())
        except ValueError:
            raise RefusedValueError(f"on is {shown(value)}, no day", _DAY_MEND) from None
    raise RefusedValueError(f"on is {shown(value)}", _DAY_MEND)


def _field(
    item: Mapping[str, object], name: str, reader: Callable[[object], _Value]
) -> _Value | None:
    value = item.get(name)
    if value is None:
        return None
    try:
        return reader(value)
    except RefusedValueError as refused:
        raise RefusedValueError(f"{name} {refused.what}", refused.mend) from None


def days_meant(written: object) -> list[dt.date]:
    """Return the days that a cell may mean; empty where it tells none.

    >>> [day.isoformat() for day in days_meant("3/5/2024")], days_meant("May 2024")
    (['2024-05-03', '2024-03-05'], [])
    """
    if isinstance(written, dt.date):
        return [written if type(written) is dt.date else dt.date(*written.timetuple()[:3])]
    text = one_line(str(written)) if written is not None else ""
    if iso := _ISO.match(text):
        return _days([(int(iso[1]), int(iso[2]), int(iso[3]))])
    if numbers := _NUMBERS.match(text):
        first, second, year = map(int, numbers.groups())
        return _days(dict.fromkeys([(year, second, first), (year, first, second)]))
    return _in_words(text.replace(",", " "))


def _days(parts: Iterable[tuple[int, int, int]]) -> list[dt.date]:
    days = []
    for year, month, day in parts:
        try:
            days.append(dt.date(year, month, day))
        except ValueError:
            continue
    return days


def _in_words(text: str) -> list[dt.date]:
    plain = " ".join(text.split())
    for form in _IN_WORDS:
        try:
            return [dt.datetime.strptime(plain, form).replace(tzinfo=dt.UTC).date()]
        except ValueError:
            continue
    return []
