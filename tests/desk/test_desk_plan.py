"""The plan that the desk shows is the plan of the command line, figure for figure."""

from __future__ import annotations

import dataclasses
import json
import queue
import shutil
import time
import zipfile

import pytest
from how_many import is_whole
from open_desk import BOOK, GPX, TRIP, open_desk, write_small_trip
from patience import LONGEST_WAIT_S
from project_places import SAMPLES

from longdry import api
from longdry.cli.main import main
from longdry.desk.after import look as look_after
from longdry.desk.after import take
from longdry.desk.bring import bring, look
from longdry.desk.desk import Desk
from longdry.desk.kinds import kind_of
from longdry.desk.outputs import save
from longdry.desk.plan_view import plan_json as shown
from longdry.desk.route_view import where
from longdry.desk.serving import run_desk
from longdry.desk.trip_form import change_trip
from longdry.desk.worker import Worker, whole_plan
from longdry.errors import LongdryError, UsageError
from longdry.reading.book.book_file import read_book
from longdry.showing.exports.plan_json import plan_json
from longdry.storage import sole_right


@pytest.fixture
def small(tmp_path):
    """Make a folder with 20 km of route, one tap and a short trip file."""
    folder = tmp_path / "small"
    folder.mkdir()
    write_small_trip(folder)
    return folder


TAKE = Worker.take


def jobs_taken_by(worker: Worker):
    """Return what hands jobs to a worker although the fixture keeps those of desks."""
    return lambda job: TAKE(worker, job)


@pytest.fixture(autouse=True)
def jobs(monkeypatch):
    """Keep the jobs that the worker would get."""
    taken = []
    monkeypatch.setattr("longdry.desk.worker.Worker.take", lambda _, job: taken.append(job))
    return taken


SAMPLE_TRIPS = ("saltbush_loop", "gorge_walk", "stock_route_ride")


@pytest.mark.parametrize("sample", ("small", *SAMPLE_TRIPS) if is_whole() else ("small",))
def test_the_plan_shown_is_that_of_the_command_line(tmp_path, monkeypatch, small, jobs, sample):
    """The first plan has every figure but the mends, the whole one has them all: same document."""
    folder = small if sample == "small" else tmp_path / sample
    if sample != "small":
        shutil.copytree(SAMPLES / sample, folder)
    monkeypatch.chdir(folder)
    desk = Desk(folder)
    desk.choose({"reverse": True})
    first = desk.planner.state().plan
    assert main(["plan", "@plan.txt", "--json", str(tmp_path / "plan.json")]) == 0
    told = json.loads((tmp_path / "plan.json").read_text())
    whole = json.loads(plan_json(whole_plan(jobs[-1])))
    quick = json.loads(plan_json(first))

    assert whole == told
    assert whole["mends"]
    without = {name for name in told if "mend" in name}
    assert without
    assert {k: v for k, v in quick.items() if k not in without} == {
        k: v for k, v in told.items() if k not in without
    }


def test_a_change_is_told_as_better_or_worse(small):
    """Twice the water: worse; taken back: better, in the same words turned."""
    desk = Desk(small)
    desk.planner.state()
    change_trip(desk, {"changes": [{"section": "use", "number": 1, "key": "litres", "value": 12}]})
    worse = shown(desk.planner.state())
    desk.take_back_by_one({"file": "trip.toml"})
    better = shown(desk.planner.state())

    assert worse["number"] + 1 == better["number"]
    assert worse["change"].startswith("Worse: ")
    assert "most to carry" in worse["change"]
    assert better["change"].startswith("Better: ")


def test_what_is_worked_out_again_is_only_what_changed(small, monkeypatch):
    """A new pace reads neither route nor water again."""
    desk = Desk(small)
    desk.planner.state()
    monkeypatch.setattr("longdry.api.read_route", None)
    monkeypatch.setattr("longdry.api.water_along", None)
    monkeypatch.setattr("longdry.api.read_water", None)
    change_trip(desk, {"changes": [{"section": "pace", "key": "speed_kmh", "value": 5}]})
    state = desk.planner.state()

    assert state.plan is not None
    assert state.plan.trip.pace.speed_kmh == 5.0
    assert desk.planner.state() is state


def test_a_file_changed_while_it_is_read_is_planned_as_it_is_then(small, monkeypatch):
    """What was read of the old state is kept nowhere, so that undoing brings back no mixture."""
    desk = Desk(small)
    real = api.read_water
    less = BOOK.replace('"potable"', '"not-for-drinking"')

    def read_and_change(*paths, **more):
        monkeypatch.setattr("longdry.api.read_water", real)
        found = real(*paths, **more)
        (small / "water.geojson").write_text(less)
        return found

    monkeypatch.setattr("longdry.api.read_water", read_and_change)
    grades = [desk.planner.state().plan.sources[0].grade]
    (small / "water.geojson").write_text(BOOK)
    grades.append(desk.planner.state().plan.sources[0].grade)

    assert grades == ["not-for-drinking", "potable"]


