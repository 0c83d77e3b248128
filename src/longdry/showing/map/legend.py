"""The legend, which also switches the layers."""

from __future__ import annotations

from longdry.model.words import VERDICTS_WORST_FIRST, Certainty, Grade
from longdry.showing.map.setback_signs import STRANDS
from longdry.showing.signs.signs import (
    ARROW_OUTLINE,
    TURN_OUTLINE,
    WAIT_OUTLINE,
    camp_sign_svg,
    line_sample_svg,
    place_sign_svg,
    water_sign_svg,
)
from longdry.showing.words.markup import Markup, joined, tag
from longdry.showing.words.wording import CERTAINTY_WORDS, GRADE_WORDS

_SWITCHES = (
    ("tags", "Verdicts in words"),
    ("water", "Water that counts"),
    ("ways", "Ways off the route"),
    ("uncounted", "Water that does not count"),
    ("camps", "Camps"),
    ("turns", "Turn-back places"),
    ("waits", "Shortest wait"),
    ("marks", "Distance and direction"),
    ("grid", "Degrees"),
)


def legend() -> Markup:
    """Tell what each sign means, with a switch for each layer."""
    return tag(
        "div",
        {"class": "legend"},
        tag("fieldset", {"class": "needs-script"}, tag("legend", None, "Show"), *_switches()),
        tag("h3", None, "Signs"),
        tag(
            "ul",
            {"class": "signs"},
            *_lines(),
            *_waters(),
            *_certainties(),
            _by_hand(),
            _faint(),
            _camp(),
            _direction(),
            *_setbacks(),
        ),
    )


def _switches() -> list[Markup]:
    return [
        tag(
            "label",
            None,
            Markup(f'<input type="checkbox" checked data-layer="{layer}">'),
            " ",
            words,
        )
        for layer, words in _SWITCHES
    ]


def _lines() -> list[Markup]:
    return [
        tag("li", None, line_sample_svg(verdict), " ", f"route: {verdict}")
        for verdict in VERDICTS_WORST_FIRST
    ]


def _waters() -> list[Markup]:
    words = GRADE_WORDS | {Grade.POTABLE: f"{GRADE_WORDS[Grade.POTABLE]}, as the layer says"}
    return [tag("li", None, water_sign_svg(grade, None), " ", words[grade]) for grade in Grade]


def _certainties() -> list[Markup]:
    less_sure = (Certainty.LIKELY, Certainty.DOUBTFUL)
    return [
        tag("li", None, water_sign_svg(Grade.POTABLE, certainty), " ", CERTAINTY_WORDS[certainty])
        for certainty in less_sure
    ]


def _by_hand() -> Markup:
    sign = water_sign_svg(Grade.POTABLE, None, by_hand=True)
    return tag("li", None, sign, " ", "underlined: certainty set by hand in the layer")


def _camp() -> Markup:
    return tag("li", None, camp_sign_svg(), " ", "camp, with the number of the day")


def _direction() -> Markup:
    arrow = place_sign_svg(ARROW_OUTLINE)
    return tag("li", None, arrow, " ", "distance along the route, and the direction of travel")


def _setbacks() -> list[Markup]:
    ring = tag("span", {"class": "strands"}, water_sign_svg(Grade.POTABLE, None))
    return [
        tag("li", None, ring, " ", f"double ring: if dry, {STRANDS}"),
        tag("li", None, place_sign_svg(TURN_OUTLINE), " ", "last place to turn back"),
        tag("li", None, place_sign_svg(WAIT_OUTLINE), " ", "shortest wait on the bare ration"),
    ]


def _faint() -> Markup:
    sign = tag("span", {"class": "faint"}, water_sign_svg(Grade.POTABLE, None))
    return tag(
        "li", None, joined([sign, " ", "hollow: does not count; why stands in the table of water"])
    )
