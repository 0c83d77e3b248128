"""Files worse than ours: what each holds, and what its one answer must name. All invented."""

from __future__ import annotations

import gzip
import json

from gpx_writing import GPX_11, gpx, rtept, track, trkpt
from gpx_writing import route as gpx_route

A, B, C = trkpt(-25.0, 130.0), trkpt(-25.0, 130.01), trkpt(-25.0, 130.02)
GOOD_ROUTE = '<?xml version="1.0"?>\n' + gpx(track(A, B, C, name="R"))
GOOD_TABLE = "id,name,lat,lon,grade\nw1,Well,-25.0,130.01,potable\n"
UTF_16_ROUTE = GOOD_ROUTE.replace("<name>R", "<name>Müller")
ENTITY_BOMB = (
    '<?xml version="1.0"?>\n<!DOCTYPE gpx [<!ENTITY a0 "ha">'
    + "".join(f'<!ENTITY a{n + 1} "{f"&a{n};" * 10}">' for n in range(12))
    + "]>\n<gpx><trk><name>&a12;</name></trk></gpx>"
)
OUTSIDE = '<!DOCTYPE {root} [<!ENTITY x SYSTEM "secret.txt">]>\n<{root}><name>&x;</name></{root}>'
NESTED = 100_000


def nested_xml(root, inner="a"):
    return f"<{root}>" + f"<{inner}>" * NESTED + f"</{inner}>" * NESTED + f"</{root}>"


def line_of(*positions, kind="LineString", crs=None):
    geometry = {"type": kind, "coordinates": [list(position) for position in positions]}
    return collection(geometry, crs=crs)


def collection(*geometries, crs=None, **properties):
    features = [
        {"type": "Feature", "properties": properties, "geometry": geometry}
        for geometry in geometries
    ]
    document = {"type": "FeatureCollection", "features": features}
    if crs:
        document["crs"] = {"type": "name", "properties": {"name": crs}}
    return json.dumps(document)


def point(*position):
    return {"type": "Point", "coordinates": list(position)}


