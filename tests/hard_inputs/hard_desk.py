"""Requests to the desk that cannot be granted, and files in its folder that cannot be."""

from __future__ import annotations

import gzip
import json
from collections.abc import Mapping
from dataclasses import dataclass, field

from hard_bombs import zipped
from hard_files import ENTITY_BOMB, collection, point
from hard_routes import GOOD_KML
from row import BOOK, ROUTE, TABLE, TALLY, THEIRS, TRIP

DESK_FOLDER = {
    "route.gpx": ROUTE,
    "water.geojson": BOOK,
    "trip.toml": TRIP,
    "trip.tally.json": TALLY,
    "theirs.csv": THEIRS,
}
"""What lies in the desk's folder beside what a row puts there."""


@dataclass(frozen=True)
class Asked:
    """What is given, and the request."""

    given: str
    method: str
    path: str
    body: object = None
    files: Mapping[str, str | bytes] = field(default_factory=dict)

    @property
    def command(self) -> str:
        """The request as the table shows it."""
        if isinstance(self.body, dict | list):
            shown = json.dumps(self.body)
        else:
            shown = {type(None): "", str: "text"}.get(type(self.body), "bytes")
        shown = shown if len(shown) <= 90 else f"{shown[:80]}...{shown[-5:]}"
        return f"{self.method} {self.path} {shown}".rstrip()


def _post(
    given: str, path: str, *, files: Mapping[str, str | bytes] | None = None, **wish
) -> Asked:
    return Asked(given, "POST", f"/api/{path}", wish, files or {})


def _trip(given: str, **change: object) -> Asked:
    return _post(f"trip: {given}", "trip", changes=[change])


def _mark(given: str, lat: object = -25.3, lon: object = 130.3, **properties: object) -> Asked:
    told = {"name": "New Bore", **properties}
    return _post(f"mark: {given}", "water/mark", lat_deg=lat, lon_deg=lon, properties=told)


def _upload(given: str, name: str, said: str, content: str | bytes) -> Asked:
    data = content if isinstance(content, bytes) else content.encode()
    return Asked(f"upload: {given}", "PUT", f"/api/files/{name}?as={said}", data)


