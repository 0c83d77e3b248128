"""Files worse than ours through the real command line: one answer each, and nothing written.

What counts as well-formed is said by XML 1.0, GPX 1.1, RFC 7946, RFC 4180 and TOML 1.0; that such
files occur is common practice, no source.
"""

from __future__ import annotations

import json
import re
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import pytest
from hard_bombs import KMZ_BOMBS
from hard_files import (
    GOOD_ROUTE,
    GOOD_TABLE,
    READ_LAYERS,
    READ_ROUTES,
    REFUSED_LAYERS,
    REFUSED_ROUTES,
    TRIPS,
)
from project_places import HELPERS

MOST_MB = 200.0
"""By which reading may grow, beyond what the loaded program holds."""
STEERING = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069]")
"""What steers a terminal or turns the direction of reading (Unicode Standard Annex 9)."""
HIDDEN = "never to be read"


@dataclass(frozen=True)
class Ended:
    """How one command ended, in a process of its own."""

    status: int
    out: str
    err: str
    grown_mb: float


@pytest.fixture(scope="module")
def quick():
    """Run longdry in forks of one process that has loaded it, which saves most of the time."""
    server = subprocess.Popen(
        [sys.executable, str(HELPERS / "forked_cli.py")],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip

    def run(folder: Path, *words: str) -> Ended:
        server.stdin.write(json.dumps([str(folder), str(folder.parent), words]) + "\n")
        server.stdin.flush()
        status, grown_mb = server.stdout.readline().split()
        told = [(folder.parent / name).read_text() for name in ("out", "err")]
        return Ended(int(status), *told, float(grown_mb))

    yield run
    server.stdin.close()
    server.wait()
    server.stdout.close()


@pytest.fixture
def folder(tmp_path):
    own = tmp_path / "own"
    own.mkdir()
    (own / "route.gpx").write_text(GOOD_ROUTE)
    (own / "water.csv").write_text(GOOD_TABLE)
    (own / "secret.txt").write_text(HIDDEN)
    return own


def put(folder, name, content):
    data = content if isinstance(content, bytes) else content.encode("utf-8", "surrogatepass")
    (folder / name).write_bytes(data)


def plan_words(*more, route="route.gpx", water="water.csv", page=True):
    page_words = ("--out", "plan.html") if page else ()
    json_words = ("--json", "plan.json", "--trials", "0")
    return ("plan", route, "--water", water, *more, *page_words, *json_words)


COSTS = ("bomb", "nested", "deep", "costly", "50,000", "5,000 digits", "compressed")


def costly(table):
    """Return the rows of a table whose names say that they would cost much."""
    return [row for given, row in table.items() if any(word in given for word in COSTS)]


def check_refusal(folder, ended, name, told, before):
    """Exit 2, the file named, the words told, ten faults at most, and nothing written."""
    assert (ended.status, ended.out) == (2, ""), ended.err
    assert ended.err.startswith(f"longdry: {name}")
    for words in told:
        assert words in ended.err
    assert "Traceback" not in ended.err
    assert not STEERING.search(ended.err)
    assert ended.err.rstrip().endswith(".")
    lines = ended.err.splitlines()
    assert len(lines) == 1 or (len(lines) <= 12 and lines[0].endswith(":"))
    assert HIDDEN not in ended.err
    assert sorted(folder.iterdir()) == before
    assert ended.grown_mb < MOST_MB


COSTLY = [
    *((plan_words(route=name), name, *rest) for name, *rest in costly(REFUSED_ROUTES)),
    *((plan_words(water=name), name, *rest) for name, *rest in costly(REFUSED_LAYERS)),
    *((plan_words(route="b.kmz"), "b.kmz", *bomb) for bomb in KMZ_BOMBS.values()),
    (plan_words(water="b.kmz"), "b.kmz", *KMZ_BOMBS["1 MB of placemarks"]),
    *((plan_words("--trip", "trip.toml"), "trip.toml", *rest) for rest in costly(TRIPS)),
]


@pytest.mark.parametrize(("words", "name", "content", "told"), COSTLY)
def test_what_would_cost_much_is_refused_cheaply(folder, quick, words, name, content, told):
    """A bomb, or what nests without end, gets its answer within little memory and time."""
    put(folder, name, content)
    before = sorted(folder.iterdir())
    ended = quick(folder, *words)

    check_refusal(folder, ended, name, told, before)


@pytest.mark.parametrize("case", READ_ROUTES)
def test_odd_but_good_route_is_read(folder, quick, case):
    """What is odd but says what it means is planned."""
    name, content, points = READ_ROUTES[case]
    put(folder, name, content)
    ended = quick(folder, *plan_words(route=name, page=False))

    assert (ended.status, ended.err) == (0, "")
    assert f'"points": {points},' in (folder / "plan.json").read_text()


@pytest.mark.parametrize("case", READ_LAYERS)
def test_odd_but_good_layer_is_read(folder, quick, case):
    """What is odd but says what it means is planned; names stay text."""
    name, content, told = READ_LAYERS[case]
    put(folder, name, content)
    ended = quick(folder, *plan_words(water=name), "--full")

    assert (ended.status, ended.err) == (0, "")
    assert told in ended.out
    assert not STEERING.search(ended.out)
    assert "<script>x" not in (folder / "plan.html").read_text()


STEERING_NAME = "a\x1b[31m\u202eb"


@pytest.mark.parametrize(
    "words",
    [
        ("plan", STEERING_NAME, "--water", "water.csv"),
        ("plan", "route.gpx", "--water", STEERING_NAME),
        ("plan", "route.gpx", "--water", "water.csv", "--trip", STEERING_NAME),
        ("plan", "route.gpx", "--water", "water.csv", "--json", f"{STEERING_NAME}/plan.json"),
        ("plan", "route.gpx", "--water", "water.csv", f"--{STEERING_NAME}"),
        ("plan", "route.gpx", "--water", "water.csv", "--trials", STEERING_NAME),
    ],
)
def test_no_word_of_the_command_line_steers_the_terminal(folder, quick, words):
    """A name that somebody else gave a file comes back in the complaint as escapes."""
    ended = quick(folder, *words)

    assert ended.status == 2
    assert "\\x1b[31m" in ended.err
    assert not STEERING.search(ended.err)


def test_a_name_that_steers_is_told_as_written_without_steering(folder, quick):
    """The file is written under its name; the line that says so holds the name escaped."""
    ended = quick(folder, *plan_words("--csv-out", STEERING_NAME, page=False))

    assert "Written: a\\x1b[31m\\u202eb" in ended.out
    assert (folder / STEERING_NAME).exists()


@pytest.mark.parametrize(("name", "told"), [("circle", "circle"), ("n" * 300, "too long")])
def test_output_name_that_leads_nowhere_is_told(folder, quick, name, told):
    """A circle of links and a name too long are told in one sentence, before anything is read."""
    (folder / "circle").symlink_to("circle")
    before = sorted(folder.iterdir())
    ended = quick(folder, *plan_words("--csv-out", name))

    assert (ended.status, ended.out) == (2, "")
    assert ended.err.startswith(f"longdry: {name} was not written: ")
    assert told in ended.err
    assert sorted(folder.iterdir()) == before


@pytest.mark.parametrize(("section", "key"), [("pace", "ground"), ("heat", "table")])
def test_a_file_that_the_trip_names_but_is_not_there_is_told(folder, quick, section, key):
    """The file is named in one sentence, not the line of code that missed it."""
    put(folder, "trip.toml", f'[{section}]\n{key} = "gone.geojson"\n')
    ended = quick(folder, *plan_words("--trip", "trip.toml"))

    assert (ended.status, ended.out) == (2, "")
    assert ended.err == (
        "longdry: gone.geojson: there is no such file; check the name and the folder.\n"
    )


@pytest.mark.parametrize(
    ("trip", "name"),
    [
        ('[heat]\ntable = "heat.csv"\n', "heat.csv"),
        ('[pace]\nground = "ground.geojson"\n', "ground.geojson"),
        ("", "lake.dbf"),
    ],
)
def test_no_output_takes_the_place_of_a_file_that_is_read_along(folder, quick, trip, name):
    """A table that the trip names and the parts of a Shapefile are the user's, and stay."""
    put(folder, "trip.toml", trip)
    put(folder, name, HIDDEN)
    ended = quick(
        folder, *plan_words("--trip", "trip.toml", "--backdrop", "lake.shp", "--csv-out", name)
    )

    assert (ended.status, ended.out) == (2, "")
    assert ended.err.startswith(f"longdry: {name}: this file is also named as {name}; give every")
    assert (folder / name).read_text() == HIDDEN
