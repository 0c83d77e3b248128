"""From one value of a feature, as a file holds it, to one value of the model.

Numbers, amounts, text, words of a list, and the months in which a source holds, as people write
them.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from enum import StrEnum
from typing import TypeVar

from longdry.plain_text import kept_lines, one_line
from longdry.reading.files.coordinates import DECIMAL_COMMA
from longdry.reading.files.json_text import strict_json
from longdry.reading.files.text import MOST_SHOWN

_Word = TypeVar("_Word", bound=StrEnum)

_NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?", re.ASCII)
_LEADING_NUMBER = re.compile(r"\s*([+-]?\d+(?:\.\d+)?)\s*[^\W\d_]", re.ASCII)
_LARGEST_AMOUNT = 1e9


class RefusedValueError(Exception):
    """A value cannot be used.

    Parameters
    ----------
    what
        What is wrong with it, with the value.
    mend
        What the user can do about it.
    """

    def __init__(self, what: str, mend: str) -> None:
        self.what = what
        self.mend = mend
        super().__init__(what)


def shown(value: object) -> str:
    """Return ``value`` as a message shows it: on one line, quoted, not too long.

    >>> shown("20 L"), shown(3.5), shown("")
    ('"20 L"', '3.5', '""')
    """
    if isinstance(value, str):
        text = one_line(value[: 4 * MOST_SHOWN])
        return f'"{_shortened(text)}"'
    if isinstance(value, int) and abs(value) >= 10**MOST_SHOWN:
        return "a number of more than 60 digits"
    if isinstance(value, dict | list):
        return f"a {'mapping' if isinstance(value, dict) else 'list'} of {len(value)}"
    return _shortened(one_line(str(value)))


def _shortened(text: str) -> str:
    return text if len(text) <= MOST_SHOWN else f"{text[: MOST_SHOWN - 3]}..."


def number_from(value: object, unit: str) -> float | None:
    """Return a finite number, or None for an empty text.

    Text is taken where it is a plain decimal number in ASCII digits.

    Raises
    ------
    RefusedValueError
        For anything else, a unit behind the number included.
    """
    if isinstance(value, float | int) and not isinstance(value, bool):
        return _finite(value, unit)
    if isinstance(value, str):
        text = value.strip()
        if not text:
            return None
        if _NUMBER.fullmatch(text):
            return _finite(float(text), unit)
        raise RefusedValueError(f"is {shown(value)}, not a number", _number_mend(text, unit))
    raise RefusedValueError(f"is {shown(value)}, not a number", f"write {unit} as a plain number")


def _finite(value: float, unit: str) -> float:
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise RefusedValueError(f"is {shown(value)}", f"write {unit} as a finite number")
    return number


def _number_mend(text: str, unit: str) -> str:
    if DECIMAL_COMMA.fullmatch(text):
        return f"write the decimal sign as a point, {shown(text.replace(',', '.'))}"
    leading = _LEADING_NUMBER.match(text)
    if leading:
        return f"write {unit} without its unit, for example {leading[1]}"
    return f"write {unit} as a plain number, or leave it out if unknown"


def amount_from(value: object, unit: str) -> float | None:
    """Return a number from zero to a thousand million, or None for an empty text.

    Raises
    ------
    RefusedValueError
        For anything else.
    """
    number = number_from(value, unit)
    if number is not None and number < 0.0:
        raise RefusedValueError(f"is {shown(value)}, below zero", f"write {unit}, 0 or more")
    if number is not None and number > _LARGEST_AMOUNT:
        raise RefusedValueError(
            f"is {shown(value)}, more than there can be",
            f"write {unit}, {_LARGEST_AMOUNT:.0f} at the most, or leave it out if unknown",
        )
    return number


def text_from(value: object) -> str:
    """Return a text on one line; a number is taken as its digits.

    Raises
    ------
    RefusedValueError
        For true, false, a list or a mapping.
    """
    if isinstance(value, str):
        return one_line(value)
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise RefusedValueError(f"is {shown(value)}, not a text", "write it as a text")
    if isinstance(value, float) and value.is_integer():
        value = int(value)
    try:
        return str(value)
    except ValueError as cause:  # Python refuses to write out more than 4300 digits
        raise RefusedValueError(f"is {shown(value)}", "write it as a text") from cause


def note_from(value: object) -> str:
    """Return a text with its line ends and tabs, without other control characters.

    Raises
    ------
    RefusedValueError
        As for ``text_from``.
    """
    if isinstance(value, str):
        return kept_lines(value)
    return text_from(value)


def word_from(value: object, words: Mapping[str, _Word]) -> _Word | None:
    """Return the word of a closed set, or None for an empty text.

    Case, outer blanks, and spaces or underscores instead of hyphens do not matter.

    Raises
    ------
    RefusedValueError
        For a word that is not in the set; its mend lists the set.
    """
    if isinstance(value, str):
        found = words.get(value)
        if found is not None:
            return found
        text = re.sub(r"[\s_]+", "-", one_line(value).lower())
        if not text:
            return None
        if text in words:
            return words[text]
    raise RefusedValueError(f"is {shown(value)}", f"write {either_of(words)}")


def either_of(words: Mapping[str, StrEnum]) -> str:
    """Return the words in a row: 'a, b or c'."""
    *most, last = words
    return f"{', '.join(most)} or {last}"


def json_list_from(value: object) -> list[object] | None:
    """Return a list, which may be written as JSON text; None for an empty text.

    Raises
    ------
    RefusedValueError
        For anything else.
    """
    if isinstance(value, list):
        return value
    if isinstance(value, str):
        if not value.strip():
            return None
        try:
            parsed = strict_json(value)
        except (ValueError, RecursionError):
            parsed = None
        if isinstance(parsed, list):
            return parsed
    raise RefusedValueError(f"is {shown(value)}, not a list", "write a JSON list: [...]")


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
