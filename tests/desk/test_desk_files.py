"""What the desk does to files: changed as wished, whole at any moment, taken back."""

from __future__ import annotations

import difflib
import json
import os
import random
import shutil
import signal
import time
import tomllib
from pathlib import Path

import pytest
from how_many import proof
from project_places import SAMPLES

from longdry.desk import undo
from longdry.desk.choice import choice_of, plan_parser
from longdry.desk.desk import Desk
from longdry.desk.folder import NO_FILE, Folder, version_of
from longdry.desk.refusals import LongdryError, RefusedError
from longdry.desk.trip_form import change_trip, trip_json
from longdry.desk.trip_text import change_from, changed_trip_text
from longdry.desk.water_changes import correct, mark, move, retire, visit
from longdry.doing.plan_file import changed_plan_text, words_in
from longdry.model.trip_file.key import Kind
from longdry.model.trip_file.keys import SECTIONS
from longdry.model.words import Travel
from longdry.reading.book.book_file import read_book
from longdry.reading.trip.trip_file import read_trip
from longdry.showing.exports.new_trip import new_trip_text

SEED = 20270503


@pytest.fixture
def folder(tmp_path):
    shutil.copytree(SAMPLES / "saltbush_loop", tmp_path / "trip")
    return tmp_path / "trip"


def pace(value, version=None):
    return {
        "changes": [{"section": "pace", "key": "speed_kmh", "value": value}],
        "version": version,
    }


def comments_of(text: str) -> list[str]:
    return [line.partition("#")[2] for line in text.splitlines() if "#" in line]


def test_nothing_is_written_as_long_as_nothing_is_changed(folder):
    """Folder, plan, form and table are read; no file, lock or copy appears."""
    before = sorted(path.name for path in folder.iterdir())
    desk = Desk(folder)
    desk.folder_json()
    trip_json(desk)
    desk.planner.choice()

    assert sorted(path.name for path in folder.iterdir()) == before


def test_a_folder_without_plan_txt_is_planned_with_what_lies_in_it(folder):
    """The one route, all water layers and the one trip file are taken, and told."""
    choice = choice_of(Folder(folder))

    assert choice.words == (
        "route.gpx", "--water=more_water.csv", "--water=water.geojson", "--trip=trip.toml",
    )  # fmt: skip
    assert "route.gpx, more_water.csv, water.geojson, trip.toml" in choice.told[0]


def test_of_two_routes_none_is_taken_by_itself(folder):
    """Which of them is travelled only the party knows."""
    shutil.copy(folder / "route.gpx", folder / "other.gpx")

    assert choice_of(Folder(folder)).options is None


def test_the_chosen_one_of_two_routes_comes_with_what_lies_there(folder):
    """Whoever taps a route has not said that there is no water and nobody goes."""
    shutil.copy(folder / "route.gpx", folder / "other.gpx")
    desk = Desk(folder)
    desk.choose({"route": "other.gpx", "tracks": [], "version": NO_FILE})

    assert desk.planner.choice().words == (
        "other.gpx", "--water=more_water.csv", "--water=water.geojson", "--trip=trip.toml",
    )  # fmt: skip


@pytest.mark.parametrize("name", [b"<b>x.gpx", "\u202exof.gpx".encode(), b"\xff.gpx"])
def test_a_file_of_a_strange_name_is_left_out_and_told(folder, name):
    """It blocks nothing: the rest of the folder is planned."""
    shutil.copy(folder / "route.gpx", os.fsencode(folder) + b"/" + name)
    desk = Desk(folder)
    told = desk.folder_json()
    json.dumps(told, ensure_ascii=False).encode()

    assert told["choice"]["route"] == "route.gpx"
    (left_out,) = told["left_out"]
    assert left_out.startswith("Left out: ")
    assert left_out.endswith("rename it.")


