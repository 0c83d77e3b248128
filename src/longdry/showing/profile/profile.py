"""The profile: what each stretch asks for, and what is carried, over km and days."""

from __future__ import annotations

from longdry.model.plan.plan import Plan
from longdry.model.plan.stretch import DryStretch
from longdry.model.words import Verdict
from longdry.showing.profile.ground import (
    CAMP_ROW,
    camps,
    ground,
    ground_bottom,
    heights_known,
)
from longdry.showing.signs.scale import (
    BOTTOM,
    LEFT,
    RIGHT,
    TOP,
    WIDTH,
    Scale,
    box,
    line,
    nice_step,
    polyline,
    text,
)
from longdry.showing.signs.signs import camp_sign_svg, verdict_class
from longdry.showing.words.amounts import need_words
from longdry.showing.words.markup import Attributes, Markup, joined, tag
from longdry.showing.words.measures import Measures
from longdry.showing.words.stops import fills_by_stretch
from longdry.showing.words.stretches import alarm_words

_NARROWEST_WORDS_PX = 86.0
_WHOLE_FROM = 20.0
"""From so many km on the ends of the axis are written as whole ones."""
_AXIS_ROOM = 40.0
_HATCH = Markup(
    '<defs><pattern id="reserve-hatch" width="7" height="7" patternUnits="userSpaceOnUse" '
    'patternTransform="rotate(45)"><path class="hatch" d="M0 0V7"/></pattern></defs>'
)


def profile_svg(plan: Plan, measures: Measures) -> Markup:
    """Draw need and reserve of each stretch as columns, what is carried as steps and slopes."""
    scale = _scale(plan)
    with_ground = heights_known(plan.measured)
    foot = ground_bottom() + 6.0 if with_ground else BOTTOM + CAMP_ROW + _AXIS_ROOM
    given: Attributes = {
        "class": "profile",
        "viewBox": f"0 0 {WIDTH:g} {foot:g}",
        "role": "img",
        "aria-labelledby": "profile-title profile-text",
    }
    picture = tag(
        "svg",
        given,
        tag("title", {"id": "profile-title"}, "Water needed and carried along the route"),
        tag("desc", {"id": "profile-text"}, _in_words(plan, measures)),
        _HATCH,
        _axes(scale, measures),
        *(_column(stretch, scale, plan.longest.worst) for stretch in plan.stretches),
        _on_board(plan, scale),
        camps(plan, scale),
        ground(plan.measured, scale, measures) if with_ground else Markup(),
        _needle(foot),
    )
    room: Attributes = {
        "class": "chart-room",
        "role": "region",
        "tabindex": 0,
        "aria-label": "Profile",
    }
    caption = tag("figcaption", None, *_key(plan))
    return tag("figure", None, tag("div", room, picture), caption)


def _scale(plan: Plan) -> Scale:
    tops = [max(stretch.wanted_l, stretch.on_board_l or 0.0) for stretch in plan.stretches]
    return Scale(max(plan.measured.length_km, 1e-6), max([*tops, 1.0]) * 1.04)


def _needle(foot: float) -> Markup:
    across = WIDTH - LEFT - RIGHT
    plot: Attributes = {"id": "plot", "class": "plot", "d": f"M{LEFT:g} {BOTTOM:g}h{across:g}"}
    needle: Attributes = {"id": "place-needle", "class": "needle", "data-width": f"{across:g}"}
    mark = tag("path", {"d": f"M{LEFT:g} {TOP - 8:g}V{foot:g}"})
    return joined([tag("path", plot), tag("g", needle, mark)])


def _axes(scale: Scale, measures: Measures) -> Markup:
    parts: list[Markup] = []
    volume, length = measures.l_per_volume, measures.km_per_length
    step_l = nice_step(scale.most_l / volume, 5)
    for number in range(int(scale.most_l / volume / step_l) + 1):
        y = scale.y(number * step_l * volume)
        parts.append(line(LEFT, y, WIDTH - RIGHT, y, "rule"))
        parts.append(text(LEFT - 6, y + 4, f"{number * step_l:g}", "end"))
    axis = BOTTOM + CAMP_ROW + 6.0
    for mark in [*_round_marks(scale.length_km / length), scale.length_km / length]:
        x = scale.x(mark * length)
        parts.append(line(x, axis, x, axis + 5, "axis"))
        parts.append(
            text(x, axis + 17, f"{mark:.0f}" if mark >= _WHOLE_FROM else f"{mark:g}", "middle")
        )
    parts.append(line(LEFT, BOTTOM, WIDTH - RIGHT, BOTTOM, "axis"))
    parts.append(line(LEFT, axis, WIDTH - RIGHT, axis, "axis"))
    parts.append(text(2, 12, "US gal" if measures.is_us else "litres", "start"))
    parts.append(text(2, axis + 17, measures.length, "start"))
    parts.append(text(2, axis - 6, "day", "start"))
    return joined(parts)


