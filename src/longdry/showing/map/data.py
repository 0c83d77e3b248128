"""What the script of the map is handed: plain figures and plain text, never markup."""

from __future__ import annotations

import json
import math
from collections.abc import Sequence

import numpy as np

from longdry.model.plan.days import TravelDay
from longdry.model.plan.plan import Plan
from longdry.model.plan.setbacks import TurnBack
from longdry.model.plan.stretch import DryStretch
from longdry.model.water.passes import WaterPass
from longdry.model.water.source import WaterSource
from longdry.model.words import Certainty, Verdict
from longdry.showing.figures.figure import Json
from longdry.showing.map.drawn_sources import DrawnWater, places_beside
from longdry.showing.map.line import DrawnLines, LatLon, Track, map_place, simplified
from longdry.showing.map.setback_signs import STRANDS, turn_signs, wait_signs
from longdry.showing.signs.signs import (
    LINE_SIGNS,
    grade_class,
    sign_certainty,
)
from longdry.showing.words.amounts import (
    flow_words,
    length_words,
    need_words,
    offset_words,
    place_words,
    poured_words,
    supply_words,
    time_taken_words,
)
from longdry.showing.words.markup import clipped_name
from longdry.showing.words.measures import Measures
from longdry.showing.words.passes import last_visit, passes_by_source
from longdry.showing.words.places import coordinates
from longdry.showing.words.setbacks import (
    stranding_ids,
    turn_back_words,
    turn_backs_by_stretch,
)
from longdry.showing.words.sources import (
    certainty_words,
    grade_words,
    judged_words,
    opening_words,
    visit_words,
    why_not_words,
)
from longdry.showing.words.stops import StopFill, fills_by_stretch, leave_words, sizes_l
from longdry.showing.words.stretches import dry_words, end_words, missing_words, told_missing_l

_MOST_KM_MARKS = 250
_STEPS = (1.0, 2.0, 5.0)


def map_data(
    plan: Plan, track: Track, lines: DrawnLines, measures: Measures, water: DrawnWater
) -> Json:
    """Gather everything that the script draws.

    Parameters
    ----------
    lines
        The stretches on the plane of web maps.
    """
    beside = passes_by_source(plan)
    stranding = stranding_ids(plan)
    turns = turn_backs_by_stretch(plan)
    called = _called_at(plan)
    return {
        "stretches": [
            _stretch(stretch, line, track, measures, turns.get(stretch.number))
            for stretch, line in zip(plan.stretches, simplified(lines), strict=True)
        ],
        "waters": [
            _water(source, beside.get(source.id, []), place, measures)
            | _if_dry(strands=source.id in stranding)
            | _calls(source, called.get(source.id, []), plan, measures)
            for source, place in places_beside(water.named, beside, track)
        ],
        "dots": [
            [*map_place(place), int(any(one.counted for one in beside.get(source.id, ())))]
            for source, place in places_beside(water.dots, beside, track)
        ],
        "dense": water.is_dense,
        "worst": plan.longest.worst,
        "turns": turn_signs(plan, track, measures),
        "waits": wait_signs(plan, track, measures),
        "ways": _ways(plan, water, track),
        "camps": [_camp(day, track) for day in plan.days if day.camp],
        "marks": _marks(track, measures),
        "ends": _ends(track),
        "length": round(float(track.km[-1]) / measures.km_per_length, 4),
        "from": round(plan.stretches[0].begin.km / measures.km_per_length, 4),
        "unit": measures.mark_word,
    }


def json_block(data: Json) -> str:
    r"""Write JSON that no text inside can end or open as markup.

    >>> print(json_block({"name": "</script>"}))
    {"name":"\u003c/script\u003e"}
    """
    text = json.dumps(data, separators=(",", ":"), allow_nan=False, check_circular=False)
    return text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")


def _if_dry(*, strands: bool) -> Json:
    return {"strands": strands, "ifDry": STRANDS if strands else ""}


_Calls = list[tuple[int, DryStretch, tuple[StopFill, ...]]]


