"""Along the way on the still map: distances, direction of travel, camps, the shortest wait."""

from __future__ import annotations

import math
from collections.abc import Iterator

from longdry.model.plan.plan import Plan
from longdry.showing.map.line import Track
from longdry.showing.signs.scale import nice_step
from longdry.showing.signs.signs import ARROW_OUTLINE, CAMP_OUTLINE, WAIT_OUTLINE
from longdry.showing.still_map.frame import MapFrame
from longdry.showing.still_map.labels import LabelRequest
from longdry.showing.words.amounts import days_lasting_words
from longdry.showing.words.markup import Markup, tag
from longdry.showing.words.measures import Measures

_MOST_MARKS = 12
_MOST_CAMPS = 40


def route_signs(plan: Plan, track: Track, frame: MapFrame, measures: Measures) -> Iterator[Markup]:
    """Draw arrows in the direction of travel, camps, and where waiting is shortest."""
    for _, km in _marks(track, measures):
        x, y = frame.point(*track.at(km))
        turn = f"translate({x:.1f} {y:.1f}) rotate({track.heading_deg(km):.0f}) translate(-8 -8)"
        yield tag("path", {"class": "way-arrow", "d": ARROW_OUTLINE, "transform": turn})
    for km in _camps_km(plan):
        x, y = frame.point(*track.at(km))
        move = f"translate({x - 8:.1f} {y - 13:.1f})"
        yield tag("path", {"class": "camp-dome", "d": CAMP_OUTLINE, "transform": move})
    for km, _ in _wait(plan):
        x, y = frame.point(*track.at(km))
        move = f"translate({x + 8:.1f} {y - 16:.1f})"
        yield tag("path", {"class": "turn-sign", "d": WAIT_OUTLINE, "transform": move})


def route_labels(
    plan: Plan, track: Track, frame: MapFrame, measures: Measures
) -> Iterator[LabelRequest]:
    """Words for them: the wait first, then distances, then the days of the camps."""
    for km, words in _wait(plan):
        yield frame.point(*track.at(km)), words
    for mark, km in _marks(track, measures):
        yield frame.point(*track.at(km)), f"{measures.mark_word} {mark:g}"
    camps = {day.to_km: day.number for day in plan.days if day.camp}
    for km in _camps_km(plan):
        yield frame.point(*track.at(km)), f"day {camps[km]}"


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
    wait = plan.setbacks.sit_out if plan.setbacks else None
    if wait is None or not math.isfinite(wait.least_days):
        return []
    return [(wait.at_km, f"shortest wait: {days_lasting_words(wait.least_days)}")]
