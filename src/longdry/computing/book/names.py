"""What is made sure of before sources go into the book: names, ids and dates of visits.

Two names may mean one place; a place without an id is given one; visits dated after today cannot
have been.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import re
import unicodedata
from collections.abc import Container, Sequence
from difflib import SequenceMatcher

from longdry.model.water.book import BroughtSource

_WORD = re.compile(r"\w+")
_NOT_IN_ID = re.compile(r"[^a-z0-9]+")
_ALIKE_FROM = 0.8
"""Share of common letters, in the words that differ, from which it may be a slip of spelling."""
_LONGEST_ID = 40


def names_alike(one: str, other: str) -> bool:
    """Whether two names may be one: one holds the words of the other, or they differ by a slip.

    Case, accents and punctuation do not matter; an empty name speaks against nothing.

    >>> names_alike("Old Bore", "old bore (N)"), names_alike("Miller Tank", "Millers Tank")
    (True, True)
    >>> names_alike("Old Bore", "Fork Well"), names_alike("", "Fork Well")
    (False, True)
    >>> names_alike("Windmill 4", "Windmill 7")
    False
    """
    words, other_words = _words(one), _words(other)
    only_one = [word for word in words if word not in other_words]
    only_other = [word for word in other_words if word not in words]
    if not only_one or not only_other:
        return True
    letters = SequenceMatcher(None, " ".join(only_one), " ".join(only_other))
    return letters.ratio() >= _ALIKE_FROM


def _words(name: str) -> list[str]:
    return _WORD.findall(_without_accents(name).casefold())


def _without_accents(text: str) -> str:
    parts = unicodedata.normalize("NFKD", text)
    return "".join(part for part in parts if not unicodedata.combining(part))


def id_from_name(name: str, taken: Container[str]) -> str:
    """Return an id in plain letters that nobody has yet.

    >>> id_from_name("Böhm's Bore", ()), id_from_name("Fork", {"fork"}), id_from_name("水", ())
    ('bohm-s-bore', 'fork-2', 'source')
    """
    plain = _NOT_IN_ID.sub("-", _without_accents(name).lower()).strip("-")
    stem = plain[:_LONGEST_ID].strip("-") or "source"
    wanted, number = stem, 1
    while wanted in taken:
        number += 1
        wanted = f"{stem}-{number}"
    return wanted


MOST_NAMES = 10


def without_future_visits(
    sources: Sequence[BroughtSource], latest: dt.date
) -> tuple[tuple[BroughtSource, ...], tuple[str, ...]]:
    """Leave out the visits dated after ``latest``, and say so in one sentence.

    >>> without_future_visits([], dt.date(2027, 5, 3))
    ((), ())
    """
    kept = tuple(_without_visits_after(one, latest) for one in sources)
    names = [
        f"{before.source.name} ({max(visit.on for visit in before.source.visits).isoformat()})"
        for before, after in zip(sources, kept, strict=True)
        if after is not before
    ]
    if not names:
        return kept, ()
    more = f" and {len(names) - MOST_NAMES} more" if len(names) > MOST_NAMES else ""
    notes = ", ".join(names[:MOST_NAMES])
    return kept, (
        f"Visits that are still to come were left out, check their dates: {notes}{more}.",
    )


def _without_visits_after(one: BroughtSource, latest: dt.date) -> BroughtSource:
    visits = tuple(visit for visit in one.source.visits if visit.on <= latest)
    if len(visits) == len(one.source.visits):
        return one
    return dataclasses.replace(one, source=dataclasses.replace(one.source, visits=visits))
