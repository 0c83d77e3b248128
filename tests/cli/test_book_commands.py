"""The commands of the water book, from words to file. All sources are invented."""

from __future__ import annotations

import datetime as dt
import importlib
import json
import os
import resource
import shlex
import subprocess
import sys
from pathlib import Path

import pyogrio
import pytest
import shapely
from book_examples import EDITED_BOOK
from geographiclib.geodesic import Geodesic
from patience import LONGEST_WAIT_S
from small_files import GPX

from longdry import storage
from longdry.cli.main import COMMANDS, command_parser, main, module_of
from longdry.computing.water.certainty import judge_source
from longdry.reading.book.book_file import read_book
from longdry.reading.water.layer import read_water


@pytest.fixture
def book(tmp_path):
    path = tmp_path / "book.geojson"
    path.write_text(EDITED_BOOK)
    return path


@pytest.fixture
def gpx(tmp_path):
    path = tmp_path / "way.gpx"
    path.write_text(GPX)
    return path


def run(*words) -> int:
    return main([str(word) for word in words])


@pytest.mark.parametrize(
    ("written", "place"),
    [
        ("25 53.4' S, 7 30.6' W", (-25.89, -7.51)),
        ("N 25°53'24\", E 7°30'36\"", (25.89, 7.51)),
        ("-25.89 -7.51", (-25.89, -7.51)),
    ],
)
def test_a_place_in_degrees_and_minutes_is_a_place(tmp_path, written, place):
    """As a device tells it; by hand 25° 53.4' is 25 + 53.4 / 60 = 25.89 degrees."""
    path = tmp_path / "new.geojson"

    assert run("mark", path, "--name", "x", f"--at={written}") == 0
    (source,) = read_book(path).sources
    assert (source.lat_deg, source.lon_deg) == pytest.approx(place, abs=1e-7)


@pytest.mark.parametrize("written", ["25 53.4, 7 30", "25 60 S, 7 30 W", "25 5324 S, 7 W"])
def test_what_may_be_two_places_is_none(tmp_path, capsys, written):
    """No letter of the side, sixty minutes, digits without a gap: nobody knows where that is."""
    assert run("mark", tmp_path / "new.geojson", "--name", "x", f"--at={written}") == 2
    assert "is no place" in capsys.readouterr().err


def test_what_the_party_recorded_is_not_told_to_be_somebody_elses(tmp_path, capsys):
    """With --own the sources are the party's; without it the sentence says how to say so."""
    notes = tmp_path / "notes.csv"
    notes.write_text("Name,Latitude,Longitude,Type\nOld Tank,-25.1,131.1,tank\n")
    told = []
    for words in ([], ["--own"]):
        assert run("bring", tmp_path / "b.geojson", notes, "--dry-run", *words) == 0
        told.append(capsys.readouterr().out)

    assert "or bring it into a book with --own" in told[0]
    assert "somebody else's" not in told[1]


def test_a_day_that_may_be_two_days_is_told(tmp_path, capsys):
    """2 March or 3 February: of water found the earlier counts, and the user hears of it."""
    table, fields = tmp_path / "t.csv", tmp_path / "f.toml"
    table.write_text("name,lat,lon,seen,state\nA,-25.1,131.1,02/03/2024,full\n")
    fields.write_text(
        '[fields]\nvisit_on = "seen"\nvisit_found = "state"\n[visits]\n"full" = "flowing"\n'
    )
    assert run("bring", tmp_path / "b.geojson", table, "--fields", fields) == 0
    (source,) = read_book(tmp_path / "b.geojson").sources

    assert '1 day may be read in two ways, such as "02/03/2024"' in capsys.readouterr().out
    assert [visit.on.isoformat() for visit in source.visits] == ["2024-02-03"]


def test_mark_makes_the_book_and_tells(tmp_path, capsys):
    """The first mark makes the book; a southern latitude needs no quoting."""
    path = tmp_path / "new.geojson"

    status = run("mark", path, "--name", "Fork Bore", "--at", "-25.3412,131.0370", "--grade",
                 "potable", "--flow", "4", "--months", "Apr-Sep")  # fmt: skip
    (source,) = read_book(path).sources

    assert status == 0
    assert 'Marked: "Fork Bore"' in capsys.readouterr().out
    assert (source.lat_deg, source.lon_deg, source.flow_l_per_min) == (-25.3412, 131.037, 4.0)
    assert source.months == frozenset(range(4, 10))


