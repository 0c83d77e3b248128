"""Whether two names may mean one place, and what a place without an id is called."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Container, Iterable
from difflib import SequenceMatcher, get_close_matches

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


def nearest_name(wanted: str, known: Iterable[str]) -> str | None:
    """Return the known name that is written most like the wanted one, None where none is.

    >>> nearest_name("Spead_kmh", ["speed_kmh", "travel"]), nearest_name("fork wel", ["Fork Well"])
    ('speed_kmh', 'Fork Well')
    >>> nearest_name("xyz", ["travel"])
    """
    names = {name.casefold(): name for name in known}
    close = get_close_matches(wanted.casefold(), names, n=1)
    return names[close[0]] if close else None


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
