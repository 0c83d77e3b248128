"""Every command line that a page tells the reader to type does what the page says.

The lines run in a folder that holds what the pages talk of, made from the samples and small files.
"""

from __future__ import annotations

import datetime as dt
import json
import re
import shlex
import shutil
from pathlib import Path

import geopandas as gpd
import pytest
from project_places import DOCS, ROOT, SAMPLES
from tile_files import world, write_mbtiles
from trip_text import filled_in
from without_mends import let_commands_ask_for_no_mends

from longdry.cli.main import COMMANDS as ALL_COMMANDS
from longdry.cli.main import command_parser, main
from longdry.model.words import Travel
from longdry.reading.trip.trip_file import trip_from_text

PAGES = (ROOT / "README.md", DOCS / "start.md", *sorted((DOCS / "how-to").glob("*.md")))
IN_ORDER = DOCS / "how-to" / "after-a-trip.md"
"""Its commands work on one book, one after the other."""
ON_THE_ROAD = DOCS / "how-to" / "on-the-road.md"
"""Its commands are one trip, one after the other."""
ELSEWHERE = DOCS / "how-to" / "water-layer.md"
"""Its commands are run by test_water_layer_page.py."""
ALL_PAGES = (*PAGES, ROOT / "DEVELOPERS.md", *sorted(DOCS.glob("**/*.md")))
NOT_RUN = {
    "bash tests/run": "it is what runs this test",
    "python tests/benchmarks/": "takes minutes of a quiet machine, by whoever measures",
    "pipx ": "sets up a program for a whole user",
}
"""How lines to type begin that no test runs, and why not."""
GONE = {"--survive-dry"}
"""Options that only the page of changes names."""
RECORDED = """<gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1" creator="invented">
<wpt lat="-27.9" lon="-13.2"><name>Hollow Tank</name><desc>invented: not for navigation</desc></wpt>
</gpx>
"""
SHIRE = "SITE,water_qual,Y,X\nNorth Bore,bore water,-27.7,-13.4\n"
EXPORT = {
    "type": "FeatureCollection",
    "features": [
        {
            "type": "Feature",
            "geometry": {"type": "Point", "coordinates": [-13.5, -27.6]},
            "properties": {"man_made": "water_well", "name": "Invented Well"},
        }
    ],
}


def blocks_of(page: Path, *languages: str) -> list[str]:
    """Return the fenced blocks of a page in some languages, those in a list without its indent."""
    text = page.read_text(encoding="utf-8")
    found = re.findall(r"^( *)```(\w+)\n(.*?)^ *```", text, flags=re.MULTILINE | re.DOTALL)
    return [
        "\n".join(line.removeprefix(indent) for line in body.splitlines())
        for indent, language, body in found
        if language in languages
    ]


def commands_of(page: Path) -> list[list[str]]:
    """Return the words of each longdry command of a page, without `longdry` itself."""
    text = "\n".join(blocks_of(page, "sh", "text")).replace("\\\n", " ")
    lines = [
        line.rpartition("bin/")[2] if "bin/longdry" in line else line for line in text.split("\n")
    ]
    return [shlex.split(line, comments=True)[1:] for line in lines if line.startswith("longdry ")]


COMMANDS = [
    (page, words)
    for page in PAGES
    if page not in (IN_ORDER, ON_THE_ROAD, ELSEWHERE)
    for words in commands_of(page)
    if "…" not in words
]


@pytest.fixture
def trip_folder(tmp_path, monkeypatch):
    """A folder with a route, a layer and a trip under the names that the pages use.

    No mends are looked for in it: what the pages say of them is held elsewhere.
    """
    saltbush = SAMPLES / "saltbush_loop"
    shutil.copy(saltbush / "route.gpx", tmp_path / "route.gpx")
    shutil.copy(saltbush / "water.geojson", tmp_path / "sources.geojson")
    csv = blocks_of(DOCS / "start.md", "csv")[0]
    (tmp_path / "sources.csv").write_text(csv, encoding="utf-8")
    shutil.copytree(SAMPLES, tmp_path / "sample_routes")
    write_mbtiles(tmp_path / "country.mbtiles", world(0, 3), attribution="© Invented")
    gpd.read_file(saltbush / "water.geojson").to_file(tmp_path / "tracks.gpkg")
    monkeypatch.chdir(tmp_path)
    let_commands_ask_for_no_mends(monkeypatch)
    return tmp_path


