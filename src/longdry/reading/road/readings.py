"""Words for a reading: what is left, and when."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence

from longdry.errors import UsageError
from longdry.model.trip.tally import LitresLeft
from longdry.model.words import Grade
from longdry.reading.files.coordinates import plain_number
from longdry.units import HOURS_PER_DAY, MINUTES_PER_HOUR

MOST_L = 1e6
MOST_DAY = 3650
_LEFT = re.compile(
    r"(?:(?P<container>.*\S)\s*=\s*)?(?P<litres>[0-9][0-9.]*)(?:\s+(?P<grade>[a-z][a-z-]*))?"
)
_DAY = re.compile(
    r"day\s+(?P<day>[0-9]{1,4})\s+(?P<hour>[0-9]{1,2}):(?P<minute>[0-9]{2})", re.IGNORECASE
)
_DRINKABLE = (Grade.POTABLE, Grade.TREAT)
_DRINKABLE_GRADES = {grade.value: grade for grade in _DRINKABLE}


def lefts_from(texts: Sequence[str], origin: str = "--left") -> tuple[LitresLeft, ...]:
    """Read what is left: LITRES, or NAME=LITRES for each container, each with a grade or without.

    Raises
    ------
    UsageError
        For anything else, for a container that is named twice, and for litres of all containers
        beside others.

    Examples
    --------
    >>> lefts_from(["jerrycan 1=20 potable"])[0].container
    'jerrycan 1'
    """
    found = tuple(_left_from(text, origin) for text in texts)
    refuse_twice(found, origin)
    return found


def refuse_twice(found: Sequence[LitresLeft], origin: str) -> None:
    """Refuse litres that would be counted twice.

    Raises
    ------
    UsageError
        A container is named twice, or litres of all containers stand beside others.
    """
    names = [one.container.casefold() for one in found]
    twice = next((one for one in found if names.count(one.container.casefold()) > 1), None)
    if twice is not None and twice.container:
        mend = "give each container once"
        raise UsageError.single(origin, "", f'"{twice.container}" is named twice', mend)
    if "" in names and len(names) > 1:
        mend = "give one number for all of them, or NAME=LITRES for each"
        raise UsageError.single(origin, "", "litres for all containers stand beside others", mend)


def _left_from(text: str, origin: str) -> LitresLeft:
    match = _LEFT.fullmatch(text.strip())
    litres = plain_number(match["litres"]) if match else None
    grade = match["grade"] if match else None
    is_known = grade is None or grade in _DRINKABLE_GRADES
    if match is None or litres is None or litres > MOST_L or not is_known:
        words = " or ".join(_DRINKABLE_GRADES)
        mend = f"write litres, as 61 or 'jerrycan 1=20', with {words} behind them where you know"
        raise UsageError.single(origin, "", f'"{text}" says no litres', mend)
    return LitresLeft(
        litres, (match["container"] or "").strip(), _DRINKABLE_GRADES[grade] if grade else None
    )


def time_from(text: str, origin: str = "--at") -> dt.datetime | float:
    """Read a local time; 'day 4 14:00' of a trip gives hours since the midnight before it.

    Raises
    ------
    UsageError
        For anything else.

    Examples
    --------
    >>> time_from("day 4 14:30")
    86.5
    """
    match = _DAY.fullmatch(text.strip())
    if match:
        day, hour, minute = int(match["day"]), int(match["hour"]), int(match["minute"])
        if 1 <= day <= MOST_DAY and hour < HOURS_PER_DAY and minute < MINUTES_PER_HOUR:
            return (day - 1) * HOURS_PER_DAY + hour + minute / MINUTES_PER_HOUR
    return local_time_from(text, origin, or_write=" or 'day 4 14:00'" if not match else "")


def local_time_from(text: str, origin: str, *, or_write: str = "") -> dt.datetime:
    """Read a local time with its date.

    Raises
    ------
    UsageError
        For anything else.
    """
    try:
        at = dt.datetime.fromisoformat(text.strip())
    except ValueError:
        at = None
    if at is None or at.tzinfo is not None or len(text.strip()) < len("2027-05-06T14:00"):
        mend = f"write the local time of the trip as 2027-05-06T14:00{or_write}"
        raise UsageError.single(origin, "", f'"{text}" is no local time', mend)
    return at
