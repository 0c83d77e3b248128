r"""Text from outside made harmless: no controls, no hidden line ends, no turned directions.

Names come from strangers' files and end on terminals, in messages, on pages and in other people's
files. What no line may hold is told once, here; there are three treatments: taken out where text
is read, blanked where it is shown, escaped in messages, where the user must be able to see it.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence

BYTE_ORDER_MARK = "\ufeff"
"""Tells a spreadsheet that a table is UTF-8; an editor may leave one at the head of a file."""
REFUSED_RANGES = ((0x00, 0x1F), (0x7F, 0x9F), (0x2028, 0x202E), (0x2066, 0x2069))
"""Control characters, line and paragraph ends; embeddings, overrides and isolates of direction
(Unicode Standard Annex 9): no name turns other text round."""
_SURROGATES = "\ud800-\udfff"
"""Halves of letters that no encoding can write."""
_REFUSED = "".join(f"{chr(first)}-{chr(last)}" for first, last in REFUSED_RANGES) + _SURROGATES
_NOT_IN_A_LINE = re.compile(f"[{_REFUSED}]")
_LINE_WHITE = re.compile("[\t\n\v\f\r\u2028\u2029]+")
_NOT_IN_LINES = re.compile(f"(?![\t\n\r\u2028\u2029])[{_REFUSED}]")
_TURNS_DIRECTION = re.compile("[\u202a-\u202e\u2066-\u2069]")
_BLANKED = {"Cc", "Cs", "Co", "Cn", "Zl", "Zp"}
"""Unicode categories: controls, half letters, letters of no known shape, line ends."""


MOST_LISTED = 10
"""Names that a sentence lists where nothing else is said; the rest are counted."""


def listed(words: Sequence[str], most: int = MOST_LISTED, *, between: str = ", ") -> str:
    """Return words in a row, the first of them where they are many, the rest counted.

    >>> listed([]), listed(["a", "b"]), listed(["a", "b", "c"], 2)
    ('', 'a, b', 'a, b and 1 more')
    """
    row, left = between.join(words[:most]), len(words) - most
    return f"{row} and {left} more" if left > 0 else row


def has_controls(text: str) -> bool:
    r"""Whether the text holds what no line may hold.

    >>> has_controls("Old Bore"), has_controls("Old\tBore")
    (False, True)
    """
    return not text.isprintable() and _NOT_IN_A_LINE.search(text) is not None


def one_line(text: str) -> str:
    r"""Return ``text`` on one line: line ends and tabs become a space, other controls go.

    >>> one_line("Old\tBore\x07 ")
    'Old Bore'
    """
    if not has_controls(text):
        return text.strip()
    return _NOT_IN_A_LINE.sub("", _LINE_WHITE.sub(" ", text)).strip()


def kept_lines(text: str) -> str:
    r"""Return ``text`` with its line ends and tabs, without other controls.

    >>> kept_lines("ask first\ndogs\x07")
    'ask first\ndogs'
    """
    return _NOT_IN_LINES.sub("", text).strip()


def printable(text: str) -> str:
    r"""Return ``text`` on one line, a blank for what cannot be printed, runs of blanks as one.

    >>> printable("North\nWell" + chr(0))
    'North Well'
    """
    if text.isascii() and text.isprintable():
        return " ".join(text.split())
    straight = _TURNS_DIRECTION.sub("", text)
    shown = "".join(" " if unicodedata.category(c) in _BLANKED else c for c in straight)
    return re.sub(r"\s+", " ", shown).strip()


def steady(text: str) -> str:
    r"""Return ``text`` for a terminal, a blank for each letter that could steer it.

    Marks that nobody sees go too: some terminals turn the direction of reading by them.

    >>> steady("North\x1bWell")
    'North Well'
    """
    if text.isprintable():
        return text
    return "".join(" " if unicodedata.category(c).startswith("C") else c for c in text)


def escaped(text: str) -> str:
    r"""Return lines of text in which all that is not printable stands as its escape.

    >>> escaped("no file a\x1b[2J")
    'no file a\\x1b[2J'
    """
    if text.isprintable():
        return text
    return "".join(
        letter
        if letter.isprintable() or letter == "\n"
        else letter.encode("unicode_escape").decode("ascii")
        for letter in text
    )
