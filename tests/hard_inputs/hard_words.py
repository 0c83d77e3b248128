"""Words that cannot be: of plan, compare and desk, of outputs, backdrops and plan.txt."""

from __future__ import annotations

import sqlite3
import tempfile
from pathlib import Path

from hard_files import collection, point
from row import Row, plan_words
from tile_files import world, write_mbtiles, write_pmtiles

_PLAN = {
    "no word at all": ("plan",),
    "a command that nobody knows": ("paln", "route.gpx"),
    "an option that nobody knows": plan_words("--watr", "water.csv"),
    "an option cut short": plan_words("--rev"),
    "an option without its value": ("plan", "route.gpx", "--water"),
    "two routes": plan_words("route.gpx"),
    "an empty name of a route": plan_words(route=""),
    "an empty name of a layer": plan_words(water=" "),
    "units that nobody knows": plan_words("--units", "imperial"),
    "an unknown way of filling": plan_words("--fill", "full"),
    "an unknown way with dry sources": plan_words("--if-dry", "pray"),
    "an unknown certainty to count on": plan_words("--count-on", "doubtfull"),
    "trials in words": plan_words("--trials", "many"),
    "trials below 0": plan_words("--trials", "-1"),
    "more trials than anybody needs": plan_words("--trials", "1000001"),
    "trials with a point": plan_words("--trials", "1.5"),
    "trials in digits of another script": plan_words("--trials", "\u0663"),
    "a seed in words": plan_words("--seed", "lucky"),
    "an option that has another name now": plan_words("--survive-dry"),
    "a source to call at that is not there": plan_words("--call-at", "Wel"),
    "a source to pass by that is not there": plan_words("--pass-by", "Wel"),
    "a source called at and passed by": plan_words("--call-at", "w1", "--pass-by", "Well"),
    "a source@km where it is not": plan_words("--call-at", "Well@900"),
    "an empty source to call at": plan_words("--call-at", " "),
    "a what-if that says nothing": plan_words("--what-if", "it rains"),
    "a what-if without its number": plan_words("--what-if", "delay days at km 410"),
    "a what-if of no days": plan_words("--what-if", "delay 0 days"),
    "a what-if in a place that is no km": plan_words("--what-if", "delay 2 days at km far"),
    "a what-if of a pace that stands still": plan_words("--what-if", "pace 100 % slower"),
    "a what-if hotter than anywhere": plan_words("--what-if", "500 C hotter"),
    "a what-if of a container that is not there": plan_words(
        "--trip", "trip.toml", "--what-if", "lose container tin"),
    "a what-if of a vehicle that is not there": plan_words(
        "--trip", "trip.toml", "--what-if", "lose vehicle van"),
    "a what-if of a source that is not there": plan_words(
        "--trip", "trip.toml", "--what-if", "dry Nowhere"),
    "a what-if of half a person": plan_words("--what-if", "0.5 more people"),
    "an output in the place of the route": plan_words("--out", "route.gpx"),
    "an output in the place of a layer": plan_words("--csv-out", "water.csv"),
    "an output in the place of the trip file": plan_words(
        "--trip", "trip.toml", "--gpx-out", "trip.toml"),
    "an output in the place of a mapping": plan_words(
        "--fields", "fields.toml", "--out", "fields.toml", water="theirs.csv"),
    "an output in the place of the tally": plan_words(
        "--tally", "trip.tally.json", "--out", "trip.tally.json"),
    "two outputs in one place": plan_words("--out", "plan.json"),
    "two outputs in one place, by two names": plan_words("--out", "old/../plan.json"),
    "an output that is a folder": plan_words("--out", "old"),
    "an output in a folder that is not there": plan_words("--out", "none/plan.html"),
    "an output in a file": plan_words("--out", "water.csv/plan.html"),
    "an output with an empty name": plan_words("--out", ""),
    "a table of stops that is a folder": plan_words("--csv-stops-out", "old"),
    "a table of fills that is a folder": plan_words("--csv-fills-out", "old"),
    "a table of days that is a folder": plan_words("--csv-days-out", "old"),
    "a GeoJSON that is a folder": plan_words("--geojson-out", "old"),
}  # fmt: skip
_PAGE = ("--out", "plan.html")
_BACKDROPS = {
    "a backdrop without a page": ("--backdrop", "lines.geojson"),
    "a backdrop that is not there": (*_PAGE, "--backdrop", "none.geojson"),
    "a backdrop that is a folder": (*_PAGE, "--backdrop", "old"),
    "a backdrop that is a text": (*_PAGE, "--backdrop", "trip.toml"),
    "a backdrop that is empty": (*_PAGE, "--backdrop", "empty.geojson"),
    "a backdrop that is cut short": (*_PAGE, "--backdrop", "cut.geojson"),
    "a backdrop far from the route": (*_PAGE, "--backdrop", "far.geojson"),
    "a backdrop of no features": (*_PAGE, "--backdrop", "nothing.geojson"),
    "MBTiles that are noise": (*_PAGE, "--backdrop", "noise.mbtiles"),
    "MBTiles without tiles": (*_PAGE, "--backdrop", "bare.mbtiles"),
    "MBTiles of vectors": (*_PAGE, "--backdrop", "vector.mbtiles"),
    "MBTiles too large for their room": (
        *_PAGE, "--backdrop", "good.mbtiles", "--backdrop-mb", "0.00001"),
    "PMTiles that are noise": (*_PAGE, "--backdrop", "noise.pmtiles"),
    "PMTiles cut short": (*_PAGE, "--backdrop", "cut.pmtiles"),
    "PMTiles of an older version": (*_PAGE, "--backdrop", "old.pmtiles"),
    "a backdrop room in words": (*_PAGE, "--backdrop-mb", "much"),
    "a backdrop room of nothing": (*_PAGE, "--backdrop-mb", "0"),
    "a backdrop room without end": (*_PAGE, "--backdrop-mb", "inf"),
    "online tiles without a page": (
        "--online-tiles", "https://t.example/{z}/{x}/{y}.png", "--online-attribution", "us"),
    "online tiles without whom to name": (
        *_PAGE, "--online-tiles", "https://t.example/{z}/{x}/{y}.png"),
    "whom to name without online tiles": (*_PAGE, "--online-attribution", "us"),
    "online tiles that are no address": (
        *_PAGE, "--online-tiles", "tiles", "--online-attribution", "us"),
    "online tiles without their places": (
        *_PAGE, "--online-tiles", "https://t.example/a.png", "--online-attribution", "us"),
    "online tiles over a line that all can read": (
        *_PAGE, "--online-tiles", "http://t.example/{z}/{x}/{y}.png", "--online-attribution", "us"),
    "online tiles with a script": (
        *_PAGE, "--online-tiles", "javascript:{z}/{x}/{y}", "--online-attribution", "us"),
    "online tiles with a quote": (
        *_PAGE, "--online-tiles", 'https://t.example/"/{z}/{x}/{y}.png', "--online-attribution",
        "us"),
}  # fmt: skip
_COMPARE = ("compare", "route.gpx", "--water", "water.csv", "--trip", "trip.toml")
_DATES = ("--dates", "2027-05-01..2027-05-08")
_COMPARES = {
    "no route": ("compare",),
    "a route that is not there": ("compare", "none.gpx"),
    "a folder without a route": ("compare", "old"),
    "a folder of files named otherwise": ("compare", "layers", "--water", "layers/w.geojson"),
    "routes of which none can be read": ("compare", "none.gpx", "trip.toml"),
    "a layer that is not there": (*_COMPARE, "--water", "none.csv"),
    "a trip file that is not there": (*_COMPARE, "--trip", "none.toml"),
    "a trip file that cannot be": ("compare", "route.gpx", "--trip", "bad.toml"),
    "dates in words": (*_COMPARE, "--dates", "May"),
    "one date": (*_COMPARE, "--dates", "2027-05-01"),
    "dates with one dot": (*_COMPARE, "--dates", "2027-05-01.2027-05-08"),
    "a date that never was": (*_COMPARE, "--dates", "2027-02-30..2027-05-08"),
    "dates that end before they begin": (*_COMPARE, "--dates", "2027-05-08..2027-05-01"),
    "dates of another century": (*_COMPARE, "--dates", "1850-01-01..1850-02-01"),
    "more days than anybody compares": (
        *_COMPARE, "--dates", "2027-01-01..2047-01-01", "--step", "1"),
    "a step without dates": (*_COMPARE, "--step", "7"),
    "a step of nothing": (*_COMPARE, *_DATES, "--step", "0"),
    "a step in words": (*_COMPARE, *_DATES, "--step", "weekly"),
    "a step below 0": (*_COMPARE, *_DATES, "--step", "-7"),
    "workers in words": (*_COMPARE, "--workers", "all"),
    "no worker": (*_COMPARE, "--workers", "0"),
    "more workers than a machine has": (*_COMPARE, "--workers", "257"),
    "workers and a cluster": (*_COMPARE, "--workers", "2", "--scheduler", "tcp://127.0.0.1:1"),
    "a cluster that is no address": (*_COMPARE, "--scheduler", "nowhere"),
    "an output in the place of a route": (*_COMPARE, "--out", "route.gpx"),
    "an output in the place of a layer": (*_COMPARE, "--csv", "water.csv"),
    "two outputs in one place": (*_COMPARE, "--out", "a", "--json", "a"),
    "an output that is a folder": (*_COMPARE, "--out", "old"),
    "a document that is a folder": (*_COMPARE, "--json", "old"),
    "a table that is a folder": (*_COMPARE, "--csv", "old"),
    "a GeoPackage that is a folder": (*_COMPARE, "--gpkg-out", "old"),
    "an output in a folder that is not there": (*_COMPARE, "--out", "none/c.html"),
    "plans in a file": (*_COMPARE, "--plans", "water.csv"),
    "plans in a folder of no folder": (*_COMPARE, "--plans", "water.csv/plans"),
    "an output in the place of the plans": (*_COMPARE, "--plans", "plans", "--out", "plans"),
    "an output in the place of a page of the plans": (
        *_COMPARE, "--plans", "plans", "--out", "plans/trip1-route1-x.html"),
    "units that nobody knows": (*_COMPARE, "--units", "imperial"),
    "a mapping without a layer": ("compare", "route.gpx", "--fields", "fields.toml"),
    "an empty name of a route": ("compare", ""),
    "each line of a file that is not there": ("compare", "none.kml", "--each-line"),
    "each line of a file without one": ("compare", "points.geojson", "--each-line"),
}  # fmt: skip
_DESK = {
    "a folder that is not there": ("desk", "none"),
    "a folder that is a file": ("desk", "route.gpx"),
    "a port in words": ("desk", "--port", "http"),
    "a port that no computer has": ("desk", "--port", "70000"),
    "a port below 0": ("desk", "--port", "-1"),
    "two folders": ("desk", "old", "layers"),
}
_NEW_TRIP = {
    "a way of moving that nobody knows": ("new-trip", "camel", "new.toml"),
    "a trip file that is there": ("new-trip", "foot", "trip.toml"),
    "a trip file in no folder": ("new-trip", "foot", "none/trip.toml"),
    "a trip file that is a folder": ("new-trip", "foot", "old"),
    "a trip file without a name": ("new-trip", "foot"),
    "an empty name": ("new-trip", "foot", ""),
}
_PLAN_FILES: dict[str, str | bytes] = {
    "that is a list of options alone": "--water=water.csv\n",
    "that is empty": "",
    "that is remarks alone": "# nothing\n",
    "that names another such file": "route.gpx\n@other.txt\n",
    "with an option that nobody knows": "route.gpx\n--watr=water.csv\n",
    "with a value that cannot be": "route.gpx\n--trials=many\n",
    "with two words in one line": "route.gpx --water water.csv\n",
    "with a file that is not there": "route.gpx\n--water=none.csv\n",
    "in Windows-1252": "# Müller\nroute.gpx\n".encode("cp1252"),
    "in UTF-16": "route.gpx\n".encode("utf-16"),
    "that is binary": bytes(range(256)),
    "of over 1 MB": "#" * 1_000_002,
    "with a byte that no name holds": "rou\0te.gpx\n",
    "with an option without its value": "route.gpx\n--water\n",
}