@pytest.mark.parametrize("place", ["-25.3412,131.0370", "-25.3412, 131.037", "-25.3412;131.037"])
def test_mark_takes_a_place_however_it_is_set_apart(tmp_path, place):
    """Comma, blank and semicolon all set latitude and longitude apart."""
    assert run("mark", tmp_path / "b", "--name", "x", "--at", place) == 0


def test_mark_from_a_waypoint_takes_place_and_name(book, gpx):
    """A waypoint gives the place, and the name where none is said."""
    assert run("mark", book, "--from-gpx", gpx, "--waypoint", "hollow", "--grade", "potable") == 0

    source = read_book(book).sources[-1]
    assert (source.name, source.lat_deg, source.lon_deg) == ("hollow", -25.125, 131.5)


def test_mark_at_a_km_lies_on_the_route(book, gpx):
    """Km 5 of the route is 5 km along it by geographiclib (Karney 2013)."""
    assert run("mark", book, "--name", "Km five", "--route", gpx, "--km", "5") == 0

    expected = Geodesic.WGS84.InverseLine(-25.0, 131.0, -25.0, 131.1).Position(5000.0)
    source = read_book(book).sources[-1]
    assert source.lat_deg == pytest.approx(expected["lat2"], abs=1e-6)
    assert source.lon_deg == pytest.approx(expected["lon2"], abs=1e-6)


BAD_WORDS = {
    "no place": (["mark", "BOOK", "--name", "x"], "one of --at --from-gpx --route is missing"),
    "half a place": (["mark", "BOOK", "--name", "x", "--at", "-25"], '"-25" is no place'),
    "swapped": (["mark", "BOOK", "--name", "x", "--at", "131.0,-25.5"], "swapped"),
    "no number": (["mark", "BOOK", "--name", "x", "--at", "a,b"], "is no place"),
    "no name": (["mark", "BOOK", "--at", "-20,131"], "the source has no name"),
    "wrong grade": (
        ["mark", "BOOK", "--name", "x", "--at", "-20,131", "--grade", "good"],
        '--grade is "good"; write potable, treat-before-drinking or not-for-drinking',
    ),
    "negative flow": (
        ["mark", "BOOK", "--name", "x", "--at", "-20,131", "--flow", "-2"],
        'mark: --flow is "-2", below zero',
    ),
    "near another": (
        ["mark", "BOOK", "--name", "x", "--at", "-25.5003,131"],
        '"Old Bore" (id "7") is 33 m from there; write down a visit',
    ),
    "waypoint alone": (
        ["mark", "BOOK", "--at", "-20,131", "--name", "x", "--waypoint", "Twin"],
        "goes together with --from-gpx",
    ),
    "unknown waypoint": (["mark", "BOOK", "--from-gpx", "GPX", "--waypoint", "No"], '"Hollow"'),
    "waypoint twice": (
        ["mark", "BOOK", "--from-gpx", "GPX", "--waypoint", "Twin"],
        '2 waypoints are called "Twin" (lines 3, 4)',
    ),
    "beyond the route": (
        ["mark", "BOOK", "--name", "x", "--route", "GPX", "--km", "400"],
        "km 400 is not on the route; give a km from 0 to 21.1",
    ),
    "km in words": (["mark", "BOOK", "--name", "x", "--route", "GPX", "--km", "5 km"], "5"),
    "no such day": (["visit", "BOOK", "7", "--on", "2025-02-30", "--found", "dry"], "no day"),
    "day to come": (["visit", "BOOK", "7", "--on", "2199-01-01", "--found", "dry"], "to come"),
    "water from nothing": (
        ["visit", "BOOK", "7", "--on", "2025-02-03", "--found", "dry", "--litres", "30"],
        "30 L cannot be taken where it was found dry; write --found low",
    ),
    "found nothing": (
        ["visit", "BOOK", "7", "--on", "2025-02-03", "--found", "wet"],
        "write flowing, low, dry or unreachable",
    ),
    "unknown source": (
        ["visit", "BOOK", "Old Boer", "--on", "2025-02-03", "--found", "dry"],
        'did you mean "Old Bore"',
    ),
    "no reason": (["retire", "BOOK", "7", "--why", " "], "no reason is given"),
    "no book": (["sources", "NOWHERE"], "no such file"),
    "visit without book": (
        ["visit", "NOWHERE", "7", "--on", "2025-02-03", "--found", "dry"],
        "no such file",
    ),
    "no folder": (
        ["mark", "NOFOLDER", "--name", "x", "--at", "-20,131"],
        "there is no folder",
    ),
    "a folder": (["mark", "FOLDER", "--name", "x", "--at", "-20,131"], "this is a folder"),
    "nothing to bring": (["bring", "BOOK", "NOWHERE"], "no such file"),
    "wrong day": (["sources", "BOOK", "--on", "soon"], '--on: "soon" is no day'),
    "distance from nothing": (["sources", "BOOK", "--within", "5"], "says nothing without --near"),
    "track of nothing": (["sources", "BOOK", "--track", "x"], "says nothing without --near"),
    "wrong distance": (
        ["sources", "BOOK", "--near", "GPX", "--within", "-3"], "is no number of km"),
}  # fmt: skip


