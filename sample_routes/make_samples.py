"""Make the three sample trips: invented, not for navigation.

The country of these samples does not exist. It is laid out in the open South Atlantic, so that
no figure of it can be mistaken for a place on land. Run it from the top of the project:

    python sample_routes/make_samples.py

Same script, same bytes.
"""

from __future__ import annotations

import json
import math
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from pyproj import Geod

GEOD = Geod(ellps="WGS84")
HERE = Path(__file__).parent
INVENTED = "invented: not for navigation"
ORIGIN_LAT, ORIGIN_LON = -28.0, -14.0

Place = tuple[float, float]
"""East and north of the origin, in km."""


@dataclass(frozen=True)
class Source:
    """A source beside a track."""

    id: str
    name: str
    at: Place
    grade: str | None
    more: dict[str, object] = field(default_factory=dict)


@dataclass(frozen=True)
class Sample:
    """One trip: where it goes, what water there is."""

    folder: str
    title: str
    controls: list[list[Place]]
    """Control points of each track segment."""
    step_km: float
    base_height_m: float
    relief_m: float
    sources: list[Source]
    camps: dict[str, Place] = field(default_factory=dict)
    """Waypoints in the route's file."""
    second_layer: list[Source] = field(default_factory=list)
    """Written as CSV."""


def to_lat_lon(place: Place) -> tuple[float, float]:
    """Put a place of the invented country on the ellipsoid."""
    east, north = place
    azimuth = math.degrees(math.atan2(east, north))
    lon, lat, _ = GEOD.fwd(ORIGIN_LON, ORIGIN_LAT, azimuth, math.hypot(east, north) * 1000.0)
    return lat, lon


def smooth_line(controls: list[Place], step_km: float) -> list[Place]:
    """Lay a Catmull-Rom curve through the control points and let it wander like a track."""
    padded = [controls[0], *controls, controls[-1]]
    line: list[Place] = []
    for index in range(len(controls) - 1):
        p0, p1, p2, p3 = (np.array(padded[index + k]) for k in range(4))
        steps = max(int(math.dist(p1, p2) / step_km), 1)
        for t in np.arange(steps) / steps:
            curve = 0.5 * (
                2 * p1
                + (p2 - p0) * t
                + (2 * p0 - 5 * p1 + 4 * p2 - p3) * t**2
                + (3 * p1 - p0 - 3 * p2 + p3) * t**3
            )
            line.append((float(curve[0]), float(curve[1])))
    line.append(controls[-1])
    return wandering(line, controls)


def wandering(line: list[Place], controls: list[Place]) -> list[Place]:
    """Move points sideways in slow waves that die out at the control points."""
    wandered = []
    for number, (east, north) in enumerate(line):
        nearest = min(math.dist((east, north), control) for control in controls)
        swing = 0.25 * min(nearest / 4.0, 1.0)
        shift = swing * (math.sin(number * 0.11) + 0.6 * math.sin(number * 0.37 + 1.0))
        wandered.append((east + shift * 0.6, north + shift * 0.8))
    return wandered


def height_m(sample: Sample, place: Place) -> float:
    """Give the invented ground a height."""
    east, north = place
    waves = (
        math.sin(east / 41.0)
        + 0.6 * math.sin(north / 23.0 + 2.0)
        + 0.25 * math.sin((east + north) / 5.0)
    )
    return sample.base_height_m + sample.relief_m * waves


def gpx_text(sample: Sample) -> str:
    """Write the route as GPX 1.1."""
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f"<!-- {INVENTED} -->",
        '<gpx version="1.1" creator="make_samples.py" xmlns="http://www.topografix.com/GPX/1/1">',
        f"  <metadata><name>{sample.title}</name><desc>{INVENTED}</desc></metadata>",
    ]
    for name, place in sample.camps.items():
        lat, lon = to_lat_lon(place)
        lines.append(f'  <wpt lat="{lat:.6f}" lon="{lon:.6f}"><name>{name}</name></wpt>')
    lines.append(f"  <trk><name>{sample.title}</name>")
    for controls in sample.controls:
        lines.append("    <trkseg>")
        for place in smooth_line(controls, sample.step_km):
            lat, lon = to_lat_lon(place)
            ele = f"<ele>{height_m(sample, place):.1f}</ele>"
            lines.append(f'      <trkpt lat="{lat:.6f}" lon="{lon:.6f}">{ele}</trkpt>')
        lines.append("    </trkseg>")
    return "\n".join([*lines, "  </trk>", "</gpx>", ""])


