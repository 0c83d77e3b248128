"""A still map of the whole route, for paper and for readers without scripts."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from longdry.model.arrays import FloatArray
from longdry.model.backdrop import Backdrop, BackdropShape, DrawnBackdrop, ShapeKind
from longdry.model.plan.plan import Plan
from longdry.model.plan.stretch import DryStretch, worst_first
from longdry.model.water.passes import WaterPass
from longdry.model.water.source import WaterSource
from longdry.model.words import VERDICTS_WORST_FIRST, Certainty, Verdict
from longdry.showing.map.drawn_sources import DrawnWater, places_beside
from longdry.showing.map.line import DrawnLines, LatLon, Track, simplified
from longdry.showing.map.setback_signs import shown_wait
from longdry.showing.signs.scale import nice_step
from longdry.showing.signs.signs import (
    ARROW_OUTLINE,
    CAMP_OUTLINE,
    LINE_SIGNS,
    TURN_OUTLINE,
    WAIT_OUTLINE,
    sign_certainty,
    water_drawing,
)
from longdry.showing.still_map.frame import (
    MAP_WIDTH,
    MapFrame,
    Point,
    frame_around,
    halo_text,
)
from longdry.showing.still_map.labels import DrawnSign, LabelBox, LabelRequest, Labels
from longdry.showing.words.amounts import days_lasting_words, need_words
from longdry.showing.words.markup import Attributes, Markup, clipped_name, joined, tag
from longdry.showing.words.measures import Measures
from longdry.showing.words.passes import passes_by_source
from longdry.showing.words.setbacks import stranding_ids, turn_back_mark, turn_back_places_km
from longdry.showing.words.stretches import told_missing_l

_SIGN_PX = 20.0
_LONGEST_NAME = 32
_MOST_POINTS = 2000
"""Of the route, for finding room for labels."""
_MOST_MARKS = 8
_MOST_CAMPS = 40
_LEAST_PX = 1.0
"""What is smaller than this in the picture is left out."""
_MOST_NAMES = 60
_LONGEST_PLACE_NAME = 40
_CSS = {
    ShapeKind.AREA: "backdrop-area",
    ShapeKind.LINE: "backdrop-line",
    ShapeKind.POINT: "backdrop-point",
}


def overview_svg(
    plan: Plan,
    track: Track,
    lines: DrawnLines,
    measures: Measures,
    water: DrawnWater,
    backdrops: Sequence[Backdrop] = (),
) -> Markup:
    """Draw the route by verdict, the water by grade, names and a scale.

    Lines, areas and names of a backdrop lie below them; its pictures are left out, since paper
    shows them too small and each would stand in the page twice.
    """
    frame = frame_around(track)
    called = [one for one in water.named if one.id in water.at_stops]
    signs = list(_signs(plan, track, frame, called))
    labels = Labels(_route_points(track, frame), signs, frame)
    given: Attributes = {
        "class": "overview-map",
        "viewBox": f"0 0 {MAP_WIDTH:g} {frame.height:g}",
        "role": "img",
        "aria-label": "The whole route drawn by verdict; the list of the way says it in words",
    }
    return tag(
        "svg",
        given,
        tag("rect", {"class": "ground", "width": MAP_WIDTH, "height": f"{frame.height:g}"}),
        *backdrop_shapes(backdrops, frame),
        *_passed_by(plan, track, frame, water),
        *_stretches(plan, lines, frame),
        *route_signs(plan, track, frame, measures),
        *_waters(plan, track, frame, called),
        *_turn_backs(plan, track, frame),
        *labels.placed(_gap_labels(plan, track, frame, measures), "halo gap-word"),
        *labels.placed(_turn_labels(plan, track, frame, measures, clear=False), "halo gap-word"),
        *labels.placed(_requests(_wait(plan), track, frame)),
        *labels.placed(_names(plan, track, frame)),
        *labels.placed(_turn_labels(plan, track, frame, measures, clear=True)),
        *labels.placed(route_labels(plan, track, frame, measures)),
        *labels.placed(backdrop_names(backdrops, frame), "halo backdrop-word"),
        _scale_bar(track, frame, measures),
    )


def _stretches(plan: Plan, lines: DrawnLines, frame: MapFrame) -> Iterator[Markup]:
    drawn = zip(plan.stretches, simplified(lines, 0.7 / frame.px_per_m), strict=True)
    for stretch, line in sorted(drawn, key=lambda one: -VERDICTS_WORST_FIRST.index(one[0].verdict)):
        yield _stretch(stretch, "M" + "L".join([f"{x:.1f} {y:.1f}" for x, y in frame.points(line)]))


def _stretch(stretch: DryStretch, d: str) -> Markup:
    sign = LINE_SIGNS[stretch.verdict]
    casing: Attributes = {"d": d, "class": "casing", "stroke-width": sign.width_px + 3.0}
    line: dict[str, str | int | float] = {
        "d": d,
        "class": f"line-{sign.css}",
        "stroke-width": sign.width_px,
    }
    if sign.dash:
        line["stroke-dasharray"] = sign.dash
    return tag("g", None, tag("path", casing), tag("path", line))


def _passed_by(plan: Plan, track: Track, frame: MapFrame, water: DrawnWater) -> Iterator[Markup]:
    """Draw what the plan does not call at, below the route; in a dense layer as dots."""
    others = [one for one in water.named if one.id not in water.at_stops]
    if water.is_dense:
        yield _dots(plan, track, frame, [*others, *water.dots])
    else:
        yield from _waters(plan, track, frame, others, scale=0.6)


def _waters(
    plan: Plan,
    track: Track,
    frame: MapFrame,
    sources: Sequence[WaterSource],
    scale: float = 1.0,
) -> Iterator[Markup]:
    stranding = stranding_ids(plan)
    half = _SIGN_PX / 2 * scale
    for source, own, (x, y) in _placed(plan, track, frame, sources):
        if not frame.holds(x, y):
            continue
        counts = any(passed.counted for passed in own)
        unsure = sign_certainty(source, own) is Certainty.DOUBTFUL
        css = f"water-sign{'' if counts else ' faint'}{' unsure' if unsure else ''}"
        small = f" scale({scale:g})" if scale != 1.0 else ""
        move = f"translate({x - half:.1f} {y - half:.1f}){small}"
        drawing = water_drawing(source.grade)
        if source.id in stranding:
            ring: Attributes = {"class": "strand-ring", "cx": 12, "cy": 12, "r": 11}
            drawing = joined([tag("circle", ring), drawing])
        yield tag("g", {"class": css, "transform": move}, drawing)


def _placed(
    plan: Plan, track: Track, frame: MapFrame, sources: Sequence[WaterSource]
) -> Iterator[tuple[WaterSource, Sequence[WaterPass], Point]]:
    """Return sources with their passes and their places in the picture."""
    beside = passes_by_source(plan)
    passes = [beside.get(source.id, []) for source in sources]
    places = [place for _, place in places_beside(sources, beside, track)]
    return zip(sources, passes, frame.points(places), strict=True)


def _dots(plan: Plan, track: Track, frame: MapFrame, sources: Sequence[WaterSource]) -> Markup:
    """Draw the water beyond the number that has signs, as one path of dots."""
    placed = _placed(plan, track, frame, sources)
    at = [f"M{x:.0f} {y:.0f}h0" for _, _, (x, y) in placed if frame.holds(x, y)]
    look: Attributes = {"d": "".join(at), "fill": "none", "stroke-width": 3,
                        "stroke-linecap": "round", "class": "water-dots"}  # fmt: skip
    return tag("path", look)


def _signs(
    plan: Plan, track: Track, frame: MapFrame, called: Sequence[WaterSource]
) -> Iterator[DrawnSign]:
    """Return the room of the signs that no other words may lie on: water, camps and turns."""
    half = _SIGN_PX / 2
    for _, _, (x, y) in _placed(plan, track, frame, called):
        yield DrawnSign((x, y), LabelBox(x - half, y - half, x + half, y + half))
    for x, y in _along(_camps_km(plan), track, frame):
        yield DrawnSign((x, y), LabelBox(x - 8.0, y - 13.0, x + 8.0, y))
    for x, y in _along(turn_back_places_km(plan), track, frame):
        yield DrawnSign((x, y), LabelBox(x - 8.0, y - 20.0, x + 8.0, y - 4.0))


def _along(kms: Sequence[float], track: Track, frame: MapFrame) -> Iterator[Point]:
    """Return the places of km of the route in the picture."""
    return frame.points([track.at(km) for km in kms])


def _requests(
    words: Sequence[tuple[float, str]], track: Track, frame: MapFrame
) -> Iterator[LabelRequest]:
    """Ask for room for words, each with its km of the route."""
    places = _along([km for km, _ in words], track, frame)
    return zip(places, [each for _, each in words], strict=True)


def _turn_backs(plan: Plan, track: Track, frame: MapFrame) -> Iterator[Markup]:
    """Draw the sign of turning back where a stretch has such a place inside it."""
    for x, y in _along(turn_back_places_km(plan), track, frame):
        move = f"translate({x - 8:.1f} {y - 20:.1f})"
        yield tag("path", {"class": "turn-sign", "d": TURN_OUTLINE, "transform": move})


def _route_points(track: Track, frame: MapFrame) -> FloatArray:
    step = max(1, track.lat_deg.size // _MOST_POINTS)
    return np.array(frame.place(track.lat_deg[::step], track.lon_deg[::step]))


def _gap_labels(
    plan: Plan, track: Track, frame: MapFrame, measures: Measures
) -> Iterator[LabelRequest]:
    """Words of the stretches that are not clear, the worst first."""
    told = []
    for stretch in worst_first(plan.stretches):
        if stretch.verdict in (Verdict.CLEAR, Verdict.NO_CONTAINERS):
            continue
        missing_l = told_missing_l(stretch)
        lacks = (
            str(stretch.verdict)
            if missing_l is None
            else f"{need_words(missing_l, measures)} missing"
        )
        middle_km = (stretch.begin.km + stretch.end.km) / 2.0
        told.append((middle_km, f"{measures.way(stretch.length_km)}, {lacks}"))
    return _requests(told, track, frame)


def _turn_labels(
    plan: Plan, track: Track, frame: MapFrame, measures: Measures, *, clear: bool
) -> Iterator[LabelRequest]:
    """Words of the last turns: those of clear stretches give way to the names of water."""
    clear_ones = [one for one in plan.stretches if one.verdict is Verdict.CLEAR]
    told = [
        (km, f"turn back by {turn_back_mark(km, measures)}")
        for km in turn_back_places_km(plan)
        if any(one.begin.km < km < one.end.km for one in clear_ones) == clear
    ]
    return _requests(told, track, frame)


def _names(plan: Plan, track: Track, frame: MapFrame) -> Iterator[LabelRequest]:
    """Names of the water that the plan calls at, after start and end."""
    ends = _end_labels(track)
    yield from zip(frame.points(list(ends.values())), ends, strict=True)
    calls = [one.begin.water.source for one in plan.stretches[1:] if one.begin.water]
    called = list({source.id: source for source in calls}.values())
    for source, _, place in _placed(plan, track, frame, called):
        if frame.holds(*place):
            yield place, clipped_name(source.name)[:_LONGEST_NAME]


def _end_labels(track: Track) -> dict[str, LatLon]:
    first = (float(track.lat_deg[0]), float(track.lon_deg[0]))
    last = (float(track.lat_deg[-1]), float(track.lon_deg[-1]))
    if math.dist(first, last) < (float(np.ptp(track.lat_deg)) + float(np.ptp(track.lon_deg))) / 50:
        return {"start and end": first}
    return {"start": first, "end": last}


def _scale_bar(track: Track, frame: MapFrame, measures: Measures) -> Markup:
    middle_lat = float(track.lat_deg.min() + track.lat_deg.max()) / 2.0
    px_per_km = frame.px_per_m * 1000.0 / math.cos(math.radians(middle_lat))
    px_per_unit = px_per_km * measures.km_per_length
    bar = nice_step(200.0 / px_per_unit, 1)
    if bar * px_per_unit > MAP_WIDTH / 2:
        bar = bar / 2.0
    x, y = 14.0, frame.height - 14.0
    d = f"M{x} {y - 6}V{y}H{x + bar * px_per_unit:.1f}V{y - 6}"
    words = f"{bar:g} {measures.length} in the middle of the sheet; north is up"
    return joined([tag("path", {"class": "bar", "d": d}), halo_text(x, y - 10.0, words, "start")])


def route_signs(plan: Plan, track: Track, frame: MapFrame, measures: Measures) -> Iterator[Markup]:
    """Draw arrows in the direction of travel, camps, and where waiting is shortest."""
    marks_km = [km for _, km in _marks(track, measures)]
    headings_deg = track.headings_deg(np.array(marks_km))
    for (x, y), heading_deg in zip(_along(marks_km, track, frame), headings_deg, strict=True):
        turn = f"translate({x:.1f} {y:.1f}) rotate({heading_deg:.0f}) translate(-8 -8)"
        yield tag("path", {"class": "way-arrow", "d": ARROW_OUTLINE, "transform": turn})
    for x, y in _along(_camps_km(plan), track, frame):
        move = f"translate({x - 8:.1f} {y - 13:.1f})"
        yield tag("path", {"class": "camp-dome", "d": CAMP_OUTLINE, "transform": move})
    for x, y in _along([km for km, _ in _wait(plan)], track, frame):
        move = f"translate({x + 8:.1f} {y - 16:.1f})"
        yield tag("path", {"class": "turn-sign", "d": WAIT_OUTLINE, "transform": move})


def route_labels(
    plan: Plan, track: Track, frame: MapFrame, measures: Measures
) -> Iterator[LabelRequest]:
    """Words for them: distances, then the days of the camps."""
    marks = [(km, f"{measures.mark_word} {mark:g}") for mark, km in _marks(track, measures)]
    camps = {day.to_km: day.number for day in plan.days if day.camp}
    days = [(km, f"day {camps[km]}") for km in _camps_km(plan)]
    return _requests([*marks, *days], track, frame)


def _marks(track: Track, measures: Measures) -> list[tuple[float, float]]:
    """Return round distances in the reader's unit with their km, the ends left out."""
    length = float(track.km[-1]) / measures.km_per_length
    step = nice_step(length, _MOST_MARKS)
    count = math.ceil(length / step - 1e-9)
    return [(n * step, n * step * measures.km_per_length) for n in range(1, count)]


