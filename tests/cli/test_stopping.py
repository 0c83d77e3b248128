"""However a command ends, it says so in one sentence and leaves whole files.

Exit 130 is 128 + SIGINT, as POSIX.1-2017 shells report it; /dev/full is Linux's own full disk.
"""

from __future__ import annotations

import itertools
import json
import os
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest
from how_many import proof
from patience import LONGEST_WAIT_S
from small_files import ROUTE, WATER

from longdry.cli.main import command_parser, main
from longdry.doing.plan_outputs import check_outputs
from longdry.errors import StorageError

LONGDRY = (sys.executable, "-m", "longdry")
_WRAPPED = """
import sys
from longdry.cli import main as door

def listening():
    usual()
    print("begun", file=sys.stderr, flush=True)
    sys.stdin.readline()

usual, door.print_whatever_it_can = door.print_whatever_it_can, listening
sys.exit(door.main())
"""
BEGUN = (sys.executable, "-c", _WRAPPED)
"""The same command, telling when it listens for keys: before that no program hears one.

It then waits for a line, or for the end of what comes in.
"""


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "route.gpx").write_text(ROUTE)
    (tmp_path / "water.csv").write_text(WATER)
    return tmp_path


def plan_words(folder, *more):
    return ("plan", f"{folder}/route.gpx", "--water", f"{folder}/water.csv", *map(str, more))


def ended(*words, out=subprocess.PIPE, **environment):
    return subprocess.run(
        [*LONGDRY, *words],
        check=False,
        stdout=out,
        stderr=subprocess.PIPE,
        text=True,
        env=os.environ | environment,
    )


def ended_here(*words):
    """Run a command in this process and return its status."""
    try:
        return main(words)
    except SystemExit as ending:
        return ending.code


@pytest.mark.parametrize(
    ("words", "unbuffered"),
    [
        (("plan",), ""),
        (("plan",), "1"),
        (("--help",), ""),
        (("--version",), "1"),
        (("trip-schema",), ""),
    ],
)
def test_full_standard_output_is_one_sentence(folder, words, unbuffered):
    """ENOSPC on standard output: exit 2 and one sentence, buffered by Python or not."""
    words = plan_words(folder) if words == ("plan",) else words
    with Path("/dev/full").open("w") as full:
        told = ended(*words, out=full, PYTHONUNBUFFERED=unbuffered)

    assert told.returncode == 2
    assert told.stderr.startswith("longdry: printing failed: No space left on device; ")
    assert told.stderr.count("\n") == 1


@pytest.mark.parametrize(
    ("redirected", "route", "status"),
    [
        (">&-", "route.gpx", 0),
        ("2>&-", "route.gpx", 0),
        ("2>/dev/full", "route.gpx", 0),
        ("| head -n 1", "route.gpx", 0),
        ("2>&-", "nothing.gpx", 2),
        ("2>/dev/full", "nothing.gpx", 2),
    ],
)
def test_closed_or_full_streams_change_no_status(folder, redirected, route, status):
    """Whatever the shell has done to the streams, the status is that of the work."""
    words = " ".join([*LONGDRY, *plan_words(folder)]).replace("route.gpx", route)
    told = subprocess.run(
        ["bash", "-c", f"{words} {redirected}; exit ${{PIPESTATUS[0]}}"],
        check=False, capture_output=True, text=True,
    )  # fmt: skip

    assert told.returncode == status
    assert "Traceback" not in told.stderr


@pytest.mark.parametrize(
    ("place", "why"),
    [
        ("", "an empty name names no file"),
        ("{folder}", "it is a folder"),
        ("{folder}/none/plan.json", "there is no folder"),
        ("{folder}/water.csv/plan.json", "is not a folder"),
        ("/dev/full", "the disk is full"),
        ("/proc/plan.json", ""),
    ],
)
def test_place_that_cannot_be_written_is_one_sentence(folder, capsys, place, why):
    """Exit 2, one sentence, and neither that file nor the other one is written."""
    before = sorted(folder.iterdir())
    place = place.format(folder=folder)
    words = plan_words(folder, "--out", folder / "plan.html", "--json", place)
    status, told = ended_here(*words, "--trials", "0"), capsys.readouterr()

    assert status == 2
    assert told.out == ""
    assert told.err.count("\n") == 1
    assert why in told.err
    assert sorted(folder.iterdir()) == before or place in {"/dev/full", "/proc/plan.json"}
    assert [path for path in folder.iterdir() if "unfinished" in path.name] == []


