"""The table of expected readings: (format, columns, values) -> kind, grade, certainty, visits.

All rows are invented: not for navigation.
"""

from __future__ import annotations

from dataclasses import dataclass

T, N, P = "treat-before-drinking", "not-for-drinking", "potable"
D, L, C = "doubtful", "likely", "certain"


@dataclass(frozen=True)
class Row:
    """One source of one layer, and what it must be read as."""

    form: str
    values: dict[str, object]
    kind: str | None = None
    grade: str | None = None
    certainty: str = D
    visits: tuple[tuple[str, str], ...] = ()
    retired: bool = False
    mapping: str = ""
    months: tuple[int, ...] | None = None
    """None: not looked at."""


def rows(form, *told):
    return [Row(form, *one) if isinstance(one, tuple) else one for one in told]


def again(form, these):
    """The same readings in another format."""
    return [Row(form, r.values, r.kind, r.grade, r.certainty, r.visits, r.retired, r.mapping
                ) for r in these]  # fmt: skip


OSM = rows(
    "geojson",
    ({"amenity": "drinking_water"}, "tap", T),
    ({"amenity": "drinking_water", "drinking_water:legal": "yes"}, "tap", P),
    ({"amenity": "drinking_water", "drinking_water:legal": "no"}, "tap", T),
    ({"amenity": "drinking_water", "drinking_water": "no"}, "tap", N),
    ({"amenity": "drinking_water", "drinking_water": "untreated"}, "tap", T),
    ({"amenity": "water_point"}, "tap", T),
    ({"amenity": "water_point", "access": "private"}, "tap", T),
    ({"amenity": "watering_place"}, "tank", N),
    ({"amenity": "watering_place", "drinking_water": "yes"}, "tank", T),
    ({"man_made": "water_tap"}, "tap", None),
    ({"man_made": "water_tap", "drinking_water": "yes"}, "tap", T),
    ({"man_made": "water_tap", "drinking_water": "no"}, "tap", N),
    ({"man_made": "water_well"}, "well", None),
    ({"man_made": "water_well", "pump": "manual", "pump:status": "broken"}, "well", None),
    ({"man_made": "water_well", "drinking_water": "yes", "pump": "powered"}, "well", T),
    ({"man_made": "windpump"}, "bore", None),
    ({"man_made": "storage_tank", "content": "water"}, "tank", None),
    ({"man_made": "water_tank", "drinking_water": "yes"}, "tank", T),
    ({"natural": "spring"}, "spring", None),
    ({"natural": "spring", "intermittent": "no"}, "spring", None),
    ({"natural": "spring", "intermittent": "yes", "drinking_water": "yes"}, "spring", T),
    ({"natural": "spring", "seasonal": "wet_season"}, "spring", None),
    ({"natural": "spring", "drinking_water": "conditional"}, "spring", None),
    ({"natural": "hot_spring"}, "spring", None),
    ({"drinking_water": "yes"}, None, T),
    ({"disused:amenity": "drinking_water"}, "tap", None, D, (), True),
    ({"abandoned:man_made": "water_well"}, "well", None, D, (), True),
    ({"man_made": "water_well", "disused": "yes"}, "well", None, D, (), True),
    ({"demolished:man_made": "water_tank"}, "tank", None, D, (), True),
    ({"natural": "spring", "name": "N/A", "note": "dry in May"}, "spring"),
)
OSM_TABLES = again("csv", OSM[:9]) + again("gpkg", OSM[:6]) + again("kml", OSM[12:16])
OSM_CUT = rows(
    "shp",
    ({"amenity": "drinking_water"}, "tap", T),
    ({"man_made": "water_well", "drinking_water": "no"}, "well", N),
    ({"natural": "spring", "drinking_w": "yes"}, "spring", T),
    ({"natural": "spring", "intermitte": "yes"}, "spring", None),
    ({"disused:am": "drinking_water"}, "tap", None, D, (), True),
    ({"abandoned_": "water_well"}, "well", None, D, (), True),
)
OSM_MAPPED = [
    Row("geojson", {"amenity": "drinking_water", "drinking_water": "no", "q": "ok"}, "tap", N,
        mapping='[fields]\ngrade = "q"\n[grades]\nok = "potable"'),
    Row("geojson", {"disused:amenity": "drinking_water", "q": "ok"}, "tap", T, retired=True,
        mapping='[fields]\ngrade = "q"\n[grades]\nok = "treat-before-drinking"'),
    Row("csv", {"man_made": "water_well", "q": "ok"}, "well", P,
        mapping='[fields]\ngrade = "q"\n[grades]\nok = "potable"'),
    Row("geojson", {"natural": "spring", "flow": "3"}, "spring", None,
        mapping='[fields]\nflow_l_per_min = "flow"'),
]  # fmt: skip

