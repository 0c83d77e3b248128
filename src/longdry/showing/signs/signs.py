"""Signs of the map, never by colour alone: a letter and a shape for water, a dash for a verdict.

Colours: M. Okabe and K. Ito (2008), 'Color Universal Design', a set that people with any
colour vision can tell apart. They stand in the style sheet; here are shapes and patterns only.
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

GRADE_LETTERS = {Grade.POTABLE: "D", Grade.TREAT: "T", Grade.NOT_FOR_DRINKING: "N"}
"""Drink, treat, not; a P in a blue disc would read as a place to park."""
_GRADE_OUTLINES = {
    Grade.POTABLE: Markup('<circle class="face" cx="12" cy="12" r="10.5"/>'),
    Grade.TREAT: Markup('<path class="face" d="M12 .8 23.2 12 12 23.2 .8 12Z"/>'),
    Grade.NOT_FOR_DRINKING: Markup('<path class="face" d="M2.5 2.5h19v19h-19Z"/>'),
}
CAMP_OUTLINE = "M1 13A7 8 0 0 1 15 13Z"
"""A dome."""
ARROW_OUTLINE = "M8 1 14 14 8 10.5 2 14Z"
"""Points up; turned in the direction of travel."""
TURN_OUTLINE = "M3 15V10A4.5 4.5 0 0 1 12 10V13M8.5 10.5 12 14.5 15.5 10.5"
"""A way that bends round."""
WAIT_OUTLINE = "M3 1.5H13L8 8L13 14.5H3L8 8Z"
"""A sand-glass."""
_CERTAINTY_MARKS = {Certainty.LIKELY: "~", Certainty.DOUBTFUL: "?"}


def verdict_class(verdict: Verdict) -> str:
    """Return the word that the style sheet has for a verdict."""
    return LINE_SIGNS[verdict].css


def grade_class(grade: Grade | None) -> str:
    """Return the word that the style sheet has for a grade; unknown is the worst."""
    return str(grade or Grade.NOT_FOR_DRINKING)


def water_letter(grade: Grade | None, certainty: Certainty | None) -> str:
    """Letter of the grade, with a mark where water is less than certain.

    >>> water_letter(Grade.POTABLE, Certainty.DOUBTFUL), water_letter(None, None)
    ('D?', 'N')
    """
    letter = GRADE_LETTERS[grade or Grade.NOT_FOR_DRINKING]
    return letter + (_CERTAINTY_MARKS.get(certainty, "") if certainty else "")


def sign_certainty(source: WaterSource, passes: Iterable[WaterPass]) -> Certainty | None:
    """Return the least sure of what is judged for the passes of a source, else its own word."""
    order = (Certainty.DOUBTFUL, Certainty.LIKELY, Certainty.CERTAIN)
    judged = [p.judgement.certainty for p in passes if p.source.id == source.id]
    return min(judged, key=order.index) if judged else source.certainty


def water_shape(grade: Grade | None) -> Markup:
    """SVG outline of the grade in a box of 24 by 24."""
    return _GRADE_OUTLINES[grade or Grade.NOT_FOR_DRINKING]


def is_by_hand(source: WaterSource, passes: Iterable[WaterPass]) -> bool:
    """Whether the user set the certainty that ``sign_certainty`` tells."""
    judged = [p.judgement.by_hand for p in passes if p.source.id == source.id]
    return any(judged) if judged else source.certainty is not None


def water_drawing(
    grade: Grade | None, certainty: Certainty | None, *, by_hand: bool = False
) -> Markup:
    """Outline and letter, to be put into any SVG; underlined where the certainty is by hand."""
    letter = water_letter(grade, certainty)
    css = "letter" if len(letter) == 1 else "letter two"
    css += " by-hand" if by_hand else ""
    text = tag("text", {"x": 12, "y": 16.2, "text-anchor": "middle", "class": css}, letter)
    return Markup(water_shape(grade) + text)


def water_sign_svg(
    grade: Grade | None, certainty: Certainty | None, *, by_hand: bool = False
) -> Markup:
    """Build the sign of a source as a small picture beside words that say the same."""
    given: Attributes = {
        "class": f"water-sign grade-{grade_class(grade)}",
        "viewBox": "0 0 24 24",
        "width": 20,
        "height": 20,
        "aria-hidden": "true",
    }
    return tag("svg", given, water_drawing(grade, certainty, by_hand=by_hand))


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
