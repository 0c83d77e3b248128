"""How wide words come out on paper, estimated for a wide sans-serif font."""

from __future__ import annotations

import unicodedata
from functools import lru_cache

_NARROW = frozenset("ijlI.,;:'|!()[]ft-r/ ")
_WIDE = frozenset("mwMW@%…—")
_NARROW_EM, _COMMON_EM, _CAPITAL_EM, _WIDE_EM = 0.36, 0.615, 0.7, 1.0
_BOLD = 1.1


def lines_taken(words: str, room_em: float, *, bold: bool = False) -> int:
    """Return how many lines words take in a column.

    Parameters
    ----------
    room_em
        Width of the column in units of the size of type.

    Examples
    --------
    >>> lines_taken("", 10.0), lines_taken("two words", 20.0), lines_taken("two words", 4.0)
    (1, 1, 2)
    >>> lines_taken("W" * 25, 10.0)
    3
    """
    times = _BOLD if bold else 1.0
    lines, used = 1, 0.0
    for word in words.split(" "):
        width = _word_em(word) * times
        space = _NARROW_EM * times if used else 0.0
        if used + space + width <= room_em:
            used += space + width
            continue
        lines += 1 if used else 0
        broken = int(width // room_em)
        lines += broken
        used = width - broken * room_em
    return lines


@lru_cache(maxsize=2048)
def _word_em(word: str) -> float:
    return sum(map(_width_em, word))


def _width_em(character: str) -> float:
    if character in _NARROW:
        return _NARROW_EM
    if character in _WIDE or unicodedata.east_asian_width(character) in "WF":
        return _WIDE_EM
    return _CAPITAL_EM if character.isupper() else _COMMON_EM