def test_remarks_and_other_arguments_of_plan_txt_stay_in_their_places():
    """Route, layers and trip are written anew; what else the user wrote is left alone."""
    old = "# ours\nold.gpx\n--count-on=certain\n\n--water\nold.csv\n# end\n--units\nus\n"
    new = changed_plan_text(
        old, plan_parser(), route="new.gpx",
        options={"--water": ["a.csv", "b.geojson"], "--reverse": True, "--track": []},
    )  # fmt: skip

    assert new == (
        "# ours\nnew.gpx\n--water=a.csv\n--water=b.geojson\n--reverse\n"
        "--count-on=certain\n\n# end\n--units\nus\n"
    )


@pytest.mark.parametrize("name", ["#1 north.gpx", "-x.gpx", "a=b.gpx", "@home.gpx", "süd 2.gpx"])
def test_a_route_of_any_name_is_a_route(folder, name):
    """Whether plan.txt says so or nothing does."""
    (folder / "route.gpx").rename(folder / name)
    desk = Desk(folder)
    by_itself = desk.folder_json()["choice"]["route"]
    chosen = desk.choose({"reverse": True})["choice"]["route"]

    assert (by_itself, chosen) == (name, name)


def test_plan_txt_says_what_was_chosen(folder):
    """The choice written is the choice read, and a stale one is refused."""
    desk = Desk(folder)
    told = desk.choose(
        {"tracks": ["#1"], "reverse": True, "water": ["water.geojson"], "version": ""}
    )
    choice = told["choice"]

    assert (choice["tracks"], choice["reverse"]) == (["#1"], True)
    assert (choice["water"], choice["trip"]) == (["water.geojson"], "trip.toml")
    assert words_in((folder / "plan.txt").read_text())[0] == "route.gpx"
    with pytest.raises(RefusedError, match="somebody else"):
        desk.choose({"reverse": False, "version": "another"})


def test_comments_and_order_of_a_trip_file_stay(folder):
    """A value, a key, a table more and a table less: every other line is as it was."""
    desk = Desk(folder)
    old = (folder / "trip.toml").read_text()
    change_trip(desk, pace("28", version_of(old.encode())))
    wishes = [
        {"section": "policy", "key": "help_days", "value": 2},
        {"section": "container", "add": True, "values": {"name": "spare", "rated_l": "5"}},
        {"section": "use", "number": 2, "remove": True},
    ]
    change_trip(desk, {"changes": wishes})
    new = (folder / "trip.toml").read_text()
    data = tomllib.loads(new)

    assert comments_of(new) == comments_of(old)
    assert data["pace"]["speed_kmh"] == 28
    assert data["policy"]["help_days"] == 2
    assert [one["name"] for one in data["container"]] == ["jerrycan", "bladder", "spare"]
    assert [one["name"] for one in data["use"]] == ["drinking", "washing up", "evening wash"]
    told = difflib.ndiff(old.splitlines(), new.splitlines())
    others = sorted(line for line in told if line[0] in "-+" and line[1:].strip())
    assert others == sorted([
        "- [[use]]", '- name = "cooking"', "- litres = 1.6", '- grade = "potable"',
        '- per = "party-day"', '- kept = "lean"', "- speed_kmh = 30.0", "+ speed_kmh = 28",
        "+ [[container]]", '+ name = "spare"', "+ rated_l = 5", "+ help_days = 2",
    ])  # fmt: skip


def test_every_key_of_the_table_of_trip_keys_can_be_set_and_taken_out():
    """The sample of each key goes in by the form's own way and comes out as TOML reads it."""
    for section in SECTIONS:
        for key in section.keys:
            value = list(key.sample) if key.kind is Kind.TEXTS else key.sample
            place = {"section": section.name}
            wish = {**place, "key": key.name, "value": value, "number": 1 if section.many else None}
            first = [{**place, "add": True, "values": {}}] if section.many else []
            text = changed_trip_text("", [change_from(one) for one in (*first, wish)])
            data = tomllib.loads(text)
            table = data[section.name] if section.name else data
            table = table[0] if section.many else table
            written = table[key.name]

            assert written == value or str(written).replace(" ", "T")[: len(str(value))] == value
            gone = changed_trip_text(text, [change_from({**wish, "value": None})])
            assert key.name not in str(tomllib.loads(gone).get(section.name, {}))


