"""A still map of the whole route, for paper and for readers without scripts."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from longdry.model.arrays import FloatArray
from longdry.model.backdrop import Backdrop
from longdry.model.plan.plan import Plan
from longdry.model.plan.stretch import DryStretch
from longdry.model.words import VERDICTS_WORST_FIRST, Verdict
from longdry.showing.map.drawn_sources import drawn_sources
from longdry.showing.map.line import Track, simplified
from longdry.showing.signs.scale import nice_step
from longdry.showing.signs.signs import (
    LINE_SIGNS,
    TURN_OUTLINE,
    grade_class,
    is_by_hand,
    sign_certainty,
    water_drawing,
)
from longdry.showing.still_map.along_route import route_labels, route_signs
from longdry.showing.still_map.backdrop import backdrop_names, backdrop_shapes
from longdry.showing.still_map.frame import WIDTH, MapFrame, frame_around, halo_text
from longdry.showing.still_map.labels import LabelRequest, Labels
from longdry.showing.words.markup import Attributes, Markup, joined, tag
from longdry.showing.words.measures import Measures
from longdry.showing.words.passes import passes_by_source
from longdry.showing.words.setbacks import stranding_ids, turn_back_places_km

_SIGN_PX = 20.0
_MOST_POINTS = 2000
"""Of the route, for finding room for labels."""


def overview_svg(
    plan: Plan, track: Track, measures: Measures, backdrops: Sequence[Backdrop] = ()
) -> Markup:
    """Draw the route by verdict, the water by grade, the numbers of the stretches and a scale.

    Lines, areas and names of a backdrop lie below them; its pictures are left out, since paper
    shows them too small and each would stand in the page twice.
    """
    frame = frame_around(track)
    labels = Labels(_route_points(track, frame), frame)
    given: Attributes = {
        "class": "overview-map",
        "viewBox": f"0 0 {WIDTH:g} {frame.height:g}",
        "role": "img",
        "aria-label": "The whole route drawn by verdict; the table of stretches says it in words",
    }
    return tag(
        "svg",
        given,
        tag("rect", {"class": "ground", "width": WIDTH, "height": f"{frame.height:g}"}),
        *backdrop_shapes(backdrops, frame),
        *_stretches(plan, track, frame),
        *route_signs(plan, track, frame, measures),
        *_waters(plan, track, frame),
        *_turn_backs(plan, track, frame),
        *labels.placed(_stretch_labels(plan, track, frame)),
        *labels.placed(route_labels(plan, track, frame, measures)),
        *labels.placed(backdrop_names(backdrops, frame), "halo backdrop-word"),
        _scale_bar(track, frame, measures),
    )


def _stretches(plan: Plan, track: Track, frame: MapFrame) -> Iterator[Markup]:
    parts = [track.cut(stretch.begin.km, stretch.end.km) for stretch in plan.stretches]
    lines = simplified(parts, tolerance_m=0.7 / frame.px_per_m)
    for stretch, line in zip(plan.stretches, lines, strict=True):
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


def _waters(plan: Plan, track: Track, frame: MapFrame) -> Iterator[Markup]:
    beside = passes_by_source(plan)
    stranding = stranding_ids(plan)
    sources = drawn_sources(plan)
    passes = [beside.get(source.id, []) for source in sources]
    places = [
        (source.lat_deg, track.nearest_lon(source.lon_deg, own[0].km if own else 0.0))
        for source, own in zip(sources, passes, strict=True)
    ]
    for source, own, (x, y) in zip(sources, passes, frame.points(places), strict=True):
        if not frame.holds(x, y):
            continue
        css = f"water-sign grade-{grade_class(source.grade)}"
        css += "" if any(passed.counted for passed in own) else " faint"
        size = _SIGN_PX / 24.0
        move = f"translate({x - _SIGN_PX / 2:.1f} {y - _SIGN_PX / 2:.1f}) scale({size:.3f})"
        certainty, by_hand = sign_certainty(source, own), is_by_hand(source, own)
        drawing = water_drawing(source.grade, certainty, by_hand=by_hand)
        if source.id in stranding:
            ring: Attributes = {"class": "strand-ring", "cx": 12, "cy": 12, "r": 16}
            drawing = joined([tag("circle", ring), drawing])
        yield tag("g", {"class": css, "transform": move}, drawing)


def _turn_backs(plan: Plan, track: Track, frame: MapFrame) -> Iterator[Markup]:
    """Draw the sign of turning back where a stretch has such a place inside it."""
    for km in turn_back_places_km(plan):
        x, y = frame.point(*track.at(km))
        move = f"translate({x - 8:.1f} {y - 20:.1f})"
        yield tag("path", {"class": "turn-sign", "d": TURN_OUTLINE, "transform": move})


def _route_points(track: Track, frame: MapFrame) -> FloatArray:
    step = max(1, track.lat_deg.size // _MOST_POINTS)
    return np.column_stack(frame.place(track.lat_deg[::step], track.lon_deg[::step]))


def _stretch_labels(plan: Plan, track: Track, frame: MapFrame) -> Iterator[LabelRequest]:
    for lat, lon, words in _end_labels(track):
        yield frame.point(lat, lon), words
    for stretch in sorted(plan.stretches, key=lambda s: VERDICTS_WORST_FIRST.index(s.verdict)):
        plain = stretch.verdict is Verdict.CLEAR
        words = str(stretch.number) if plain else f"{stretch.number}: {stretch.verdict}"
        yield frame.point(*track.at((stretch.begin.km + stretch.end.km) / 2.0)), words


def _end_labels(track: Track) -> list[tuple[float, float, str]]:
    first = (float(track.lat_deg[0]), float(track.lon_deg[0]))
    last = (float(track.lat_deg[-1]), float(track.lon_deg[-1]))
    if math.dist(first, last) < (float(np.ptp(track.lat_deg)) + float(np.ptp(track.lon_deg))) / 50:
        return [(*first, "start and end")]
    return [(*first, "start"), (*last, "end")]


def _scale_bar(track: Track, frame: MapFrame, measures: Measures) -> Markup:
    middle_lat = float(track.lat_deg.min() + track.lat_deg.max()) / 2.0
    px_per_km = frame.px_per_m * 1000.0 / math.cos(math.radians(middle_lat))
    px_per_unit = px_per_km * measures.km_per_length
    bar = nice_step(200.0 / px_per_unit, 1)
    if bar * px_per_unit > WIDTH / 2:
        bar = bar / 2.0
    x, y = 14.0, frame.height - 14.0
    d = f"M{x} {y - 6}V{y}H{x + bar * px_per_unit:.1f}V{y - 6}"
    words = f"{bar:g} {measures.length} in the middle of the sheet; north is up"
    return joined([tag("path", {"class": "bar", "d": d}), halo_text(x, y - 10.0, words, "start")])