@pytest.mark.parametrize(("words", "said"), BAD_WORDS.values(), ids=BAD_WORDS)
def test_bad_words_get_one_sentence_and_change_nothing(tmp_path, book, gpx, capsys, words, said):
    """Exit status 2, one sentence that says how to mend it, and the book as it was."""
    paths = {
        "BOOK": book, "GPX": gpx, "NOWHERE": tmp_path / "none", "FOLDER": tmp_path,
        "NOFOLDER": tmp_path / "no" / "book",
    }  # fmt: skip
    before = sorted(tmp_path.iterdir())
    try:
        status = run(*(paths.get(word, word) for word in words))
    except SystemExit as ended:
        status = ended.code
    complaint = capsys.readouterr().err

    assert status == 2
    assert said in complaint
    assert len(complaint.strip().splitlines()) == 1
    assert book.read_text() == EDITED_BOOK
    assert {path.name for path in tmp_path.iterdir()} - {path.name for path in before} <= {
        ".book.geojson.lock"
    }


def test_visit_and_retire_end_up_in_the_book(book, capsys):
    """What was found, and why a source is out, stand in the book and are told."""
    more = ("--litres", "40", "--grade", "not-for-drinking", "--tds", "1200", "--note", "brackish")

    assert run("visit", book, "Old Bore", "--on", "2025-11-03", "--found", "low", *more) == 0
    assert run("retire", book, "fork", "--why", "fenced off") == 0
    told = capsys.readouterr().out
    bore, fork = read_book(book).sources

    assert bore.visits[-1].litres == 40.0
    assert (bore.grade, fork.retired) == ("not-for-drinking", "fenced off")
    assert "worse, not-for-drinking instead of treat-before-drinking" in told


def test_bring_dry_run_writes_nothing_and_tells_the_same(book, gpx, capsys):
    """--dry-run tells what bring would do, and bring then does it."""
    run("bring", book, gpx, "--all", "--dry-run")
    first = capsys.readouterr().out
    assert book.read_text() == EDITED_BOOK

    run("bring", book, gpx, "--all")
    second = capsys.readouterr().out

    assert first == f"{second}Nothing was written (--dry-run).\n"
    assert len(read_book(book).sources) == 5


def test_visits_to_come_are_left_out_and_told_when_brought(tmp_path, book, capsys):
    """Nobody's slip of the year makes a brought source certain."""
    feature = {
        "type": "Feature",
        "geometry": {"type": "Point", "coordinates": [131.9, -25.0]},
        "properties": {
            "name": "Far Tap", "grade": "potable", "kind": "tap",
            "visits": [{"on": f"{y}-05-03", "found": "flowing"} for y in (2020, 2198, 2199)],
        },
    }  # fmt: skip
    other = tmp_path / "other.geojson"
    other.write_text(json.dumps({"type": "FeatureCollection", "features": [feature]}))

    run("bring", book, other)

    kept = json.loads(book.read_text())["features"][-1]["properties"]["visits"]
    assert kept == [{"on": "2020-05-03", "found": "flowing", "brought_from": "other.geojson"}]
    assert "still to come were left out, check their dates: Far Tap (2199-05-03)" in (
        capsys.readouterr().out
    )


@pytest.mark.parametrize("deep", [900, 5000])
def test_what_is_nested_too_deeply_to_be_written_is_one_sentence(tmp_path, capsys, deep):
    """How deep is too deep differs between versions of Python; then the book is not begun."""
    theirs, new_book = tmp_path / "theirs.geojson", tmp_path / "book.geojson"
    inside = "[" * deep + "]" * deep
    theirs.write_text(
        '{"type": "Feature", "geometry": {"type": "Point", "coordinates": [131.0, -25.0]}, '
        f'"properties": {{"name": "Old Bore", "grade": "potable", "remarks": {inside}}}}}'
    )

    is_brought = run("bring", new_book, theirs) == 0

    assert is_brought == new_book.exists() == ("nested too deeply" not in capsys.readouterr().err)
    assert not (is_brought and deep == 5000)