def test_a_new_table_stands_apart_and_old_ones_as_they_stood():
    """A blank line before what the desk adds, wherever that goes; none where the user had none."""
    old = "depart = 2027-05-03\n[[camp]]\nkm = 3.0\n[pace]\nspeed_kmh = 4\n"
    wishes = [
        {"section": "camp", "add": True, "values": {"km": "5"}},
        {"section": "heat", "key": "shade_max_c", "value": "40"},
    ]

    new = changed_trip_text(old, [change_from(one) for one in wishes])

    assert new == (
        "depart = 2027-05-03\n[[camp]]\nkm = 3.0\n\n[[camp]]\nkm = 5\n\n[pace]\nspeed_kmh = 4\n"
        "\n[heat]\nshade_max_c = 40\n"
    )


def test_a_wrong_value_is_told_at_its_field_and_not_written(folder):
    """The sentence is the reader's own."""
    desk = Desk(folder)
    before = (folder / "trip.toml").read_bytes()
    with pytest.raises(LongdryError) as refused:
        change_trip(desk, pace("4,5 km"))
    fault = refused.value.faults[0]

    assert (fault["section"], fault["key"]) == ("pace", "speed_kmh")
    assert '"4,5 km" is text, not a number; write speed_kmh as a bare number' in fault["sentence"]
    assert (folder / "trip.toml").read_bytes() == before


def test_blanks_of_a_new_trip_file_are_filled_in_one_by_one(tmp_path):
    """What is still blank elsewhere does not keep a value from being written."""
    (tmp_path / "trip.toml").write_text(new_trip_text(Travel.FOOT))
    desk = Desk(tmp_path)
    wrong = len(trip_json(desk)["faults"])
    told = change_trip(desk, {"changes": [{"section": "party", "key": "people", "value": "3"}]})

    assert wrong > 5
    assert len(told["faults"]) == wrong - 1


def test_a_book_changed_at_the_desk_is_a_book_that_the_commands_read(folder):
    """Marked, moved, corrected, visited, retired; each taken back by one leaves the first bytes."""
    desk = Desk(folder)
    first = (folder / "water.geojson").read_bytes()
    new = {"lat_deg": -28.0, "lon_deg": -13.0, "properties": {"name": "Gum", "grade": "potable"}}
    mark(desk, new)
    move(desk, {"id": "vh-01", "lat_deg": -27.9, "lon_deg": -13.6})
    correct(desk, {"id": "vh-01", "properties": {"months": "4-9", "note": None}})
    visit(desk, {"id": "vh-01", "on": "2026-05-01", "found": "low", "litres": "12"})
    retire(desk, {"id": "vh-02", "why": "casing collapsed"})
    by_id = {one.id: one for one in read_book(folder / "water.geojson").sources}

    assert by_id["gum"].grade == "potable"
    assert (by_id["vh-01"].lat_deg, by_id["vh-01"].lon_deg) == (-27.9, -13.6)
    assert by_id["vh-01"].months == frozenset(range(4, 10))
    assert by_id["vh-01"].note == ""
    assert by_id["vh-01"].visits[0].litres == 12.0
    assert by_id["vh-02"].retired == "casing collapsed"
    for _ in range(5):
        desk.take_back_by_one({"file": "water.geojson"})
    assert (folder / "water.geojson").read_bytes() == first


def test_a_source_beside_another_is_asked_about(folder):
    """Within 150 m it may be the same water; ``anyway`` marks it all the same."""
    desk = Desk(folder)
    known = read_book(folder / "water.geojson").sources[0]
    wish = {"lat_deg": known.lat_deg, "lon_deg": known.lon_deg + 0.001, "properties": {"name": "B"}}
    with pytest.raises(RefusedError) as refused:
        mark(desk, wish)

    assert refused.value.fault.where == "anyway"
    assert "Ninemile Tank" in str(refused.value)
    assert mark(desk, {**wish, "anyway": True})["notes"][0].startswith("Marked")


