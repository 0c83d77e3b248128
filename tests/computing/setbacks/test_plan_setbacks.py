"""What goes wrong, through ``longdry plan``: the document, the terminal, the fills that survive."""

from __future__ import annotations

import json

import pytest
from make import container, source_at, straight_route, trip

from longdry.cli.main import main
from longdry.computing.plan.planning import plan_trip
from longdry.model.trip.what_if import Inquiry

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
    rests_on = planned(files)["chance"]["rests_on"]
    printed = " ".join(capsys.readouterr().out.split())

    assert rests_on in printed


def test_dry_source_equals_planning_without_it(files):
    """Two ways to one figure: the what-if, and planning afresh with the source taken out."""
    known = next(one for one in planned(files)["what_ifs"] if one["sources"] == ["w2"])["known_dry"]
    kept = (files / "water.csv").read_text().splitlines()[:2]
    (files / "water.csv").write_text("\n".join(kept) + "\n")
    afresh = planned(files)["stretches"][-1]

    assert known["from_km"] == pytest.approx(afresh["from"]["km"])
    assert known["length_km"] == pytest.approx(afresh["length_km"])
    assert known["need_total_l"] == pytest.approx(afresh["need_total_l"])


def test_fills_that_survive_carry_more_and_leave_a_way():
    """With 100 L the fills can be raised until no single dry source leaves the party stranded."""
    sources = [source_at(200.0), source_at(400.0)]
    route, party = straight_route(600.0), trip(containers=[container(100.0, 1)])
    plain = plan_trip(route, sources, party)
    safe = plan_trip(route, sources, party, inquiry=Inquiry(survive_dry=True))

    assert any(one.leaves_neither for one in plain.setbacks.dry if len(one.sources) == 1)
    assert not any(one.leaves_neither for one in safe.setbacks.dry if len(one.sources) == 1)
    assert safe.survival.breaks == ()
    assert max(safe.survival.extra_l) > 0.0
    assert safe.fills.litre_km > plain.fills.litre_km


def test_source_that_no_filling_survives_is_named():
    """With 9 L nothing can be raised: the breaking source is named, and warned of."""
    sources = [source_at(300.0)]
    party = trip(containers=[container(9.0, 1)])
    made = plan_trip(straight_route(600.0), sources, party, inquiry=Inquiry(survive_dry=True))

    assert [source.id for source in made.survival.breaks] == ["s300"]
    assert any(w.grave and "s300" in w.text and "survive" in w.text for w in made.warnings)


@pytest.mark.parametrize(
    "words", [("--what-if", "eat more"), ("--trials", "-1"), ("--survive-dry", "2")]
)
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
