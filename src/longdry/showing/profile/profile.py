"""The profile: what each stretch asks for, what is on board, and the reserve, over km and days.

Where the trip has containers, a line shows what is on board after the worst single failure.
"""

from __future__ import annotations

from longdry.model.plan.plan import Plan
from longdry.model.plan.setbacks import WhatIf
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
from longdry.showing.words.markup import Attributes, Markup, clipped_text, joined, name_tag, tag
from longdry.showing.words.measures import Measures
from longdry.showing.words.setbacks import failure_words
from longdry.showing.words.stops import fills_by_stretch
from longdry.showing.words.wording import (
    alarm_words,
    length_words,
    need_words,
    on_board_words,
    place_words,
    supply_words,
)

_NARROWEST_NUMBER_PX, _NARROWEST_TWO_LINES_PX, _NARROWEST_WORDS_PX = 22.0, 88.0, 130.0
_AXIS_ROOM = 40.0
_HATCH = Markup(
    '<defs><pattern id="reserve-hatch" width="7" height="7" patternUnits="userSpaceOnUse" '
    'patternTransform="rotate(45)"><path class="hatch" d="M0 0V7"/></pattern></defs>'
)


def profile_svg(plan: Plan, measures: Measures) -> Markup:
    """Draw need and reserve of each stretch as columns, what is on board as steps and slopes."""
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
        tag("title", {"id": "profile-title"}, "Water needed and on board along the route"),
        tag("desc", {"id": "profile-text"}, _in_words(plan, measures)),
        _HATCH,
        _axes(scale, measures),
        *(_column(stretch, scale) for stretch in plan.stretches),
        *(_board(stretch, scale) for stretch in plan.stretches),
        *(_reserve(stretch, scale) for stretch in plan.stretches),
        _on_board(plan, scale),
        what_if_line(drawn_failure(plan), scale),
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
    caption = tag("figcaption", None, *_key(plan, measures))
    return tag("figure", None, tag("div", room, picture), caption)


def _scale(plan: Plan) -> Scale:
    tops = [max(s.need.total_l + s.reserve_l, s.available_l) for s in plan.stretches]
    return Scale(max(plan.measured.length_km, 1e-6), max([*tops, 1.0]) * 1.04)


def _needle(foot: float) -> Markup:
    across = WIDTH - LEFT - RIGHT
    plot: Attributes = {"id": "plot", "class": "plot", "d": f"M{LEFT:g} {BOTTOM:g}h{across:g}"}
    needle: Attributes = {"id": "place-needle", "class": "needle", "data-width": f"{across:g}"}
    mark = tag("path", {"d": f"M{LEFT:g} {TOP - 18:g}V{foot:g}"})
    return joined([tag("path", plot), tag("g", needle, mark)])


def _axes(scale: Scale, measures: Measures) -> Markup:
    parts: list[Markup] = []
    volume, length = measures.l_per_volume, measures.km_per_length
    step_l = nice_step(scale.most_l / volume, 6)
    for number in range(int(scale.most_l / volume / step_l) + 1):
        y = scale.y(number * step_l * volume)
        parts.append(line(LEFT, y, WIDTH - RIGHT, y, "rule"))
        parts.append(text(LEFT - 6, y + 4, f"{number * step_l:g}", "end"))
    axis = BOTTOM + CAMP_ROW + 6.0
    step_km = nice_step(scale.length_km / length, 9)
    for number in range(int(scale.length_km / length / step_km) + 1):
        x = scale.x(number * step_km * length)
        parts.append(line(x, axis, x, axis + 5, "axis"))
        anchor = "end" if x > WIDTH - RIGHT - 12.0 else "middle"
        parts.append(text(x, axis + 18, f"{number * step_km:g}", anchor))
    parts.append(line(LEFT, BOTTOM, WIDTH - RIGHT, BOTTOM, "axis"))
    parts.append(line(LEFT, axis, WIDTH - RIGHT, axis, "axis"))
    parts.append(text(4, 16, "US gal" if measures.is_us else "litres", "start"))
    parts.append(text(4, axis + 18, measures.length, "start"))
    parts.append(text(4, axis - 4, "day", "start"))
    return joined(parts)


