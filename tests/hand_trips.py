"""Three invented trips along a straight line, worked by hand in docs/why/by-hand.md."""

from __future__ import annotations

import dataclasses
import datetime as dt
from functools import lru_cache

from make import source_at, straight_route
from without_mends import plan_without_mends

from longdry.model.plan.plan import Plan
from longdry.model.water.source import Found, Visit, WaterSource
from longdry.model.words import Certainty
from longdry.reading.trip.trip_file import trip_from_text

_VEHICLE = """
depart = 2026-09-07T08:00
party.people = 2
use = [{ name = "drinking", litres = 6 }, { name = "cooking", litres = 4, kept = "lean" }]
container = [{ count = 7, rated_l = 20 }]
pace = { travel = "vehicle", speed_kmh = 30, hours_per_day = 3.5 }
contact.call = "satellite telephone"
policy.help_days = 2
"""
_WALKER = """
depart = 2026-06-08T08:00
party.people = 1
use = [{ name = "drinking", litres = 5 }, { name = "cooking", litres = 0.5, kept = "lean" }]
container = [
  { name = "bladder", count = 2, rated_l = 3 }, { name = "bottle", count = 2, rated_l = 1 },
]
pace = { travel = "foot", speed_kmh = 3.5, hours_per_day = 7.5 }
contact.call = "beacon"
policy = { help_days = 1, reserve_days = 0.5 }
camp = [
  { km = 19.5, at_water = true }, { km = 41.5, at_water = true }, { km = 58.5, at_water = true },
  { km = 78, at_water = true }, { km = 97, at_water = true }, { km = 119, at_water = true },
  { km = 139, at_water = true },
]
"""
_CYCLISTS = """
depart = 2026-09-12T05:30
party.people = 2
use = [{ name = "drinking", litres = 8 }, { name = "cooking", litres = 1.5, kept = "lean" }]
container = [
  { name = "bottle", count = 8, rated_l = 1 }, { name = "bag", count = 4, rated_l = 10 },
]
pace = { travel = "bicycle", speed_kmh = 14, hours_per_day = 5, start_hour = 5.5 }
heat = { shade_max_c = 33, acclimatised = true }
contact.call = "satellite messenger"
policy.help_days = 1
"""


def _tap(km: float, offset_km: float = 0.0) -> WaterSource:
    source = source_at(km, offset_km=offset_km, id=f"km {km:g}")
    return dataclasses.replace(source, kind="tap", certainty=Certainty.LIKELY)


def _seen(km: float, kind: str, *visits: tuple[str, Found]) -> WaterSource:
    found = tuple(Visit(dt.date.fromisoformat(day), word) for day, word in visits)
    return dataclasses.replace(_tap(km), kind=kind, certainty=None, visits=found)


_TRIPS = {
    "vehicle": (
        1180.0,
        _VEHICLE,
        [_tap(396.0, 3.0), _tap(640.0), _seen(745.0, "bore", ("2025-05-30", Found.FLOWING)),
         _tap(985.0)],
    ),
    "walker": (
        165.0,
        _WALKER,
        [*map(_tap, (19.5, 41.5, 58.5, 78.0, 97.0, 119.0)),
         _seen(139.0, "spring", ("2026-06-02", Found.FLOWING))],
    ),
    "cyclists": (
        380.0,
        _CYCLISTS,
        [_tap(62.0), _tap(118.0),
         _seen(171.0, "bore", ("2026-05-01", Found.DRY), ("2026-08-01", Found.FLOWING)),
         _tap(236.0), _tap(318.0)],
    ),
}  # fmt: skip


@lru_cache(maxsize=3)
def hand_trip(name: str) -> Plan:
    """Return the plan of one of them."""
    length_km, text, sources = _TRIPS[name]
    return plan_without_mends(
        straight_route(length_km, 40), sources, trip_from_text(text, origin="trip.toml")
    )
