"""Whatever writes a file: on a full disk, in a read-only folder, at Ctrl-C, the old files stand.

The system calls that can fail are those of POSIX.1-2017: ENOSPC from fsync, EFBIG from write at a
real limit of the kernel, EACCES from open; exit 130 is 128 + SIGINT, as its shells report it.
"""

from __future__ import annotations

import csv
import errno
import io
import os
import pwd
import resource
import shutil
import tempfile
from pathlib import Path

import pyogrio
import pytest
from row import BOOK, TALLY, USUAL, ended_in

from longdry import storage
from longdry.desk.desk import Desk
from longdry.desk.server import CHANGES
from longdry.errors import StorageError

PLAN = ("plan", "route.gpx", "--water", "water.csv", "--trip", "trip.toml", "--trials", "0")
COMPARE = ("compare", "route.gpx", "--water", "water.csv", "--workers", "1")
OUT = "out/"
WRITERS = {
    "plan": (
        *PLAN, "--out", "out/p.html", "--json", "out/p.json", "--gpx-out", "out/p.gpx",
        "--geojson-out", "out/p.geojson", "--csv-out", "out/a.csv", "--csv-stops-out", "out/b.csv",
        "--csv-fills-out", "out/c.csv", "--csv-days-out", "out/d.csv"),
    "compare": (
        *COMPARE, "--out", "out/c.html", "--json", "out/c.json", "--csv", "out/e.csv",
        "--gpkg-out", "out/c.gpkg"),
    "plans of compare": (*COMPARE, "--plans", "out"),
    "tally": (
        "tally", "out/t.tally.json", "--km", "12", "--at", "2027-05-03T18:00", "--left", "10"),
    "mark": ("mark", "out/b.geojson", "--name", "New Bore", "--at", "-25.5,130.5"),
    "visit": ("visit", "out/b.geojson", "w1", "--on", "2025-05-09", "--found", "dry"),
    "retire": ("retire", "out/b.geojson", "w1", "--why", "gone"),
    "bring": ("bring", "out/b.geojson", "theirs.csv"),
    "propose": ("bring", "out/b.geojson", "theirs.csv", "--propose-fields", "out/f.toml"),
    "new-trip": ("new-trip", "foot", "out/new.toml"),
}  # fmt: skip
OLD = {"b.geojson": BOOK, "t.tally.json": TALLY} | dict.fromkeys(
    ("p.html", "p.json", "p.gpx", "p.geojson", "a.csv", "b.csv", "c.csv", "d.csv", "e.csv",
     "c.html", "c.json", "c.gpkg"), "old"
)  # fmt: skip


@pytest.fixture(scope="module")
def home():
    """Make a folder that everybody may read, with what is read and a folder to write to."""
    folder = Path(tempfile.mkdtemp())
    folder.chmod(0o755)
    for name, text in USUAL.items():
        (folder / name).write_text(text)
    (folder / "out").mkdir()
    yield folder
    shutil.rmtree(folder)


def put_old(home):
    """Put the old files, and nothing else, where is written to."""
    for path in (home / "out").iterdir():
        path.unlink()
    for name, text in OLD.items():
        (home / "out" / name).write_text(text)


def contents(home):
    """Return what stands where is written to; locks are no content."""
    files = (home / "out").iterdir()
    return {path.name: path.read_bytes() for path in files if path.suffix != ".lock"}


def raising(problem):
    def raises(_descriptor):
        raise problem

    return raises


@pytest.fixture(params=WRITERS)
def writer(home, request):
    """Give the words of a writer that has written once, so that it can, and all is loaded."""
    put_old(home)
    before = contents(home)
    status, _, err = ended_in(home, WRITERS[request.param])
    assert (status, err) == (0, "")
    assert contents(home) != before
    put_old(home)
    return WRITERS[request.param]


def test_a_writer_leaves_the_old_files(home, writer, monkeypatch):
    """A full disk, a real limit half-way, a read-only folder, Ctrl-C: one sentence, nothing new."""
    before = contents(home)

    with monkeypatch.context() as patch:
        patch.setattr(storage.os, "fsync", raising(OSError(errno.ENOSPC, "No space left")))
        status, out, err = ended_in(home, writer)
    assert (status, out, err.count("\n")) == (2, "", 1)
    assert "was not written: the disk is full; make room on it" in err
    assert contents(home) == before

    with monkeypatch.context() as patch:
        patch.setattr(storage.os, "fsync", raising(KeyboardInterrupt()))
        status, out, err = ended_in(home, writer)
    assert (status, out) == (130, "")
    assert err == "longdry: interrupted; nothing was left half-written.\n"
    assert contents(home) == before

    limits = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (60, limits[1]))
    try:
        status, out, err = ended_in(home, writer)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, limits)
    assert (status, out, err.count("\n")) == (2, "", 1)
    assert "was not written: it is larger than is allowed here" in err
    assert contents(home) == before