def _column(stretch: DryStretch, scale: Scale) -> Markup:
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
    parts += _column_words(stretch, (left + right) / 2, right - left)
    return tag("g", {"class": "stretch-column", "data-stretch": stretch.number}, *parts)


def _column_words(stretch: DryStretch, middle: float, width: float) -> list[Markup]:
    """Name the stretch and its verdict as far as there is room, one not clear also by a mark."""
    is_clear = stretch.verdict is Verdict.CLEAR
    number = str(stretch.number)
    if width >= _NARROWEST_WORDS_PX:
        return [text(middle, TOP - 8, f"{number}: {stretch.verdict}", "middle")]
    if width >= _NARROWEST_TWO_LINES_PX and not is_clear:
        upper = text(middle, TOP - 23, number, "middle")
        return [upper, text(middle, TOP - 8, str(stretch.verdict), "middle")]
    if width >= _NARROWEST_NUMBER_PX:
        return [text(middle, TOP - 8, number if is_clear else f"{number}!", "middle")]
    return [] if is_clear else [text(middle, TOP - 8, "!", "middle")]


def _board(stretch: DryStretch, scale: Scale) -> Markup:
    y = scale.y(stretch.available_l)
    return line(scale.x(stretch.begin.km), y, scale.x(stretch.end.km), y, "board")


def _reserve(stretch: DryStretch, scale: Scale) -> Markup:
    y = scale.y(stretch.reserve_l)
    ends = (scale.x(stretch.begin.km), y), (scale.x(stretch.end.km), y)
    return joined([polyline(list(ends), css) for css in ("reserve-back", "reserve-line")])


def _on_board(plan: Plan, scale: Scale) -> Markup:
    """Draw what the fill plan has on board: up at a fill, down along the stretch."""
    if plan.fills is None:
        return Markup()
    total: list[tuple[float, float]] = []
    potable: list[tuple[float, float]] = []
    for stretch, fills in zip(plan.stretches, fills_by_stretch(plan), strict=True):
        km, arriving, leaving = stretch.begin.km, fills[0].fill.arriving, fills[-1].fill.leaving
        total += [(km, arriving.total_l), (km, leaving.total_l), *_runs_dry(stretch)]
        potable += [(km, arriving.potable_l), (km, leaving.potable_l), *_runs_dry(stretch)]
    total.append((plan.measured.length_km, plan.fills.end.total_l))
    potable.append((plan.measured.length_km, plan.fills.end.potable_l))
    drawn = [("on-board-back", total), ("on-board", total)]
    if _has_two_grades(plan):
        drawn += [("potable-back", potable), ("potable-line", potable)]
    return joined(
        [polyline([(scale.x(k), scale.y(lit)) for k, lit in way], css) for css, way in drawn]
    )


def _runs_dry(stretch: DryStretch) -> list[tuple[float, float]]:
    """Return where the lines come to nothing before the end of a stretch that is too long."""
    return [(stretch.runs_dry.km, 0.0)] if stretch.runs_dry else []


def _has_two_grades(plan: Plan) -> bool:
    return plan.fills is not None and any(f.leaving.treat_l > 0.0 for f in plan.fills.fills)


