"""Names and sentences as they stand on paper."""

from __future__ import annotations

from collections.abc import Iterable

from longdry.plain_text import printable
from longdry.showing.words.amounts import count_words
from longdry.showing.words.markup import Markup, clipped_text, joined, name_tag, tag
from longdry.showing.words.stops import Named
from longdry.units import HOURS_PER_DAY

_LONGEST = 45


def paper_name(name: str) -> str:
    """Return a name as it stands on paper.

    >>> paper_name("North Well"), paper_name(" "), len(paper_name("W" * 10_000))
    ('North Well', '(no name)', 46)
    """
    shown = printable(name) or "(no name)"
    return shown if len(shown) <= _LONGEST else f"{shown[:_LONGEST]}…"


def on_paper(name: str) -> Markup:
    """Mark up a name, shortened, kept apart from the direction of the text around it."""
    return name_tag(paper_name(name))


def whole(text: str) -> Markup:
    """Mark up words from a file that must not lose their end: whom to ring, which tool to bring."""
    return tag("bdi", {"class": "name"}, clipped_text(text))


def check_in_words(days: float | None) -> Markup:
    """Tell how often the party calls; room to write where the trip does not say.

    >>> str(check_in_words(1.0)), str(check_in_words(0.5)), str(check_in_words(2.0))
    ('every day', 'every 12 hours', 'every 2 days')
    """
    if not days:
        return blank()
    if days == 1.0:
        return Markup("every day")
    if days < 1.0:
        return Markup(f"every {count_words(round(days * HOURS_PER_DAY, 1), 'hour')}")
    return Markup(f"every {count_words(days, 'day')}")


def paper_sentence(parts: Iterable[str]) -> Markup:
    """Join parts of a sentence; those that are names from a file are marked up as such."""
    return joined(on_paper(part) if isinstance(part, Named) else part for part in parts)


def print_button(part: str, words: str) -> Markup:
    """Build a button that prints the sheet, the papers or both, and nothing else."""
    return tag("button", {"type": "button", "data-print": part, "class": "needs-script"}, words)


def blank(css: str = "") -> Markup:
    """Leave room to write by hand."""
    return tag("span", {"class": f"blank {css}".strip(), "aria-hidden": "true"})