def geojson_text(sample: Sample) -> str:
    """Write the water layer after RFC 7946, one feature a line."""
    head = {"type": "FeatureCollection", "name": f"{sample.folder} water", "remark": INVENTED}
    features = ",\n".join(json.dumps(feature(source)) for source in sample.sources)
    return json.dumps(head)[:-1] + ', "features": [\n' + features + "\n]}\n"


def feature(source: Source) -> dict[str, object]:
    """Make one feature."""
    lat, lon = to_lat_lon(source.at)
    properties: dict[str, object] = {"id": source.id, "name": source.name}
    if source.grade:
        properties["grade"] = source.grade
    return {
        "type": "Feature",
        "id": source.id,
        "geometry": {"type": "Point", "coordinates": [round(lon, 6), round(lat, 6)]},
        "properties": {**properties, **source.more, "note": INVENTED},
    }


def csv_text(sources: list[Source]) -> str:
    """Write the second layer as CSV."""
    rows = ["id,name,lat,lon,grade,kind,laid_by_us,laid_on,note"]
    for source in sources:
        lat, lon = to_lat_lon(source.at)
        kind, us, on = (source.more.get(key, "") for key in ("kind", "laid_by_us", "laid_on"))
        rows.append(
            f"{source.id},{source.name},{lat:.6f},{lon:.6f},{source.grade or ''},{kind},"
            f"{us},{on},{INVENTED}"
        )
    return "\n".join([*rows, ""])


VEHICLE = Sample(
    folder="saltbush_loop",
    title="Saltbush Loop and the Long Sand",
    controls=[
        [
            (0, 0), (62, 18), (118, 6), (160, 40), (205, 92), (168, 150), (104, 168), (60, 128),
            (84, 76), (118.6, 6.6), (150, -48), (196, -92),
        ],
        [
            (196.1, -92.2), (262, -118), (330, -102), (402, -136), (468, -120), (540, -150),
            (575, -196), (560, -240),
        ],
    ],
    step_km=0.25,
    base_height_m=310.0,
    relief_m=45.0,
    camps={"Camp under the Red Step": (104, 168)},
    sources=[
        Source("vh-01", "Ninemile Tank", (40.0, 14.2), "potable",
               {"kind": "tank", "access": "tap", "flow_l_per_min": 12}),
        Source("vh-02", "Fork Well", (118.4, 5.2), "treat-before-drinking",
               {"kind": "well", "access": "bucket on a rope, 9 m", "flow_l_per_min": 6,
                "months": [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12]}),
        Source("vh-03", "Galah Spring", (205.5, 93.0), "potable",
               {"kind": "spring", "access": "dip", "flow_l_per_min": 2}),
        Source("vh-04", "Step Bore", (103.0, 170.5), "treat-before-drinking",
               {"kind": "bore", "access": "hand pump", "flow_l_per_min": 15, "tds_mg_per_l": 950}),
        Source("vh-05", "Bitter Bore", (330.5, -101.0), "not-for-drinking",
               {"kind": "bore", "access": "open pipe", "tds_mg_per_l": 6800}),
        Source("vh-06", "Sandridge Depot", (196.4, -92.6), "potable",
               {"kind": "tap", "access": "tap key", "flow_l_per_min": 20}),
        Source("vh-07", "Hollow Log Soak", (402.4, -133.5), None,
               {"kind": "soak", "access": "dig"}),
        Source("vh-08", "Lastgate Tank", (574.0, -198.0), "potable",
               {"kind": "tank", "access": "tap", "flow_l_per_min": 8, "limit_l": 200}),
    ],
    second_layer=[
        Source("vh-cache", "Drum at the Two Cairns", (63.0, 18.4), "potable",
               {"kind": "cache", "laid_by_us": "true", "laid_on": "2027-04-20"}),
        Source("vh-dam", "Old Cattle Dam", (60.4, 131.0), "treat-before-drinking", {"kind": "dam"}),
    ],
)  # fmt: skip