WPDX = rows(
    "csv",
    ({"#status_id": "Yes", "#report_date": "2027-03-01", "#water_source": "Borehole"}, "bore"),
    ({"#status_id": "No", "#report_date": "2024-03-01", "#water_source": "Borehole"}, "bore", None,
     D, (("2024-03-01", "unreachable"),)),
    ({"#status_id": "No", "#report_date": "", "#water_source": "Protected Spring"}, "spring"),
    ({"#status_id": "Unknown", "#water_source": "Rainwater Harvesting"}, "tank"),
    ({"#status_id": "Yes", "#water_source": "Piped Water", "#water_tech": "Public Tapstand"},
     "tap"),
    ({"#status_id": "No", "#report_date": "03/15/2023", "#water_source": "Sand or Sub-surface Dam"},
     "dam", None, D, (("2023-03-15", "unreachable"),)),
    ({"#status_id": "Yes", "#water_source": "Surface Water (River, Stream, Lake)"}, "creek"),
    ({"#status_id": "Yes", "#water_source": "Undefined"}, None),
    ({"status_id": "No", "report_date": "2025-01-02", "water_source": "Well"}, "well", None, D,
     (("2025-01-02", "unreachable"),)),
    ({"#status_id": "Yes", "#lat_deg": -25.5, "#lon_deg": 131.25, "#water_source": "Well"}, "well"),
)  # fmt: skip
WPDX_ELSEWHERE = again("geojson", WPDX[:8]) + again("gpkg", WPDX[:4]) + again("fgb", WPDX[:2])
WPDX_CUT = rows(
    "shp",
    ({"#status_id": "No", "#report_da": "2024-03-01", "#water_sou": "Borehole"}, "bore", None, D,
     (("2024-03-01", "unreachable"),)),
    ({"#status_id": "Yes", "#water_sou": "Tube well"}, "bore"),
)  # fmt: skip