def test_a_place_beside_the_route_and_a_km_of_it_are_one(small):
    """There and back again; off the route, the sentence tells how far it goes."""
    desk = Desk(small)
    place = where(desk, {"km": "12.5"})
    back = where(desk, {"lat_deg": str(place["lat_deg"]), "lon_deg": str(place["lon_deg"])})

    assert abs(back["km"] - 12.5) < 1e-3
    assert back["offset_m"] < 1.0
    with pytest.raises(LongdryError, match=r"from 0 to 19\.6"):
        where(desk, {"km": "20"})


def test_a_layer_is_looked_at_and_tried_before_it_is_written(small):
    """Columns with examples and what they tell; the try changes nothing; then both are there."""
    (small / "theirs.csv").write_text(
        "NAME,Y,X,sort\nOne,-28.02,-13.95,mill\nTwo,-28.03,-13.85,mill\n"
    )
    desk = Desk(small)
    desk.pin_choice()
    columns = {one["name"]: one for one in look(desk, {"file": "theirs.csv"})["columns"]}
    wish = {"file": "theirs.csv",
            "mapping": {"fields": {"name": "NAME", "kind": "sort"}, "kinds": {"mill": "bore"},
                        "own": True}}  # fmt: skip
    tried = bring(desk, {**wish, "dry_run": True})
    before = (small / "water.geojson").read_text()
    told = bring(desk, wish)
    kinds = {one.name: one.kind for one in read_book(small / "water.geojson").sources}

    assert columns["sort"]["examples"] == ["mill"]
    assert columns["NAME"]["taken_as"] == "name"
    assert before == BOOK
    assert tried["changes"] == 2
    assert any("2 new" in note for note in told["notes"])
    assert kinds == {"Tap": "tap", "One": "bore", "Two": "bore"}


def test_what_is_in_the_book_is_read_from_there_alone(small):
    """A layer of the plan that was brought could not be corrected while it is read beside it."""
    desk = Desk(small)
    desk.pin_choice()
    (small / "theirs.csv").write_text("name,lat,lon\nOne,-28.02,-13.95\n")
    plan_txt = small / "plan.txt"
    plan_txt.write_text(plan_txt.read_text() + "--water=theirs.csv\n")

    told = bring(desk, {"file": "theirs.csv", "mapping": {}})

    assert told["notes"][-1].startswith("The plan reads water.geojson in place of theirs.csv")
    assert "--water=water.geojson" in plan_txt.read_text().splitlines()
    assert "theirs.csv" not in plan_txt.read_text()


def test_a_table_of_unknown_columns_is_brought_once_somebody_names_them(small):
    """Nothing is guessed of where its places are: the two columns can be named from lists."""
    (small / "t.csv").write_text("site;north;east\nHut;-28.02;-13.95\n")
    desk = Desk(small)
    desk.pin_choice()
    seen = look(desk, {"file": "t.csv"})
    fields = {"name": "site", "lat": "north", "lon": "east"}
    bring(desk, {"file": "t.csv", "mapping": {"fields": fields}})
    found = {one.name: one.lat_deg for one in read_book(small / "water.geojson").sources}

    assert {"lat", "lon"} <= {one["name"] for one in seen["our"]}
    assert [one["taken_as"] for one in seen["columns"]] == ["name", None, None]
    assert found["Hut"] == -28.02


def test_what_a_tally_tells_is_offered_and_taken_one_by_one(small):
    """A visit and a new source; what is taken is offered no more, and the numbers stay."""
    lines = (
        {"at": "2026-05-06T14:00", "km": 9.8, "took_l": 4, "source": "Tap"},
        {"at": "2026-05-06T18:00", "found": "low",
         "new_source": {"name": "Seep", "lat": -28.05, "lon": -13.85}},
    )  # fmt: skip
    (small / "t.tally.json").write_text("".join(json.dumps(line) + "\n" for line in lines))
    desk = Desk(small)
    offers = look_after(desk, {"file": "t.tally.json"})["offers"]
    left = take(desk, {"file": "t.tally.json", "number": 1})["offers"]

    assert [(one["number"], one["kind"]) for one in offers] == [(1, "visit"), (2, "new source")]
    assert [one["number"] for one in left] == [2]
    assert take(desk, {"file": "t.tally.json", "number": 2})["offers"] == []
    assert {one.name: len(one.visits) for one in read_book(small / "water.geojson").sources} == {
        "Tap": 1, "Seep": 1,
    }  # fmt: skip


def test_the_newest_job_alone_is_done_and_a_dead_process_is_started_anew(small, jobs):
    """Of two jobs in a row the second is answered; so is one for which the process was killed."""
    desk = Desk(small)
    desk.planner.state()
    first = jobs[-1]
    done = queue.Queue()
    worker = Worker(lambda number, plan: done.put((number, plan)))
    take = jobs_taken_by(worker)
    worker.start()
    try:
        take(first)
        take(dataclasses.replace(first, number=2))
        number, plan = done.get(timeout=LONGEST_WAIT_S)
        worker.process.kill()
        worker.process.wait()
        take(dataclasses.replace(first, number=3))
        again, _ = done.get(timeout=LONGEST_WAIT_S)
    finally:
        worker.end()

    assert (number, again) == (2, 3)
    assert plan.mends == whole_plan(first).mends
    assert done.empty()