def test_only_the_last_states_of_a_file_are_kept(folder, monkeypatch):
    """Fifty of them, here five: so many changes can be taken back; the copies are plain files."""
    assert undo.MOST_KEPT == 50
    monkeypatch.setattr(undo, "MOST_KEPT", 5)
    desk = Desk(folder)
    for number in range(8):
        desk.write("notes.txt", f"state {number}", None)
    copies = sorted((folder / ".longdry" / "notes.txt").iterdir())

    assert [copy.read_text() for copy in copies] == [f"state {number}" for number in range(2, 7)]
    for number in range(6, 1, -1):
        desk.take_back_by_one({"file": "notes.txt"})
        assert (folder / "notes.txt").read_text() == f"state {number}"
    with pytest.raises(RefusedError, match="nothing to take back"):
        desk.take_back_by_one({"file": "notes.txt"})


def test_a_file_that_was_not_there_is_gone_when_its_making_is_taken_back(folder):
    """Undo of the first state."""
    desk = Desk(folder)
    desk.write("notes.txt", "new", NO_FILE)
    desk.take_back_by_one({"file": "notes.txt"})

    assert not (folder / "notes.txt").exists()


def test_what_somebody_else_wrote_since_is_never_taken_back(folder):
    """Undo is refused, the file stands, and the copies too."""
    desk = Desk(folder)
    change_trip(desk, pace(28))
    theirs = (folder / "trip.toml").read_text() + "# theirs\n"
    (folder / "trip.toml").write_text(theirs)
    with pytest.raises(RefusedError, match="somebody else"):
        desk.take_back_by_one({"file": "trip.toml"})

    assert (folder / "trip.toml").read_text() == theirs
    assert desk.undo.counts() == {"trip.toml": 1}


def writing_until_killed(folder: Path, confirmed: int) -> None:
    """Change pace and book again and again, and tell each change once it is made."""
    desk = Desk(folder)
    number = 0
    while True:
        number += 1
        change_trip(desk, pace(number))
        os.write(confirmed, f"pace {number}\n".encode())
        moved = {"id": "vh-01", "lat_deg": -27.0 - number / 1000.0, "lon_deg": -13.6}
        move(desk, moved)
        os.write(confirmed, f"move {number}\n".encode())
        desk.take_back_by_one({"file": "water.geojson"})
        os.write(confirmed, f"back {number}\n".encode())


@proof(200)
def test_a_kill_at_any_moment_leaves_each_file_whole(folder, cases):
    """Trip and book are those of before or after the change under way, and undo still works."""
    dice = random.Random(SEED)
    moments = {number: dice.uniform(0.0, 0.25) for number in range(200)}
    first = read_book(folder / "water.geojson").sources[0]
    for number in cases:
        reads, writes = os.pipe()
        child = os.fork()
        if child == 0:
            try:
                writing_until_killed(folder, writes)
            finally:
                os._exit(1)
        os.close(writes)
        with os.fdopen(reads) as confirmed:
            begun = confirmed.readline()
            time.sleep(moments[number])
            os.kill(child, signal.SIGKILL)
            told = [begun, *confirmed]
        os.waitpid(child, 0)
        done = [int(line.split()[1]) for line in told if line.startswith("pace")][-1]

        speed_kmh = read_trip(folder / "trip.toml").pace.speed_kmh
        assert speed_kmh in (done, done + 1)
        tank = read_book(folder / "water.geojson").sources[0]
        moved = [-27.0 - step / 1000.0 for step in (done, done + 1)]
        assert any(abs(tank.lat_deg - lat) < 1e-9 for lat in (first.lat_deg, *moved))
        desk = Desk(folder)
        desk.take_back_by_one({"file": "trip.toml"})
        assert read_trip(folder / "trip.toml").pace.speed_kmh == max(1, speed_kmh - 1) or done == 1
        desk.write("trip.toml", (SAMPLES / "saltbush_loop" / "trip.toml").read_bytes(), None)
        desk.write(
            "water.geojson", (SAMPLES / "saltbush_loop" / "water.geojson").read_bytes(), None
        )
    assert not list(folder.glob(".*.coming"))