def _called_at(plan: Plan) -> dict[str, _Calls]:
    """Return for each source its stops: their places in the plan, what follows, and the fills."""
    found: dict[str, _Calls] = {}
    for place, (stretch, fills) in enumerate(
        zip(plan.stretches, fills_by_stretch(plan), strict=True)
    ):
        for id_ in {water.source.id for water in stretch.begin.waters}:
            found.setdefault(id_, []).append((place, stretch, fills))
    return found


def _calls(source: WaterSource, called: _Calls, plan: Plan, measures: Measures) -> Json:
    """Number of the stop that calls there, and the litres that are taken and left with."""
    rows = []
    for _, stretch, fills in called:
        here = [
            one.fill
            for one in fills
            if one.fill.take_l > 0.0 and one.fill.water and one.fill.water.source.id == source.id
        ]
        take = ", ".join(f"take {poured_words(fill.take_l, measures)}" for fill in here)
        leave = f"leave with {need_words(stretch.wanted_l, measures)}"
        if fills:
            leave = f"leave with {leave_words(fills[-1].fill, sizes_l(plan), measures)[0]}"
        notes = ", ".join(filter(None, (take, leave)))
        rows.append((f"Stop at {place_words(stretch.begin.km, measures)}", notes))
    return {"stop": called[0][0] if called else None, "calls": rows}


def _stretch(
    stretch: DryStretch,
    line: list[list[float]],
    track: Track,
    measures: Measures,
    turn: TurnBack | None,
) -> Json:
    sign = LINE_SIGNS[stretch.verdict]
    need = need_words(stretch.need.total_l, measures)
    rows = [
        (
            "From",
            f"{clipped_name(end_words(stretch.begin))}, {place_words(stretch.begin.km, measures)}",
        ),
        ("To", f"{clipped_name(end_words(stretch.end))}, {place_words(stretch.end.km, measures)}"),
        (
            "Length",
            f"{length_words(stretch.length_km, measures)}, {time_taken_words(stretch.days)}",
        ),
        ("Need", f"{need}, reserve {need_words(stretch.reserve_l, measures)}"),
        ("Containers hold", supply_words(stretch.available_l, measures)),
        ("Missing", missing_words(stretch, measures)),
        *(("Runs", words) for words in [dry_words(stretch, measures)] if words),
    ]
    if turn:
        rows += [("Turning back", w) for w in turn_back_words(turn, stretch, measures)]
    return {
        "number": stretch.number,
        "css": sign.css,
        "line": line,
        "dash": sign.dash,
        "width": sign.width_px,
        "title": f"{str(stretch.verdict).capitalize()}: {clipped_name(end_words(stretch.begin))}"
        f" to {clipped_name(end_words(stretch.end))}",
        "tag": _stretch_label(stretch, measures),
        "to": round(stretch.end.km / measures.km_per_length, 4),
        "middle": map_place(track.at((stretch.begin.km + stretch.end.km) / 2.0)),
        "rows": rows,
    }


def _stretch_label(stretch: DryStretch, measures: Measures) -> str:
    """Words beside a stretch that is not clear; empty for any other."""
    if stretch.verdict in (Verdict.CLEAR, Verdict.NO_CONTAINERS):
        return ""
    length, missing_l = length_words(stretch.length_km, measures), told_missing_l(stretch)
    if missing_l is None:
        return f"{length}, {stretch.verdict}"
    return f"{length}, {need_words(missing_l, measures)} missing"


def _water(
    source: WaterSource, own: Sequence[WaterPass], place: LatLon, measures: Measures
) -> Json:
    counted = any(passed.counted for passed in own)
    judged = judged_words(own[0], measures) if own else certainty_words(source)
    rows = [("Grade", grade_words(source)), *_flow_and_limit(source, measures), ("Water", judged)]
    rows += [
        (f"At {place_words(passed.km, measures)}", _pass_words(passed, measures)) for passed in own
    ]
    if not own:
        rows.append(("Route", "does not come near enough: not counted"))
    notes = (("Kind", source.kind), ("Getting at it", source.access), ("Note", source.note))
    rows += [(head, clipped_name(text)) for head, text in notes if text]
    rows += [("Hours", words) for words in [opening_words(source)] if words]
    rows += _last_visit(own, measures)
    rows.append(("Place", coordinates(source.lat_deg, source.lon_deg)))
    return {
        "at": map_place(place),
        "grade": grade_class(source.grade),
        "unsure": sign_certainty(source, own) is Certainty.DOUBTFUL,
        "counted": counted,
        "title": clipped_name(source.name),
        "rows": rows,
    }


