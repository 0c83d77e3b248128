"""What goes wrong, through ``longdry plan``: the document and the terminal."""

from __future__ import annotations

import json

import pytest

from longdry.cli.main import main

TRIP = """
[[use]]
name = "drinking"
litres = 4.0
[[container]]
name = "can"
count = 4
rated_l = 10.0
grade = "potable"
[pace]
travel = "vehicle"
speed_kmh = 50.0
[policy]
reserve_days = 0.0
help_days = 2.0
back_by_days = 3.0
call_at = ["Well", "Tank"]
[contact]
call = "radio"
[[what_if]]
change = "2 more people"
"""


@pytest.fixture
def files(tmp_path):
    points = "".join(f'<trkpt lat="-25.0" lon="{130 + 0.5 * n}"/>' for n in range(13))
    (tmp_path / "route.gpx").write_text(
        f'<gpx version="1.1" creator="t"><trk><trkseg>{points}</trkseg></trk></gpx>'
    )
    rows = "w1,Well,-25.0,132.0,potable,well\nw2,Tank,-25.0,134.0,potable,tank\n"
    (tmp_path / "water.csv").write_text(f"id,name,lat,lon,grade,kind\n{rows}")
    (tmp_path / "trip.toml").write_text(TRIP)
    return tmp_path


def planned(files, *words):
    status = main(
        [
            "plan", str(files / "route.gpx"), "--water", str(files / "water.csv"),
            "--trip", str(files / "trip.toml"), "--json", str(files / "plan.json"), *words,
        ]
    )  # fmt: skip
    assert status == 0
    return json.loads((files / "plan.json").read_text())


def test_document_has_the_keys_that_others_rely_on(files):
    """What-ifs, turn-back km, sit-out and chance, with the trip's own question among them."""
    document = planned(files, "--trials", "500", "--seed", "7", "--what-if", "delay 2 days at km 9")
    kinds = [one["kind"] for one in document["what_ifs"]]

    assert {"dry-source", "delay", "pace", "container", "people"} <= set(kinds)
    for one in document["what_ifs"]:
        assert {"kind", "sources", "worst_stretch", "verdict", "can_go_on", "can_go_back"} <= set(
            one
        )
        assert {"from_km", "to_km", "need_total_l"} <= set(one["worst_stretch"])
    assert [one["stretch"] for one in document["turn_back"]] == [1, 2, 3]
    assert document["sit_out"]["help_days"] == 2.0
    assert document["chance"]["trials"] == 500
    assert document["chance"]["seed"] == 7
    assert document["chance"]["rests_on"]
    assert 0.0 <= document["chance"]["turn_back"] <= 1.0
    assert {"asked_l", "carried_l", "enough"} <= set(document["sit_out"]["wanted"])
    for one in document["what_ifs"]:
        assert len(one["passes"]) >= len(one["sources"])


def test_same_seed_same_chance(files):
    """The simulation repeats itself from its seed."""
    first = planned(files, "--seed", "3")["chance"]

    assert planned(files, "--seed", "3")["chance"] == first


def test_no_trials_no_chance(files, capsys):
    """Without trials the chance is null and no sentence tells one."""
    assert planned(files, "--trials", "0")["chance"] is None
    assert "Chance" not in capsys.readouterr().out


def test_chance_is_never_told_without_what_it_rests_on(files, capsys):
    """The terminal's sentence about the chance goes on with what it rests on."""
    rests_on = planned(files, "--full")["chance"]["rests_on"]
    printed = " ".join(capsys.readouterr().out.split())

    assert rests_on in printed


def test_dry_source_equals_planning_without_it(files):
    """Two ways to one figure: the what-if, and planning afresh with the source taken out."""
    known = next(one for one in planned(files)["what_ifs"] if one["sources"] == ["w2"])["known_dry"]
    kept = (files / "water.csv").read_text().splitlines()[:2]
    without = (files / "trip.toml").read_text().replace('["Well", "Tank"]', '["Well"]')
    (files / "trip.toml").write_text(without)
    (files / "water.csv").write_text("\n".join(kept) + "\n")
    afresh = planned(files)["stretches"][-1]

    assert known["from_km"] == pytest.approx(afresh["from"]["km"])
    assert known["length_km"] == pytest.approx(afresh["length_km"])
    assert known["need_total_l"] == pytest.approx(afresh["need_total_l"])


def test_water_that_does_not_count_is_named_in_the_document(files):
    """A tap 16 km off the route, farther than the plan looks."""
    with (files / "water.csv").open("a") as rows:
        rows.write("far,Far Tap,-25.15,133.0,potable,tap\n")
    (named,) = planned(files)["in_need"]

    assert (named["source"], named["hours"] > 0.0, named["litres"] > 0.0) == ("far", True, True)
    assert named["way_km"] > 16.0


def test_a_party_that_cannot_call_is_warned_of_the_days_until_it_is_looked_for(files):
    """Due back two weeks after it leaves, and a week of search: the water never lasts so long."""
    due_back = "due_back = 2027-05-17\nsearch_days = 7.0"
    text = (files / "trip.toml").read_text().replace('call = "radio"', due_back)
    (files / "trip.toml").write_text("depart = 2027-05-03\n" + text)
    document = planned(files)

    assert document["sit_out"]["by_due_back"] is True
    assert document["sit_out"]["lasts_until_help"] is False
    why = "the trip names no means of calling, and it is looked for only when it is overdue"
    told = [one for one in (*document["headline"]["because"], *document["warnings"]) if why in one]
    assert len(told) == 1


@pytest.mark.parametrize("words", [("--what-if", "eat more"), ("--trials", "-1")])
def test_wrong_questions_are_one_sentence(files, capsys, words):
    """Exit 2, one line, no document."""
    command = ["plan", str(files / "route.gpx"), "--water", str(files / "water.csv"), *words]
    try:
        status = main([*command, "--json", str(files / "plan.json")])
    except SystemExit as ended:
        status = ended.code

    assert status == 2
    assert capsys.readouterr().err.count("\n") == 1
    assert not (files / "plan.json").exists()
