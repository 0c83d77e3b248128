"""The plan as GPX 1.1 for a GPS device: the route as a track, water and stretches as waypoints.

Format: GPX 1.1, https://www.topografix.com/GPX/1/1: longitudes from -180 up to, not including,
180. No element of our own is written: everything stands in ``name``, ``desc`` and ``type``.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from gpxpy.gpx import GPX, GPXTrack, GPXTrackPoint, GPXTrackSegment, GPXWaypoint

from longdry._version import __version__
from longdry.model.plan.plan import Plan
from longdry.model.plan.setbacks import TurnBack
from longdry.model.plan.stretch import DryStretch
from longdry.model.route import MeasuredRoute
from longdry.model.water.passes import WaterPass
from longdry.model.words import CAUTION, Verdict
from longdry.showing.exports.export_words import (
    plan_title,
    source_words,
    stretch_words,
    turn_back_name_and_words,
    turn_backs_of,
)
from longdry.showing.exports.route_places import PLACE_DECIMALS, place_at
from longdry.showing.words.amounts import place_words
from longdry.showing.words.markup import clipped_name, clipped_text
from longdry.showing.words.setbacks import stranding_ids
from longdry.showing.words.stretches import alarm_words

_END_OF_EAST_DEG = 180.0
"""The schema knows no longitude of 180: there it is -180."""


def plan_gpx(plan: Plan, turn_backs: Sequence[TurnBack] | None = None) -> str:
    """Return the plan as GPX text; the same plan gives the same text, byte for byte.

    Parameters
    ----------
    plan
        Sources that it counts become waypoints with grade, certainty, km and access; so do the
        ends of its stretches, with what comes next and its verdict.
    turn_backs
        Points from which the party can still turn round, waypoints as well; None: the plan's own.
    """
    turns = turn_backs_of(plan) if turn_backs is None else turn_backs
    gpx = GPX()
    gpx.creator = f"longdry {__version__}"
    gpx.name = plan_title(plan)
    gpx.description = _notes(plan)
    gpx.waypoints += _sources(plan)
    gpx.waypoints += [_stretch_begin(plan.measured, stretch) for stretch in plan.stretches]
    gpx.waypoints.append(_route_end(plan))
    gpx.waypoints += [_turn_back(plan, turn) for turn in turns]
    gpx.tracks.append(_track(plan))
    return str(gpx.to_xml(version="1.1")).rstrip("\n") + "\n"


def _notes(plan: Plan) -> str:
    notes = [f"{_begin_name(s)}. {stretch_words(s)}" for s in plan.stretches if _too_long(s)]
    return " ".join([*notes, CAUTION])


def _too_long(stretch: DryStretch) -> bool:
    return stretch.verdict is Verdict.TOO_LONG


def _sources(plan: Plan) -> list[GPXWaypoint]:
    by_source: dict[str, list[WaterPass]] = {}
    for passed in plan.passes:
        if passed.counted:
            by_source.setdefault(passed.source.id, []).append(passed)
    stranding = stranding_ids(plan)
    return [_source(passes, strands=id_ in stranding) for id_, passes in by_source.items()]


def _source(passes: list[WaterPass], *, strands: bool) -> GPXWaypoint:
    source = passes[0].source
    kind = f"water, {source.trusted_grade}"
    said = source_words(source, passes, strands=strands)
    return _waypoint((source.lat_deg, source.lon_deg), clipped_name(source.name), said, kind)


def _begin_name(stretch: DryStretch) -> str:
    verdict = f", {stretch.verdict}" if alarm_words(stretch) else ""
    return f"{place_words(stretch.begin.km)}: stretch {stretch.number} begins{verdict}"


def _stretch_begin(measured: MeasuredRoute, stretch: DryStretch) -> GPXWaypoint:
    at = place_at(measured, stretch.begin.km)
    return _waypoint(at, _begin_name(stretch), stretch_words(stretch), "stretch")


def _route_end(plan: Plan) -> GPXWaypoint:
    km = plan.measured.length_km
    return _waypoint(
        place_at(plan.measured, km), f"{place_words(km)}: end", "End of the route.", "end"
    )


def _turn_back(plan: Plan, turn: TurnBack) -> GPXWaypoint:
    stretch = plan.stretches[turn.stretch - 1]
    name, said = turn_back_name_and_words(turn, stretch)
    km = stretch.begin.km if turn.water_km is None else turn.water_km
    return _waypoint(place_at(plan.measured, km), name, said, "turn back")


def _waypoint(at: tuple[float, float], name: str, said: str, kind: str) -> GPXWaypoint:

    lat, lon = round(at[0], PLACE_DECIMALS), _below_180(round(at[1], PLACE_DECIMALS))
    return GPXWaypoint(lat, lon, name=name, description=said, type=kind)


def _below_180(lon_deg: float) -> float:
    return -_END_OF_EAST_DEG if lon_deg == _END_OF_EAST_DEG else lon_deg


def _track(plan: Plan) -> GPXTrack:

    route = plan.measured.route
    track = GPXTrack(name=clipped_name(route.name), description=clipped_text(plan_title(plan)))
    starts = [*route.part_starts.tolist(), route.points]
    for first, stop in pairwise(starts):
        track.segments.append(_segment(plan.measured, first, stop))
    return track


def _segment(measured: MeasuredRoute, first: int, stop: int) -> GPXTrackSegment:

    route, part = measured.route, slice(first, stop)
    lats = np.round(route.lat_deg[part], PLACE_DECIMALS).tolist()
    lons = map(_below_180, np.round(route.lon_deg[part], PLACE_DECIMALS).tolist())
    heights = (None if np.isnan(h) else h for h in route.height_m[part].tolist())
    return GPXTrackSegment(
        [
            GPXTrackPoint(lat, lon, elevation=height)
            for lat, lon, height in zip(lats, lons, heights, strict=True)
        ]
    )
