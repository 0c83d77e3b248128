"""The months in which a source holds, as people write them."""

from __future__ import annotations

import re

from longdry.reading.field_values import RefusedValueError, shown

_NAMES = (
    "january", "february", "march", "april", "may", "june",
    "july", "august", "september", "october", "november", "december",
)  # fmt: skip
_MONTH_OF = {str(month): month for month in range(1, 13)}
_MONTH_OF |= {f"0{month}": month for month in range(1, 10)}
_MONTH_OF |= {name: month for month, name in enumerate(_NAMES, start=1)}
_MONTH_OF |= {name[:3]: month for month, name in enumerate(_NAMES, start=1)}
_MONTH_OF["sept"] = 9
_DASHES = re.compile(r"\s*(?:[-–—]|\bto\b)\s*")
_MEND = 'write months 1 to 12: [4, 5, 6], "4-9", "4, 5, 6" or "Apr-Sep"'


def months_from(value: object) -> frozenset[int] | None:
    """Return months 1 to 12; None for an empty text.

    A list of numbers, one number, or text: numbers, English names or their first three
    letters, apart by commas, semicolons or blanks, or spans with a hyphen. A span may run over
    the turn of the year.

    Raises
    ------
    RefusedValueError
        For anything else, an empty list included.

    Examples
    --------
    >>> sorted(months_from("Nov-Feb")), sorted(months_from([4, 5])), months_from("")
    ([1, 2, 11, 12], [4, 5], None)
    """
    if isinstance(value, str):
        text = value.strip().removeprefix("[").removesuffix("]").strip().lower()
        if not value.strip():
            return None
        parts = [part for part in re.split(r"[,;\s]+", _DASHES.sub("-", text)) if part]
        months = [month for part in parts for month in _span(part, value)]
    elif isinstance(value, list):
        months = [_month(item, value) for item in value]
    else:
        months = [_month(value, value)]
    if not months:
        raise RefusedValueError(f"is {shown(value)}, no month at all", _MEND)
    return frozenset(months)


def _span(part: str, whole: str) -> list[int]:
    first, dash, last = part.partition("-")
    begin = _named(first, whole)
    if not dash:
        return [begin]
    end = _named(last, whole)
    return [(begin - 1 + step) % 12 + 1 for step in range((end - begin) % 12 + 1)]


def _named(word: str, whole: str) -> int:
    month = _MONTH_OF.get(word.strip("\"'."))
    if month is None:
        raise RefusedValueError(f"is {shown(whole)}, where {shown(word)} is no month", _MEND)
    return month


def _month(item: object, whole: object) -> int:
    if isinstance(item, str):
        return _named(item.strip().lower(), item)
    if isinstance(item, bool) or not isinstance(item, int | float) or item not in range(1, 13):
        raise RefusedValueError(f"is {shown(whole)}, where {shown(item)} is no month", _MEND)
    return int(item)
