"""Tallies, words about a party on its way, and water books that cannot be."""

from __future__ import annotations

from hard_files import OUTSIDE, collection, point
from row import BOOK, TALLY, Row, plan_words

_AT = '"at": "2027-05-03T08:00"'
_LINES = {
    "with a line that is no JSON": f"{TALLY}at km 20, 10 litres left\n",
    "cut short": TALLY[:-20],
    "with a list in a line": "[1, 2]\n",
    "without a time": '{"km": 3}\n',
    "with a time in words": '{"at": "noon"}\n',
    "with a time and its offset": '{"at": "2027-05-03T08:00+09:30"}\n',
    "with a day alone": '{"at": "2027-05-03"}\n',
    "with a time that is a number": '{"at": 5}\n',
    "with km in words": f'{{{_AT}, "km": "far"}}\n',
    "with km below 0": f'{{{_AT}, "km": -1}}\n',
    "with litres in words": f'{{{_AT}, "left": [{{"litres": "some"}}]}}\n',
    "with litres below 0": f'{{{_AT}, "left": [{{"litres": -5}}]}}\n',
    "with more litres than there are": f'{{{_AT}, "left": [{{"litres": 1e9}}]}}\n',
    "with what is left in words": f'{{{_AT}, "left": ["half"]}}\n',
    "with a can that says no litres": f'{{{_AT}, "left": [{{"container": "can"}}]}}\n',
    "with water of another grade": f'{{{_AT}, "left": [{{"litres": 5, "grade": "fine"}}]}}\n',
    "with litres taken from nowhere": f'{{{_AT}, "took_l": 5}}\n',
    "with a finding nowhere": f'{{{_AT}, "found": "dry"}}\n',
    "with a finding in other words": f'{{{_AT}, "source": "w1", "found": "mud"}}\n',
    "with litres lost in words": f'{{{_AT}, "lost_l": "a can"}}\n',
    "with a new source without a place": f'{{{_AT}, "new_source": {{"name": "Soak"}}}}\n',
    "with a new source beside the globe": (
        f'{{{_AT}, "new_source": {{"name": "Soak", "lat": -95, "lon": 130}}}}\n'),
    "with a new source in words": f'{{{_AT}, "new_source": "Soak"}}\n',
    "with a source that is a list": f'{{{_AT}, "source": ["w1"]}}\n',
    "with one member twice": f'{{{_AT}, "km": 1, "km": 2}}\n',
    "with a number that is none": f'{{{_AT}, "km": NaN}}\n',
    "with a number of thousands of digits": f'{{{_AT}, "km": {"9" * 5000}}}\n',
    "nested without end": "[" * 100_000 + "\n",
    "that is binary": bytes(range(256)),
    "in Windows-1252": '{"at": "2027-05-03T08:00", "note": "Müller"}'.encode("cp1252"),
    "that is a web page": "<!DOCTYPE html>\n",
    "of twelve bad lines": "x\n" * 12,
    "in which there is more than there can be": (
        TALLY + '{"at": "2027-05-04T08:00", "km": 20, "left": [{"litres": 60}]}\n'),
    "in which all litres stand beside a can": (
        f'{{{_AT}, "left": [{{"litres": 1}}, {{"litres": 2, "container": "can"}}]}}\n'),
    "in which a can is named twice": (
        f'{{{_AT}, "left": [{{"litres": 1, "container": "can"}},'
        f' {{"litres": 2, "container": "can"}}]}}\n'),
}  # fmt: skip
_NEW = ("--km", "12", "--at", "2027-05-03T18:00", "--left", "10")
_TALLY_WORDS = {
    "a reading without a time": ("--km", "12", "--left", "10"),
    "a time in words": ("--km", "12", "--at", "noon", "--left", "10"),
    "a time with its offset": ("--km", "12", "--at", "2027-05-03T18:00Z", "--left", "10"),
    "km in words": ("--km", "far", "--at", "2027-05-03T18:00", "--left", "10"),
    "km below 0": ("--km", "-3", "--at", "2027-05-03T18:00", "--left", "10"),
    "litres left in words": (*_NEW[:4], "--left", "half a can"),
    "litres left below 0": (*_NEW[:4], "--left", "-5"),
    "litres left of another grade": (*_NEW[:4], "--left", "5 fine"),
    "one can twice": (*_NEW[:4], "--left", "can=5", "--left", "can=6"),
    "all litres beside a can": (*_NEW[:4], "--left", "5", "--left", "can=6"),
    "litres taken from nowhere": (*_NEW, "--took", "5"),
    "litres taken in words": (*_NEW, "--took", "plenty", "--from", "w1"),
    "a finding nowhere": (*_NEW, "--found", "dry"),
    "a finding in other words": (*_NEW, "--found", "mud", "--from", "w1"),
    "litres lost in words": (*_NEW, "--lost", "a can"),
    "litres lost below 0": (*_NEW, "--lost", "-1"),
    "a reason without a loss": (*_NEW, "--why", "it leaked"),
    "a new source without a place": (*_NEW, "--new-source", "Soak"),
    "a place without a new source": (*_NEW, "--place", "-25,130"),
    "a place in words": (*_NEW, "--new-source", "Soak", "--place", "by the hill"),
    "a place beside the globe": (*_NEW, "--new-source", "Soak", "--place", "-95,130"),
    "a place swapped": (*_NEW, "--new-source", "Soak", "--place", "130,-25"),
    "a new source without a name": (*_NEW, "--new-source", " ", "--place", "-25,130"),
    "a reading before the last one": (
        "--km", "12", "--at", "2027-05-02T08:00", "--left", "10"),
    "a reading with more water than before": (*_NEW[:4], "--left", "50"),
    "a trip file that is not there": (*_NEW, "--trip", "none.toml"),
}  # fmt: skip
_ON_THE_WAY = {
    "a place on the way without a time": ("--from-km", "5", "--left", "10"),
    "a place on the way without what is left": ("--from-km", "5", "--at", "2027-05-03T12:00"),
    "a time without a place": ("--at", "2027-05-03T12:00"),
    "litres left without a place": ("--left", "10"),
    "hours moved without a place": ("--moved-h", "3"),
    "trust in a tally that is not given": ("--trust-tally",),
    "trust in a tally that is not given, from a place": (
        "--from-km", "5", "--at", "2027-05-03T12:00", "--left", "10", "--trust-tally"),
    "km in words": ("--from-km", "far", "--at", "2027-05-03T12:00", "--left", "10"),
    "km behind the end": ("--from-km", "900", "--at", "2027-05-03T12:00", "--left", "10"),
    "km below 0": ("--from-km", "-1", "--at", "2027-05-03T12:00", "--left", "10"),
    "a time in words": ("--from-km", "5", "--at", "noon", "--left", "10"),
    "a day that the trip does not have": ("--from-km", "5", "--at", "day 0 12:00", "--left", "10"),
    "an hour that no day has": ("--from-km", "5", "--at", "day 2 25:00", "--left", "10"),
    "a source that is not there": ("--from", "Wel", "--at", "2027-05-03T12:00", "--left", "10"),
    "a source at a km where it is not": (
        "--from", "Well@900", "--at", "2027-05-03T12:00", "--left", "10"),
    "a km and a source": ("--from-km", "5", "--from", "Well"),
    "a container that the trip does not have": (
        "--from-km", "5", "--at", "day 1 12:00", "--left", "tin=3"),
    "more left than the containers take": (
        "--from-km", "5", "--at", "day 1 12:00", "--left", "500"),
    "more in a container than it takes": (
        "--from-km", "5", "--at", "day 1 12:00", "--left", "can=50"),
    "a date, where the trip has none": (
        "--from-km", "5", "--at", "2027-05-03T12:00", "--left", "9"),
    "litres left in words": ("--from-km", "5", "--at", "2027-05-03T12:00", "--left", "half"),
    "more hours moved than a day has": (
        "--from-km", "5", "--at", "2027-05-03T12:00", "--left", "10", "--moved-h", "25"),
    "hours moved in words": (
        "--from-km", "5", "--at", "2027-05-03T12:00", "--left", "10", "--moved-h", "few"),
    "a tally that is not there": ("--tally", "none.tally.json"),
    "a tally that is a folder": ("--tally", "t"),
    "a tally of no reading": ("--tally", "empty.tally.json"),
    "a tally that does not say where": ("--tally", "nowhere.tally.json"),
    "a tally whose last km lies behind the end": ("--tally", "behind.tally.json"),
}  # fmt: skip
_WAY_FILES = {
    "empty.tally.json": "",
    "nowhere.tally.json": '{"at": "2027-05-03T08:00", "left": [{"litres": 20}]}\n',
    "behind.tally.json": '{"at": "2027-05-03T08:00", "km": 900, "left": [{"litres": 20}]}\n',
}
_BOOKS = {
    "that is no JSON": "book\n",
    "that is empty": "",
    "cut short": BOOK[:200],
    "that is a list": "[]",
    "of another kind": '{"type": "Topology"}',
    "without features": '{"type": "FeatureCollection"}',
    "with one id twice": BOOK.replace('"t2"', '"t1"'),
    "with a grade in other words": BOOK.replace('"potable"', '"nice"', 1),
    "with a place beside the globe": BOOK.replace("[130.1, -25.0]", "[130.1, -95.0]"),
    "with a member twice": BOOK.replace('"id": "w1"', '"id": "w1", "id": "w9"'),
    "with NaN": BOOK.replace("130.1", "NaN"),
    "in another reference system": collection(point(5, 5), crs="EPSG:3857", id="a"),
    "that is binary": bytes(range(256)),
    "that is a web page": "<!DOCTYPE html>",
    "that is a table": "id,name,lat,lon\n",
    "with a visit in words": BOOK.replace('"id": "w1"', '"id": "w1", "visits": "dry"'),
}
_MARK = ("mark", "book.geojson", "--name", "New Bore", "--at", "-25.5,130.5")
_VISIT = ("visit", "book.geojson", "w1", "--on", "2025-05-09", "--found", "dry")
_BOOK_WORDS = {
    "a mark without a place": ("mark", "book.geojson", "--name", "X"),
    "a mark without a name": ("mark", "book.geojson", "--at", "-25.5,130.5"),
    "a mark at a place in words": (*_MARK[:4], "--at", "by the hill"),
    "a mark with half a place": (*_MARK[:4], "--at", "-25.5"),
    "a mark with lat and lon swapped": (*_MARK[:4], "--at", "130.5,-25.5"),
    "a mark beside the globe": (*_MARK[:4], "--at", "-95,130.5"),
    "a mark beside another source": (*_MARK[:4], "--at", "-25.0001,130.1"),
    "a mark under an id that is taken": (*_MARK, "--id", "w1"),
    "a mark with a grade in other words": (*_MARK, "--grade", "nice"),
    "a mark with a certainty in other words": (*_MARK, "--certainty", "sure"),
    "a mark with a flow in words": (*_MARK, "--flow", "slow"),
    "a mark with a flow below 0": (*_MARK, "--flow", "-1"),
    "a mark with a limit in words": (*_MARK, "--limit", "all"),
    "a mark with months of no year": (*_MARK, "--months", "13"),
    "a mark with solids in words": (*_MARK, "--tds", "salty"),
    "a mark laid on a day that never was": (*_MARK, "--laid-on", "2024-02-30"),
    "a mark at a waypoint that two have": (
        "mark", "book.geojson", "--from-gpx", "route.gpx", "--waypoint", "Tank"),
    "a mark at a waypoint that is not there": (
        "mark", "book.geojson", "--from-gpx", "route.gpx", "--waypoint", "Tnk"),
    "a mark from a GPX without a waypoint named": (
        "mark", "book.geojson", "--from-gpx", "route.gpx"),
    "a mark at a km without a route": (*_MARK, "--km", "5"),
    "a mark on a route without a km": (
        "mark", "book.geojson", "--name", "X", "--route", "route.gpx"),
    "a mark at a km in words": (
        "mark", "book.geojson", "--name", "X", "--route", "route.gpx", "--km", "far"),
    "a mark at a km behind the end": (
        "mark", "book.geojson", "--name", "X", "--route", "route.gpx", "--km", "900"),
    "a mark at two places": (*_MARK, "--route", "route.gpx"),
    "a mark in a book that is a route": ("mark", "route.gpx", *_MARK[2:]),
    "a mark in a book that is a folder": ("mark", "old", *_MARK[2:]),
    "a mark in a folder that is not there": ("mark", "none/book.geojson", *_MARK[2:]),
    "a visit to a source that is not there": ("visit", "book.geojson", "Wel", *_VISIT[3:]),
    "a visit to a name that two have": ("visit", "book.geojson", "Twin", *_VISIT[3:]),
    "a visit on a day that never was": (
        "visit", "book.geojson", "w1", "--on", "2025-02-30", "--found", "dry"),
    "a visit in the years to come": (
        "visit", "book.geojson", "w1", "--on", "2190-02-03", "--found", "dry"),
    "a visit without a day": ("visit", "book.geojson", "w1", "--found", "dry"),
    "a visit without a finding": ("visit", "book.geojson", "w1", "--on", "2025-05-09"),
    "a visit that found something else": (
        "visit", "book.geojson", "w1", "--on", "2025-05-09", "--found", "mud"),
    "a visit with litres in words": (*_VISIT, "--litres", "some"),
    "a visit with litres from a dry source": (*_VISIT, "--litres", "40"),
    "a visit with a grade in other words": (*_VISIT, "--grade", "nice"),
    "a visit in a book that is not there": ("visit", "none.geojson", *_VISIT[2:]),
    "retiring without a reason": ("retire", "book.geojson", "w1", "--why", " "),
    "retiring a source that is not there": ("retire", "book.geojson", "w9", "--why", "gone"),
    "listing a book that is not there": ("sources", "none.geojson"),
    "listing for a day that never was": ("sources", "book.geojson", "--on", "2025-02-30"),
    "listing by a grade in other words": ("sources", "book.geojson", "--grade", "nice"),
    "listing within a distance of no route": ("sources", "book.geojson", "--within", "5"),
    "listing a track of no route": ("sources", "book.geojson", "--track", "R"),
    "listing within a distance below 0": (
        "sources", "book.geojson", "--near", "route.gpx", "--within", "-1"),
    "listing within a distance in words": (
        "sources", "book.geojson", "--near", "route.gpx", "--within", "far"),
    "listing in two forms": ("sources", "book.geojson", "--json", "--geojson"),
    "listing near a route that is not there": ("sources", "book.geojson", "--near", "none.gpx"),
    "bringing a file that is not there": ("bring", "book.geojson", "none.csv"),
    "bringing waypoints of a table": ("bring", "book.geojson", "theirs.csv", "--all"),
    "bringing a waypoint that is not there": (
        "bring", "book.geojson", "route.gpx", "--waypoint", "Bore"),
    "bringing one waypoint and all": (
        "bring", "book.geojson", "route.gpx", "--waypoint", "Tank", "--all"),
    "bringing a tally with a mapping": (
        "bring", "book.geojson", "trip.tally.json", "--fields", "fields.toml"),
    "bringing a tally with all": ("bring", "book.geojson", "trip.tally.json", "--all"),
    "bringing a tally that cannot be read": ("bring", "book.geojson", "bad.tally.json"),
    "bringing a grade in other words": ("bring", "book.geojson", "other.csv"),
    "proposing over a file that is there": (
        "bring", "book.geojson", "theirs.csv", "--propose-fields", "fields.toml"),
    "proposing into a folder that is not there": (
        "bring", "book.geojson", "theirs.csv", "--propose-fields", "none/f.toml"),
    "bringing with a mapping that cannot be": (
        "bring", "book.geojson", "theirs.csv", "--fields", "bad.toml"),
    "bringing an XML that reaches elsewhere": ("bring", "book.geojson", "out.kml"),
}  # fmt: skip
_BOOK_FILES = {
    "bad.tally.json": "x\n",
    "other.csv": "name,lat,lon,grade\nA,-25,130,good\n",
    "bad.toml": '[fields]\ngrad = "water_qual"\n',
    "out.kml": OUTSIDE.format(root="kml"),
    "secret.txt": "never to be read",
}