def bomb(beginning, filler):
    """Pack 256 MiB into a small file, piece by piece: gzip allows members in a row (RFC 1952)."""
    piece = gzip.compress(filler * ((1 << 22) // len(filler)))
    return gzip.compress(beginning) + piece * 64


def faulty_track(count):
    return gpx(track(*(trkpt(95 + n, 130) for n in range(count))))


REFUSED_ROUTES = {
    "truncated": ("r.gpx", GOOD_ROUTE[:180], ["line 5", "breaks off", "copy it again"]),
    "cut short in UTF-32": (
        "r.gpx", GOOD_ROUTE[:-20].encode("utf-32-le"), ["line 7", "breaks off"]),
    "declared a Python encoding": (
        "r.gpx", GOOD_ROUTE.replace('"1.0"', '"1.0" encoding="unicode_escape"'),
        ["line 1", "unicode_escape", "unknown"]),
    "lat a hair too large": (
        "r.gpx", gpx(track(A, trkpt("90.0000001", 1))), ["line 4", "lat 90.0000001"]),
    "two documents in one": ("r.gpx", gpx(track(A, B)) * 2, ["behind the end", "delete"]),
    "line layer: web page": ("r.geojson", "<!DOCTYPE html><html>", ["web page", "download"]),
    "line layer: gzip cut short": (
        "r.geojson.gz", gzip.compress(b'{"type": "LineString"}')[:-9], ["gzip"]),
    "empty": ("r.gpx", "", ["empty", "copy it again"]),
    "blank": ("r.gpx", " \n\n", ["empty", "copy it again"]),
    "binary": ("r.gpx", bytes(range(256)) * 40, ["binary"]),
    "HTML named .gpx": ("r.gpx", "<!DOCTYPE html>\n<html></html>", ["web page", "download"]),
    "zip archive": ("r.gpx", b"PK\x03\x04" + b"\x00" * 99, ["zip archive", "damaged"]),
    "gzip cut short": ("r.gpx.gz", gzip.compress(GOOD_ROUTE.encode())[:-20], ["gzip"]),
    "gzip bomb": ("r.gpx", bomb(b"<gpx>", b" "), ["over 50 times"]),
    "gzip in gzip": ("r.gpx", gzip.compress(gzip.compress(b"<gpx/>")), ["compressed twice"]),
    "declared UTF-8, is cp1252": (
        "r.gpx", UTF_16_ROUTE.encode("cp1252"), ["line 3", "encoding", "UTF-8"]),
    "declared UTF-16, is UTF-8": (
        "r.gpx", GOOD_ROUTE.replace('"1.0"', '"1.0" encoding="UTF-16"'), ["line 1", "UTF-16"]),
    "declared an unknown encoding": (
        "r.gpx", GOOD_ROUTE.replace('"1.0"', '"1.0" encoding="klingon"'), ["line 1", "klingon"]),
    "100,000 nested elements": ("r.gpx", nested_xml("gpx"), ["deep inside", "take the nested"]),
    "100,000 nested in a segment": (
        "r.gpx", gpx(f"<trk><trkseg>{nested_xml('trkpt')}</trkseg></trk>"), ["deep", "take the"]),
    "entity bomb": ("r.gpx", ENTITY_BOMB, ["line 2", "DOCTYPE", "take the DOCTYPE out"]),
    "external entity": ("r.gpx", OUTSIDE.format(root="gpx"), ["DOCTYPE"]),
    "no lat": ("r.gpx", gpx(track(A, '<trkpt lon="1"/>')), ["line 4", "lat"]),
    "no lon": ("r.gpx", gpx(track(A, '<trkpt lat="1"/>')), ["line 4", "lon"]),
    "lat empty": ("r.gpx", gpx(track(A, trkpt("", 1))), ["line 4", "lat"]),
    "lat NaN": ("r.gpx", gpx(track(A, trkpt("NaN", 1))), ["line 4", '"NaN"']),
    "lon infinite": ("r.gpx", gpx(track(A, trkpt(1, "inf"))), ["line 4", '"inf"']),
    "lat 90.1": ("r.gpx", gpx(track(A, trkpt(90.1, 1))), ["line 4", "90.1", "-90 to 90"]),
    "lon -180.5": ("r.gpx", gpx(track(A, trkpt(1, -180.5))), ["line 4", "-180.5", "180"]),
    "decimal comma": ("r.gpx", gpx(track(A, trkpt("45,2", 1))), ["line 4", "45,2", "point"]),
    "lat and lon swapped": ("r.gpx", gpx(track(A, trkpt(130, -25))), ["line 4", "swapped"]),
    "one point": ("r.gpx", gpx(track(A)), ["one point"]),
    "all points equal": ("r.gpx", gpx(track(A, A, A)), ["one place", "apart"]),
    "no point": ("r.gpx", gpx(track()), ["no track", "r.gpx"]),
    "waypoints only": ("r.gpx", gpx('<wpt lat="1" lon="2"/>'), ["waypoint"]),
    "another XML": ("r.gpx", "<svg/>", ["svg", "GPX"]),
    "text": ("r.gpx", "hello", ["no XML"]),
    "twelve faults": ("r.gpx", faulty_track(12), ["and 2 more"]),
    "line layer: null geometry": (
        "r.geojson", collection(None), ["no line", "1 feature without a geometry"]),
    "line layer: empty geometry": ("r.geojson", line_of(), ["line"]),
    "line layer: points": ("r.geojson", collection(point(130.0, -25.0)), ["1 point", "line"]),
    "line layer: polygon": (
        "r.geojson", line_of([[1, 2], [2, 2], [2, 3], [1, 2]], kind="Polygon"),
        ["1 polygon", "line"]),
    "line layer: out of range": (
        "r.geojson", line_of([130, -95], [130, -96]), ["feature 1", "-95", "outside"]),
    "line layer: metres without a CRS": (
        "r.geojson", line_of([500000, 7200000], [501000, 7200000]),
        ["feature 1", "save the layer in WGS 84"]),
    "line layer: CRS of nobody": (
        "r.geojson", line_of([1, 2], [2, 3], crs="EPSG:999999"), ["EPSG:999999"]),
    "line layer: cut short": ("r.geojson", line_of([1, 2], [2, 3])[:90], ["r.geojson"]),
    "line layer: deep": ("r.geojson", '{"a":' + "[" * NESTED + "]" * NESTED + "}", ["r.geojson"]),
    "KML entity bomb": ("r.kml", ENTITY_BOMB.replace("gpx", "kml"), ["DOCTYPE"]),
    "KML external entity": ("r.kml", OUTSIDE.format(root="kml"), ["DOCTYPE"]),
    "KML nested": ("r.kml", nested_xml("kml", "Folder"), ["r.kml"]),
    "GeoPackage of zeros": ("r.gpkg", b"SQLite format 3\x00" + b"\x00" * 999, ["r.gpkg"]),
    "Shapefile of noise": ("r.shp", b"\x00\x00\x27\x0a" + b"\x07" * 200, ["r.shp"]),
}  # fmt: skip
"""File name, content, what the one answer must hold."""

READ_ROUTES = {
    "gzip": ("r.gpx", gzip.compress(GOOD_ROUTE.encode()), 3),
    "byte order mark": ("r.gpx", b"\xef\xbb\xbf" + GOOD_ROUTE.encode(), 3),
    "UTF-16": ("r.gpx", UTF_16_ROUTE.encode("utf-16"), 3),
    "UTF-16 without a mark": ("r.gpx", UTF_16_ROUTE.encode("utf-16-be"), 3),
    "cp1252, declared": (
        "r.gpx",
        UTF_16_ROUTE.replace('"1.0"', '"1.0" encoding="windows-1252"').encode("cp1252"), 3),
    "no namespace": ("r.gpx", GOOD_ROUTE.replace(GPX_11, "<gpx>"), 3),
    "prefixed namespace": (
        "r.gpx", GOOD_ROUTE.replace("<", "<g:").replace("<g:/", "</g:").replace("<g:?", "<?")
        .replace("xmlns=", "xmlns:g="), 3),
    "odd order": (
        "r.gpx",
        gpx(track(A, trkpt(-25.0, 130.01, "<time/><ele>3</ele>"), C), "<metadata/>",
            '<wpt lat="1" lon="2"/>'), 3),
    "duplicate points": ("r.gpx", gpx(track(A, A, B, B, B)), 5),
    "antimeridian": ("r.gpx", gpx(track(trkpt(-17, 179.99), trkpt(-17, -179.99))), 2),
    "poles": ("r.gpx", gpx(track(trkpt(89.99, 0), trkpt(90, 0), trkpt(89.99, 180))), 3),
    "route, not track": ("r.gpx", gpx(gpx_route(rtept(-25, 130), rtept(-25, 130.1))), 2),
    "name of 10 kB": ("r.gpx", GOOD_ROUTE.replace("<name>R", "<name>" + "n" * 10_000), 3),
    "3-D line": ("r.geojson", line_of([130, -25, 400], [130.01, -25, 410]), 2),
    "UTF-32 without a mark": ("r.gpx", UTF_16_ROUTE.encode("utf-32-be"), 3),
    "gzip line layer": (
        "r.geojson.gz", gzip.compress(line_of([130, -25], [130.01, -25]).encode()), 2),
    "UTF-16 line layer": ("r.geojson", line_of([130, -25], [130.01, -25]).encode("utf-16"), 2),
    "gzip KML": (
        "r.kml", gzip.compress(
            b"<kml><Placemark><LineString><coordinates>130,-25 130.01,-25 130.02,-25</coordinates>"
            b"</LineString></Placemark></kml>"), 3),
    "another CRS": (
        "r.geojson", line_of([500000, 7200000], [501000, 7200000], crs="EPSG:32752"), 2),
}  # fmt: skip
"""File name, content, points."""

REFUSED_LAYERS = {
    "truncated": ("w.geojson", collection(point(130, -25))[:60], ["line 1", "JSON"]),
    "empty": ("w.geojson", "", ["empty"]),
    "binary": ("w.geojson", bytes(range(256)) * 40, ["w.geojson"]),
    "HTML named .geojson": ("w.geojson", "<html>", ["web page"]),
    "JSON of another kind": ("w.geojson", '{"type": "Topology"}', ["Topology"]),
    "deep": ("w.geojson", '{"a":' + "[" * NESTED + "]" * NESTED + "}", ["nested too deeply"]),
    "number of 5,000 digits": (
        "w.geojson", '{"type": "FeatureCollection", "features": [' + "9" * 5000 + "]}", ["digits"]),
    "line": (
        "w.geojson", collection({"type": "LineString", "coordinates": [[1, 2], [2, 3]]}),
        ["feature 1", "LineString"]),
    "swapped": ("w.geojson", collection(point(-25, 130)), ["feature 1", "swapped"]),
    "NaN": ("w.geojson", collection(point(float("nan"), 1)), ["feature 1"]),
    "out of range": ("w.geojson", collection(point(200, -95)), ["feature 1", "-95"]),
    "metres without a CRS": ("w.geojson", collection(point(500000, 7200000)), ["feature 1"]),
    "CRS of nobody": ("w.geojson", collection(point(1, 2), crs="EPSG:999999"), ["EPSG:999999"]),
    "flow beyond all numbers": (
        "w.geojson", collection(point(1, 2), flow_l_per_min=1e308), ["flow_l_per_min", "1e+308"]),
    "limit beyond all numbers": (
        "w.geojson", collection(point(1, 2), limit_l=1e308), ["limit_l", "1e+308"]),
    "unknown grade": ("w.geojson", collection(point(1, 2), grade="nice"), ["nice", "potable"]),
    "eleven faults": ("w.geojson", collection(*[point(1, 95)] * 12), ["and 2 more"]),
    "KML entity bomb": ("w.kml", ENTITY_BOMB.replace("gpx", "kml"), ["DOCTYPE"]),
    "KML external entity": ("w.kml", OUTSIDE.format(root="kml"), ["DOCTYPE"]),
    "KML nested": ("w.kml", nested_xml("kml", "Folder"), ["deep"]),
    "GPX entity bomb": ("w.gpx", ENTITY_BOMB, ["DOCTYPE"]),
    "GML entity bomb": ("w.gml", ENTITY_BOMB.replace("gpx", "gml"), ["DOCTYPE"]),
    "GML nested": ("w.gml", nested_xml("gml"), ["w.gml"]),
    "GeoPackage of zeros": ("w.gpkg", b"SQLite format 3\x00" + b"\x00" * 999, ["w.gpkg"]),
    "Shapefile of noise": ("w.shp", b"\x00\x00\x27\x0a" + b"\x07" * 200, ["w.shp"]),
    "names data elsewhere": ("w.vrt", "<OGRVRTDataSource/>", ["elsewhere"]),
    "GML DOCTYPE": ("w.gml", "<!DOCTYPE gml><gml/>", ["DOCTYPE, which no such file needs"]),
    "CSV of 100,000 columns, costly": (
        "w.csv", ",".join(f"c{n}" for n in range(100_000)) + "\n", ["no columns of places"]),
    "gzip bomb": ("w.csv", bomb(b"", b"lat,lon\n"), ["over 50 times"]),
    "gzip bomb of zeros": ("w.gpkg", bomb(b"", b"\0"), ["over 50 times"]),
    "blank": ("w.geojson", " \n" * 99, ["empty"]),
    "one byte": ("w.gpkg", b"\x1f", ["no kind of layer"]),
    "CSV without lat": ("w.csv", GOOD_TABLE.replace("lat", "up"), ["lat", "line 1"]),
    "CSV with a row too long": ("w.csv", GOOD_TABLE + "a,b,1,2,potable,7,8\n", ["line 3"]),
    "CSV with an open quote": ("w.csv", GOOD_TABLE + '"a,b,1,2,potable\n', ["line 3", "quote"]),
    "CSV with a decimal comma": (
        "w.csv", GOOD_TABLE + 'x,y,"-25,1",130,potable\n', ["line 3", "-25,1"]),
    "CSV with an id twice": ("w.csv", GOOD_TABLE + "w1,B,-25,130.02,potable\n", ["line 3", "w1"]),
    "CSV of twelve faults": ("w.csv", GOOD_TABLE + "x,y,abc,1,potable\n" * 12, ["more"]),
    "CSV in no encoding": (
        "w.csv", GOOD_TABLE.encode() + b"w2,\x81,-25,131,potable\n", ["line 3", "UTF-8"]),
}  # fmt: skip

READ_LAYERS = {
    "gzip": ("w.csv", gzip.compress(GOOD_TABLE.encode()), "Well"),
    "byte order mark": ("w.csv", b"\xef\xbb\xbf" + GOOD_TABLE.encode(), "Well"),
    "UTF-16": ("w.csv", GOOD_TABLE.encode("utf-16"), "Well"),
    "semicolons and decimal commas": (
        "w.csv", "id;name;lat;lon;grade\nw1;Well;-25,0;130,01;potable\n", "Well"),
    "UTF-16 without a mark": ("w.csv", GOOD_TABLE.encode("utf-16-le"), "Well"),
    "GeoJSON in UTF-16 without a mark": (
        "w.geojson", collection(point(130.01, -25), name="Well").encode("utf-16-be"), "Well"),
    "tabs": ("w.csv", GOOD_TABLE.replace(",", "\t"), "Well"),
    "quotes": ("w.csv", GOOD_TABLE.replace("Well", '"The ""old"", deep\nWell"'), "Well"),
    "3-D point": ("w.geojson", collection(point(130.01, -25, 400, 9), name="Well"), "Well"),
    "formula": ("w.csv", GOOD_TABLE.replace("Well", "=cmd|' /C x'!A0"), "=cmd"),
    "markup": ("w.csv", GOOD_TABLE.replace("Well", "<script>x</script>"), "<script>"),
    "direction turned": ("w.csv", GOOD_TABLE.replace("Well", "\u202eWell\u2066"), "Well"),
    "line separators": ("w.csv", GOOD_TABLE.replace("Well", "Old\u2028Well"), "Old Well"),
    "control characters": ("w.csv", GOOD_TABLE.replace("Well", "W\x07e\x1bll"), "ll"),
    "name of 10 kB": ("w.csv", GOOD_TABLE.replace("Well", "n" * 10_000), "n" * 80),
    "null geometry": ("w.geojson", collection(None, name="Well"), "no place"),
    "empty point": ("w.geojson", collection(point()), "no place"),
    "CSV in cp1252": ("w.csv", GOOD_TABLE.replace("Well", "Müller").encode("cp1252"), "Müller"),
    "another CRS": (
        "w.geojson", collection(point(500000, 7233500), crs="EPSG:32752", name="Well"), ""),
    "no feature": ("w.geojson", collection(), ""),
}  # fmt: skip
"""File name, content, what the answer shows of it."""

TRIPS = {
    "no TOML": ("people = ", ["line 1"]),
    "binary": (bytes(range(256)), ["line 2", "0x80", "UTF-8"]),
    "cp1252": ('name = "Müller"'.encode("cp1252"), ["line 1", "UTF-8"]),
    "type": ('[party]\npeople = "two"', ["[party] people (line 2)"]),
    "sign": ("[pace]\nspeed_kmh = -5", ["[pace] speed_kmh (line 2)", "-5"]),
    "zero": ("[pace]\nspeed_kmh = 0", ["speed_kmh (line 2)"]),
    "huge": ("[party]\npeople = 99999999999", ["people (line 2)"]),
    "NaN": ("[pace]\nspeed_kmh = nan", ["speed_kmh (line 2)"]),
    "infinite": ("[policy]\nreserve_days = inf", ["reserve_days (line 2)"]),
    "unit as text": ('[pace]\nspeed_kmh = "50 km/h"', ["speed_kmh (line 2)", "50"]),
    "unknown key": ("[party]\npeopel = 2", ["peopel", "people"]),
    "key without a name": ('"" = 1', ["no key called", "line 1"]),
    "name that turns direction": ('name = "\u202ex"', ["name (line 1)", "\\u202e"]),
    "name with a line separator": ('name = "a\u2028b"', ["name (line 1)", "\\u2028"]),
    "key twice": ("[party]\npeople = 2\npeople = 3", ["line 3"]),
    "container of no litres": ("[[container]]\nrated_l = 0", ["rated_l (line 2)"]),
    "more containers than anybody has": (
        "[[container]]\nname='a'\nrated_l=1\ncount=600\n[[container]]\nname='b'\nrated_l=1\ncount=401",
        ["[[container]] 2, count (line 8)", "1001 containers in all", "1000 at the most"]),
    "10,000 containers, costly": (
        "[[container]]\nrated_l=0.001\ncount=10000", ["count (line 3)", "10000", "1 to 1000"]),
    "50,000 unknown keys": (
        "\n".join(f"key{n} = 1" for n in range(50_000)), ["key9", "and 49990 more"]),
    "camps at one km": ("[[camp]]\nkm = 1\n[[camp]]\nkm = 1", ["[[camp]]"]),
    "camp behind the end": ("[[camp]]\nkm = 900", ["[[camp]] 1"]),
    "sections overlap": (
        "[[section]]\nfrom_km=0\nto_km=2\nspeed_kmh=4\n[[section]]\nfrom_km=1\nto_km=3\nspeed_kmh=4",
        ["[[section]] 2, from_km (line 6)"]),
    "impossible pace": ("[pace]\ntravel = 'foot'\nspeed_kmh = 90", ["speed_kmh (line 3)", "90"]),
    "slow for ever": ("[pace]\nspeed_kmh = 0.0001\nhours_per_day = 0.1", ["[pace]"]),
    "no such date": ("depart = 2027-02-30", ["line 1"]),
    "date as text": ('depart = "30.2.2027"', ["depart (line 1)"]),
    "no such hour": ("depart = 2027-02-20T25:00:00", ["line 1"]),
    "twelve faults": (
        "[party]\n" + "\n".join(f"key{n} = 1" for n in range(12)), ["and 2 more"]),
    "deep": ("a = " + "[" * 100_000 + "]" * 100_000, ["trip.toml"]),
}  # fmt: skip