def test_dry_run_makes_no_book(tmp_path, gpx):
    """--dry-run on a missing book leaves it missing."""
    assert run("bring", tmp_path / "none.geojson", gpx, "--dry-run") == 0

    assert not (tmp_path / "none.geojson").exists()


def listed(capsys, *words):
    capsys.readouterr()
    assert run("sources", *words) == 0
    return capsys.readouterr().out


def test_sources_lists_what_the_filters_leave(book, capsys):
    """Grade (unknown is worst), kind and certainty each leave what they name."""
    assert "Fork" not in listed(capsys, book, "--grade", "treat-before-drinking")
    assert "Old Bore" not in listed(capsys, book, "--grade", "not-for-drinking")
    assert "Fork" not in listed(capsys, book, "--kind", "Bore")
    likely = listed(capsys, book, "--certainty", "likely", "--on", "2027-05-03")
    assert "likely (by hand)" in likely


def test_sources_in_json_tells_certainty_as_judged(book, capsys):
    """The JSON holds what the judgement says for the day."""
    document = json.loads(listed(capsys, book, "--json", "--on", "2027-05-03"))
    judged = judge_source(read_book(book).sources[0], dt.date(2027, 5, 3))

    assert (document["format"], document["judged_for"]) == ("longdry-sources", "2027-05-03")
    assert document["sources"][0]["chance"] == judged.chance
    assert document["sources"][0]["certainty"] == judged.certainty.value
    assert document["sources"][1]["by_hand"] is True


def test_sources_near_a_route_are_sorted_by_km(tmp_path, gpx, capsys):
    """Only what lies within the distance is listed, by its km."""
    path = tmp_path / "b.geojson"
    for name, place in (("late", "-25.09,131.1"), ("early", "-25.0,131.02"), ("far", "-26,131")):
        run("mark", path, "--name", name, "--at", place)

    near = json.loads(listed(capsys, path, "--near", gpx, "--within", "2", "--json"))["sources"]

    assert [one["name"] for one in near] == ["early", "late"]
    assert near[0]["km"] == pytest.approx(
        Geodesic.WGS84.Inverse(-25.0, 131.0, -25.0, 131.02)["s12"] / 1000.0, abs=0.01
    )


def test_geojson_of_the_list_holds_the_features_as_the_book_does(book, capsys):
    """The cut of a book is a layer of its own, digit by digit."""
    text = listed(capsys, book, "--kind", "bore", "--geojson")

    assert "[131.00, -25.50, 412.70]" in text
    assert len(json.loads(text)["features"]) == 1


def test_book_is_rfc_7946_to_independent_readers(tmp_path):
    """GDAL (through pyogrio) and shapely read the book that longdry made as it was told."""
    path = tmp_path / "book.geojson"
    run("mark", path, "--name", "Böhm", "--at", "-25.3412,131.0370", "--grade", "potable")
    run("mark", path, "--name", "Second", "--at", "-24.5,132.25", "--kind", "tank")
    run("visit", path, "second", "--on", "2025-11-03", "--found", "dry")

    frame = pyogrio.read_dataframe(path)
    shapes = shapely.from_geojson(path.read_text())

    assert list(frame["name"]) == ["Böhm", "Second"]
    assert frame.crs.to_epsg() == 4326
    assert [(point.x, point.y) for point in frame.geometry] == [
        (131.037, -25.3412),
        (132.25, -24.5),
    ]
    assert [(point.x, point.y) for point in shapes.geoms] == [(131.037, -25.3412), (132.25, -24.5)]
    visits = frame["visits"][1]
    visits = json.loads(visits) if isinstance(visits, str) else visits  # as GDAL before 3.8 has it
    assert visits[0]["found"] == "dry"