def rows() -> list[Row]:
    """Return the rows of tallies, of the way, and of the book."""
    way = plan_words("--trip", "trip.toml")
    return [
        *(Row(f"a tally {given}", ("tally", "t.tally.json"), {"t.tally.json": text})
          for given, text in _LINES.items()),
        Row("a tally that is not there", ("tally", "none.tally.json")),
        Row("a tally that is a folder, to be read", ("tally", "old"), folders=("old",)),
        Row("a reading for a tally that is a folder", ("tally", "old", *_NEW), folders=("old",)),
        Row("a reading for a tally in no folder", ("tally", "none/t.tally.json", *_NEW)),
        Row("a reading for a tally that is a route", ("tally", "route.gpx", *_NEW)),
        *(Row(f"tally: {given}", ("tally", "trip.tally.json", *words))
          for given, words in _TALLY_WORDS.items()),
        *(Row(f"on the way: {given}", (*way, *words), _WAY_FILES, ("t",))
          for given, words in _ON_THE_WAY.items()),
        *(Row(f"a book {given}", ("sources", "b.geojson"), {"b.geojson": text})
          for given, text in _BOOKS.items()),
        *(Row(given, words, _BOOK_FILES, ("old",)) for given, words in _BOOK_WORDS.items()),
    ]  # fmt: skip
