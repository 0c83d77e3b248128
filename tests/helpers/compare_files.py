"""A small route with water by season and a trip, to be compared. Invented: not for navigation."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Sequence
from pathlib import Path

from longdry import api
from longdry.at_once.comparing import ToCompare

FIRST = dt.date(2027, 5, 1)
TRIP = """# invented: not for navigation
name = "{name}"
depart = 2027-05-03T08:00:00
[party]
people = 2
[[use]]
name = "drinking"
litres = 5.0
per = "person-day"
grade = "potable"
kept = "bare"
[[container]]
name = "can"
count = {cans}
rated_l = 20.0
grade = "potable"
[pace]
travel = "vehicle"
speed_kmh = 25.0
hours_per_day = 6.0
start_hour = 8.0
off_route_kmh = 10.0
[contact]
call = "satellite telephone"
[policy]
help_days = 1.0
reserve_days = 1.0
"""

HEAT = """[heat]
shade_max_c = 24.0
humidity_percent = 20.0
acclimatised = true
[[heat_month]]
month = 3
shade_max_c = 49.0
"""
"""Mild, but for March."""


def write_route(path: Path, name: str, south_deg: float = -25.0, degrees: float = 4.0) -> None:
    """Write a route from west to east of about 100 km a degree."""
    points = [(south_deg, 130.0 + degrees * n / 40) for n in range(41)]
    rows = "".join(f'<trkpt lat="{lat}" lon="{lon:.6f}"/>' for lat, lon in points)
    path.write_text(
        '<gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1">'
        f"<trk><name>{name}</name><trkseg>{rows}</trkseg></trk></gpx>"
    )


def write_water(path: Path) -> None:
    """Write a bore, a creek that holds from May to July, and a tank, along the first route."""
    sources = [
        ("b1", "Middle Bore", 131.0, {"kind": "bore", "certainty": "certain"}),
        ("c1", "May Creek", 132.0, {"kind": "spring", "certainty": "likely", "months": [5, 6, 7]}),
        ("t1", "Far Tank", 133.1, {"kind": "tank", "certainty": "certain"}),
    ]
    features = [
        {
            "type": "Feature",
            "geometry": {"type": "Point", "coordinates": [lon, -25.001]},
            "properties": {"id": id_, "name": name, "grade": "potable", **more},
        }
        for id_, name, lon, more in sources
    ]
    path.write_text(json.dumps({"type": "FeatureCollection", "features": features}))


def write_all(folder: Path) -> None:
    """Write two routes in a folder of their own, the water, and two trips."""
    (folder / "routes").mkdir()
    write_route(folder / "routes" / "north.gpx", "North track")
    write_route(folder / "routes" / "south.gpx", "South track", -25.03, 3.0)
    write_water(folder / "water.geojson")
    (folder / "two.toml").write_text(TRIP.format(name="Two cans", cans=2))
    (folder / "three.toml").write_text(TRIP.format(name="Three cans", cans=3))


def asked_of(folder: Path, days: Sequence[dt.date], **changes: object) -> ToCompare:
    """Read what was written, to be compared on some days, both ways."""
    values: dict[str, object] = {
        "routes": tuple(sorted((folder / "routes").iterdir())),
        "water": api.read_water(folder / "water.geojson"),
        "trips": tuple(api.read_trip(folder / name) for name in ("two.toml", "three.toml")),
        "days": tuple(days),
        "both_ways": True,
    }
    return ToCompare(**{**values, **changes})
