"""Below the profile: camps with the number of their day, and the heights where they are known."""

from __future__ import annotations

import math

import numpy as np

from longdry.model.arrays import FloatArray
from longdry.model.plan.plan import Plan
from longdry.model.route import MeasuredRoute
from longdry.showing.signs.scale import (
    BOTTOM,
    CHART_WIDTH,
    LEFT,
    RIGHT,
    Scale,
    line,
    nice_step,
    scale_text,
    text,
)
from longdry.showing.signs.signs import CAMP_OUTLINE
from longdry.showing.words.markup import Markup, joined, tag
from longdry.showing.words.measures import Measures
from longdry.units import M_PER_FOOT

CAMP_ROW = 22.0
_STRIP = 44.0
_STRIP_TOP_GAP = 44.0
_BINS = 300
_ROOM_FOR_NUMBER = 16.0
_LEAST_SPAN_M = 20.0
_HALF = 0.5


def camp_domes(plan: Plan, scale: Scale) -> Markup:
    """Draw a dome where a day ends in a camp, with as many numbers of days as there is room for."""
    parts: list[Markup] = []
    free_from = -math.inf
    for day in plan.days:
        if not day.camp:
            continue
        x = scale.x(day.to_km)
        move = f"translate({x - 6:g} {BOTTOM + 3:g}) scale(.75)"
        dome = tag("path", {"d": CAMP_OUTLINE, "class": "camp-dome", "transform": move})
        if x - free_from >= _ROOM_FOR_NUMBER:
            dome = joined([dome, text(x, BOTTOM + 25, str(day.number), "middle")])
            free_from = x
        parts.append(dome)
    return joined(parts)


def heights_known(measured: MeasuredRoute) -> bool:
    """Whether at least half of the points have a height."""
    return bool(np.isfinite(measured.route.height_m).mean() >= _HALF)


def ground_top() -> float:
    """Where the strip of heights begins."""
    return BOTTOM + CAMP_ROW + _STRIP_TOP_GAP


def ground_bottom() -> float:
    """Where it ends."""
    return ground_top() + _STRIP


def ground(measured: MeasuredRoute, scale: Scale, measures: Measures) -> Markup:
    """Draw the heights of the route as an area of its own, gaps left out."""
    km, height_m = _binned(measured)
    low, high = float(np.nanmin(height_m)), float(np.nanmax(height_m))
    span = max(high - low, _LEAST_SPAN_M)
    floor = ground_bottom()

    def y(metres: float) -> float:
        return round(floor - 4.0 - (metres - low) / span * (_STRIP - 8.0), 1)

    areas = [
        _area([(scale.x(at), y(metres)) for at, metres in run], floor)
        for run in _runs(km, height_m)
    ]
    unit_m, unit = (M_PER_FOOT, "ft") if measures.is_us else (1.0, "m")
    step = nice_step(span / unit_m, 2)
    first = math.ceil(low / unit_m / step)
    marks = [number * step for number in range(first, math.floor(high / unit_m / step) + 1)]
    rules = [
        joined(
            [
                line(LEFT, y(mark * unit_m), CHART_WIDTH - RIGHT, y(mark * unit_m), "rule"),
                scale_text(y(mark * unit_m), mark),
            ]
        )
        for mark in marks
    ]
    head = text(LEFT, ground_top() - 6, f"height of the ground, {unit}", "start")
    edge = line(LEFT, floor, CHART_WIDTH - RIGHT, floor, "axis")
    return joined([*areas, *rules, head, edge])


def _binned(measured: MeasuredRoute) -> tuple[FloatArray, FloatArray]:
    """Return the middle km and the highest height of each of some hundred parts of the route."""
    length = max(measured.length_km, 1e-6)
    height_m = measured.route.height_m
    known = np.isfinite(height_m)
    place = np.minimum((measured.chainage_km[known] / length * _BINS).astype(int), _BINS - 1)
    highest = np.full(_BINS, -np.inf)
    np.maximum.at(highest, place, height_m[known])
    km = (np.arange(_BINS) + 0.5) * length / _BINS
    return _between_filled(km, np.where(np.isfinite(highest), highest, np.nan), measured)


def _between_filled(
    km: FloatArray, height_m: FloatArray, measured: MeasuredRoute
) -> tuple[FloatArray, FloatArray]:
    """Fill parts that hold no point at all between two known points that follow each other."""
    known = np.isfinite(measured.route.height_m)
    points_km = measured.chainage_km
    after = np.clip(np.searchsorted(points_km, km), 1, points_km.size - 1)
    both = known[after - 1] & known[after]
    straight = np.interp(km, points_km[known], measured.route.height_m[known])
    return km, np.where(np.isnan(height_m) & both, straight, height_m)


def _runs(km: FloatArray, height_m: FloatArray) -> list[list[tuple[float, float]]]:
    runs: list[list[tuple[float, float]]] = [[]]
    for place, height in zip(km.tolist(), height_m.tolist(), strict=True):
        if math.isnan(height):
            runs.append([])
        else:
            runs[-1].append((place, height))
    return [run for run in runs if len(run) > 1]


def _area(points: list[tuple[float, float]], floor: float) -> Markup:
    top = "L".join(f"{x:g} {y:g}" for x, y in points)
    d = f"M{points[0][0]:g} {floor:g}L{top}L{points[-1][0]:g} {floor:g}Z"
    return tag("path", {"class": "ground-area", "d": d})
