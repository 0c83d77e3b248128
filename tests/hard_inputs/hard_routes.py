"""Routes that cannot be read or travelled, in every format that is taken."""

from __future__ import annotations

import gzip
import zipfile

from gpx_writing import gpx, rtept, track, trkpt
from gpx_writing import route as gpx_route
from hard_bombs import KMZ_BOMBS, zipped
from hard_files import GOOD_ROUTE, REFUSED_ROUTES, A, B, collection, line_of
from row import Row, plan_words

KML_LINE = (
    "<kml><Placemark><name>way</name><LineString><coordinates>{0}</coordinates></LineString>"
    "</Placemark></kml>"
)
GOOD_KML = KML_LINE.format("130,-25 130.1,-25")


def encrypted() -> bytes:
    """Mark the one member of an archive as encrypted (APPNOTE 4.4.4, bit 0)."""
    packed = bytearray(zipped(("doc.kml", GOOD_KML)))
    packed[6] |= 1
    packed[packed.index(b"PK\x01\x02") + 8] |= 1
    return bytes(packed)


def of_unknown_method() -> bytes:
    """Say that a member is packed by a method that nobody knows (APPNOTE 4.4.5)."""
    packed = bytearray(zipped(("doc.kml", GOOD_KML)))
    packed[8:10] = b"\x63\x00"
    place = packed.index(b"PK\x01\x02")
    packed[place + 10 : place + 12] = b"\x63\x00"
    return bytes(packed)


def damaged(how: int) -> bytes:
    """Change the packed bytes of an archive's one member."""
    packed = bytearray(zipped(("doc.kml", GOOD_KML * 9), how=how))
    for at in range(45, 60):
        packed[at] ^= 0xFF
    return bytes(packed)


_GPX = {
    "a track of one point in each of two segments": gpx(
        f"<trk><trkseg>{A}</trkseg><trkseg>{trkpt(-25.0, 140.0)}</trkseg></trk>"
    ),
    "two tracks that lie apart": gpx(
        track(A, B, name="north"), track(trkpt(-30, 130), trkpt(-30, 130.1), name="south")
    ),
    "a route of one point": gpx(gpx_route(rtept(-25, 130))),
    "a lat with letters": gpx(track(A, trkpt("S25.1", 130))),
    "a lat in minutes": gpx(track(A, trkpt("25 30.5", 130))),
    "a lon with two points": gpx(track(A, trkpt(-25, "130.1.2"))),
    "an open tag": GOOD_ROUTE.replace("</trkseg>", ""),
    "a letter that XML does not know": GOOD_ROUTE.replace("<name>R", "<name>&eacute;"),
    "an ampersand alone": GOOD_ROUTE.replace("<name>R", "<name>Salt & Sand"),
    "a number of no letter": GOOD_ROUTE.replace("<name>R", "<name>&#0;"),
    "something before the first line": "x" + GOOD_ROUTE,
    "a prefix that is not declared": GOOD_ROUTE.replace("<name>R</name>", "<x:name>R</x:name>"),
    "an attribute twice": GOOD_ROUTE.replace('lat="-25.0"', 'lat="-25.0" lat="-26.0"', 1),
    "a control character": GOOD_ROUTE.replace("<name>R", "<name>R\x01"),
    "a GPX inside another": gpx(gpx(track(A, B))),
}
_KML = {
    "coordinates with blanks behind the comma": KML_LINE.format("130, -25 130.1, -25"),
    "coordinates that are words": KML_LINE.format("here there"),
    "coordinates swapped": KML_LINE.format("-25,130 -25,131"),
    "one position": KML_LINE.format("130,-25"),
    "no position": KML_LINE.format(""),
    "a lat of 95": KML_LINE.format("130,95 130.1,95"),
    "points alone": (
        "<kml><Placemark><Point><coordinates>1,2</coordinates></Point></Placemark></kml>"),
    "a link to another file alone": (
        "<kml><NetworkLink><Link><href>x.kml</href></Link></NetworkLink></kml>"),
    "a track whose places are no numbers": (
        "<kml><Placemark><Track><coord>a b</coord></Track></Placemark></kml>"),
    "cut short": GOOD_KML[:70],
    "a web page": "<!DOCTYPE html><html></html>",
    "empty": "",
}  # fmt: skip
_KMZ = {
    "without a KML": zipped(("picture.png", b"\x89PNG"), ("readme.txt", "invented")),
    "with an encrypted KML": encrypted(),
    "packed in a way that nobody knows": of_unknown_method(),
    "with damaged bytes (deflate)": damaged(zipfile.ZIP_DEFLATED),
    "with damaged bytes (bzip2)": damaged(zipfile.ZIP_BZIP2),
    "with damaged bytes (LZMA)": damaged(zipfile.ZIP_LZMA),
    "with damaged bytes (stored)": damaged(zipfile.ZIP_STORED),
    "cut short": zipped(("doc.kml", GOOD_KML * 99))[:-60],
    "with an empty KML": zipped(("doc.kml", "")),
    "with a web page in place of the KML": zipped(("doc.kml", "<!DOCTYPE html><html></html>")),
    "with a zip archive in place of the KML": zipped(("doc.kml", zipped(("doc.kml", GOOD_KML)))),
    "with a picture in place of the KML": zipped(("doc.kml", b"\x89PNG\r\n\x1a\n\0\0\0")),
    "with a KML without a line": zipped(("doc.kml", "<kml/>")),
    "with a GPX in place of the KML": zipped(("doc.kml", GOOD_ROUTE)),
    "that is a KMZ in a KMZ": zipped(("inner.kmz", zipped(("doc.kml", GOOD_KML)))),
    "that is no archive": "PK but not so",
    "of nothing": zipped(),
}
_LAYERS = {
    "a table": ("r.csv", "lat,lon\n-25,130\n-25,130.1\n"),
    "a picture": ("r.png", b"\x89PNG\r\n\x1a\n" + b"\x00" * 40),
    "a trip file": ("r.toml", "[party]\npeople = 2\n"),
    "a GeoJSON of no kind": ("r.geojson", '{"type": "Topology"}'),
    "a GeoJSON that is a list": ("r.geojson", "[]"),
    "a GeoJSON without a feature": ("r.geojson", collection()),
    "a line with a text for a number": ("r.geojson", line_of([130, "x"], [131, -25])),
    "a line of one place": ("r.geojson", line_of([130, -25])),
    "a line of one place twice": ("r.geojson", line_of([130, -25], [130, -25])),
    "two lines of one name, apart": (
        "r.geojson",
        collection(*[{"type": "LineString", "coordinates": [[130, at], [131, at]]}
                     for at in (-25, -27)], name="way")),
    "a GeoPackage that is text": ("r.gpkg", "hello"),
    "a FlatGeobuf that is noise": ("r.fgb", b"fgb\x03fgb\x00" + b"\x07" * 90),
    "a Shapefile without its parts": (
        "r.shp", b"\x00\x00\x27\x0a" + b"\x00" * 20 + b"\x00\x00\x00\x32" + b"\xe8\x03\x00\x00"
        + b"\x03\x00\x00\x00" + b"\x00" * 64),
}  # fmt: skip
_TWO = gpx(track(A, B, name="north"), track(trkpt(-25, 130.01), trkpt(-25, 130.2), name="south"))
_BROKEN_HEADS = gpx(track(A, B, name="way"), track(A, B, name="way"), track(B, A, name="back"))


