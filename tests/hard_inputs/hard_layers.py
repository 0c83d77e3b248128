"""Water layers that cannot be read, and mappings of other people's columns that cannot be."""

from __future__ import annotations

from hard_bombs import KMZ_BOMBS, zipped
from hard_files import REFUSED_LAYERS, collection, point
from hard_routes import GOOD_KML, damaged, encrypted
from row import FIELDS, THEIRS, Row, plan_words

_KML_POINT = (
    "<kml><Placemark><name>A</name><Point><coordinates>{0}</coordinates></Point></Placemark></kml>"
)
_ZIP_END = b"PK\x05\x06" + bytes(4) + b"\3\0\3\0\x88\x13\0\0\x0a\0\0\0\0\0"
_SOURCE = {"id": "x", "name": "X", "grade": "potable"}
_BAD_PROPERTIES: dict[str, object] = {
    "id": [1],
    "name": {"en": "X"},
    "grade": 5,
    "kind": ["bore"],
    "certainty": "perhaps",
    "access": [5],
    "flow_l_per_min": "much",
    "limit_l": -5,
    "months": "sometimes",
    "tds_mg_per_l": "salty",
    "laid_on": "long ago",
    "own": "maybe",
    "visits": "often",
    "note": ["a"],
    "retired": ["gone"],
    "open_from_hour": 30,
}
_BAD_VISITS = {
    "that is a text": "dry",
    "without a day": {"found": "dry"},
    "without a finding": {"on": "2024-05-03"},
    "on a day that never was": {"on": "2024-02-30", "found": "dry"},
    "that found something else": {"on": "2024-05-03", "found": "a camel"},
    "with litres in words": {"on": "2024-05-03", "found": "low", "litres": "plenty"},
}
_TABLES = {
    "with a month of no year": "name,lat,lon,grade,months\nA,-25,130.1,potable,13\n",
    "with a grade in other words": "name,lat,lon,grade\nA,-25,130.1,good\n",
    "with a certainty in other words": "name,lat,lon,grade,certainty\nA,-25,130.1,potable,80 %\n",
    "with a flow in words": "name,lat,lon,grade,flow_l_per_min\nA,-25,130.1,potable,slow\n",
    "with lat twice": "name,lat,lat,lon\nA,-25,-25,130\n",
    "with a row too short": "name,lat,lon,grade\nA,-25\n",
    "with lat and lon swapped": "name,lat,lon,grade\nA,130.1,-25,potable\n",
    "with sixty minutes and more": "name,lat,lon,grade\nA,25 75.5 S,130 6 E,potable\n",
    "of easting and northing": "name,easting,northing\nA,500000,7200000\n",
    "with a header alone twice": "name,lat,lon\nname,lat,lon\n",
    "without a header": "w1,Well,-25,130.1,potable\n",
    "that is a web page": "<!DOCTYPE html><html></html>",
}
_OTHERS = {
    "a workbook": (
        "w.xlsx", zipped(("[Content_Types].xml", "<Types/>"), ("xl/workbook.xml", "<w/>"))),
    "an old workbook": ("w.xls", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600),
    "a zip archive without a layer": ("w.zip", zipped(("readme.txt", "invented"))),
    "a zip archive with a layer that names others": (
        "w.zip", zipped(("w.vrt", "<OGRVRTDataSource/>"), ("w.geojson", "{}"))),
    "a zip archive with layers in two folders": (
        "w.zip", zipped(("a/w.geojson", "{}"), ("b/w.geojson", "{}"))),
    "a zip archive cut short": ("w.zip", zipped(("w.geojson", collection()))[:-30]),
    "a GeoPackage of noise that ends as a zip archive does": (
        "w.gpkg", b"SQLite format 3\0" + b"\x07" * 500 + _ZIP_END),
    "a picture": ("w.png", b"\x89PNG\r\n\x1a\n" + b"\x00" * 40),
    "a text": ("w.txt", "There is a bore behind the hill.\n"),
    "KMZ without a KML": ("w.kmz", zipped(("picture.png", b"\x89PNG"))),
    "KMZ with an encrypted KML": ("w.kmz", encrypted()),
    "KMZ with damaged bytes": ("w.kmz", damaged(8)),
    "KMZ cut short": ("w.kmz", zipped(("doc.kml", GOOD_KML * 99))[:-60]),
    "KML whose point is no number": (
        "w.kml", _KML_POINT.format("a,b")),
    "KML with lat and lon swapped": (
        "w.kml", _KML_POINT.format("-25,130")),
    "GPX with a waypoint in words": (
        "w.gpx", '<gpx><wpt lat="south" lon="130"><name>Tank</name></wpt></gpx>'),
    "GPX cut short": ("w.gpx", '<gpx><wpt lat="-25" lon="130"><name>Ta'),
    "GeoJSON with a member told twice": (
        "w.geojson", '{"type": "FeatureCollection", "type": "x", "features": []}'),
    "GeoJSON whose features are no list": (
        "w.geojson", '{"type": "FeatureCollection", "features": {}}'),
    "GeoJSON with a feature that is a number": (
        "w.geojson", '{"type": "FeatureCollection", "features": [5]}'),
    "GeoJSON whose geometry is a text": (
        "w.geojson",
        '{"type": "FeatureCollection", "features": [{"type": "Feature", "geometry": "here"}]}'),
    "GeoJSON with a place in words": ("w.geojson", collection(point("130", "-25"))),
    "GeoJSON with many points in one": (
        "w.geojson", collection({"type": "MultiPoint", "coordinates": [[130, -25], [131, -25]]})),
    "GeoJSON with a place that is a list of lists": ("w.geojson", collection(point([130], [-25]))),
    "GeoJSON with something behind its end": ("w.geojson", collection() + "}"),
}  # fmt: skip
_MAPPINGS = {
    "that is no TOML": "[fields\n",
    "that is binary": bytes(range(256)),
    "that is empty in a table": "[fields]\ngrade = \n",
    "with a column that the layer lacks": '[fields]\ngrade = "quality"\n',
    "with a property that nobody knows": '[fields]\ngrad = "water_qual"\n',
    "with a table that nobody knows": '[grade]\n"bore" = "potable"\n',
    "with a number for a column": "[fields]\ngrade = 5\n",
    "with an empty column": '[fields]\ngrade = " "\n',
    "with a list for a table": "fields = [1]\n",
    "with a grade in other words": '[fields]\ngrade = "water_qual"\n[grades]\n"bore" = "good"\n',
    "without the one grade that the layer has": (
        '[fields]\ngrade = "water_qual"\n[grades]\n"rain" = "potable"\n'),
    "with a finding in other words": (
        '[fields]\nvisit_found = "water_qual"\n[visits]\n"bore" = "wet"\n'),
    "with a certainty in other words": (
        '[fields]\ncertainty = "water_qual"\n[certainty]\n"bore" = "sure"\n'),
    "with months that are none": '[fields]\nmonths = "water_qual"\n[months]\n"bore" = "13"\n',
    "with a number for a reason": '[retired]\n"bore" = 1\n',
    "with a number for a kind": '[kinds]\n"bore" = 1\n',
    "with a property for every source that nobody knows": '[always]\naces = "pump"\n',
    "with a reference system that is a number": "crs = 28355\n",
    "with a reference system of nobody": (
        'crs = "EPSG:999999"\n[fields]\neasting = "lon"\nnorthing = "lat"\n'),
    "with one key twice": '[fields]\ngrade = "a"\ngrade = "b"\n',
    "with a grade for every source in other words": '[always]\ngrade = "good"\n',
    "with a flow for every source in words": '[always]\nflow_l_per_min = "much"\n',
    "with own = in words": '[always]\nown = "ours"\n',
    "with a lat without a lon": '[fields]\nlat = "water_qual"\n',
    "with twelve faults": "[always]\n" + "\n".join(f"key{n} = 1" for n in range(12)),
    "nested without end": "a = " + "[" * 10_000 + "]" * 10_000,
}  # fmt: skip


