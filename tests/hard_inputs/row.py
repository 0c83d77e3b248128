"""One row of the table of bad inputs: what is given, the command, and the folder that it runs in.

All files are invented: not for navigation.
"""

from __future__ import annotations

import contextlib
import io
import json
import os
import shutil
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from longdry.cli.main import main

ROUTE = """<?xml version="1.0"?>
<gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1"><trk><name>R</name>
<trkseg><trkpt lat="-25.0" lon="130.0"/><trkpt lat="-25.0" lon="130.1"/>
<trkpt lat="-25.0" lon="130.2"/></trkseg></trk>
<wpt lat="-25.0" lon="130.05"><name>Tank</name></wpt>
<wpt lat="-25.1" lon="130.05"><name>Tank</name></wpt>
</gpx>
"""
TABLE = "id,name,lat,lon,grade\nw1,Well,-25.0,130.1,potable\n"
BOOK = """{"type": "FeatureCollection", "water_book": 1, "features": [
{"type": "Feature", "geometry": {"type": "Point", "coordinates": [130.1, -25.0]},
 "properties": {"id": "w1", "name": "Well", "grade": "treat-before-drinking", "kind": "well"}},
{"type": "Feature", "geometry": {"type": "Point", "coordinates": [130.2, -25.1]},
 "properties": {"id": "t1", "name": "Twin", "grade": "potable", "kind": "tank"}},
{"type": "Feature", "geometry": {"type": "Point", "coordinates": [130.3, -25.1]},
 "properties": {"id": "t2", "name": "Twin", "grade": "potable", "kind": "tank"}}]}
"""
TRIP = """[party]
people = 2

[[use]]
name = "drinking"
litres = 5.0

[[container]]
name = "can"
rated_l = 20.0
"""
TALLY = """{"at": "2027-05-03T08:00", "km": 0, "left": [{"litres": 20}]}
{"at": "2027-05-03T14:00", "km": 10, "left": [{"litres": 15}]}
"""
FIELDS = '[fields]\ngrade = "water_qual"\n[grades]\n"bore" = "treat-before-drinking"\n'
THEIRS = "SITE,water_qual,lat,lon\nNorth Bore,bore,-25.0,130.1\n"
USUAL = {
    "route.gpx": ROUTE,
    "water.csv": TABLE,
    "book.geojson": BOOK,
    "trip.toml": TRIP,
    "trip.tally.json": TALLY,
    "fields.toml": FIELDS,
    "theirs.csv": THEIRS,
}
"""What lies in the folder beside what a row puts there."""


@dataclass(frozen=True)
class Row:
    """What is given, how, and in which files it stands."""

    given: str
    """In words; no two rows of a door say the same."""
    words: tuple[str, ...]
    """The command line without ``longdry``."""
    files: Mapping[str, str | bytes] = field(default_factory=dict)
    folders: tuple[str, ...] = ()
    """Folders that lie in the folder."""

    @property
    def command(self) -> str:
        """The command line as a person types it."""
        return " ".join(["longdry", *map(_quoted, self.words)])


def _quoted(word: str) -> str:
    plain = word.isascii() and all(letter.isalnum() or letter in "-_./=,:@#" for letter in word)
    shown = json.dumps(word)[1:-1].replace('\\"', '"')
    shown = shown if len(shown) <= 60 else f"{shown[:50]}...{shown[-5:]}"
    return word if plain and len(word) <= 60 and word else f"'{shown}'"


def write_files(folder: Path, files: Mapping[str, str | bytes]) -> None:
    """Write files, and the folders that they lie in."""
    for name, content in files.items():
        data = content if isinstance(content, bytes) else content.encode("utf-8", "surrogatepass")
        place = folder / name
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_bytes(data)


@contextlib.contextmanager
def put_files(folder: Path, row: Row) -> Iterator[None]:
    """Write what a row puts beside or in place of the usual files, which lie there; take it away.

    Of hundreds of rows each would otherwise write and remove all the usual files.
    """
    for name in row.folders:
        (folder / name).mkdir()
    write_files(folder, row.files)
    try:
        yield
    finally:
        for path in folder.iterdir():
            if path.is_dir():
                shutil.rmtree(path)
            elif path.name not in USUAL:
                path.unlink()
        write_files(folder, {name: USUAL[name] for name in row.files if name in USUAL})


def ended_in(folder: Path, words: Sequence[str]) -> tuple[int, str, str]:
    """Run a command in this process, in a folder; return status, answer and complaint."""
    before = Path.cwd()
    out, err = io.StringIO(), io.StringIO()
    os.chdir(folder)
    try:
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            try:
                status = main(words)
            except SystemExit as ended:
                status = int(ended.code or 0)
    finally:
        os.chdir(before)
    return status, out.getvalue(), err.getvalue()


def plan_words(*more: str, route: str = "route.gpx", water: str = "water.csv") -> tuple[str, ...]:
    """Return the words of a plan with a document."""
    layers = ("--water", water) if water else ()
    return ("plan", route, *layers, *more, "--json", "plan.json", "--trials", "0")
