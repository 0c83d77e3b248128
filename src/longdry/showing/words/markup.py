"""HTML and SVG out of plain values: text is text, only what this file builds is markup."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from html import escape

from longdry.plain_text import printable

LONGEST_NAME = 90
"""Characters of a name that are shown; its full length is told where it is longer."""

LONGEST_TEXT = 600
_LONGEST_WORD = 90
_RIGHT_TO_LEFT = "[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufefc]+"
_NAMES_FROM_THE_RIGHT = re.compile(
    rf'(["\'«]?{_RIGHT_TO_LEFT}(?:[ "\'-]+{_RIGHT_TO_LEFT})*["\'»]?)'
)
_VOID = {"meta", "link", "br", "input", "img"}


class Markup(str):
    """Text that already is HTML or SVG."""

    __slots__ = ()


Attributes = Mapping[str, str | int | float]


def clipped_text(text: str) -> str:
    """Return sentences that may hold names as they are shown; what is very long is cut.

    >>> clipped_text("The well is dry.")
    'The well is dry.'
    """
    shown = printable(text)
    if len(shown) <= _LONGEST_WORD:
        return shown
    words = [
        word if len(word) <= _LONGEST_WORD else f"{word[:_LONGEST_WORD]}…"
        for word in shown.split(" ")
    ]
    shown = " ".join(words)
    return shown if len(shown) <= LONGEST_TEXT else f"{shown[:LONGEST_TEXT]}… (cut)"


def clipped_name(name: str) -> str:
    """Return a name from a file as it is shown to people; a very long one is cut and says so.

    >>> clipped_name("North Well"), clipped_name(" ")
    ('North Well', '(no name)')
    """
    shown = printable(name)
    if not shown:
        return "(no name)"
    if len(shown) <= LONGEST_NAME:
        return shown
    return f"{shown[:LONGEST_NAME]}… (cut: {len(shown):,} characters)"


def tag(name: str, attributes: Attributes | None = None, *children: str) -> Markup:
    """Build one element; children that are not ``Markup`` are escaped.

    >>> tag("p", {"class": "note"}, "1 < 2")
    '<p class="note">1 &lt; 2</p>'
    """
    opening = name
    if attributes:
        opening += "".join([f' {key}="{escape(str(value))}"' for key, value in attributes.items()])
    if name in _VOID:
        return Markup(f"<{opening}>")
    return Markup(f"<{opening}>{_escaped(children)}</{name}>")


def joined(parts: Iterable[str]) -> Markup:
    """Join parts into one piece of markup; those that are text are escaped."""
    return Markup(_escaped(parts))


def _escaped(parts: Iterable[str]) -> str:
    return "".join([part if isinstance(part, Markup) else escape(part) for part in parts])


def name_tag(name: str) -> Markup:
    """Mark up a name from a file, kept apart from the direction of the text around it."""
    return Markup(f'<bdi class="name">{escape(clipped_name(name))}</bdi>')


def runs_from_the_right(text: str) -> bool:
    """Whether any word of it is written from the right.

    >>> runs_from_the_right("North Well"), runs_from_the_right("\u05d1\u05d0\u05e8 4")
    (False, True)
    """
    return _NAMES_FROM_THE_RIGHT.search(text) is not None


def sentence_tag(text: str) -> Markup:
    """Mark up a sentence of ours: it runs from the left whatever name it begins with or holds.

    Words that run from the right stand apart from the figures beside them.

    >>> str(sentence_tag("Take 5 L."))
    '<bdi dir="ltr">Take 5 L.</bdi>'
    """
    parts = _NAMES_FROM_THE_RIGHT.split(text)
    names = (tag("bdi", None, part) if number % 2 else part for number, part in enumerate(parts))
    return tag("bdi", {"dir": "ltr"}, *names)