def rows() -> list[Row]:
    """Return the rows of water layers and of mappings."""
    files = [
        *((given, name, content) for given, (name, content, _) in REFUSED_LAYERS.items()),
        *((f"a source with {key} = {value}", "w.geojson",
           collection(point(130.1, -25), **{**_SOURCE, key: value}))
          for key, value in _BAD_PROPERTIES.items()),
        *((f"a visit {given}", "w.geojson",
           collection(point(130.1, -25), **_SOURCE, visits=[visit]))
          for given, visit in _BAD_VISITS.items()),
        *((f"a table {given}", "w.csv", content) for given, content in _TABLES.items()),
        *((given, name, content) for given, (name, content) in _OTHERS.items()),
        *((f"KMZ of {given}", "w.kmz", content) for given, (content, _) in KMZ_BOMBS.items()),
        ("a zip archive of 12 MB of blanks", "w.zip", zipped(("w.geojson", b" " * 12_000_000))),
    ]  # fmt: skip
    mapped = plan_words("--fields", "f.toml", water="theirs.csv")
    return [
        *(Row(given, plan_words(water=name), {name: content}) for given, name, content in files),
        Row("a layer that is not there", plan_words(water="none.csv")),
        Row("a layer that is a folder", plan_words(water="layers"), folders=("layers",)),
        Row("one layer twice", plan_words("--water", "water.csv")),
        *(Row(f"a mapping {given}", mapped, {"f.toml": content})
          for given, content in _MAPPINGS.items()),
        Row("a mapping that is not there", plan_words("--fields", "none.toml", water="theirs.csv")),
        Row("a mapping that is a folder", plan_words("--fields", "f", water="theirs.csv"),
            folders=("f",)),
        Row("a mapping without a layer", plan_words("--fields", "fields.toml", water="")),
        Row("a mapping for no layer that is named",
            plan_words("--fields", "fields.toml", "--fields", "f.toml", water="theirs.csv"),
            {"f.toml": FIELDS.replace("water_qual", "quality")}),
        Row("a layer of no places, and a mapping without them",
            plan_words("--fields", "fields.toml", water="t.csv"),
            {"t.csv": THEIRS.replace("lat,lon", "up,along")}),
    ]  # fmt: skip