def _key(plan: Plan, measures: Measures) -> list[Markup]:
    entries = [
        _key_entry(box(1, 1, 18, 12, "need fill-clear"), "full column: need of the stretch"),
        _key_entry(box(1, 1, 18, 12, "reserve"), "hatched column on top: its reserve"),
        _key_entry(line(0, 7, 20, 7, "board"), "dashed line: what the containers hold"),
        _key_entry(line(0, 7, 20, 7, "reserve-line"), "dotted line: reserve, not to be drunk"),
    ]
    if plan.fills:
        entries.append(
            _key_entry(line(0, 12, 20, 2, "on-board"), "full line: on board, a step at each fill")
        )
    if _has_two_grades(plan):
        entries.append(_key_entry(line(0, 12, 20, 2, "potable-line"), "thin line: of it potable"))
    failure = drawn_failure(plan)
    if failure:
        sign = line(0, 3, 20, 11, "what-if-line")
        entries.append(_key_entry(sign, what_if_key(failure, measures)))
    camp = tag("span", {"class": "key"}, camp_sign_svg(), " camp, with the number of its day")
    return [
        *entries,
        camp,
        tag("span", {"class": "key"}, "number on top: the stretch, with ! where it is not clear"),
    ]


def _key_entry(drawing: Markup, words: str) -> Markup:
    given: Attributes = {"viewBox": "0 0 20 14", "width": 20, "height": 14, "aria-hidden": "true"}
    return tag("span", {"class": "key"}, tag("svg", given, drawing), " ", tag("span", None, words))


def _in_words(plan: Plan, measures: Measures) -> str:
    notes = [
        f"Stretch {s.number}, {length_words(s.length_km, measures)}: need "
        f"{need_words(s.need.total_l, measures)}, reserve {need_words(s.reserve_l, measures)}, "
        f"containers hold {supply_words(s.available_l, measures)}, "
        f"{alarm_words(s, measures) or s.verdict}."
        for s in plan.stretches
    ]
    return f"{' '.join(notes)}{clipped_text(what_if_words(drawn_failure(plan), measures))}"


_CROSS_PX = 6.0


def drawn_failure(plan: Plan) -> WhatIf | None:
    """Return the failure that the line is drawn for; None where there is nothing to draw."""
    failure = plan.setbacks.worst if plan.setbacks else None
    if failure is None or failure.verdict is Verdict.NO_CONTAINERS:
        return None
    return failure


def what_if_line(failure: WhatIf | None, scale: Scale) -> Markup:
    """Draw what is on board along the stretch that is worst then, down to nothing at the least."""
    if failure is None:
        return Markup()
    begin_km, end_km = failure.worst.begin.km, failure.worst.end.km
    leaves_l, left_l = failure.worst.available_l, _left_l(failure)
    if left_l < 0.0:
        end_km = begin_km + (end_km - begin_km) * leaves_l / (leaves_l - left_l)
    ends = [
        (scale.x(begin_km), scale.y(leaves_l)),
        (scale.x(end_km), scale.y(max(left_l, 0.0))),
    ]
    drawn = [polyline(ends, css) for css in ("what-if-back", "what-if-line")]
    return joined([*drawn, *(_cross(*ends[1]) if left_l < 0.0 else [])])


def what_if_key(failure: WhatIf, measures: Measures) -> Markup:
    """Tell what the line stands for."""
    head = joined(
        ["line of dashes and dots: on board if ", name_tag(failure_words(failure, measures))]
    )
    if _left_l(failure) < 0.0:
        return joined([head, ", with a cross where the water runs out, on the full ration"])
    return joined([head, ", on the full ration"])


def what_if_words(failure: WhatIf | None, measures: Measures) -> str:
    """Tell the line to those who do not see it."""
    if failure is None:
        return ""
    worst, left_l = failure.worst, _left_l(failure)
    left = (
        f"{need_words(-left_l, measures)} missing"
        if left_l < 0.0
        else f"{on_board_words(left_l, measures)} left"
    )
    return (
        f" If {failure_words(failure, measures)}: {on_board_words(worst.available_l, measures)} at "
        f"{place_words(worst.begin.km, measures)}, {left} at {place_words(worst.end.km, measures)}."
    )


def _left_l(failure: WhatIf) -> float:
    return failure.worst.available_l - failure.worst.need.total_l


def _cross(x: float, y: float) -> list[Markup]:
    near = _CROSS_PX
    return [
        line(x - near, y - near, x + near, y + near, "what-if-end"),
        line(x - near, y + near, x + near, y - near, "what-if-end"),
    ]