def test_read_only_folder_is_told_before_the_work(folder, read_only_folder):
    """A folder in which nothing can be made: one sentence before anything is read."""
    words = plan_words(folder, "--json", read_only_folder / "book.geojson")
    options = command_parser("plan").parse_args(words[1:])

    with pytest.raises(StorageError, match=r"read-only for you; .* \(the old file stands"):
        check_outputs(options)


def stopped_after(seconds, words, *, by=signal.SIGINT):
    """Run a command, press Ctrl-C so long after it listens; return status and words.

    At 0 s it is held until the key has come, so that it surely hears it.
    """
    process = subprocess.Popen(
        [*BEGUN, *words], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        start_new_session=True, stdin=subprocess.DEVNULL if seconds else subprocess.PIPE,
    )  # fmt: skip
    assert process.stderr.readline() == "begun\n"
    time.sleep(seconds)
    process.send_signal(by)
    _, told = process.communicate(timeout=LONGEST_WAIT_S)
    return process.returncode, told


def seconds_of(words):
    """Run a command to its end, and time it."""
    begin = time.perf_counter()
    assert ended(*words).returncode == 0
    return time.perf_counter() - begin


def moments(cases, takes_s):
    """Give moments from the begin of a command to its end, in seconds; the first is its begin."""
    return [takes_s * number / cases.stop for number in cases]


@proof(96)
def test_ctrl_c_at_any_moment_leaves_whole_files(folder, cases):
    """Stopped at random moments: 130 and one sentence, or done; the old file or the new one."""
    out = folder / "plan.json"
    words = plan_words(folder, "--json", out)
    takes_s = seconds_of(words)
    whole, old = out.read_text(), "old\n"
    statuses = set()
    for seconds in moments(cases, takes_s):
        out.write_text(old)
        status, told = stopped_after(seconds, words)
        statuses.add(status)
        assert (status, told) in {
            (0, ""),
            (130, "longdry: interrupted; nothing was left half-written.\n"),
        }
        assert out.read_text() in {old, whole}
        assert status != 0 or out.read_text() == whole
        assert [path.name for path in folder.iterdir() if "unfinished" in path.name] == []
    assert 130 in statuses


def test_two_runs_that_write_one_file_leave_one_of_the_two(folder):
    """Plans of different routes written to one place at once: whole JSON of one of them."""
    (folder / "other.gpx").write_text(ROUTE.replace("<name>R<", "<name>Other<"))
    out = folder / "plan.json"
    routes = itertools.cycle(["route.gpx", "other.gpx"])
    runs = []
    for _, route in zip(range(2), routes, strict=False):
        words = plan_words(folder, "--json", out)
        words = [word.replace("route.gpx", route) for word in words]
        runs.append(threading.Thread(target=ended, args=words))
    for run in runs:
        run.start()
    for run in runs:
        run.join()

    assert json.loads(out.read_text())["route"]["name"] in {"R", "Other"}
    assert sorted(path.name for path in folder.iterdir()) == [
        "other.gpx", "plan.json", "route.gpx", "water.csv",
    ]  # fmt: skip


@proof(48)
def test_a_polite_kill_leaves_whole_files_and_no_others(folder, cases):
    """SIGTERM ends a command as Ctrl-C does, with 143 (128 + SIGTERM) and nothing unfinished."""
    out = folder / "plan.json"
    words = plan_words(folder, "--json", out)
    takes_s = seconds_of(words)
    whole, old = out.read_text(), "old\n"
    before = sorted(folder.iterdir())
    stopped = (143, "longdry: interrupted; nothing was left half-written.\n")
    for seconds in moments(cases, takes_s):
        out.write_text(old)
        told = stopped_after(seconds, words, by=signal.SIGTERM)
        assert told in {(0, ""), stopped}
        assert out.read_text() in {whole, old}
        assert sorted(folder.iterdir()) == before


@pytest.mark.parametrize(
    "words", [["new-trip", "foot", "t.toml"], ["tally", "x.tally.json"], ["plan", "route.gpx"]]
)
def test_a_folder_that_is_gone_is_told_in_one_sentence(tmp_path, monkeypatch, capfd, words):
    """A terminal may still stand in a folder that was taken away: POSIX.1-2017, rmdir."""
    monkeypatch.chdir(tmp_path)
    tmp_path.rmdir()

    assert main(words) == 2
    assert capfd.readouterr().err == (
        "longdry: the folder that you are in is no longer there; go into one that is, and ask "
        "again.\n"
    )
