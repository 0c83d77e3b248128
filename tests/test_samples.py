"""Each sample trip from its files to its answer, through the command line."""

from __future__ import annotations

import contextlib
import datetime as dt
import io
import json
import re
import subprocess
import sys
from pathlib import Path

import gpxpy
import numpy as np
import pytest
from lxml import html
from sample_plans import page_of, planned
from without_mends import let_commands_ask_for_no_mends

from longdry.cli.main import main
from longdry.reading.route.route_file import read_route
from longdry.showing.terminal.full import full_text
from longdry.showing.terminal.plan import plan_text

SAMPLES = Path(__file__).parent.parent / "sample_routes"
NAMES = sorted(folder.name for folder in SAMPLES.iterdir() if (folder / "route.gpx").exists())


def plan_document(name: str, folder: Path, *more: str) -> tuple[int, dict]:
    """Plan a sample by the command line; return its status and what it wrote as JSON."""
    sample = SAMPLES / name
    layers = sorted([*sample.glob("*water*.geojson"), *sample.glob("*water*.csv")])
    words = ["plan", str(sample / "route.gpx"), "--trip", str(sample / "trip.toml"), *more]
    for layer in layers:
        words += ["--water", str(layer)]
    status = main([*words, "--json", str(folder / "plan.json")])
    return status, json.loads((folder / "plan.json").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def answers(tmp_path_factory):
    """Plan each sample once, as it is; give its status, its document and what it printed."""
    told = {}
    for name in NAMES:
        with contextlib.redirect_stdout(io.StringIO()) as printed:
            status, document = plan_document(name, tmp_path_factory.mktemp(name))
        told[name] = status, document, printed.getvalue()
    return told


@pytest.fixture(scope="module")
def documents(answers):
    return {name: document for name, (_, document, _) in answers.items()}


def test_there_are_three_samples():
    """A vehicle trip, a walk and a bicycle ride."""
    travels = {
        re.search(r'^travel = "(\w+)"', (SAMPLES / name / "trip.toml").read_text(), re.MULTILINE)[1]
        for name in NAMES
    }

    assert travels == {"vehicle", "foot", "bicycle"}


@pytest.mark.parametrize("name", NAMES)
def test_every_file_says_that_it_is_invented(name):
    """Nobody may take a sample for a place."""
    for path in (SAMPLES / name).iterdir():
        assert "invented: not for navigation" in path.read_text(encoding="utf-8"), path.name


@pytest.mark.parametrize("name", NAMES)
def test_each_sample_can_be_planned(name, answers):
    """Exit status 0, a plan whose stretches tile the route, cautions on the terminal."""
    status, plan, printed = answers[name]

    assert status == 0
    assert plan["stretches"][0]["from"] == {"source": None, "km": 0.0}
    assert plan["stretches"][-1]["to"]["km"] == plan["route"]["length_km"]
    assert "ask local authorities and land managers first" in " ".join(printed.split())


def test_vehicle_sample_is_what_it_is_meant_to_be(documents):
    """900-1300 km, 9-14 days, one well passed twice, one gap too long for the containers."""
    plan = documents["saltbush_loop"]
    counted = [p["source"] for p in plan["passes"] if p["counted"]]
    verdicts = [s["verdict"] for s in plan["stretches"]]

    assert 900.0 <= plan["route"]["length_km"] <= 1300.0
    assert 9 <= len(plan["days"]) <= 14
    assert counted.count("vh-02") == 2
    assert verdicts.count("too long") == 1
    assert plan["stretches"][plan["longest"]["worst"] - 1]["verdict"] == "too long"


WAKES, SLEEPS = 6, 22
"""The day's moving begins at 8: the party wakes two hours before and is awake for 16."""


def waking_days(leave: str, arrive: str) -> float:
    """Count the waking minutes between two local times, in days of 16 waking hours."""
    here, there = (dt.datetime.fromisoformat(moment) for moment in (leave, arrive))
    minutes = range(round((there - here).total_seconds() / 60.0))
    awake = (WAKES <= (here + dt.timedelta(minutes=minute)).hour < SLEEPS for minute in minutes)
    return sum(awake) / (SLEEPS - WAKES) / 60.0


def test_vehicle_sample_asks_for_what_its_party_measured(documents):
    """By hand, three people: 15 L in a day's waking hours, 3.8 L in 24 h, 2.4 L a night.

    Drinking 3 x 5 L, cooking 1.6 L and washing up 2.2 L, an evening wash of 0.8 L each; the reserve
    is two days of drinking; four cans of 20 L and a bladder of 10 L hold 90 L; 5 % are lost where
    nothing else is said.
    """
    plan = documents["saltbush_loop"]

    for stretch in plan["stretches"]:
        awake = waking_days(stretch["leave"], stretch["arrive"])
        need_l = 1.05 * (15.0 * awake + 3.8 * stretch["days"] + 2.4 * stretch["nights"])
        assert stretch["need_total_l"] == pytest.approx(need_l, abs=0.05)
        assert stretch["reserve_l"] == pytest.approx(1.05 * 30.0)
        assert stretch["capacity_l"] == pytest.approx(90.0)
        carried_too_much_l = max(0.0, need_l + 1.05 * 30.0 - 90.0)
        assert stretch["short_l"] == pytest.approx(carried_too_much_l, abs=0.05)


def test_walk_takes_eight_to_ten_days(documents):
    """The walk is a walk."""
    plan = documents["gorge_walk"]

    assert 8 <= len(plan["days"]) <= 10


OF_A_VEHICLE = re.compile(
    r"\b(stay with|breaks? down|broken down|(the|your|their) vehicle|radiator|by the door"
    r"|under the load|the fuel)\b",
    re.IGNORECASE,
)
"""What only people with a vehicle can do or lose; why a usual value is so may name vehicles."""


def everything_told(name):
    """Return the words of both answers on the terminal, and of the page with sheet and papers."""
    page = html.document_fromstring(page_of(name))
    for hidden in page.xpath("//script | //style"):
        hidden.drop_tree()
    told = {"terminal": plan_text(planned(name)), "full": full_text(planned(name))}
    for part in ("here", "sheet", "papers"):
        element = page.get_element_by_id(part)
        told[part] = element.text_content()
        element.drop_tree()
    return {**told, "page": page.text_content()}


def test_nothing_that_a_walker_reads_speaks_of_their_vehicle():
    """No "stay with the vehicle", door or radiator in any output; where one goes by vehicle, all.

    A bicycle may break down.
    """
    of_walk, of_drive = everything_told("gorge_walk"), everything_told("saltbush_loop")

    assert {part: OF_A_VEHICLE.findall(words) for part, words in of_walk.items()} == {
        part: [] for part in of_walk
    }
    for part in ("here", "sheet", "page"):
        assert "Stay with the vehicle" in of_drive[part]


def test_strict_tells_by_its_status(tmp_path, monkeypatch):
    """Status 1 with --strict where a stretch is not clear; the files are written all the same."""
    let_commands_ask_for_no_mends(monkeypatch)
    status, plan = plan_document("saltbush_loop", tmp_path, "--strict", "--trials", "0")

    assert status == 1
    assert plan["format"] == "longdry-plan"


@pytest.mark.parametrize("name", NAMES)
def test_the_other_way_round_passes_the_same_water(name, documents, tmp_path, monkeypatch):
    """Reversing mirrors the passes; where to call is another choice that way."""
    there = documents[name]
    let_commands_ask_for_no_mends(monkeypatch)
    _, back = plan_document(name, tmp_path, "--reverse", "--trials", "0")
    length_km = there["route"]["length_km"]

    assert sorted((p["source"], round(p["km"], 3)) for p in there["passes"]) == sorted(
        (p["source"], round(length_km - p["km"], 3)) for p in back["passes"]
    )


@pytest.mark.parametrize("name", NAMES)
def test_our_reader_agrees_with_gpxpy(name):
    """Source: gpxpy, a general-purpose GPX library, reads the same points from every sample."""
    path = SAMPLES / name / "route.gpx"
    with path.open(encoding="utf-8") as file:
        theirs = [p for t in gpxpy.parse(file).tracks for s in t.segments for p in s.points]
    ours = read_route(path)

    assert ours.points == len(theirs)
    assert np.array_equal(ours.lat_deg, [p.latitude for p in theirs])
    assert np.array_equal(ours.lon_deg, [p.longitude for p in theirs])
    assert np.array_equal(ours.height_m, [p.elevation for p in theirs])


def test_samples_are_what_their_script_makes(tmp_path):
    """The script in the repository makes the same bytes."""
    script = tmp_path / "make_samples.py"
    script.write_bytes((SAMPLES / "make_samples.py").read_bytes())
    subprocess.run([sys.executable, str(script)], check=True)
    made = [path for path in tmp_path.rglob("*") if path.is_file() and path != script]

    assert len(made) == 7
    for path in made:
        assert path.read_bytes() == (SAMPLES / path.relative_to(tmp_path)).read_bytes(), path.name