def rows() -> list[Row]:
    """Return the rows of routes."""
    many = [
        *((given, name, content) for given, (name, content, _) in REFUSED_ROUTES.items()),
        *((f"GPX: {given}", "r.gpx", content) for given, content in _GPX.items()),
        *((f"KML: {given}", "r.kml", content) for given, content in _KML.items()),
        *((f"KMZ {given}", "r.kmz", content) for given, content in _KMZ.items()),
        *((f"KMZ of {given}", "r.kmz", content) for given, (content, _) in KMZ_BOMBS.items()),
        *((f"a route that is {given}", *file) for given, file in _LAYERS.items()),
    ]
    found = [Row(given, plan_words(route=name), {name: content}) for given, name, content in many]
    gone = GOOD_ROUTE.encode()
    return [
        *found,
        Row("a route that is not there", plan_words(route="none.gpx")),
        Row("a route that is a folder", plan_words(route="old.gpx"), folders=("old.gpx",)),
        Row("a line layer that is a folder", plan_words(route="old.geojson"),
            folders=("old.geojson",)),
        Row("a line layer that is not there", plan_words(route="none.geojson")),
        Row("a route whose name is too long for the disk", plan_words(route="n" * 300)),
        Row("a track that the file does not have", plan_words("--track", "sout", route="r.gpx"),
            {"r.gpx": _TWO}),
        Row("the ninth track of two", plan_words("--track", "#9", route="r.gpx"), {"r.gpx": _TWO}),
        Row("a track whose name two have", plan_words("--track", "way", route="r.gpx"),
            {"r.gpx": _BROKEN_HEADS}),
        Row("the ninth segment of a track", plan_words("--track", "north#9", route="r.gpx"),
            {"r.gpx": _TWO}),
        Row("a track without a name", plan_words("--track", "", route="r.gpx"), {"r.gpx": _TWO}),
        Row("a GPX of gzip in which something else is",
            plan_words(route="r.gpx"), {"r.gpx": gzip.compress(b"lat,lon\n1,2\n")}),
        Row("a gzip file with bytes behind its end",
            plan_words(route="r.gpx"), {"r.gpx": gzip.compress(gone) + b"more"}),
    ]  # fmt: skip