_CHANGES = [
    _post("trip: no change", "trip"),
    _post("trip: changes in words", "trip", changes="faster"),
    _post("trip: a change that is a number", "trip", changes=[5]),
    _trip("a section that is not there", section="weather", key="rain", value=1),
    _trip("a key that is not there", section="pace", key="sped", value=1),
    _trip("a key that is a list", section="pace", key=["speed_kmh"], value=1),
    _trip("values that are a list", section="pace", values=["speed_kmh"]),
    _trip("a speed in words", section="pace", key="speed_kmh", value="fast"),
    _trip("a speed with a decimal comma", section="pace", key="speed_kmh", value="4,5"),
    _trip("a speed out of range", section="pace", key="speed_kmh", value=5000),
    _trip("a speed that is a list", section="pace", key="speed_kmh", value=[4]),
    _trip("a way of moving that nobody knows", section="pace", key="travel", value="camel"),
    _trip("a switch in words", section="party", key="can_treat", value="yes"),
    _trip("half a person", section="party", key="people", value=1.5),
    _trip("a departure that never was", section="", key="depart", value="2027-02-30T08:00"),
    _trip("a name of two lines", section="", key="name", value="two\nlines"),
    _trip("a name of 300 letters", section="", key="name", value="x" * 300),
    _trip("a number of 400 digits", section="pace", key="speed_kmh", value=10**400),
    _trip("a use without its number", section="use", key="litres", value=5),
    _trip("the ninth use", section="use", number=9, key="litres", value=5),
    _trip("a use number in words", section="use", number="one", key="litres", value=5),
    _trip("taking the last container's litres out", section="container", number=1,
          key="rated_l", value=None),
    _trip("a second use of one name", section="use", add=True,
          values={"name": "drinking", "litres": 1}),
    _trip("a container of no litres", section="container", number=1, key="rated_l", value=0),
    _trip("a what-if that says nothing", section="what_if", add=True,
          values={"change": "it rains"}),
    _trip("a table of heat outside the folder", section="heat", key="table", value="../heat.csv"),
    _trip("a table of heat that is not there", section="heat", key="table", value="heat.csv"),
    _post("trip: a file changed meanwhile", "trip", version="0" * 24,
          changes=[{"section": "party", "key": "people", "value": 3}]),
    _post("trip: a file that is no TOML", "trip", files={"trip.toml": "[party\n"},
          changes=[{"section": "party", "key": "people", "value": 3}]),
    _post("trip: a file that is no UTF-8", "trip", files={"trip.toml": b"name = '\xfc'\n"},
          changes=[{"section": "party", "key": "people", "value": 3}]),
    _mark("no name", name=""),
    _mark("a name that is a list", name=["A"]),
    _mark("lat in words", lat="south"),
    _mark("no place", lat=None, lon=None),
    _mark("lat and lon swapped", lat=130.3, lon=-25.3),
    _mark("beside the globe", lat=-95),
    _mark("a grade in other words", grade="nice"),
    _mark("a certainty in other words", certainty="sure"),
    _mark("a flow in words", flow_l_per_min="slow"),
    _mark("a limit below 0", limit_l=-1),
    _mark("months of no year", months="13"),
    _mark("beside another source", lat=-25.0001, lon=130.1),
    _mark("a property that is none", colour="blue"),
    _post("mark: no property", "water/mark", lat_deg=-25, lon_deg=130),
    _post("mark: properties in words", "water/mark", lat_deg=-25, lon_deg=130, properties="a bore"),
    _post("mark: a book changed meanwhile", "water/mark", lat_deg=-25.3, lon_deg=130.3,
          properties={"name": "A"}, version="0" * 24),
    _post("move: a source that is not there", "water/move", id="w9", lat_deg=-25, lon_deg=130),
    _post("move: an id that is a list", "water/move", id=["w1"], lat_deg=-25, lon_deg=130),
    _post("move: beside the globe", "water/move", id="w1", lat_deg=-25, lon_deg=200),
    _post("change: a name taken out", "water/change", id="w1", properties={"name": None}),
    _post("change: a grade in other words", "water/change", id="w1", properties={"grade": "nice"}),
    _post("change: a property that is none", "water/change", id="w1", properties={"id2": "x"}),
    _post("visit: no day", "water/visit", id="w1", found="dry"),
    _post("visit: no finding", "water/visit", id="w1", on="2025-05-09"),
    _post("visit: a day that never was", "water/visit", id="w1", on="2025-02-30", found="dry"),
    _post("visit: in the years to come", "water/visit", id="w1", on="2190-02-03", found="dry"),
    _post("visit: another finding", "water/visit", id="w1", on="2025-05-09", found="mud"),
    _post("visit: litres from a dry source", "water/visit", id="w1", on="2025-05-09", found="dry",
          litres=40),
    _post("visit: litres in words", "water/visit", id="w1", on="2025-05-09", found="low",
          litres="some"),
    _post("retire: no reason", "water/retire", id="w1", why=" "),
    _post("retire: a source of another layer", "water/retire", id="theirs-2", why="gone",
          files={"plan.txt": "route.gpx\n--water=theirs.csv\n"}),
    _post("bring: no file", "water/bring"),
    _post("bring: a file that is not there", "water/bring", file="none.csv"),
    _post("bring: the book itself", "water/bring", file="water.geojson"),
    _post("bring: a mapping of nobody", "water/bring", file="theirs.csv",
          mapping={"fields": {"grad": "water_qual"}}),
    _post("bring: a grade in other words", "water/bring", file="theirs.csv",
          mapping={"fields": {"grade": "water_qual"}, "grades": {"bore": "nice"}}),
    _post("bring: grades that are a list", "water/bring", file="theirs.csv",
          mapping={"fields": {"grade": "water_qual"}, "grades": ["bore"]}),
    _post("bring: fields that are a list", "water/bring", file="theirs.csv",
          mapping={"fields": ["grade"], "grades": {"bore": 5}}),
    _post("look: no file", "water/bring/look"),
    _post("look: a trip file", "water/bring/look", file="trip.toml"),
    _post("look: a file that is a list", "water/bring/look", file=["theirs.csv"]),
    _post("after: no file", "after/look"),
    _post("after: a tally that cannot be read", "after/look", file="bad.tally.json",
          files={"bad.tally.json": "x\n"}),
    _post("after: a file that is not there", "after/look", file="none.tally.json"),
    _post("after: an offer that is not there", "after/take", file="trip.tally.json", number=7),
    _post("after: an offer that is a list", "after/take", file="trip.tally.json", number=[1]),
    _post("choice: a route that is not there", "choice", route="none.gpx"),
    _post("choice: a route that is a number", "choice", route=5),
    _post("choice: layers in words", "choice", water="water.geojson"),
    _post("choice: a layer that is a number", "choice", water=[5]),
    _post("choice: a track with a line break", "choice", tracks=["a\nb"]),
    _post("choice: no route any more", "choice", route=None),
    _post("choice: changed meanwhile", "choice", reverse=True, version="0" * 24),
    _post("save: no output", "save"),
    _post("save: an output that is none", "save", kinds=["poster"]),
    _post("save: an output that is a list", "save", kinds=[["page"]]),
    _post("save: where there is no route", "save", kinds=["json"], files={"route.gpx": ""}),
    _post("save: over what the plan is made from", "save", kinds=["gpx"],
          files={"plan.gpx": ROUTE, "plan.txt": "plan.gpx\n"}),
    _post("sample: one that is not there", "sample", name="moon"),
    _post("sample: into a folder that is not empty", "sample", name="saltbush_loop"),
    _post("undo: no file", "undo"),
    _post("undo: a file that was never changed", "undo", file="route.gpx"),
    _post("undo: a file above the folder", "undo", file="../route.gpx"),
    Asked("a change that is a list", "POST", "/api/trip", [1]),
    Asked("a change that is no JSON", "POST", "/api/trip", b"{"),
    Asked("a change with one member twice", "POST", "/api/trip", b'{"a": 1, "a": 2}'),
    Asked("a change that is no UTF-8", "POST", "/api/trip", b'{"a": "\xfc"}'),
    Asked("a change with NaN", "POST", "/api/trip", b'{"changes": NaN}'),
    Asked("an address that is not there", "GET", "/api/weather"),
    Asked("an output that is not there", "GET", "/out/poster"),
    Asked("an output where there is no plan", "GET", "/out/json", None, {"route.gpx": "x"}),
    Asked("a km in words", "GET", "/api/where?km=far"),
    Asked("a km behind the end", "GET", "/api/where?km=900"),
    Asked("a place in words", "GET", "/api/where?lat_deg=south&lon_deg=east"),
    Asked("half a place", "GET", "/api/where?lat_deg=-25"),
    Asked("a place without a route", "GET", "/api/where?km=1", None, {"route.gpx": ""}),
    Asked("a backdrop that is cut short", "GET", "/api/backdrop", None,
          {"plan.txt": "route.gpx\n--backdrop=b.geojson\n", "b.geojson": '{"type": "Feat'}),
]  # fmt: skip
_UPLOADS = [
    _upload("nobody said what it is", "a.gpx", "", ROUTE),
    _upload("what nobody knows", "a.gpx", "poster", ROUTE),
    _upload("a name that is there", "route.gpx", "route", ROUTE),
    _upload("a name of the desk's own", "plan.txt", "route", ROUTE),
    _upload("a hidden name", ".a.gpx", "route", ROUTE),
    _upload("a name in a folder that is not there", "none/a.gpx", "route", ROUTE),
    _upload("a name of 130 letters", "a" * 130 + ".gpx", "route", ROUTE),
    _upload("a name that ends with a dot", "a.gpx.", "route", ROUTE),
    _upload("a name with a colon", "a:b.gpx", "route", ROUTE),
    _upload("an empty file", "a.gpx", "route", ""),
    _upload("a route that is a web page", "a.gpx", "route", "<!DOCTYPE html><html></html>"),
    _upload("a route cut short", "a.gpx", "route", ROUTE[:200]),
    _upload("a route that is an entity bomb", "a.gpx", "route", ENTITY_BOMB),
    _upload("a KMZ without a KML", "a.kmz", "route", zipped(("a.png", b"\x89PNG"))),
    _upload("a KMZ with damaged bytes", "a.kmz", "route", zipped(("d.kml", GOOD_KML * 99))[:-60]),
    _upload("a table that is a workbook", "a.csv", "water",
            zipped(("[Content_Types].xml", "<Types/>"), ("xl/workbook.xml", "<w/>"))),
    _upload("a layer that is cut short", "a.geojson", "water", collection(point(1, 2))[:40]),
    _upload("a layer of gzip that breaks off", "a.csv.gz", "water",
            gzip.compress(TABLE.encode())[:-9]),
    _upload("a trip file that is no TOML", "a.toml", "trip", "[party\n"),
    _upload("a trip file of bad values", "a.toml", "trip", "[party]\npeople = 0\n"),
    _upload("a tally that is none", "a.tally.json", "tally", "x\n"),
    _upload("a tally of another name", "a.json", "tally", TALLY),
    _upload("a recording that is cut short", "a.gpx", "tally", ROUTE[:200]),
    _upload("a backdrop that is none", "a.pmtiles", "backdrop", b"PMTiles\x03" + b"\7" * 99),
    _upload("a backdrop that is a text", "a.txt", "backdrop", "hello"),
]  # fmt: skip
_PLANS: dict[str, Mapping[str, str | bytes]] = {
    "a route that is cut short": {"route.gpx": ROUTE[:250]},
    "a book that is no JSON": {"water.geojson": '{"water_book'},
    "a trip file that cannot be": {"trip.toml": "[party]\npeople = 0\n"},
    "a plan.txt with an option that nobody knows": {"plan.txt": "route.gpx\n--watr=a\n"},
    "a plan.txt with a value that cannot be": {"plan.txt": "route.gpx\n--trials=many\n"},
    "a plan.txt without a route": {"plan.txt": "--water=water.geojson\n"},
    "a plan.txt that names a file outside": {"plan.txt": "/etc/passwd\n"},
    "a plan.txt that names no file": {"plan.txt": "none.gpx\n"},
    "a plan.txt with an option without its value": {"plan.txt": "route.gpx\n--water\n"},
    "a plan.txt in UTF-16": {"plan.txt": "route.gpx\n".encode("utf-16")},
    "a plan.txt with a byte that no name holds": {"plan.txt": "rou\0te.gpx\n"},
    "a plan.txt with two words in one line": {"plan.txt": "route.gpx --reverse\n"},
    "a mapping that cannot be": {
        "plan.txt": "route.gpx\n--water=theirs.csv\n--fields=f.toml\n",
        "f.toml": "[fields]\na = 1\n"},
    "a place on the way without a time": {"plan.txt": "route.gpx\n--from-km=5\n--left=10\n"},
    "a tally that cannot be read": {
        "plan.txt": "route.gpx\n--tally=bad.tally.json\n", "bad.tally.json": "x\n"},
}  # fmt: skip


def rows() -> list[Asked]:
    """Return the requests."""
    plans = [
        Asked(f"plan: {given}", "GET", "/api/plan", None, files) for given, files in _PLANS.items()
    ]
    return [*_CHANGES, *_UPLOADS, *plans]
