"""``longdry plan`` as people run it: figures they can check, and one sentence where it fails."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from small_files import ROUTE, WATER

from longdry.cli.main import main

COMMON_PRACTICE = """
[party]
people = 2
[[use]]
name = "drinking"
litres = 8.0
per = "party-day"
kept = "bare"
[[use]]
name = "cooking"
litres = 1.0
per = "party-day"
kept = "lean"
[[use]]
name = "washing up"
litres = 3.0
per = "party-day"
kept = "lean"
grade = "treat-before-drinking"
[[use]]
name = "shower"
litres = 5.0
per = "party-night"
kept = "full"
grade = "not-for-drinking"
[[container]]
name = "all"
rated_l = 223.0
count = 1
grade = "potable"
[pace]
travel = "vehicle"
[policy]
loss_percent = 0
reserve_ration = "full"
reserve_days = {reserve}
days_after_end = {days}
"""


@pytest.fixture
def files(tmp_path):
    (tmp_path / "route.gpx").write_text(ROUTE)
    (tmp_path / "water.csv").write_text(WATER)
    return tmp_path


def plan(folder: Path, *words: str, water: str = "water.csv", route: str = "route.gpx"):
    return main(
        ["plan", str(folder / route), "--water", str(folder / water), *map(str, words)],
    )


def planned(folder: Path, *words: str) -> dict:
    assert plan(folder, *words, "--json", folder / "plan.json") == 0
    return json.loads((folder / "plan.json").read_text())


def test_document_has_the_keys_that_others_rely_on(files):
    """The published keys of the plan document, on a plan with a source."""
    document = planned(files)

    assert (document["format"], document["version"]) == ("longdry-plan", 2)
    assert {"name", "length_km", "points"} <= document["route"].keys()
    assert {
        "source", "name", "grade", "km", "offset_km", "way_km", "counted",
    } <= document["passes"][0].keys()  # fmt: skip
    assert {
        "number", "from", "to", "length_km", "days", "nights", "need_l", "need_by_grade_l",
        "need_total_l", "reserve_l", "capacity_l", "short_l", "verdict",
    } <= document["stretches"][0].keys()  # fmt: skip
    assert document["stretches"][0]["need_by_grade_l"].keys() == {"potable", "any"}
    assert document["longest"].keys() == {"by_km", "by_days", "worst"}
    assert {"what", "value", "why"} <= document["assumptions"][0].keys()
    assert all(isinstance(text, str) for text in document["warnings"])


def test_every_default_is_printed_with_the_answer(files, capsys):
    """A plan without a trip file tells people, rates, pace and reserve that it assumed."""
    plan(files, "--full")
    printed = capsys.readouterr().out

    for what in ("people", "speed", "drinking", "reserve"):
        assert what in printed.split("Assumptions:")[1]


@pytest.mark.parametrize(
    ("days", "reserve", "verdict"),
    [(13, 0, "clear"), (14, 0, "short ration"), (10, 3, "clear"), (11, 3, "into reserve")],
)
def test_party_of_common_practice(files, days, reserve, verdict):
    """Two people, 17 L a day: 223 L last 13 whole days, planned for 10 with 3 in reserve.

    Source: common practice, no source. 13 x 17 = 221 <= 223 < 238 = 14 x 17. The route itself
    is 2 km long; the days are laid behind its end.
    """
    (files / "trip.toml").write_text(COMMON_PRACTICE.format(days=days, reserve=reserve))
    last = planned(files, "--trip", files / "trip.toml")["stretches"][-1]

    assert last["verdict"] == verdict
    assert last["need_total_l"] == pytest.approx(17.0 * days, abs=0.5)
    assert last["need_by_grade_l"]["potable"] == pytest.approx(9.0 * days, abs=0.5)


def test_lean_party_of_common_practice_saves_about_ten_litres(files):
    """Source: common practice, no source: about 10 of 17 L can be saved by going without."""
    (files / "trip.toml").write_text(COMMON_PRACTICE.format(days=10, reserve=0))
    rations = planned(files, "--trip", files / "trip.toml")["stretches"][-1]["need_on_ration_l"]

    assert (rations["full"] - rations["bare"]) / 10.0 == pytest.approx(9.0, abs=0.2)


BAD = {
    "no such route": ({}, {"route": "nothing.gpx"}, "nothing.gpx"),
    "route is text": ({"route.gpx": "hello"}, {}, "route.gpx"),
    "one point": (
        {"route.gpx": ROUTE.replace('<trkpt lat="-25.0" lon="130.01"/>', "").replace(
            '<trkpt lat="-25.0" lon="130.02"/>', "")},
        {}, "route.gpx"),
    "latitude out of range": ({"route.gpx": ROUTE.replace('lat="-25.0" lon="130.02"',
                                                          'lat="-95.0" lon="130.02"')},
                              {}, "line 4"),
    "break over 20 km": ({"route.gpx": ROUTE.replace(
        "</trkseg>", '</trkseg><trkseg><trkpt lat="-26.0" lon="130.0"/>'
        '<trkpt lat="-26.0" lon="130.1"/></trkseg>')}, {}, "--track"),
    "two tracks apart": ({"route.gpx": ROUTE.replace(
        "</trk>", '</trk><trk><name>Other</name><trkseg><trkpt lat="-26.0" lon="130.0"/>'
        '<trkpt lat="-26.0" lon="130.1"/></trkseg></trk>')}, {}, "Other"),
    "unknown grade": ({"water.csv": WATER.replace("potable", "nice")}, {}, "potable"),
    "same id twice": ({"water.csv": WATER + "w1,Again,-25.0,130.02,potable\n"}, {}, "w1"),
    "no lat column": ({"water.csv": WATER.replace("lat,", "up,")}, {}, "lat"),
    "trip is no TOML": ({"trip.toml": "people = "}, {"trip": "trip.toml"}, "trip.toml"),
    "unknown key": ({"trip.toml": "[party]\npeopel = 2\n"}, {"trip": "trip.toml"}, "people"),
    "unit as text": ({"trip.toml": '[pace]\nspeed_kmh = "50 km/h"\n'}, {"trip": "trip.toml"},
                     "speed_kmh"),
    "camp off the route": ({"trip.toml": "[[camp]]\nkm = 900\n"}, {"trip": "trip.toml"},
                           "[[camp]] 1"),
}  # fmt: skip


@pytest.mark.parametrize("name", BAD)
def test_bad_input_is_one_sentence_and_nothing_written(name, files, capsys):
    """Exit 2; file, place, what and mend on one line; no page, no document."""
    contents, how, told = BAD[name]
    for file, text in contents.items():
        (files / file).write_text(text)
    before = sorted(files.iterdir())
    words = ["--out", files / "plan.html", "--json", files / "plan.json"]
    if "trip" in how:
        words += ["--trip", files / how["trip"]]
    status = plan(files, *words, route=how.get("route", "route.gpx"))
    said = capsys.readouterr()

    assert status == 2
    assert said.out == ""
    assert told in said.err
    assert said.err.count("\n") == 1 or name == "two tracks apart"
    assert "Traceback" not in said.err
    assert sorted(files.iterdir()) == before


def test_output_never_replaces_an_input(files, capsys):
    """A page written over the route would lose it."""
    status = plan(files, "--out", files / "route.gpx")

    assert status == 2
    assert (files / "route.gpx").read_text() == ROUTE
    assert "route.gpx" in capsys.readouterr().err


def test_wrong_words_are_one_sentence(files, capsys):
    """An unknown option names the help."""
    with pytest.raises(SystemExit) as ended:
        plan(files, "--watr", "x")

    assert ended.value.code == 2
    assert capsys.readouterr().err.count("\n") == 1


def test_names_cannot_steer_the_terminal(files, capsys):
    """An escape sequence in a name is printed as blanks."""
    (files / "water.csv").write_text(WATER.replace("Well", "We\x1b[31mll"))
    plan(files)

    assert "\x1b" not in capsys.readouterr().out


def test_several_layers_add_up(files):
    """A second --water brings its sources too."""
    (files / "more.csv").write_text("id,name,lat,lon,grade\nw2,Tank,-25.0,130.015,potable\n")
    document = planned(files, "--water", files / "more.csv")

    assert [p["source"] for p in document["passes"]] == ["w1", "w2"]


@pytest.mark.parametrize(
    ("key", "option", "is_call"), [("call_at", "--pass-by", False), ("pass_by", "--call-at", True)]
)
def test_an_option_overrules_where_the_trip_calls(key, option, is_call, files):
    """The last word is the command line's, whatever the case of the letters."""
    (files / "trip.toml").write_text(f'[policy]\n{key} = ["Well"]\n')
    document = planned(
        files, "--trip", files / "trip.toml", option, "well", "--count-on", "any", "--trials", "0"
    )

    assert [one["call"] for one in document["passes"]] == [is_call]