def _camps_km(plan: Plan) -> list[float]:
    camps = list(dict.fromkeys(day.to_km for day in plan.days if day.camp))
    return camps if len(camps) <= _MOST_CAMPS else []


def _wait(plan: Plan) -> list[tuple[float, str]]:
    wait = shown_wait(plan)
    if wait is None:
        return []
    return [(wait.at_km, f"shortest wait: {days_lasting_words(wait.least_days)}")]


@dataclass(frozen=True, slots=True, eq=False)
class _Drawn:
    """A shape in the picture."""

    shape: BackdropShape
    points: FloatArray
    """Shape (n, 2)."""


def backdrop_shapes(backdrops: Sequence[Backdrop], frame: MapFrame) -> Iterator[Markup]:
    """Draw all shapes of one kind as one path: areas, then lines, then points."""
    drawn = _in_picture(backdrops, frame)
    for kind, css in _CSS.items():
        parts = [_path(one) for one in drawn if one.shape.kind is kind]
        if parts:
            given: Attributes = {"class": css, "d": "".join(parts)}
            yield tag("path", given)


def backdrop_names(backdrops: Sequence[Backdrop], frame: MapFrame) -> Iterator[LabelRequest]:
    """Return names with their places, points first; only so many find room on paper."""
    named = [one for one in _in_picture(backdrops, frame) if one.shape.name.strip()]
    named.sort(key=lambda one: one.shape.kind is not ShapeKind.POINT)
    for one in named[:_MOST_NAMES]:
        inside = [(x, y) for x, y in one.points.tolist() if frame.holds(x, y)]
        name = clipped_name(one.shape.name)
        short = name if len(name) <= _LONGEST_PLACE_NAME else f"{name[:_LONGEST_PLACE_NAME]}…"
        yield inside[len(inside) // 2], short


def _in_picture(backdrops: Sequence[Backdrop], frame: MapFrame) -> list[_Drawn]:
    shapes = [
        shape for each in backdrops if isinstance(each, DrawnBackdrop) for shape in each.shapes
    ]
    drawn = [
        _Drawn(shape, np.column_stack(frame.place(shape.lat_deg, shape.lon_deg)))
        for shape in shapes
    ]
    return [one for one in drawn if _shows(one, frame)]


def _shows(one: _Drawn, frame: MapFrame) -> bool:
    """Whether a point of it lies in the picture and it is no mere dot there."""
    is_large = (
        one.shape.kind is ShapeKind.POINT or float(np.ptp(one.points, axis=0).max()) > _LEAST_PX
    )
    return is_large and any(frame.holds(x, y) for x, y in one.points.tolist())


def _path(one: _Drawn) -> str:
    """Write the shape with one point a pixel at most; a point is a line of no length."""
    x, y = one.points[0]
    if one.shape.kind is ShapeKind.POINT:
        return f"M{x:.0f} {y:.0f}h0"
    kept = np.round(one.points)
    moves = np.any(np.diff(kept, axis=0, prepend=kept[:1] + 1.0) != 0.0, axis=1)
    line = "L".join(f"{x:.0f} {y:.0f}" for x, y in kept[moves].tolist())
    return f"M{line}{'Z' if one.shape.kind is ShapeKind.AREA else ''}"