def test_book_written_by_gdal_is_a_book(tmp_path):
    """A book opened and saved in a GIS is still a book, visits included."""
    first, second = tmp_path / "book.geojson", tmp_path / "saved.geojson"
    run("mark", first, "--name", "Second", "--at", "-24.5,132.25", "--kind", "tank")
    run("visit", first, "second", "--on", "2025-11-03", "--found", "dry")
    pyogrio.write_dataframe(pyogrio.read_dataframe(first), second, driver="GeoJSON")

    assert run("visit", second, "second", "--on", "2025-11-04", "--found", "low") == 0
    assert [visit.found for visit in read_book(second).sources[0].visits] == ["dry", "low"]


def test_plan_reads_the_same_sources_as_the_book(book):
    """A book without lines is a water layer like any other, to the same ids."""
    only_points = json.loads(EDITED_BOOK)
    only_points["features"] = [only_points["features"][n] for n in (0, 2)]
    book.write_text(json.dumps(only_points))

    as_layer = read_water(book).sources

    assert [source.id for source in as_layer] == [source.id for source in read_book(book).sources]


VISIT = ["visit", "BOOK", "7", "--on", "2025-11-03", "--found", "dry"]


def test_full_disk_leaves_the_book(book, capsys, monkeypatch):
    """A disk that is full when the change is flushed: one sentence, the old book."""

    def full(_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(storage.os, "fsync", full)
    status = run(*(book if word == "BOOK" else word for word in VISIT))

    assert status == 2
    assert "the disk is full" in capsys.readouterr().err
    assert book.read_text() == EDITED_BOOK


def test_disk_that_takes_half_a_book_leaves_the_old_one(book, capsys):
    """A real limit of the kernel, met in the middle of the book: the old book stands."""
    limits = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (500, limits[1]))
    try:
        status = run(*(book if word == "BOOK" else word for word in VISIT))
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, limits)

    assert status == 2
    assert "the old file stands" in capsys.readouterr().err
    assert book.read_text() == EDITED_BOOK
    assert [path.name for path in book.parent.glob(".*unfinished")] == []


def test_nonsense_book_is_left_as_it_was(book, capsys):
    """A book that somebody edited into nonsense: one sentence, and no byte is touched."""
    nonsense = EDITED_BOOK.replace("treat-before-drinking", "fine")
    book.write_text(nonsense)

    status = run(*(book if word == "BOOK" else word for word in VISIT))

    assert status == 2
    assert 'grade is "fine"' in capsys.readouterr().err
    assert book.read_text() == nonsense


def test_two_processes_that_mark_at_once_both_end_up_in_the_book(tmp_path):
    """Two people mark ten sources each into one new book at the same moment: twenty are there."""
    path = tmp_path / "book.geojson"
    script = (
        "import sys; from longdry.cli.main import main\n"
        "for n in range(10):\n"
        "    assert main(['mark', sys.argv[1], '--name', f'{sys.argv[2]} {n}',"
        " '--at', f'{sys.argv[3]},{131 + n}']) == 0\n"
    )
    markers = [
        subprocess.Popen(
            [sys.executable, "-c", script, path, name, lat],
            stdout=subprocess.DEVNULL,
            env=os.environ | {"PYTHONWARNINGS": "error"},
        )
        for name, lat in (("east", "-25"), ("west", "-26"))
    ]

    assert [marker.wait(timeout=LONGEST_WAIT_S) for marker in markers] == [0, 0]
    assert {source.name for source in read_book(path).sources} == {
        f"{side} {n}" for side in ("east", "west") for n in range(10)
    }


def test_book_that_another_makes_meanwhile_is_taken(tmp_path, monkeypatch):
    """Where the book appears just after it was looked for, the mark goes into it."""
    path = tmp_path / "book.geojson"
    looked = Path.is_file

    def made_meanwhile(_path):
        monkeypatch.setattr(Path, "is_file", looked)
        assert main(["mark", str(path), "--name", "Theirs", "--at", "-25,131"]) == 0
        return False

    monkeypatch.setattr(Path, "is_file", made_meanwhile)

    assert main(["mark", str(path), "--name", "Ours", "--at", "-26,131"]) == 0
    assert {source.name for source in read_book(path).sources} == {"Theirs", "Ours"}


@pytest.mark.parametrize("command", ["mark", "visit", "retire", "bring", "sources"])
def test_help_shows_one_example_that_is_understood(command):
    """The example in the help is one that the command's own parser takes."""
    example = importlib.import_module(module_of(command)).EXAMPLE
    words = shlex.split(example)

    assert words[:2] == ["longdry", command]
    assert command in COMMANDS
    assert command_parser(command).parse_args(words[2:]).book.name == "book.geojson"
    assert example in command_parser(command).format_help()