def test_nobody_both_calls_at_a_source_and_passes_it_by(files, capsys):
    """Two options against each other are refused in one sentence."""
    assert plan(files, "--call-at", "Well", "--pass-by", "well@1") == 2
    assert capsys.readouterr().err.startswith(
        'longdry: --pass-by: "well@1" is named by --call-at too; keep it in one of the two'
    )


def test_arguments_may_stand_in_a_file(files, monkeypatch):
    """One a line, a remark is none, paths are found from the file's folder, words behind add up."""
    said = "# ours\nroute.gpx\n\n--water\nwater.csv\n--track=#1\n"
    (files / "plan.txt").write_text(said)
    elsewhere = files / "elsewhere"
    elsewhere.mkdir()
    monkeypatch.chdir(elsewhere)
    by_file, by_words = files / "file.json", files / "words.json"

    assert main(["plan", "@../plan.txt", "--json", str(by_file)]) == 0
    assert main(["plan", "../route.gpx", "--water", "../water.csv", "--json", str(by_words)]) == 0
    assert by_file.read_bytes() == by_words.read_bytes()


@pytest.mark.parametrize(
    ("said", "told"),
    [(None, "no such file"), (b"@more.txt\n", "another file of arguments"), (b"\xff", "UTF-8")],
)
def test_a_file_of_arguments_that_cannot_be_is_one_sentence(files, capsys, said, told):
    """It is missing, names another, or is no text."""
    if said:
        (files / "plan.txt").write_bytes(said)

    assert main(["plan", f"@{files / 'plan.txt'}"]) == 2
    error = capsys.readouterr().err
    assert told in error
    assert error.count("\n") == 1