def _tiles(write, tiles, **told: str) -> bytes:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "tiles"
        write(path, tiles, **told)
        return path.read_bytes()


def _bare_mbtiles() -> bytes:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "bare"
        base = sqlite3.connect(path)
        base.execute("CREATE TABLE other (a text)")
        base.commit()
        base.close()
        return path.read_bytes()


def _backdrop_files() -> dict[str, str | bytes]:
    tiles = _tiles(write_pmtiles, world(0, 2), name="invented")
    vectors = dict.fromkeys(world(0, 1), b"\x1f\x8b\x08\x00vector")
    far = {"type": "LineString", "coordinates": [[10, 50], [11, 50]]}
    near = {"type": "LineString", "coordinates": [[130, -25], [131, -25]]}
    return {
        "lines.geojson": collection(near),
        "empty.geojson": "",
        "cut.geojson": collection(near)[:60],
        "far.geojson": collection(far),
        "nothing.geojson": collection(),
        "noise.mbtiles": b"SQLite format 3\0" + b"\x07" * 900,
        "bare.mbtiles": _bare_mbtiles(),
        "vector.mbtiles": _tiles(write_mbtiles, vectors, format="pbf"),
        "good.mbtiles": _tiles(write_mbtiles, world(0, 3), format="png"),
        "noise.pmtiles": b"PMTiles\x03" + b"\x07" * 900,
        "cut.pmtiles": tiles[:200],
        "old.pmtiles": b"PM\x02\x00" + b"\0" * 600,
    }


