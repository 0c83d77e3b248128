"""A short route and a water layer as text. Invented: not for navigation."""

from __future__ import annotations

import json
import random
from pathlib import Path

ROUTE = """<?xml version="1.0"?>
<gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1"><trk><name>R</name>
<trkseg><trkpt lat="-25.0" lon="130.0"/><trkpt lat="-25.0" lon="130.01"/>
<trkpt lat="-25.0" lon="130.02"/></trkseg></trk></gpx>
"""
WATER = "id,name,lat,lon,grade\nw1,Well,-25.0,130.01,potable\n"
GPX = """<gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1" creator="invented">
<wpt lat="-25.125" lon="131.5"><name>Hollow</name></wpt>
<wpt lat="-25.225" lon="131.5"><name>Twin</name></wpt>
<wpt lat="-25.325" lon="131.5"><name>Twin</name></wpt>
<trk><name>way</name><trkseg>
<trkpt lat="-25.0" lon="131.0"/><trkpt lat="-25.0" lon="131.1"/><trkpt lat="-25.1" lon="131.1"/>
</trkseg></trk></gpx>
"""


DENSE_TRIP = """# invented: not for navigation
depart = 2027-05-03T08:00:00

[party]
people = 2
can_treat = true

[[use]]
name = "drinking"
litres = 6.0

[[container]]
name = "can"
count = 3
rated_l = 20.0

[pace]
travel = "{travel}"
speed_kmh = {speed_kmh}
off_route_kmh = 3.0
hours_per_day = 6.0
start_hour = 8.0

[policy]
reserve_days = 1.0
"""


def write_dense(
    folder: Path, wells: int, *, travel: str = "vehicle", speed_kmh: float = 15.0
) -> None:
    """Write a route of 144 km, a trip, and wells up to 5 km beside it; invented."""
    dice = random.Random(7)
    points = [(-30.0, -14.0 + 1.494 * n / 500) for n in range(501)]
    rows = "".join(f'<trkpt lat="{lat}" lon="{lon:.6f}"/>' for lat, lon in points)
    (folder / "route.gpx").write_text(
        '<gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1">'
        f"<trk><name>dense</name><trkseg>{rows}</trkseg></trk></gpx>"
    )
    features = []
    for number in range(wells):
        lat, lon = dice.choice(points)
        place = [
            round(lon + dice.uniform(-0.01, 0.01), 6),
            round(lat + dice.uniform(-0.045, 0.045), 6),
        ]
        told = {
            "id": f"w{number}",
            "name": f"Well {number}",
            "kind": "well",
            "grade": dice.choice(["potable", "treat-before-drinking", "not-for-drinking"]),
            "certainty": dice.choice(["likely", "doubtful", "certain"]),
        }
        point = {"type": "Point", "coordinates": place}
        features.append({"type": "Feature", "geometry": point, "properties": told})
    layer = {"type": "FeatureCollection", "features": features}
    (folder / "wells.geojson").write_text(json.dumps(layer))
    trip = DENSE_TRIP.format(travel=travel, speed_kmh=speed_kmh)
    (folder / "trip.toml").write_text(trip)