def shell_lines(page: Path) -> list[str]:
    """Return the lines of a page that are to be typed."""
    return "\n".join(blocks_of(page, "sh")).replace("\\\n", " ").splitlines()


@pytest.mark.parametrize("page", ALL_PAGES, ids=lambda page: page.name)
def test_every_line_to_type_is_run_or_is_not_for_a_reason(page):
    """What is no longdry command on a page whose commands are run here is named with its reason."""
    run_here = ("longdry ", "#") if page in PAGES else ("#",)
    others = [line for line in shell_lines(page) if not line.startswith(run_here)]
    others = [line for line in others if not (page in PAGES and "bin/longdry" in line)]

    assert [line for line in others if not line.startswith(tuple(NOT_RUN))] == []


OF_OTHERS = {"--help", "--force"}
"""Options of every program, and of what installs programs."""


@pytest.mark.parametrize("page", ALL_PAGES, ids=lambda page: page.name)
def test_what_a_page_names_is_there(page):
    """Every command, script and option that a page writes out, in a sentence too.

    The table of refused inputs names options that are not there, as what was given.
    """
    text = page.read_text(encoding="utf-8")
    known = set(
        re.findall(r"--[a-z][a-z-]+", (DOCS / "reference" / "commands.md").read_text("utf-8"))
    )
    scripts = {
        ROOT / name
        for name in re.findall(r"`?(?:python|bash) ((?:tests|docs|sample_routes)/[\w./]+)", text)
    }
    for script in scripts:
        known |= set(re.findall(r"--[a-z][a-z-]+", script.read_text("utf-8")))

    assert set(re.findall(r"[`/]longdry ([a-z][a-z-]+)", text)) <= set(ALL_COMMANDS)
    options = set(re.findall(r"(?<![\w|-])--[a-z][a-z-]+", text))
    assert page.name == "refusals.md" or options <= known | GONE | OF_OTHERS


def anchors_of(page: Path) -> set[str]:
    """Return what links to the headings of a page end in, as GitHub makes them."""
    headings = re.findall(r"^#+ (.+)$", page.read_text(encoding="utf-8"), re.MULTILINE)
    return {re.sub(r"[^\w -]", "", one.lower()).strip().replace(" ", "-") for one in headings}


@pytest.mark.parametrize("page", ALL_PAGES, ids=lambda page: page.name)
def test_every_link_of_a_page_leads_somewhere(page):
    """To a file that is there, and to a heading that it has."""
    links = re.findall(r"\]\((?!https?:)([^)#\s]*)#?([^)\s]*)\)", page.read_text(encoding="utf-8"))
    found = [((page.parent / path) if path else page, anchor) for path, anchor in links]

    assert [str(path) for path, _ in found if not path.exists()] == []
    assert [at for path, at in found if at and at not in anchors_of(path)] == []


def test_lines_left_open_are_taken_as_far_as_they_go():
    """A line that ends in an ellipsis has words that its command knows."""
    open_lines = [words for page in PAGES for words in commands_of(page) if "…" in words]

    assert open_lines
    for words in open_lines:
        its_words = [word for word in words[1:] if word != "…"]
        assert command_parser(words[0]).parse_known_args(its_words)[1] == []


@pytest.mark.usefixtures("trip_folder")
def test_the_python_of_the_reference_page_runs():
    """Both pieces, one after the other, in a folder with what they name."""
    shutil.copy("sample_routes/saltbush_loop/trip.toml", "trip.toml")
    shutil.copy("sources.csv", "more.csv")
    first, second = blocks_of(DOCS / "reference" / "python.md", "python")
    names: dict[str, object] = {}

    exec(first, names)  # noqa: S102 - it is the project's own page
    names["other_trip"] = names["trip"]
    exec(second, names)  # noqa: S102 - the same

    assert Path("with_map.html").stat().st_size > 0
    assert len(names["plans"]) == 2


def fill_in(path: Path) -> None:
    """Write into the blanks of a new trip file, as the pages tell the reader to."""
    path.write_text(filled_in(path.read_text("utf-8"), Travel.VEHICLE), encoding="utf-8")


def outputs_of(words: list[str]) -> list[str]:
    """Return the files that a command is told to write."""
    writing = {"--out", "--json"} | {word for word in words if word.endswith("-out")}
    return [words[at + 1] for at, word in enumerate(words) if word in writing]


