"""The profile: litres that each stretch asks for over km, against what can be on board."""

from __future__ import annotations

import math
from dataclasses import dataclass

from longdry.model.dry_stretch import DryStretch
from longdry.model.plan import Plan
from longdry.showing.map.signs import verdict_class
from longdry.showing.markup import Attributes, Markup, joined, tag
from longdry.showing.measures import Measures
from longdry.showing.wording import length_km, needed_l, supply_l

_WIDTH, _HEIGHT = 900.0, 320.0
_LEFT, _RIGHT, _TOP, _BOTTOM = 56.0, 12.0, 26.0, 44.0
_ROW = 18.0
"""Room above the columns for the numbers of the stretches."""
_NICE = (1.0, 2.0, 2.5, 5.0, 10.0)
_NARROWEST_NUMBER_PX, _NARROWEST_WORDS_PX = 22.0, 130.0
_HATCH = Markup(
    '<defs><pattern id="reserve-hatch" width="7" height="7" patternUnits="userSpaceOnUse" '
    'patternTransform="rotate(45)"><path class="hatch" d="M0 0V7"/></pattern></defs>'
)


@dataclass(frozen=True, slots=True)
class Scale:
    """From km and litres to the picture."""

    length: float
    most_l: float

    def x(self, km: float) -> float:
        """Left to right."""
        return round(_LEFT + km / self.length * (_WIDTH - _LEFT - _RIGHT), 1)

    def y(self, litres: float) -> float:
        """Bottom to top."""
        return round(
            _HEIGHT - _BOTTOM - litres / self.most_l * (_HEIGHT - _TOP - _ROW - _BOTTOM), 1
        )


def nice_step(span: float, most_steps: int) -> float:
    """Step of 1, 2, 2.5 or 5 times a power of ten that divides ``span`` into few enough parts.

    >>> nice_step(1000.0, 8), nice_step(3.0, 8)
    (200.0, 0.5)
    """
    raw = max(span, 1e-6) / most_steps
    power = 10.0 ** math.floor(math.log10(raw))
    return next(nice * power for nice in _NICE if nice * power >= raw * (1.0 - 1e-9))


def profile_svg(plan: Plan, measures: Measures) -> Markup:
    """Draw need and reserve of each stretch as columns, and what can be on board as a line."""
    scale = _scale(plan)
    given: Attributes = {
        "class": "profile",
        "viewBox": f"0 0 {_WIDTH:g} {_HEIGHT:g}",
        "role": "img",
        "aria-labelledby": "profile-title profile-text",
    }
    picture = tag(
        "svg",
        given,
        tag("title", {"id": "profile-title"}, "Water needed for each stretch"),
        tag("desc", {"id": "profile-text"}, _in_words(plan, measures)),
        _HATCH,
        _axes(scale, measures),
        *(_column(stretch, scale) for stretch in plan.stretches),
        *(_board(stretch, scale) for stretch in plan.stretches),
        _on_board(plan, scale),
        _needle(),
    )
    room: Attributes = {
        "class": "chart-room",
        "role": "region",
        "tabindex": 0,
        "aria-label": "Profile",
    }
    caption = tag("figcaption", None, *_key())
    return tag("figure", None, tag("div", room, picture), caption)


def _scale(plan: Plan) -> Scale:
    tops = [max(s.need.total_l + s.reserve_l, s.available_l) for s in plan.stretches]
    return Scale(max(plan.measured.length_km, 1e-6), max([*tops, 1.0]) * 1.04)


def _needle() -> Markup:
    across = _WIDTH - _LEFT - _RIGHT
    bottom = _HEIGHT - _BOTTOM
    plot: Attributes = {"id": "plot", "class": "plot", "d": f"M{_LEFT:g} {bottom:g}h{across:g}"}
    line = tag("path", {"d": f"M{_LEFT:g} {_TOP:g}V{bottom:g}"})
    needle: Attributes = {"id": "place-needle", "class": "needle", "data-width": f"{across:g}"}
    return joined([tag("path", plot), tag("g", needle, line)])