def _flow_and_limit(source: WaterSource, measures: Measures) -> list[tuple[str, str]]:
    """Tell flow and limit in one line, so that they stand above what must be scrolled to."""
    flow, limit_l = source.flow_l_per_min, source.limit_l
    notes = [] if flow is None else [flow_words(flow, measures)]
    notes += [] if limit_l is None else [f"at most {supply_words(limit_l, measures)}"]
    return [("Gives", ", ".join(notes))] if notes else []


def _last_visit(own: Sequence[WaterPass], measures: Measures) -> list[tuple[str, str]]:
    last = last_visit(own[0]) if own else None
    if last is None:
        return []
    note = f", {clipped_name(last.note)}" if last.note else ""
    return [("Last visit", visit_words(last, measures) + note)]


def _pass_words(passed: WaterPass, measures: Measures) -> str:
    if not passed.counted:
        return f"not counted: {why_not_words(passed, measures)}; {_off_the_route(passed, measures)}"
    return _off_the_route(passed, measures)


def _off_the_route(passed: WaterPass, measures: Measures) -> str:
    if passed.way_km <= 0.0:
        return "on the route"
    way = offset_words(passed.way_km, measures)
    return f"{offset_words(passed.offset_km, measures)} off the route, way there {way}"


def _ways(plan: Plan, water: DrawnWater, track: Track) -> list[Json]:
    """Return the straight lines from the route to the water, of a dense layer to calls alone."""
    drawn = water.at_stops if water.is_dense else {source.id for source in water.named}
    off = [one for one in plan.passes if one.source.id in drawn and one.offset_km > 0.0]
    km = np.array([one.km for one in off])
    leave = track.nearest_lon(np.array([one.lon_deg for one in off]), km).tolist()
    arrive = track.nearest_lon(np.array([one.source.lon_deg for one in off]), km).tolist()
    return [
        {
            "line": [map_place((one.lat_deg, leaves)), map_place((one.source.lat_deg, arrives))],
            "counted": one.counted,
        }
        for one, leaves, arrives in zip(off, leave, arrive, strict=True)
    ]


def _camp(day: TravelDay, track: Track) -> Json:
    return {"at": map_place(track.at(day.to_km)), "day": day.number}


def _ends(track: Track) -> list[Json]:
    first, last = track.at(float(track.km[0])), track.at(float(track.km[-1]))
    return [{"at": map_place(first), "words": "start"}, {"at": map_place(last), "words": "end"}]


def _marks(track: Track, measures: Measures) -> list[list[float]]:
    unit = measures.km_per_length
    length = float(track.km[-1]) / unit
    step = mark_step(length)
    marks = step * np.arange(1, math.floor(length / step) + 1, dtype=np.float64)
    km = marks * unit
    lat_deg, lon_deg = (degrees.tolist() for degrees in track.places(km))
    headings_deg = track.headings_deg(km).round().tolist()
    return [
        [mark, *map_place((lat, lon)), heading]
        for mark, lat, lon, heading in zip(
            marks.tolist(), lat_deg, lon_deg, headings_deg, strict=True
        )
    ]


def mark_step(length: float) -> float:
    """Step of the marks along the route, few enough: 1, 2 or 5 times a power of ten.

    >>> mark_step(1200.0), mark_step(0.5)
    (5.0, 0.01)
    """
    power = -2
    while True:
        for step in _STEPS:
            if length <= step * 10.0**power * _MOST_KM_MARKS:
                return float(round(step * 10.0**power, 6))
        power += 1
