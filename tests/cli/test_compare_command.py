"""``longdry compare`` from the command line: what it writes, and what it says to bad input.

Written files are read back by general libraries: geopandas, csv and json.
"""

from __future__ import annotations

import csv
import io
import json

import geopandas as gpd
import pytest
from compare_files import TRIP, write_all, write_route
from pyproj import Geod

from longdry.cli.main import main

WATER_WORDS = ("--water", "water.geojson")


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """A folder with routes, water and trips, in which the commands run."""
    write_all(tmp_path)
    monkeypatch.chdir(tmp_path)
    return tmp_path


def compared(*words, trip="two.toml"):
    """Run the command on the folder of routes."""
    return main(["compare", "routes", *WATER_WORDS, "--trip", trip, *words])


def test_all_outputs_tell_the_same_rows(folder, capsys):
    """Two routes, both ways, one day: four rows in JSON, CSV and GeoPackage, and the answer."""
    (folder / "routes" / "bad.gpx").write_text("no route")
    outputs = ["--out", "c.html", "--json", "c.json", "--csv", "c.csv", "--gpkg-out", "c.gpkg"]

    assert compared(*outputs, "--both-ways") == 0
    told = capsys.readouterr().out
    document = json.loads((folder / "c.json").read_text("utf-8"))
    rows = document["combinations"]
    table = list(csv.DictReader(io.StringIO((folder / "c.csv").read_text("utf-8-sig"))))
    lines = gpd.read_file(folder / "c.gpkg")
    assert told.startswith("Can this be done, and when? ")
    assert [(row["route"], row["reverse"]) for row in rows] == [
        (name, reverse) for name in ("bad", "North track", "South track") for reverse in (0, 1)
    ]
    assert [row["key"] for row in table] == [row["key"] for row in rows]
    assert [row["missing_l"] for row in table] == [
        "" if row["missing_l"] is None else str(row["missing_l"]) for row in rows
    ]
    assert list(lines["key"]) == [row["key"] for row in rows]
    assert lines.crs.to_epsg() == 4326
    assert lines.geometry.isna().tolist() == [True, True, False, False, False, False]
    length_km = Geod(ellps="WGS84").geometry_length(lines.geometry[2]) / 1000.0
    assert length_km == pytest.approx(lines["length_km"][2], abs=0.001)
    assert "bad.gpx" in rows[0]["failed"]
    assert rows[0]["headline"] is None


def test_the_same_files_give_the_same_bytes(folder):
    """Also the GeoPackage, in which programs like to write the time of day."""
    outputs = ["--out", "c.html", "--json", "c.json", "--gpkg-out", "c.gpkg"]
    names = ("c.html", "c.json", "c.gpkg")
    assert compared(*outputs) == 0
    first = [(folder / name).read_bytes() for name in names]

    assert compared(*outputs) == 0
    assert [(folder / name).read_bytes() for name in names] == first


def test_each_plan_has_a_page_that_the_page_links(folder, capsys):
    """`--plans FOLDER`: the whole plan, as `longdry plan` writes it, where the link leads."""
    words = ["compare", "routes/north.gpx", *WATER_WORDS, "--trip", "two.toml", "--both-ways"]
    assert main([*words, "--plans", "plans", "--out", "c.html", "--workers", "1"]) == 0
    assert main(["plan", "routes/north.gpx", *WATER_WORDS, "--trip", "two.toml", "--reverse",
                 "--out", "alone.html"]) == 0  # fmt: skip
    capsys.readouterr()
    back = "plans/trip1-route1-back-2027-05-03.html"

    assert sorted(path.name for path in (folder / "plans").iterdir()) == [
        "trip1-route1-back-2027-05-03.html", "trip1-route1-there-2027-05-03.html",
    ]  # fmt: skip
    assert f'href="{back}"' in (folder / "c.html").read_text("utf-8")
    assert (folder / back).read_bytes() == (folder / "alone.html").read_bytes()


@pytest.mark.parametrize("out", ["plans", "plans/trip1-route1-there-2027-05-03.html"])
def test_no_output_takes_the_place_of_the_plans(folder, capsys, out):
    """Neither of their folder nor of a page in it: nothing is planned, nothing written."""
    assert compared("--plans", "plans", "--out", out) == 2
    assert "give the file another name" in capsys.readouterr().err
    assert not (folder / "plans").exists()


