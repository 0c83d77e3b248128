"""Small pieces that the sections of the page share."""

from __future__ import annotations

from collections.abc import Iterable

from longdry.showing.words.markup import Markup, joined, name_tag, tag
from longdry.showing.words.stops import Named


def sentence(parts: Iterable[str]) -> Markup:
    """Join parts of a sentence; names from a file are kept apart from the text around them."""
    return joined(name_tag(part) if isinstance(part, Named) else part for part in parts)


def fold(id_: str, head: str, about: str, *inside: str) -> Markup:
    """Build a part that opens."""
    small = [" ", tag("span", None, about)] if about else []
    summary = tag("summary", None, tag("h3", {"id": f"{id_}-heading"}, head), *small)
    return tag("details", {"id": id_, "class": "fold"}, summary, tag("div", None, *inside))


def to_map(kind: str, number: int, label: str) -> Markup:
    """Build the button that shows a stop or a stretch on the map."""
    return tag(
        "button",
        {"type": "button", "class": "to-map", f"data-{kind}": number,
         "aria-label": f"Show {label} on the map"},
        "on map",
    )  # fmt: skip