USUAL = rows(
    "csv",
    ({"Name": "A", "Latitude": -25.5, "Longitude": 131.25, "Type": "Bore", "Quality": "Potable"},
     "bore", T),
    ({"Title": "A", "Lat_WGS84": -25.5, "lng": 131.25, "Type": "Tank", "Potability": "yes"},
     "tank", T),
    ({"Label": "A", "y": -25.5, "x": 131.25, "category": "Waterhole", "Quality": "No"}, "pool", N),
    ({"site": "A", "coordinates": "-25.5, 131.25", "type": "rockhole"}, "rockhole", None),
    ({"name": "A", "type": "Windmill", "water quality": "stock only"}, "bore", N),
    ({"name": "A", "type": "claypan", "quality": "good"}, "pool", None),
    ({"name": "A", "type": "Standpipe", "potable": "Y"}, "tap", T),
    ({"name": "A", "type": "River", "potable": "N"}, "creek", N),
    ({"name": "A", "type": "Billabong"}, "pool", None),
    ({"name": "A", "type": "Lagoon", "quality": "boil first"}, "pool", T),
    ({"name": "A", "type": "Cistern", "quality": "treat"}, "tank", T),
    ({"name": "A", "type": "trough", "quality": "brackish"}, "tank", N),
    ({"name": "A", "type": "Borehole", "quality": "N/A"}, "bore", None),
    ({"name": "A", "type": "well", "quality": "unknown"}, "well", None),
    ({"name": "A", "type": "-", "quality": "potable"}, None, T),
    ({"name": "A", "type": "office"}, None, None, L),
)  # fmt: skip
USUAL_ELSEWHERE = again("gpkg", USUAL[4:12]) + again("fgb", USUAL[4:8]) + again("tsv", USUAL[:6])
USUAL_CUT = rows(
    "shp",
    ({"SITENAME": "A", "SOURCETYPE": "Windmill", "WATERQUALI": "saline"}, "bore", N),
    ({"NAME": "A", "TYPE": "Waterhole", "DESCRIPTIO": "dry in May"}, "pool", None),
)
KINDS = rows(
    "csv",
    *(
        ({"name": "A", "grade": T, "kind": word}, kind, T, sure)
        for word, kind, sure in (
            ("waterhole", "pool", D), ("Rock Hole", "rockhole", D), ("billabong", "pool", D),
            ("clay-pan", "pool", D), ("lagoon", "pool", D), ("river", "creek", D),
            ("windmill", "bore", L), ("bore hole", "bore", L), ("standpipe", "tap", L),
            ("trough", "tank", L), ("Cisterns", "tank", L), ("seep", "soak", D),
            ("puddle", "puddle", D), ("mirage", "mirage", D), ("dam", "dam", D), ("N/A", None, L),
        )
    ),
)  # fmt: skip
OURS = rows(
    "geojson",
    ({"grade": P, "kind": "tap"}, "tap", P, L),
    ({"Grade": "potable", "kind": "tap", "certainty": "certain"}, "tap", P, C),
    ({"grade": P, "kind": "tap", "own": False}, "tap", P),
    ({"grade": T}, None, T, L),
    ({"grade": T, "kind": "puddle", "months": "Jan-Dec"}, "puddle", T),
    ({"grade": P, "kind": "cache", "certainty": "certain"}, "cache", P, L),
    ({"grade": P, "kind": "tank", "retired": "cracked"}, "tank", P, D, (), True),
    ({"grade": P, "kind": "tank", "visits": [{"on": "2027-05-01", "found": "dry"}]}, "tank", P, D,
     (("2027-05-01", "dry"),)),
)  # fmt: skip
WAYPOINTS = rows(
    "gpx",
    ({"name": "A", "sym": "Drinking Water"}, "tap", None, L),
    ({"name": "A", "sym": "Flag", "type": "bore"}, "bore", None, L),
    ({"name": "A", "type": "potable"}, None, P, L),
    ({"name": "A", "desc": "grade=not-for-drinking"}, None, N, L),
    ({"name": "A", "cmt": "grade=treat-before-drinking", "type": "Waterhole"}, "pool", T),
    ({"name": "Eagle Rock waterhole", "type": "potable"}, "pool", P),
    ({"name": "Old Bore"}, None, None, L),
)
_STATUS = """[fields]
visit_found = "status"
visit_on = "day"
grade = "q"
[grades]
ok = "treat-before-drinking"
[visits]
"Dry" = "dry"
"Full" = "flowing"
"Locked" = "unreachable"
"""
_LIFE = """[fields]
retired = "state"
certainty = "sure"
months = "when"
kind = "sort"
[retired]
"No longer exists" = "no longer exists"
[certainty]
Ephemeral = "doubtful"
Permanent = "likely"
[months]
winter = "Jun-Aug"
all = "Jan-Dec"
[kinds]
"GW bore" = "bore"
[always]
grade = "treat-before-drinking"
"""
_GRADED = '[fields]\ngrade = "q"\n[grades]\nok = "treat-before-drinking"'
MAPPED = [
    Row("csv", {"status": "Dry", "day": "2027-05-01", "q": "ok"}, None, T, D,
        (("2027-05-01", "dry"),), mapping=_STATUS),
    Row("csv", {"status": "Full", "day": "2027-05-01", "q": "ok"}, None, T, L,
        (("2027-05-01", "flowing"),), mapping=_STATUS),
    Row("csv", {"status": "Locked", "day": "1 May 2027", "q": "ok"}, None, T, D,
        (("2027-05-01", "unreachable"),), mapping=_STATUS),
    Row("csv", {"status": "Dry", "day": "", "q": "ok"}, None, T, D, mapping=_STATUS),
    Row("csv", {"status": "Full", "day": "", "q": "ok"}, None, T, D, mapping=_STATUS),
    Row("csv", {"status": "Dry", "day": "3/5/2026", "q": "ok"}, None, T, D,
        (("2026-05-03", "dry"),), mapping=_STATUS),
    Row("csv", {"status": "Full", "day": "3/5/2026", "q": "ok"}, None, T, D,
        (("2026-03-05", "flowing"),), mapping=_STATUS),
    Row("gpkg", {"status": "Dry", "day": "2027-05-01", "q": "ok"}, None, T, D,
        (("2027-05-01", "dry"),), mapping=_STATUS),
    Row("csv", {"state": "No longer exists", "sure": "", "when": "", "sort": "GW bore"}, "bore", T,
        D, retired=True, mapping=_LIFE),
    Row("csv", {"state": "ok", "sure": "Ephemeral", "when": "", "sort": "GW bore"}, "bore", T, D,
        mapping=_LIFE),
    Row("csv", {"state": "ok", "sure": "", "when": "winter", "sort": "GW bore"}, "bore", T, D,
        mapping=_LIFE),
    Row("csv", {"state": "ok", "sure": "", "when": "all", "sort": "GW bore"}, "bore", T, D,
        mapping=_LIFE),
    Row("csv", {"state": "ok", "sure": "Permanent", "when": "Jun-Aug", "sort": "GW bore"}, "bore",
        T, D, months=(6, 7, 8), mapping=_LIFE),
    Row("csv", {"state": "ok", "sure": "Permanent", "when": "winter", "sort": "GW bore"}, "bore",
        T, D, months=(6, 7, 8), mapping=_LIFE),
    Row("csv", {"state": "ok", "sure": "", "when": "Jun-Aug", "sort": "GW bore"}, "bore", T, D,
        months=(6, 7, 8), mapping=_LIFE),
    Row("csv", {"state": "ok", "sure": "Permanent", "when": "wet season", "sort": "GW bore"},
        "bore", T, D, months=(), mapping=_LIFE),
    Row("csv", {"type": "bore", "q": "ok"}, "bore", T, D, mapping=_GRADED),
    Row("csv", {"type": "bore", "q": "ok", "certainty": "certain"}, "bore", T, D,
        mapping=_GRADED),
    Row("csv", {"type": "bore", "q": "ok", "certainty": "certain"}, "bore", T, C,
        mapping=_GRADED.replace("q", 'q"\ncertainty = "certainty', 1)),
    Row("csv", {"type": "bore", "q": "ok"}, "bore", T, L,
        mapping=f"{_GRADED}\n[always]\nown = true"),
    Row("kml", {"state": "No longer exists", "sure": "Permanent", "when": "all", "sort": "tank"},
        "tank", T, D, retired=True, mapping=_LIFE),
]  # fmt: skip

ROWS = [
    *OSM, *OSM_TABLES, *OSM_CUT, *OSM_MAPPED, *WPDX, *WPDX_ELSEWHERE, *WPDX_CUT, *USUAL,
    *USUAL_ELSEWHERE, *USUAL_CUT, *KINDS, *OURS, *WAYPOINTS, *MAPPED,
]  # fmt: skip