def _axes(scale: Scale, measures: Measures) -> Markup:
    parts: list[Markup] = []
    volume, length = measures.l_per_volume, measures.km_per_length
    step_l = nice_step(scale.most_l / volume, 6)
    for number in range(int(scale.most_l / volume / step_l) + 1):
        y = scale.y(number * step_l * volume)
        parts.append(_line(_LEFT, y, _WIDTH - _RIGHT, y, "rule"))
        parts.append(_text(_LEFT - 6, y + 4, f"{number * step_l:g}", "end"))
    step_km = nice_step(scale.length / length, 9)
    for number in range(int(scale.length / length / step_km) + 1):
        x = scale.x(number * step_km * length)
        parts.append(_line(x, scale.y(0), x, scale.y(0) + 5, "axis"))
        parts.append(_text(x, scale.y(0) + 19, f"{number * step_km:g}", "middle"))
    parts.append(_line(_LEFT, scale.y(0), _WIDTH - _RIGHT, scale.y(0), "axis"))
    parts.append(_text(4, 14, "US gal" if measures.is_us else "litres", "start"))
    parts.append(_text(_WIDTH - _RIGHT, _HEIGHT - 6, f"{measures.length} along the route", "end"))
    return joined(parts)


def _column(stretch: DryStretch, scale: Scale) -> Markup:
    left, right = scale.x(stretch.begin.km), scale.x(stretch.end.km)
    need_top = scale.y(stretch.need.total_l)
    top = scale.y(stretch.need.total_l + stretch.reserve_l)
    width = max(round(right - left - 1.0, 1), 0.8)
    css = verdict_class(stretch.verdict)
    parts = [
        _box(left, need_top, width, scale.y(0) - need_top, f"need fill-{css}"),
        _box(left, top, width, need_top - top, f"reserve edge-{css}"),
    ]
    if right - left >= _NARROWEST_NUMBER_PX:
        wide = right - left >= _NARROWEST_WORDS_PX
        words = f"{stretch.number}: {stretch.verdict}" if wide else str(stretch.number)
        parts.append(_text((left + right) / 2, _TOP + 10, words, "middle"))
    return tag("g", {"class": "stretch-column", "data-stretch": stretch.number}, *parts)


def _board(stretch: DryStretch, scale: Scale) -> Markup:
    y = scale.y(stretch.available_l)
    return _line(scale.x(stretch.begin.km), y, scale.x(stretch.end.km), y, "board")


def _on_board(plan: Plan, scale: Scale) -> Markup:
    """Draw what the fill plan has on board: up at a fill, down along the stretch."""
    if plan.fills is None:
        return Markup()
    levels: list[tuple[float, float]] = []
    for fill in plan.fills.fills:
        levels += [(fill.km, fill.arriving.total_l), (fill.km, fill.leaving.total_l)]
    levels.append((plan.measured.length_km, plan.fills.end.total_l))
    d = "M" + "L".join(f"{scale.x(km):g} {scale.y(litres):g}" for km, litres in levels)
    return joined([tag("path", {"class": css, "d": d}) for css in ("on-board-back", "on-board")])


def _key() -> list[Markup]:
    return [
        _key_entry(_box(1, 1, 18, 12, "need fill-clear"), "full column: need"),
        _key_entry(_box(1, 1, 18, 12, "reserve"), "hatched column on top: reserve"),
        _key_entry(_line(0, 7, 20, 7, "board"), "dashed line: can be on board"),
        _key_entry(_line(0, 12, 20, 2, "on-board"), "full line: on board by the fills"),
        tag("span", {"class": "key"}, "number: the stretch"),
    ]


def _key_entry(drawing: Markup, words: str) -> Markup:
    given: Attributes = {"viewBox": "0 0 20 14", "width": 20, "height": 14, "aria-hidden": "true"}
    return tag("span", {"class": "key"}, tag("svg", given, drawing), f" {words}")


def _in_words(plan: Plan, measures: Measures) -> str:
    told = [
        f"Stretch {s.number}, {length_km(s.length_km, measures)}: need "
        f"{needed_l(s.need.total_l, measures)}, reserve {needed_l(s.reserve_l, measures)}, "
        f"can be on board {supply_l(s.available_l, measures)}, {s.verdict}."
        for s in plan.stretches
    ]
    return " ".join(told)


def _line(x1: float, y1: float, x2: float, y2: float, css: str) -> Markup:
    return tag("path", {"class": css, "d": f"M{x1:g} {y1:g}L{x2:g} {y2:g}"})


def _box(x: float, y: float, width: float, height: float, css: str) -> Markup:
    place: Attributes = {
        "x": f"{x:g}",
        "y": f"{y:g}",
        "width": f"{width:g}",
        "height": f"{height:.1f}",
    }
    return tag("rect", {"class": css, **place})


def _text(x: float, y: float, words: str, anchor: str) -> Markup:
    return tag("text", {"x": f"{x:g}", "y": f"{y:g}", "text-anchor": anchor}, words)