def test_the_pages_have_commands():
    """The lines are found, so that the check of them cannot pass on none."""
    names = {page.name for page, _ in COMMANDS}

    assert {"README.md", "start.md", "take-along.md"} <= names
    assert any("sample_routes" in " ".join(words) for _, words in COMMANDS)


@pytest.mark.parametrize(
    ("page", "words"),
    COMMANDS,
    ids=[f"{page.stem}-{' '.join(words)[:40]}" for page, words in COMMANDS],
)
def test_a_command_of_a_page_does_what_it_says(page, words, trip_folder, capsys, monkeypatch):
    """Exit status 0, and every file that it names is written; a desk is closed once it is open."""
    monkeypatch.setattr("longdry.desk.serving._serve", lambda *served: served[-1]())
    monkeypatch.setattr("longdry.desk.worker.Worker.start", lambda _: None)
    monkeypatch.setattr("webbrowser.open", lambda _: True)
    (trip_folder / "My trip").mkdir()
    if words[0] in {"plan", "compare"} and not (trip_folder / "trip.toml").exists():
        assert main(["new-trip", "vehicle", "trip.toml"]) == 0
        fill_in(trip_folder / "trip.toml")

    assert main(words) == 0, capsys.readouterr().err
    assert all((trip_folder / name).stat().st_size > 0 for name in outputs_of(words)), page.name


def test_the_commands_after_a_trip_work_one_after_the_other(trip_folder, capsys):
    """From an empty folder to a book with all that the page writes into it."""
    (trip_folder / "recorded.gpx").write_text(RECORDED, encoding="utf-8")
    (trip_folder / "export.geojson").write_text(json.dumps(EXPORT), encoding="utf-8")
    (trip_folder / "shire.csv").write_text(SHIRE, encoding="utf-8")
    mapping = next(block for block in blocks_of(IN_ORDER, "toml") if block.startswith("# shire"))
    (trip_folder / "shire.toml").write_text(mapping, encoding="utf-8")

    for words in commands_of(IN_ORDER):
        assert main(words) == 0, f"{words}: {capsys.readouterr().err}"

    book = json.loads((trip_folder / "book.geojson").read_text("utf-8"))
    names = [one["properties"]["name"] for one in book["features"]]
    told = ["Fork Bore", "Hollow Tank", "Track Soak", "Invented Well", "North Bore"]
    assert sorted(names) == sorted(told)


def test_the_trip_on_the_road_goes_from_the_kitchen_table_to_the_book(
    trip_folder, capsys, monkeypatch
):
    """Planned, tallied, planned again and brought home, when its days have gone by."""
    monkeypatch.setattr("longdry.doing.bringing.today", lambda: dt.date(2027, 6, 1))
    shutil.copy(SAMPLES / "saltbush_loop" / "trip.toml", trip_folder / "trip.toml")

    for words in commands_of(ON_THE_ROAD):
        assert main(words) == 0, f"{words}: {capsys.readouterr().err}"

    assert "from km 312" in (trip_folder / "rest.html").read_text("utf-8")
    book = json.loads((trip_folder / "book.geojson").read_text("utf-8"))
    visits = {
        one["properties"]["name"]: one["properties"]["visits"][0]["on"]
        for one in book["features"]
        if one["properties"].get("visits")
    }
    assert visits == {"Galah Spring": "2027-05-04", "Track Soak": "2027-05-05"}


def test_a_new_trip_file_as_it_is_gives_no_plan(trip_folder, capsys):
    """As start.md says: refused with the blanks, and nothing is written."""
    new, plan = commands_of(DOCS / "start.md")[:2]

    assert main(new) == 0
    assert main(plan) == 2
    assert capsys.readouterr().err.count("is still blank") == 10
    assert not (trip_folder / "plan.html").exists()


TRIP_PARTS = [
    (page, block)
    for page in PAGES
    for block in blocks_of(page, "toml")
    if not block.startswith("# shire.toml")
]


@pytest.mark.parametrize(
    ("page", "block"), TRIP_PARTS, ids=[f"{page.stem}-{block[:24]}" for page, block in TRIP_PARTS]
)
def test_every_piece_of_a_trip_file_is_read(page, block):
    """What a page tells the reader to write into a trip file is a trip file."""
    assert trip_from_text(block, origin=page.name).origin == page.name