def _round_marks(length: float) -> list[float]:
    """Return round distances that leave room for the label of the end."""
    step = nice_step(length, 6)
    marks = [number * step for number in range(int(length / step) + 1)]
    return [mark for mark in marks if mark <= length - step * 0.6]


def _column(stretch: DryStretch, scale: Scale, worst: int) -> Markup:
    left, right = scale.x(stretch.begin.km), scale.x(stretch.end.km)
    need_top = scale.y(stretch.need.total_l)
    top = scale.y(stretch.need.total_l + stretch.reserve_l)
    width = max(round(right - left - 1.0, 1), 0.8)
    css = verdict_class(stretch.verdict)
    parts = [
        box(left, TOP, width, BOTTOM - TOP, "plot"),
        box(left, need_top, width, BOTTOM - need_top, f"need fill-{css}"),
        box(left, top, width, need_top - top, f"reserve edge-{css}"),
    ]
    if stretch.verdict not in (Verdict.CLEAR, Verdict.NO_CONTAINERS):
        middle = min(max((left + right) / 2, LEFT + 50.0), WIDTH - RIGHT - 50.0)
        words = "!" if right - left < _NARROWEST_WORDS_PX else str(stretch.verdict)
        parts.append(
            text(middle if len(words) > 1 else (left + right) / 2, TOP - 6, words, "middle")
        )
    css = "stretch-column worst" if stretch.number == worst else "stretch-column"
    return tag("g", {"class": css, "data-stretch": stretch.number}, *parts)


def _on_board(plan: Plan, scale: Scale) -> Markup:
    """Draw what is carried: up at a stop, down along the stretch, and a cross where it ends."""
    if plan.fills is None:
        return Markup()
    total: list[tuple[float, float]] = []
    for stretch, fills in zip(plan.stretches, fills_by_stretch(plan), strict=True):
        arriving, leaving = fills[0].fill.arriving, fills[-1].fill.leaving
        km = stretch.begin.km
        total += [(km, arriving.total_l), (km, leaving.total_l), *_runs_dry(stretch)]
    total.append((plan.measured.length_km, plan.fills.end.total_l))
    points = [(scale.x(km), scale.y(litres)) for km, litres in total]
    ends = [s.runs_dry.km for s in plan.stretches if s.runs_dry]
    return joined(
        [
            *(polyline(points, css) for css in ("on-board-back", "on-board")),
            *(mark for km in ends for mark in _cross(scale.x(km), scale.y(0.0))),
        ]
    )


def _runs_dry(stretch: DryStretch) -> list[tuple[float, float]]:
    """Return where the lines come to nothing before the end of a stretch that is too long."""
    return [(stretch.runs_dry.km, 0.0)] if stretch.runs_dry else []


def _key(plan: Plan) -> list[Markup]:
    """Tell what is drawn, and nothing else."""
    entries = [
        _key_entry(box(1, 1, 18, 12, "need fill-clear"), "column: what the stretch needs"),
        _key_entry(box(1, 1, 18, 12, "reserve"), "hatched: its reserve"),
    ]
    if plan.fills:
        entries.append(_key_entry(line(0, 12, 20, 2, "on-board"), "line: what you carry"))
    if any(stretch.runs_dry for stretch in plan.stretches):
        entries.append(_key_entry(joined(_cross(10, 7)), "cross: it runs dry"))
    if any(day.camp for day in plan.days):
        entries.append(tag("span", {"class": "key"}, camp_sign_svg(), " camp, with its day"))
    return entries


def _key_entry(drawing: Markup, words: str) -> Markup:
    given: Attributes = {"viewBox": "0 0 20 14", "width": 20, "height": 14, "aria-hidden": "true"}
    return tag("span", {"class": "key"}, tag("svg", given, drawing), " ", tag("span", None, words))


def _in_words(plan: Plan, measures: Measures) -> str:
    notes = [
        f"{measures.mark(s.begin.km)} to {measures.mark_figure(s.end.km)}: need "
        f"{need_words(s.need.total_l, measures)}, reserve {need_words(s.reserve_l, measures)}, "
        f"{alarm_words(s, measures) or s.verdict}."
        for s in plan.stretches
    ]
    return " ".join(notes)


_CROSS_PX = 6.0


def _cross(x: float, y: float) -> list[Markup]:
    near = _CROSS_PX
    return [
        line(x - near, y - near, x + near, y + near, "runs-dry"),
        line(x - near, y + near, x + near, y - near, "runs-dry"),
    ]
