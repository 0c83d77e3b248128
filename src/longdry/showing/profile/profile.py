"""The profile: at each stop a container, filled as on leaving; between stops what is carried.

What is missing for need and reserve stands on top of the container in the hue of the verdict.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from longdry.model.plan.plan import Plan
from longdry.model.plan.stretch import DryStretch
from longdry.model.words import VERDICTS_WORST_FIRST, Verdict
from longdry.showing.profile.ground import (
    CAMP_ROW,
    camp_domes,
    ground,
    ground_bottom,
    heights_known,
)
from longdry.showing.signs.scale import (
    BOTTOM,
    CHART_WIDTH,
    LEFT,
    RIGHT,
    TOP,
    Scale,
    box,
    line,
    nice_step,
    polyline,
    scale_text,
    text,
)
from longdry.showing.signs.signs import camp_sign_svg, verdict_class
from longdry.showing.words.amounts import need_words
from longdry.showing.words.markup import Attributes, Markup, joined, tag
from longdry.showing.words.measures import Measures
from longdry.showing.words.stops import fills_by_stretch, sizes_l
from longdry.showing.words.stretches import alarm_words

_NARROWEST_WORDS_PX = 86.0
_NARROWEST_PX, _WIDEST_PX = 1.5, 12.0
_KEY_MOST_L = 100.0
_WHOLE_FROM = 20.0
"""From so many km on the ends of the axis are written as whole ones."""
_AXIS_ROOM = 40.0
_HATCH = Markup(
    '<defs><pattern id="reserve-hatch" width="7" height="7" patternUnits="userSpaceOnUse" '
    'patternTransform="rotate(45)"><path class="hatch" d="M0 0V7"/></pattern></defs>'
)


def profile_svg(plan: Plan, measures: Measures) -> Markup:
    """Draw containers at the stops, the falling line of what is carried, reserve, and ground."""
    scale = _scale(plan)
    with_ground = heights_known(plan.measured)
    foot = ground_bottom() + 6.0 if with_ground else BOTTOM + CAMP_ROW + _AXIS_ROOM
    given: Attributes = {
        "class": "profile",
        "viewBox": f"0 0 {CHART_WIDTH:g} {foot:g}",
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
        *(
            _column(stretch, scale, is_worst=stretch.number == plan.longest.worst)
            for stretch in plan.stretches
        ),
        _carried(plan, scale),
        *_containers(plan, scale),
        camp_domes(plan, scale),
        ground(plan.measured, scale, measures) if with_ground else Markup(),
        _scale_of_litres(scale, measures),
        _needle(foot),
    )
    room: Attributes = {
        "class": "chart-room",
        "role": "region",
        "tabindex": 0,
        "aria-label": "Profile",
    }
    caption = tag("figcaption", None, *_key(plan, scale))
    return tag("figure", None, tag("div", room, picture), caption)


def _scale(plan: Plan) -> Scale:
    most_l = max(sum(sizes_l(plan).values()), *(s.wanted_l for s in plan.stretches), 1.0)
    return Scale(max(plan.measured.length_km, 1e-6), most_l * 1.04)


def _needle(foot: float) -> Markup:
    across = CHART_WIDTH - LEFT - RIGHT
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
        parts.append(line(LEFT, y, CHART_WIDTH - RIGHT, y, "rule"))
    axis = BOTTOM + CAMP_ROW + 6.0
    for mark in [*_round_marks(scale.length_km / length), scale.length_km / length]:
        x = scale.x(mark * length)
        parts.append(line(x, axis, x, axis + 5, "axis"))
        figure = f"{mark:.0f}" if mark >= _WHOLE_FROM else f"{mark:.1f}".removesuffix(".0")
        parts.append(text(x, axis + 17, figure, "middle"))
    parts.append(line(LEFT, BOTTOM, CHART_WIDTH - RIGHT, BOTTOM, "axis"))
    parts.append(line(LEFT, axis, CHART_WIDTH - RIGHT, axis, "axis"))
    return joined(parts)


def _scale_of_litres(scale: Scale, measures: Measures) -> Markup:
    """Write what each line stands for; on a narrow screen it stays in view beside what is read."""
    volume = measures.l_per_volume
    step_l = nice_step(scale.most_l / volume, 5)
    axis = BOTTOM + CAMP_ROW + 6.0
    figures = (
        scale_text(scale.y(number * step_l * volume), number * step_l)
        for number in range(int(scale.most_l / volume / step_l) + 1)
    )
    return tag(
        "g",
        {"class": "stays"},
        box(0, 0, LEFT - 11, axis + 22, "behind"),
        *figures,
        text(2, 12, "US gal" if measures.is_us else "litres", "start"),
        text(2, axis + 17, measures.length, "start"),
        text(2, axis - 6, "day", "start"),
    )


def _round_marks(length: float) -> list[float]:
    """Return round distances that leave room for the label of the end."""
    step = nice_step(length, 6)
    marks = [number * step for number in range(int(length / step) + 1)]
    return [mark for mark in marks if mark <= length - step * 0.6]


def _column(stretch: DryStretch, scale: Scale, *, is_worst: bool) -> Markup:
    """Draw the reserve that must be left at the end, and the words of what is not clear."""
    left, right = scale.x(stretch.begin.km), scale.x(stretch.end.km)
    reserve_top = scale.y(stretch.reserve_l)
    width = max(round(right - left, 1), 0.8)
    parts = [
        box(left, TOP, width, BOTTOM - TOP, "plot"),
        box(left, reserve_top, width, BOTTOM - reserve_top, "reserve"),
    ]
    if _is_told(stretch):
        words = "!" if _is_narrow(stretch, scale) else str(stretch.verdict)
        parts.append(text((left + right) / 2, TOP - 6, words, "middle"))
    css = "stretch-column worst" if is_worst else "stretch-column"
    return tag("g", {"class": css, "data-stretch": stretch.number}, *parts)


def _is_told(stretch: DryStretch) -> bool:
    return stretch.verdict not in (Verdict.CLEAR, Verdict.NO_CONTAINERS)


def _is_narrow(stretch: DryStretch, scale: Scale) -> bool:
    """Tell whether the words of a verdict have no room above their stretch."""
    return scale.x(stretch.end.km) - scale.x(stretch.begin.km) < _NARROWEST_WORDS_PX


def _carried(plan: Plan, scale: Scale) -> Markup:
    """Draw what is carried between two stops as one falling line, with a cross where it ends."""
    if plan.fills is None:
        return Markup()
    fills = fills_by_stretch(plan)
    leaving_l = [each[-1].fill.leaving.total_l for each in fills]
    arriving_l = [each[0].fill.arriving.total_l for each in fills[1:]]
    arriving_l.append(plan.stretches[-1].left_l or 0.0)
    lines = [
        [(stretch.begin.km, leaves_l), *_runs_dry(stretch), (stretch.end.km, arrives_l)]
        for stretch, leaves_l, arrives_l in zip(plan.stretches, leaving_l, arriving_l, strict=True)
    ]
    drawn = [[(scale.x(km), scale.y(litres)) for km, litres in line_] for line_ in lines]
    ends = [stretch.runs_dry.km for stretch in plan.stretches if stretch.runs_dry]
    return joined(
        [
            *(
                polyline([*one, (one[-1][0], BOTTOM), (one[0][0], BOTTOM)], "below")
                for one in drawn
            ),
            *(polyline(one, "carried") for one in drawn),
            *(mark for km in ends for mark in _cross(scale.x(km), scale.y(0.0))),
        ]
    )


def _runs_dry(stretch: DryStretch) -> list[tuple[float, float]]:
    """Return where the line comes to nothing before the party arrives."""
    return [(stretch.dry_on_way.km, 0.0)] if stretch.dry_on_way else []


def _containers(plan: Plan, scale: Scale) -> Iterator[Markup]:
    """Draw all containers of a stop as one, filled as on leaving; above it what is missing."""
    hold_l = sum(sizes_l(plan).values())
    wide = _container_width(plan, scale)
    for stretch, fills in zip(plan.stretches, fills_by_stretch(plan), strict=True):
        x = scale.x(stretch.begin.km)
        wanted_y = scale.y(stretch.wanted_l)
        leaves_l = fills[-1].fill.leaving.total_l if fills else 0.0
        level = scale.y(leaves_l)
        css = verdict_class(stretch.verdict)
        if stretch.verdict is not Verdict.CLEAR and wanted_y < level:
            yield box(x - wide / 2, wanted_y, wide, level - wanted_y, f"missing fill-{css}")
        if fills:
            yield container(x, wide, scale, hold_l, leaves_l)
        notch = f"M{x - wide / 2 - 4:g} {wanted_y:g}h4M{x + wide / 2:g} {wanted_y:g}h4"
        yield tag("path", {"class": "takes", "d": notch})


def _container_width(plan: Plan, scale: Scale) -> float:
    """Narrower where stops lie close together."""
    x = [scale.x(stretch.begin.km) for stretch in plan.stretches]
    nearest = min((b - a for a, b in itertools.pairwise(x)), default=_WIDEST_PX)
    return round(min(max(nearest * 0.6, _NARROWEST_PX), _WIDEST_PX), 1)


def container(x: float, wide: float, scale: Scale, hold_l: float, litres: float) -> Markup:
    """Draw a container as high as what it holds, its neck on top, with so many litres in it."""
    left, top, level = x - wide / 2, scale.y(hold_l), scale.y(litres)
    outline = (
        f"M{left:g} {BOTTOM:g}V{top + 3:g}l{wide * 0.25:g} -3h{wide * 0.5:g}l{wide * 0.25:g} 3"
        f"V{BOTTOM:g}Z"
    )
    return joined(
        [
            tag("path", {"class": "can-room", "d": outline}),
            box(left, max(level, top + 3), wide, BOTTOM - max(level, top + 3), "can-water"),
            tag("path", {"class": "can", "d": outline}),
        ]
    )


def _key(plan: Plan, scale: Scale) -> list[Markup]:
    """Tell what is drawn, and nothing else."""
    entries = []
    if plan.fills:
        can = container(10, 10, Scale(1.0, _KEY_MOST_L), _KEY_MOST_L * 0.1, _KEY_MOST_L * 0.06)
        moved = tag("g", {"transform": f"translate(0 {13 - BOTTOM:g})"}, can)
        entries += [
            _key_entry(moved, "your containers on leaving"),
            _key_entry(line(0, 2, 20, 12, "carried"), "what you carry"),
        ]
    entries += [
        _key_entry(
            tag("path", {"class": "takes", "d": "M2 7h6M12 7h6"}), "what it takes, with reserve"
        ),
        _key_entry(box(1, 1, 18, 12, "reserve"), "the reserve"),
    ]
    drawn = {stretch.verdict for stretch in plan.stretches}
    for verdict in VERDICTS_WORST_FIRST:
        if verdict in drawn and verdict is not Verdict.CLEAR:
            is_missing = verdict is not Verdict.NO_CONTAINERS
            words = f"missing: {verdict}" if is_missing else "what you must carry"
            css = f"missing fill-{verdict_class(verdict)}"
            entries.append(_key_entry(box(5, 1, 10, 12, css), words))
    if any(_is_told(one) and _is_narrow(one, scale) for one in plan.stretches):
        entries.append(_key_entry(text(10, 12, "!", "middle"), "not clear"))
    if any(stretch.runs_dry for stretch in plan.stretches):
        entries.append(_key_entry(joined(_cross(10, 7)), "it runs dry"))
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
