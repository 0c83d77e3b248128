"""Whether two names may mean one place, and what a place without an id is called."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Container
from difflib import SequenceMatcher

_WORD = re.compile(r"\w+")
_NOT_IN_ID = re.compile(r"[^a-z0-9]+")
_LIKE_FROM = 0.8
"""Share of letters in common from which a spelling is taken as another of the same name."""
_LONGEST_ID = 40


def names_alike(one: str, other: str) -> bool:
    """Whether two names may be one: same words, one within the other, or nearly the same letters.

    Case, accents and punctuation do not matter; an empty name speaks against nothing.

    >>> names_alike("Old Bore", "old bore (N)"), names_alike("Miller Tank", "Millers Tank")
    (True, True)
    >>> names_alike("Old Bore", "Fork Well"), names_alike("", "Fork Well")
    (False, True)
    """
    words, other_words = _words(one), _words(other)
    if set(words) <= set(other_words) or set(other_words) <= set(words):
        return True
    return SequenceMatcher(None, " ".join(words), " ".join(other_words)).ratio() >= _LIKE_FROM


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