_FILES = {
    "layers/w.geojson": collection(point(130.1, -25), id="a", name="A", grade="potable"),
    "bad.toml": "[party]\npeople = 0\n",
    "points.geojson": collection(point(130, -25)),
    "old/readme.txt": "invented",
}


def rows() -> list[Row]:
    """Return the rows of words."""
    backdrops = {**_FILES, **_backdrop_files()}
    return [
        *(Row(f"plan: {given}", words, _FILES) for given, words in _PLAN.items()),
        *(Row(f"plan: {given}", plan_words(*words), backdrops)
          for given, words in _BACKDROPS.items()),
        *(Row(f"a file of arguments {given}", ("plan", "@plan.txt"), {"plan.txt": text})
          for given, text in _PLAN_FILES.items()),
        Row("a file of arguments that is not there", ("plan", "@none.txt")),
        Row("a file of arguments that is a folder", ("plan", "@old"), _FILES),
        Row("a file of arguments without a name", ("plan", "@")),
        *(Row(f"compare: {given}", words, _FILES) for given, words in _COMPARES.items()),
        *(Row(f"desk: {given}", words, _FILES) for given, words in _DESK.items()),
        *(Row(f"new-trip: {given}", words, _FILES) for given, words in _NEW_TRIP.items()),
        Row("a word before the command", ("--quiet", "plan")),
        Row("trip-schema: a file", ("trip-schema", "x.json")),
    ]  # fmt: skip
