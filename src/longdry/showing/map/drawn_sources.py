"""Which sources a page has room for, and how large: what is called at, passed by, or far away."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

import numpy as np

from longdry.model.arrays import FloatArray
from longdry.model.plan.plan import Plan
from longdry.model.water.passes import WaterPass
from longdry.model.water.source import WaterSource
from longdry.showing.map.line import LatLon, Track
from longdry.showing.words.in_need import worseness
from longdry.showing.words.passes import passes_by_source

MOST_FAR = 500
"""Sources that the route does not come near, shown on the page; a layer may hold 200,000."""

MOST_NAMED_SOURCES = 250
"""Sources that stand on the maps with name and sign; all others are dots."""

MOST_SIGNS = 60
"""Sources from which on water that is passed by is drawn small: signs would hide the route."""


class DrawnWater(NamedTuple):
    """The water of a page, worked out once for map, drawing and legend."""

    named: tuple[WaterSource, ...]
    """With name and sign, by their layers."""
    dots: tuple[WaterSource, ...]
    at_stops: frozenset[str]
    """Ids of the sources that the plan calls at."""

    @property
    def is_dense(self) -> bool:
        """Whether what is passed by must be drawn as dots, so that the route can be seen."""
        return len(self.named) + len(self.dots) > MOST_SIGNS


def drawn_water(plan: Plan) -> DrawnWater:
    """Return what is drawn, and how.

    What is called at has a name, then what counts, then the better and nearer.
    """
    drawn = drawn_sources(plan)
    at_stops = frozenset(w.source.id for each in plan.stretches for w in each.begin.waters)
    if len(drawn) <= MOST_NAMED_SOURCES:
        return DrawnWater(drawn, (), at_stops)
    beside = passes_by_source(plan)

    def best_first(source: WaterSource) -> tuple[bool, bool, int, float]:
        own = beside.get(source.id, [])
        way_km = min((one.way_km for one in own), default=math.inf)
        counts = any(one.counted for one in own)
        return (source.id not in at_stops, not counts, worseness(source), way_km)

    best = sorted(drawn, key=best_first)[: max(MOST_NAMED_SOURCES, len(at_stops))]
    named = {source.id for source in best}
    return DrawnWater(
        tuple(source for source in drawn if source.id in named),
        tuple(source for source in drawn if source.id not in named),
        at_stops,
    )


def places_beside(
    sources: Sequence[WaterSource], passes: Mapping[str, Sequence[WaterPass]], track: Track
) -> Iterator[tuple[WaterSource, LatLon]]:
    """Yield sources with the places where they are drawn, on the route's side of the map.

    Parameters
    ----------
    passes
        By the id of their source; the first tells the side.
    """
    own = [passes.get(source.id) for source in sources]
    near_km = np.array([each[0].km if each else 0.0 for each in own])
    lon_deg = track.nearest_lon(np.array([source.lon_deg for source in sources]), near_km)
    lat_deg = [source.lat_deg for source in sources]
    return zip(sources, zip(lat_deg, lon_deg.tolist(), strict=True), strict=True)


def far_sources(plan: Plan) -> tuple[WaterSource, ...]:
    """Return the sources that the route does not come near, in the order of the layers."""
    passed = {each.source.id for each in plan.passes}
    return tuple(source for source in plan.sources if source.id not in passed)


def drawn_far_sources(plan: Plan, far: tuple[WaterSource, ...]) -> tuple[WaterSource, ...]:
    """Return those of the far sources that are shown: the nearest to the box around the route."""
    if len(far) <= MOST_FAR:
        return far
    nearest = np.argsort(_degrees_outside(plan, far), kind="stable")[:MOST_FAR]
    return tuple(far[index] for index in sorted(nearest.tolist()))


def drawn_sources(plan: Plan) -> tuple[WaterSource, ...]:
    """Return the sources that the page shows, in the order of the layers."""
    passed = {each.source.id for each in plan.passes}
    kept = passed.union(source.id for source in drawn_far_sources(plan, far_sources(plan)))
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
