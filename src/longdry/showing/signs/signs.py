"""Signs of the map, never by colour alone: a shape for the grade of water, a dash for a verdict.

Hue says the verdict and nothing else; it stands in the style sheet. Here are shapes and patterns.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from longdry.model.water.passes import WaterPass
from longdry.model.water.source import WaterSource
from longdry.model.words import Certainty, Grade, Verdict
from longdry.showing.words.markup import Attributes, Markup, tag


@dataclass(frozen=True, slots=True)
class LineSign:
    """How the route is drawn under a verdict."""

    css: str
    width_px: float
    dash: str
    """SVG dash array; empty for a full line."""


LINE_SIGNS = {
    Verdict.CLEAR: LineSign("clear", 3.0, ""),
    Verdict.INTO_RESERVE: LineSign("into-reserve", 4.5, "14 5"),
    Verdict.SHORT_RATION: LineSign("short-ration", 6.0, "7 5"),
    Verdict.TOO_LONG: LineSign("too-long", 8.0, "2.5 4"),
    Verdict.NO_CONTAINERS: LineSign("no-containers", 4.0, "1 6"),
}
"""Worse is wider and more broken."""

_RING = Markup('<circle class="face" cx="12" cy="12" r="8"/>')
_GRADE_DRAWINGS = {
    Grade.POTABLE: Markup('<circle class="face full" cx="12" cy="12" r="8"/>'),
    Grade.TREAT: Markup(f'{_RING}<path class="half" d="M4 12a8 8 0 0 0 16 0z"/>'),
    Grade.NOT_FOR_DRINKING: _RING,
}
"""Full: to drink; half full: treat first; empty: not for drinking."""
_NO_WATER = Markup('<path class="half" d="M9 9h6v6h-6z"/>')
"""The start or the end where there is none."""
CAMP_OUTLINE = "M1 13A7 8 0 0 1 15 13Z"
"""A dome."""
ARROW_OUTLINE = "M8 2 13 14H3Z"
"""Points up; turned in the direction of travel."""
TURN_OUTLINE = "M3 15V10A4.5 4.5 0 0 1 12 10V13M8.5 10.5 12 14.5 15.5 10.5"
"""A way that bends round."""
WAIT_OUTLINE = "M3 1.5H13L8 8L13 14.5H3L8 8Z"
"""A sand-glass."""


def verdict_class(verdict: Verdict) -> str:
    """Return the word that the style sheet has for a verdict."""
    return LINE_SIGNS[verdict].css


def grade_class(grade: Grade | None) -> str:
    """Return the word that the style sheet has for a grade; unknown is the worst."""
    return str(grade or Grade.NOT_FOR_DRINKING)


def sign_certainty(source: WaterSource, passes: Iterable[WaterPass]) -> Certainty | None:
    """Return the least sure of what is judged for the passes of a source, else its own word."""
    order = (Certainty.DOUBTFUL, Certainty.LIKELY, Certainty.CERTAIN)
    judged = [p.judgement.certainty for p in passes if p.source.id == source.id]
    return min(judged, key=order.index) if judged else source.certainty


def water_drawing(grade: Grade | None) -> Markup:
    """Circle of the grade in a box of 24 by 24, to be put into any SVG."""
    return _GRADE_DRAWINGS[grade or Grade.NOT_FOR_DRINKING]


def water_sign_svg(grade: Grade | None, css: str = "") -> Markup:
    """Build the sign of a source beside words that say the same; a square where there is none."""
    given: Attributes = {
        "class": f"water-sign {css}".strip(),
        "viewBox": "0 0 24 24",
        "width": 24,
        "height": 24,
        "aria-hidden": "true",
    }
    return tag("svg", given, _NO_WATER if grade is None else water_drawing(grade))


def camp_sign_svg() -> Markup:
    """Build the sign of a camp, as the map draws it."""
    given: Attributes = {
        "class": "camp-sign",
        "viewBox": "0 0 16 16",
        "width": 16,
        "height": 16,
        "aria-hidden": "true",
    }
    return tag("svg", given, tag("path", {"d": CAMP_OUTLINE}))


def place_sign_svg(outline: str) -> Markup:
    """Build the sign of a place where something about the party changes."""
    given: Attributes = {
        "class": "place-sign",
        "viewBox": "0 0 16 16",
        "width": 16,
        "height": 16,
        "aria-hidden": "true",
    }
    return tag("svg", given, tag("path", {"d": outline}))


def line_sample_svg(verdict: Verdict) -> Markup:
    """Build a short piece of line as it is drawn under a verdict."""
    sign = LINE_SIGNS[verdict]
    path: dict[str, str | int | float] = {
        "d": "M3 8H61",
        "stroke-width": sign.width_px,
        "class": f"line-{sign.css}",
    }
    if sign.dash:
        path["stroke-dasharray"] = sign.dash
    casing: Attributes = {"d": "M3 8H61", "stroke-width": sign.width_px + 3, "class": "casing"}
    given: Attributes = {
        "class": "line-sample",
        "viewBox": "0 0 64 16",
        "width": 64,
        "height": 16,
        "aria-hidden": "true",
    }
    return tag("svg", given, tag("path", casing), tag("path", path))