FOOT = Sample(
    folder="gorge_walk",
    title="Nine Gorges Walk",
    controls=[
        [
            (0, 300), (9, 306), (18, 303), (27, 311), (36, 318), (47, 315), (56, 322), (66, 331),
            (75, 327), (86, 333), (95, 342), (106, 340), (116, 348), (127, 352), (138, 347),
        ]
    ],
    step_km=0.06,
    base_height_m=640.0,
    relief_m=130.0,
    sources=[
        Source("ft-01", "Hut Tank at Wren Gap", (17.8, 303.3), "potable",
               {"kind": "tank", "access": "tap", "limit_l": 40}),
        Source("ft-02", "Fern Pool", (36.2, 318.4), "treat-before-drinking",
               {"kind": "pool", "access": "dip", "months": [5, 6, 7, 8], "visits": [
                   {"on": "2026-07-02", "found": "flowing"},
                   {"on": "2027-06-20", "found": "flowing"}]}),
        Source("ft-03", "Second Gorge Spring", (56.1, 322.3), "treat-before-drinking",
               {"kind": "spring", "access": "dip", "flow_l_per_min": 1}),
        Source("ft-04", "Ochre Creek", (75.2, 327.2), "treat-before-drinking",
               {"kind": "creek", "access": "dip", "months": [5, 6, 7, 8, 9], "visits": [
                   {"on": "2026-07-12", "found": "flowing"},
                   {"on": "2027-06-22", "found": "flowing"}]}),
        Source("ft-05", "Ranger Tap", (95.1, 342.2), "potable",
               {"kind": "tap", "access": "tap", "flow_l_per_min": 6}),
        Source("ft-06", "Green Seep", (116.3, 348.3), "not-for-drinking",
               {"kind": "soak", "access": "dig"}),
        Source("ft-07", "Ninth Gorge Pool", (127.2, 352.4), "treat-before-drinking",
               {"kind": "pool", "access": "dip", "months": [5, 6, 7, 8], "visits": [
                   {"on": "2026-08-30", "found": "low"},
                   {"on": "2027-06-24", "found": "flowing"}]}),
    ],
)  # fmt: skip

RIDDEN_ON = ("2025-06-20", "2026-06-18", "2026-09-02", "2027-03-11", "2027-05-29")
EACH_TIME_FLOWING = [{"on": day, "found": "flowing"} for day in RIDDEN_ON]
BICYCLE = Sample(
    folder="stock_route_ride",
    title="Old Stock Route Ride",
    controls=[
        [
            (-300, 60), (-266, 84), (-232, 76), (-196, 102), (-158, 96), (-118, 124), (-80, 112),
            (-40, 136), (0, 128), (36, 150),
        ]
    ],
    step_km=0.12,
    base_height_m=210.0,
    relief_m=25.0,
    sources=[
        Source("by-01", "Windmill Number 4", (-265.5, 84.8), "treat-before-drinking",
               {"kind": "bore", "access": "trough", "flow_l_per_min": 10, "tds_mg_per_l": 700,
                "visits": EACH_TIME_FLOWING}),
        Source("by-02", "Homestead Tap", (-196.3, 102.5), "potable",
               {"kind": "tap", "access": "ask at the house", "flow_l_per_min": 10,
                "certainty": "certain", "visits": EACH_TIME_FLOWING}),
        Source("by-03", "Windmill Number 7", (-118.2, 123.0), "treat-before-drinking",
               {"kind": "bore", "access": "trough", "flow_l_per_min": 10, "tds_mg_per_l": 1100,
                "visits": EACH_TIME_FLOWING}),
        Source("by-04", "Rail Siding Tank", (-79.6, 112.3), "potable",
               {"kind": "tank", "access": "tap", "limit_l": 60,
                "certainty": "certain", "visits": EACH_TIME_FLOWING}),
        Source("by-05", "Windmill Number 9", (-1.0, 128.6), "treat-before-drinking",
               {"kind": "bore", "access": "trough", "flow_l_per_min": 10, "tds_mg_per_l": 900,
                "visits": EACH_TIME_FLOWING}),
    ],
)  # fmt: skip


def main() -> None:
    """Write every sample but the trip files, which are kept by hand."""
    for sample in (VEHICLE, FOOT, BICYCLE):
        folder = HERE / sample.folder
        folder.mkdir(exist_ok=True)
        (folder / "route.gpx").write_text(gpx_text(sample), encoding="utf-8", newline="\n")
        (folder / "water.geojson").write_text(geojson_text(sample), encoding="utf-8", newline="\n")
        if sample.second_layer:
            (folder / "more_water.csv").write_text(
                csv_text(sample.second_layer), encoding="utf-8", newline="\n"
            )


if __name__ == "__main__":
    main()
