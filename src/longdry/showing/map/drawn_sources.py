"""Which sources a page has room for: all that the route comes near, and the nearest of the rest."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from longdry.model.arrays import FloatArray
from longdry.model.plan.plan import Plan
from longdry.model.water.source import WaterSource
from longdry.showing.words.in_need import worseness
from longdry.showing.words.passes import passes_by_source

MOST_FAR = 500
"""Sources that the route does not come near, shown on the page; a layer may hold 200,000."""

MOST_NAMED = 250
"""Sources that stand on the maps with name and sign; all others are dots."""


def named_and_dots(plan: Plan) -> tuple[tuple[WaterSource, ...], tuple[WaterSource, ...]]:
    """Return the drawn sources with name and sign, and those that are dots, by their layers.

    What is called at has a name, then what counts, then the better and nearer.
    """
    drawn = drawn_sources(plan)
    if len(drawn) <= MOST_NAMED:
        return drawn, ()
    beside = passes_by_source(plan)
    at_stops = {w.source.id for each in plan.stretches for w in each.begin.waters}

    def best_first(source: WaterSource) -> tuple[bool, bool, int, float]:
        own = beside.get(source.id, [])
        way_km = min((one.way_km for one in own), default=math.inf)
        counts = any(one.counted for one in own)
        return (source.id not in at_stops, not counts, worseness(source), way_km)

    best = sorted(drawn, key=best_first)[: max(MOST_NAMED, len(at_stops))]
    named = {source.id for source in best}
    return (
        tuple(source for source in drawn if source.id in named),
        tuple(source for source in drawn if source.id not in named),
    )


def far_sources(plan: Plan) -> tuple[WaterSource, ...]:
    """Return the sources that the route does not come near, in the order of the layers."""
    passed = {each.source.id for each in plan.passes}
    return tuple(source for source in plan.sources if source.id not in passed)


def drawn_far_sources(plan: Plan) -> tuple[WaterSource, ...]:
    """Return those of the far sources that are shown: the nearest to the box around the route."""
    far = far_sources(plan)
    if len(far) <= MOST_FAR:
        return far
    nearest = np.argsort(_degrees_outside(plan, far), kind="stable")[:MOST_FAR]
    return tuple(far[index] for index in sorted(nearest.tolist()))


def drawn_sources(plan: Plan) -> tuple[WaterSource, ...]:
    """Return the sources that the page shows, in the order of the layers."""
    passed = {each.source.id for each in plan.passes}
    kept = passed.union(source.id for source in drawn_far_sources(plan))
    return tuple(source for source in plan.sources if source.id in kept)


def _degrees_outside(plan: Plan, sources: Sequence[WaterSource]) -> FloatArray:
    """How far sources lie outside the box around the route; in degrees, as on a map."""
    route = plan.measured.route
    route_lon = np.unwrap(route.lon_deg, period=360.0)
    lat = np.array([source.lat_deg for source in sources])
    lon = np.array([source.lon_deg for source in sources])
    lon = lon + 360.0 * np.round((route_lon.mean() - lon) / 360.0)
    return np.hypot(_outside(lat, route.lat_deg), _outside(lon, route_lon))


def _outside(degrees: FloatArray, of_route: FloatArray) -> FloatArray:
    beyond = np.maximum(of_route.min() - degrees, degrees - of_route.max())
    return np.asarray(np.maximum(beyond, 0.0), dtype=np.float64)
