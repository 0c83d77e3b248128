"""Names and sentences as they stand on paper."""

from __future__ import annotations

from collections.abc import Iterable

from longdry.plain_text import printable
from longdry.showing.words.markup import Markup, joined, name_tag, tag
from longdry.showing.words.stops import Named

_LONGEST = 45


def shortened(name: str) -> str:
    """Return a name as it stands on paper.

    >>> shortened("North Well"), shortened(" "), len(shortened("W" * 10_000))
    ('North Well', '(no name)', 46)
    """
    shown = printable(name) or "(no name)"
    return shown if len(shown) <= _LONGEST else f"{shown[:_LONGEST]}…"


def on_paper(name: str) -> Markup:
    """Mark up a name, shortened, kept apart from the direction of the text around it."""
    return name_tag(shortened(name))


def sentence(parts: Iterable[str]) -> Markup:
    """Join parts of a sentence; those that are names from a file are marked up as such."""
    return joined(on_paper(part) if isinstance(part, Named) else part for part in parts)


def blank(css: str = "") -> Markup:
    """Leave room to write by hand."""
    return tag("span", {"class": f"blank {css}".strip(), "aria-hidden": "true"})
