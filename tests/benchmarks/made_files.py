"""Large routes and layers for benchmarks, made on the spot; invented: not for navigation."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np


def wandering_line(points: int, seed: int = 1) -> tuple[np.ndarray, np.ndarray]:
    """Return lat and lon of a line that wanders over open sea, about 60 m a step."""
    dice = np.random.default_rng(seed)
    heading = np.cumsum(dice.normal(0.0, 0.05, points)) + np.pi / 4.0
    lat = -30.0 + np.cumsum(np.cos(heading)) * 5e-4 * min(1.0, 40_000 / points)
    lon = -14.0 + np.cumsum(np.sin(heading)) * 6e-4 * min(1.0, 40_000 / points)
    return lat, lon


def write_route(path: Path, points: int) -> None:
    """Write a GPX track with heights."""
    lat, lon = wandering_line(points)
    height = 300.0 + 40.0 * np.sin(np.arange(points) / 700.0)
    rows = "\n".join(
        f'<trkpt lat="{a:.6f}" lon="{o:.6f}"><ele>{h:.1f}</ele></trkpt>'
        for a, o, h in zip(lat, lon, height, strict=True)
    )
    path.write_text(
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        '<gpx version="1.1" creator="bench" xmlns="http://www.topografix.com/GPX/1/1">'
        f"<trk><name>bench</name><trkseg>\n{rows}\n</trkseg></trk></gpx>\n"
    )


def write_sources(
    path: Path,
    sources: int,
    points: int,
    near_share: float = 1.0,
    limit_l: float | None = None,
) -> None:
    """Write a GeoJSON layer; ``near_share`` of the sources lies within 5 km of the line."""
    limit = {} if limit_l is None else {"limit_l": limit_l}
    lat, lon = wandering_line(points)
    dice = np.random.default_rng(2)
    picked = dice.integers(0, points, sources)
    spread = np.where(dice.random(sources) < near_share, 0.02, 5.0)
    lats = np.clip(lat[picked] + dice.normal(0.0, 1.0, sources) * spread, -80.0, 80.0)
    lons = np.clip(lon[picked] + dice.normal(0.0, 1.0, sources) * spread, -170.0, 170.0)
    grades = ("potable", "treat-before-drinking", "not-for-drinking")
    features = [
        {
            "type": "Feature",
            "geometry": {"type": "Point", "coordinates": [round(o, 6), round(a, 6)]},
            "properties": {"id": f"s{n}", "name": f"Source {n}", "grade": grades[n % 3], **limit},
        }
        for n, (a, o) in enumerate(zip(lats.tolist(), lons.tolist(), strict=True))
    ]
    path.write_text(json.dumps({"type": "FeatureCollection", "features": features}))


TRIP = """# invented: not for navigation
depart = 2027-05-03T08:00:00

[party]
people = 2
can_treat = true

[[use]]
name = "drinking"
litres = 6.0
grade = "potable"
per = "person-day"
kept = "bare"

[[use]]
name = "washing up"
litres = 3.0
grade = "treat-before-drinking"
per = "party-day"
kept = "lean"

[[container]]
name = "jerrycan"
count = 3
rated_l = 20.0
grade = "potable"

[[container]]
name = "bladder"
count = 2
rated_l = 10.0
grade = "any"

[pace]
travel = "vehicle"
speed_kmh = 40.0
hours_per_day = 6.0
start_hour = 8.0

[policy]
max_detour_km = 5.0
reserve_days = 1.0
reserve_ration = "bare"
"""
"""Two people with five containers, so that fills, mends and what-ifs are worked out."""


def write_trip(path: Path) -> None:
    """Write a trip file with containers."""
    path.write_text(TRIP)