def test_a_writer_in_a_read_only_folder_says_so(home, writer, monkeypatch):
    """Nobody may make a file there: one sentence, and nothing is written."""
    monkeypatch.chdir(home)  # whoever is nobody may not come back into a home of root's
    for lock in (home / "out").glob(".*.lock"):
        lock.unlink()
    before = contents(home)
    (home / "out").chmod(0o555)
    was_root = os.geteuid() == 0
    if was_root:
        os.seteuid(pwd.getpwnam("nobody").pw_uid)
    try:
        status, out, err = ended_in(home, writer)
    finally:
        if was_root:
            os.seteuid(0)
        (home / "out").chmod(0o755)

    assert (status, out, err.count("\n")) == (2, "", 1)
    assert "is read-only for you; name another folder, or have its permissions changed" in err
    assert contents(home) == before


DESK_WISHES = {
    "trip": {"changes": [{"section": "party", "key": "people", "value": 3}]},
    "water/mark": {"lat_deg": -25.5, "lon_deg": 130.5, "properties": {"name": "New Bore"}},
    "water/retire": {"id": "w1", "why": "gone"},
    "water/bring": {"file": "theirs.csv"},
    "choice": {"reverse": True},
}


@pytest.mark.parametrize("name", [*DESK_WISHES, "save"])
def test_the_desk_on_a_full_disk_leaves_the_old_files_and_no_copies(tmp_path, monkeypatch, name):
    """What cannot be written is told; no copy for undo is left that would fill the disk more."""
    for file in ("route.gpx", "trip.toml", "theirs.csv"):
        (tmp_path / file).write_text(USUAL[file])
    (tmp_path / "book.geojson").write_text(BOOK)
    desk = Desk(tmp_path)

    def act():
        if name == "save":
            desk.write_all({"plan.json": "new", "plan.gpx": "new"}, None)
        else:
            CHANGES[name](desk, DESK_WISHES[name])

    def files():
        plain = (path for path in tmp_path.rglob("*") if path.is_file() and path.suffix != ".lock")
        return {path: path.read_bytes() for path in plain}

    before = files()

    def full_but_for_copies(descriptor):
        if "/.longdry/" not in str(Path(f"/proc/self/fd/{descriptor}").readlink()):
            raise OSError(errno.ENOSPC, "No space left")

    with monkeypatch.context() as patch:
        patch.setattr(storage.os, "fsync", full_but_for_copies)
        with pytest.raises(StorageError, match="the disk is full; make room on it"):
            act()

    assert files() == before
    act()
    assert files() != before


NAMES = {"route": "=cmd()", "source": "a;=1+1", "trip": "@SUM(A1)", "container": "-2+3", "id": "+1"}


@pytest.fixture
def named_like_formulas(home):
    """Put a route, a layer and a trip whose names would be formulas beside the others."""
    (home / "f.gpx").write_text(USUAL["route.gpx"].replace("<name>R<", f"<name>{NAMES['route']}<"))
    (home / "f.csv").write_text(f"id,name,lat,lon,grade\n{NAMES['id']},{NAMES['source']},"
                                "-25,130.1,potable\n")  # fmt: skip
    trip = USUAL["trip.toml"].replace('"can"', f'"{NAMES["container"]}"')
    (home / "f.toml").write_text(f'name = "{NAMES["trip"]}"\n{trip}')
    return ("f.gpx", "--water", "f.csv", "--trip", "f.toml")


def test_names_like_formulas_stay_text_in_tables_and_as_they_are_elsewhere(
    home, named_like_formulas
):
    """No cell, parted by commas or semicolons, begins a formula; other files keep the names."""
    put_old(home)
    plan = (PLAN[0], *named_like_formulas, *WRITERS["plan"][len(PLAN) :])
    compare = (COMPARE[0], *named_like_formulas, *WRITERS["compare"][len(COMPARE) :])
    assert [ended_in(home, words)[0] for words in (plan, compare)] == [0, 0]
    texts = {
        path.name: path.read_text("utf-8-sig")
        for path in (home / "out").iterdir()
        if path.suffix in {".csv", ".json", ".gpx", ".geojson"}
    }

    for table in "abcde":
        for separator in (",", ";"):
            rows = csv.reader(io.StringIO(texts[f"{table}.csv"]), delimiter=separator)
            cells = [cell for row in rows for cell in row]
            assert [cell for cell in cells if cell.lstrip().startswith(("=", "+", "@"))] == []
            assert [cell for cell in cells if cell.startswith("-2+")] == []
    assert "'-2+3" in texts["c.csv"]
    assert "a;'=1+1" in texts["b.csv"]
    for name in ("p.json", "p.geojson", "p.gpx"):
        assert NAMES["source"] in texts[name]
    row = pyogrio.read_dataframe(home / "out" / "c.gpkg").iloc[0].tolist()
    assert {NAMES["route"], NAMES["trip"]} <= {value for value in row if isinstance(value, str)}