def test_every_line_of_a_layer_can_be_a_route(folder, capsys):
    """Lines of one file, alike in name: each a route with a name of its own."""
    write_route(folder / "a.gpx", "Track")
    one = gpd.read_file(folder / "a.gpx", layer="tracks")
    lines = gpd.GeoDataFrame({"name": ["Track", "Track", "Other"]},
                             geometry=[*one.geometry] * 3, crs=4326)  # fmt: skip
    lines.to_file(folder / "tracks.gpkg")
    words = ["compare", "tracks.gpkg", *WATER_WORDS, "--trip", "two.toml", "--json", "c.json"]

    assert main([*words, "--each-line", "--workers", "1"]) == 0
    rows = json.loads((folder / "c.json").read_text())["combinations"]
    assert [row["route"] for row in rows] == [
        "Track (tracks.gpkg) #1", "Track (tracks.gpkg) #2", "Other",
    ]  # fmt: skip
    assert len({row["worst_length_km"] for row in rows}) == 1
    assert main(words) == 2
    assert "do not meet end to end" in (said := capsys.readouterr().err)
    assert "--each-line" in said


def test_a_layer_of_water_in_the_folder_is_no_route(folder, capsys):
    """What is named otherwise is left out of a folder, and so is what is no line layer."""
    (folder / "water.geojson").rename(folder / "routes" / "water.geojson")
    (folder / "two.toml").rename(folder / "routes" / "two.toml")
    words = ["--water", "routes/water.geojson", "--trip", "routes/two.toml", "--json", "c.json"]

    assert main(["compare", "routes", *words]) == 0
    names = [row["route"] for row in json.loads((folder / "c.json").read_text())["combinations"]]
    assert names == ["North track", "South track"]
    capsys.readouterr()


def test_days_come_at_the_trips_own_hour_and_are_due_back_as_late(folder, capsys):
    """Dates replace the day alone; who is due back moves with it."""
    text = TRIP.format(name="Due", cans=2).replace(
        'call = "satellite telephone"', "due_back = 2027-05-08\nsearch_days = 2.0"
    )
    (folder / "due.toml").write_text(text)
    dates = ["--dates", "2027-05-03..2027-05-17", "--step", "14", "--json", "c.json"]

    assert compared(*dates, trip="due.toml") == 0
    rows = json.loads((folder / "c.json").read_text())["combinations"][:2]
    assert [row["depart"] for row in rows] == ["2027-05-03T08:00", "2027-05-17T08:00"]
    assert rows[0]["because"] == rows[1]["because"]
    capsys.readouterr()


BAD = {
    "no such route": (["nowhere.gpx"], "nowhere.gpx"),
    "an empty folder": (["empty"], "holds no file with a route"),
    "no trip": (["routes", "--trip", "nowhere.toml"], "nowhere.toml"),
    "no span": (["routes", "--dates", "2027-04-01"], "no span of days"),
    "no such day": (["routes", "--dates", "2027-02-30..2027-03-01"], "no span of days"),
    "no such year": (["routes", "--dates", "9999-01-01..9999-02-01"], "out of range"),
    "backwards": (["routes", "--dates", "2027-04-02..2027-04-01"], "ends before it begins"),
    "a step alone": (["routes", "--step", "7"], "without --dates"),
    "no step": (["routes", "--dates", "2027-04-01..2027-04-02", "--step", "0"], "no whole number"),
    "too many days": (["routes", "--dates", "1900-01-01..2027-04-02", "--step", "1"], "more than"),
    "no workers": (["routes", "--workers", "0"], "no whole number"),
    "both machines": (["routes", "--workers", "2", "--scheduler", "tcp://x:1"], "one of the two"),
    "written over": (["routes", "--out", "two.toml", "--trip", "two.toml"], "also named as"),
    "no folder": (["routes", "--out", "no/c.html"], "there is no folder"),
    "a file as folder": (
        ["routes/north.gpx", "--plans", "two.toml"],
        "is a file, and the plans need a folder",
    ),
}


@pytest.mark.parametrize("fault", BAD)
def test_bad_input_is_one_sentence_and_nothing_is_written(folder, capsys, fault):
    """Exit 2, one line, no traceback."""
    (folder / "empty").mkdir()
    words, sentence = BAD[fault]
    before = sorted(folder.rglob("*"))
    try:
        status = main(["compare", *words])
    except SystemExit as ended:
        status = ended.code
    said = capsys.readouterr()

    assert (status, said.out) == (2, "")
    assert sentence in said.err
    assert said.err.count("\n") == 1
    assert sorted(folder.rglob("*")) == before
