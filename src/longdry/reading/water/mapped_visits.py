"""A visit out of two columns: what somebody found, and on which day."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable, Mapping

from longdry.plain_text import one_line

_ISO = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:$|[T ])", re.ASCII)
_NUMBERS = re.compile(r"(\d{1,2})[-/. ](\d{1,2})[-/. ](\d{4})(?:$|[T ,])", re.ASCII)
_IN_WORDS = ("%d %B %Y", "%d %b %Y", "%B %d %Y", "%b %d %Y", "%d-%b-%Y", "%d-%b-%y")
_NO_WATER = ("dry", "unreachable")


def mapped_visit(found: object, on: object, words: Mapping[str, str]) -> dict[str, object]:
    """Return what two cells tell, in our properties; empty where they tell nothing.

    Without a day there is no visit. One that found no water then makes the source doubtful: nobody
    knows how long ago it was. Of two days that ``3/5/2024`` may mean, water is taken as found on
    the earlier and none on the later.

    >>> mapped_visit("Dry", "2024-05-03", {"dry": "dry"})["visits"]
    [{'on': '2024-05-03', 'found': 'dry', 'note': 'Dry'}]
    >>> mapped_visit("Dry", "", {"dry": "dry"}), mapped_visit("Full", "", {"full": "flowing"})
    ({'certainty': 'doubtful'}, {})
    """
    word = one_line(str(found)) if found is not None else ""
    ours = words.get(word.lower(), word.lower() if word.lower() in _OURS else "")
    if not ours:
        return {}
    days = days_meant(on)
    if not days:
        return {"certainty": "doubtful"} if ours in _NO_WATER else {}
    day = max(days) if ours in _NO_WATER else min(days)
    return {"visits": [{"on": day.isoformat(), "found": ours, "note": word}]}


_OURS = ("flowing", "low", *_NO_WATER)


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
