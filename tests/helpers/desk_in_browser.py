"""A desk that really runs, on a folder laid out anew for each test, and its page in Chromium.

All places are invented: not for navigation.
"""

from __future__ import annotations

import json
import re
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from page_in_browser import Look, Watched, opened_at
from patience import LONGEST_WAIT_S
from playwright.sync_api import Browser, Page

ROUTE = """<gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1" creator="invented">
<trk><name>Sand way</name><desc>invented: not for navigation</desc><trkseg>
<trkpt lat="-25.0" lon="133.0"/><trkpt lat="-25.05" lon="133.1"/><trkpt lat="-25.0" lon="133.2"/>
<trkpt lat="-25.05" lon="133.35"/><trkpt lat="-25.0" lon="133.5"/><trkpt lat="-25.05" lon="133.6"/>
</trkseg></trk></gpx>
"""
TRIP = """# invented: not for navigation
name = "Sand way"
depart = 2027-06-01T08:00:00

[party]
people = 2  # the two of us
can_treat = true

[[use]]
name = "drinking"
litres = 6.0

[[container]]
name = "can"
count = 2
rated_l = 20.0

[pace]
travel = "vehicle"
speed_kmh = 25.0
hours_per_day = 5.0
"""


def feature(name: str, lon: float, lat: float, **properties: object) -> dict[str, object]:
    """Return one source of a book."""
    return {
        "type": "Feature",
        "geometry": {"type": "Point", "coordinates": [lon, lat]},
        "properties": {"id": name.lower().replace(" ", "-"), "name": name, **properties},
    }


BOOK = {
    "type": "FeatureCollection",
    "longdry": "water book",
    "features": [
        feature("Hollow Well", 133.2, -25.0, grade="potable", kind="well", certainty="certain"),
        feature("Red Bore", 133.35, -25.05, grade="treat-before-drinking", kind="bore"),
    ],
}


@dataclass
class Served:
    """A desk that runs."""

    folder: Path
    link: str

    @property
    def origin(self) -> str:
        """Where its page is."""
        return self.link.partition("/?")[0]

    def empty(self) -> None:
        """Take everything out of the folder."""
        for thing in self.folder.iterdir():
            if thing.is_dir():
                shutil.rmtree(thing)
            elif thing.name != ".desk.lock":
                thing.unlink()

    def lay_out(self, **files: str) -> None:
        """Put the small trip into the folder, and other files by their names ('water_csv')."""
        self.empty()
        usual = {"route_gpx": ROUTE, "trip_toml": TRIP, "book_geojson": json.dumps(BOOK)}
        for name, text in {**usual, **files}.items():
            self.folder.joinpath(name.replace("_", ".", 1)).write_text(text, encoding="utf-8")

    def book(self) -> dict[str, dict[str, object]]:
        """Return the features of the book by their names."""
        text = self.folder.joinpath("book.geojson").read_text("utf-8")
        return {one["properties"]["name"]: one for one in json.loads(text)["features"]}


@contextmanager
def served(folder: Path) -> Iterator[Served]:
    """Run ``longdry desk`` as its user does, and end it as its user does, with Ctrl-C."""
    words = [sys.executable, "-m", "longdry", "desk", str(folder), "--no-browser"]
    pipe = subprocess.PIPE
    with subprocess.Popen(words, stdout=pipe, stderr=pipe, text=True) as process:
        told = process.stdout.readline()
        yield Served(folder, re.search(r"http://\S+", told)[0])
        process.send_signal(signal.SIGINT)
        faults = process.communicate(timeout=LONGEST_WAIT_S)[1]
        assert faults == "", faults
        assert process.returncode == 0


@contextmanager
def desk_page(browser: Browser, desk: Served, **look: object) -> Iterator[Watched]:
    """Open the desk by its link and wait for what it shows first."""

    def own(url: str) -> bool:
        return url.startswith(f"{desk.origin}/")

    with opened_at(browser, desk.link, own, Look(**{"height": 800, **look})) as watched:
        watched.page.locator("#answer, #desk-start:not([hidden]), .no-plan").first.wait_for()
        if watched.page.locator("#answer").count():  # the table moves what stands below it
            watched.page.locator("#ask-water-told:not(:empty)").wait_for()
        yield watched


def whole(page: Page) -> None:
    """Wait for mends and what goes wrong."""
    page.locator("#more #sheet").wait_for(state="attached")