KINDS = {
    "a.gpx": (GPX, "route"),
    "b.gpx": ('<gpx><wpt lat="1" lon="2"/></gpx>', "water"),
    "c.gpx": ('<gpx creator="longdry 1"><wpt lat="1" lon="2"/><trk/></gpx>', "other"),
    "d.geojson": (BOOK, "water"),
    "e.geojson": ('{"type": "FeatureCollection", "water_book": {}, "features": []}', "book"),
    "f.geojson": ('{"type":"Feature","geometry":{"type":"LineString"}}', "route"),
    "g.toml": (TRIP, "trip"),
    "h.toml": ('[fields]\ngrade = "q"\n', "fields"),
    "i.csv": ("name,lat,lon\n", "water"),
    "j.csv": ("month,shade_max_c\n", "other"),
    "k.tally.json": ("", "tally"),
    "plan.html": ("", "page"),
    "plan.gpx": (GPX, "route"),
    "plan.geojson": ('{"caution": "A planning aid", "features": [{"type": "Point"}]}', "other"),
    "l.mbtiles": ("", "backdrop"),
    "m.txt": ("words", "other"),
}
KMZ = {"n.kmz": ("Point", "water"), "o.kmz": ("LineString", "route")}


def test_files_are_known_by_what_stands_in_them(tmp_path):
    """A route, water, a book, a trip, columns of others, a tally; our own outputs are none."""
    for name, (text, _) in KINDS.items():
        (tmp_path / name).write_text(text)
    for name, (shape, _) in KMZ.items():
        with zipfile.ZipFile(tmp_path / name, "w") as archive:
            archive.writestr("doc.kml", f"<kml><Placemark><{shape}></{shape}></Placemark></kml>")
    meant = KINDS | KMZ

    assert {name: str(kind_of(tmp_path / name)) for name in meant} == {
        name: kind for name, (_, kind) in meant.items()
    }


def test_nothing_that_the_plan_is_made_from_is_written_over(small):
    """A route that is called what the desk would save its GPX as."""
    (small / "route.gpx").rename(small / "plan.gpx")
    desk = Desk(small)

    with pytest.raises(LongdryError, match=r"plan\.gpx: is what the plan is made from"):
        save(desk, {"kinds": ["gpx"]})
    assert (small / "plan.gpx").read_text() == GPX


def test_a_trip_file_that_is_filled_in_is_planned_with(small):
    """Also where the folder holds another one, so that none is taken by itself."""
    (small / "other.toml").write_text(TRIP)
    desk = Desk(small)
    change = {"section": "party", "key": "people", "value": 4}

    assert desk.planner.state().plan.trip.containers == ()
    change_trip(desk, {"changes": [change]})
    assert desk.planner.state().plan.trip.party.people == 4


def test_a_second_desk_in_a_folder_says_so(small):
    """And leaves the first alone."""
    with sole_right(small), pytest.raises(UsageError, match="another desk works in this folder"):
        run_desk(small, print, browser=False)


def test_a_desk_closed_as_soon_as_it_is_open_says_no_more(small):
    """The process that searches mends is still starting then."""
    with open_desk(small) as desk:
        time.sleep(0.2)  # it loads its libraries
        status = desk.close()
        words, faults = desk.process.stdout.read(), desk.process.stderr.read()
    assert (status, faults) == (0, "")
    assert words.endswith("The desk is closed.\n")


def test_a_desk_from_its_link_to_the_end(small):
    """As a person has it: link, page, plan, a file changed by others, page saved, Ctrl-C."""
    with open_desk(small) as desk:
        folder = desk.get("/api/folder").json
        plan = desk.get("/api/plan").json
        (small / "trip.toml").write_text(TRIP.replace("people = 2", "people = 3"))
        seen = desk.get("/api/folder").json
        newer = desk.get("/api/plan").json
        while not (whole := desk.get(f"/api/plan/mends?number={newer['number']}").json).get("html"):
            time.sleep(0.1)
        saved = desk.post("/api/save", kinds=["page", "json"]).json
        page = desk.get("/out/page")
        with desk.unfinished_upload():
            while not list(small.glob(".slow.csv.*")):
                time.sleep(0.01)
            status = desk.close()
        words, faults = desk.process.stdout.read(), desk.process.stderr.read()

    changed = {
        name for name in folder["versions"] if folder["versions"][name] != seen["versions"][name]
    }
    assert changed == {"trip.toml"}
    assert plan["number"] + 1 == newer["number"]
    assert "3 people" in newer["html"]["head"]
    assert whole["ready"] == {"plan": True, "mends": True}
    assert saved["written"] == ["plan.html", "plan.json"]
    assert page.content == (small / "plan.html").read_bytes()
    assert page.headers["content-security-policy"].startswith("frame-ancestors 'none'")
    assert status == 0
    assert words.endswith("The desk is closed.\n")
    assert faults == ""
    assert not list(small.glob(".slow.csv.*"))
