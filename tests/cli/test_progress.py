"""Long work tells how it goes on a terminal, and Ctrl-C leaves nothing half done."""

from __future__ import annotations

import io
import os
import pty
import select
import signal
import sys
import time

import pytest
from gpx_writing import gpx
from patience import LONGEST_WAIT_S

from longdry.cli.progress import Progress

WATER = "id,name,lat,lon,grade\nw1,Well,-25.0,130.01,potable\n"


@pytest.fixture
def terminal():
    master, slave = pty.openpty()
    with os.fdopen(slave, "w") as stream:
        yield stream, master
    os.close(master)


def shown(master: int, wanted: str = "") -> str:
    """Read what the terminal shows by now, and on until the words wanted stand there."""
    text, begun = b"", time.monotonic()
    while select.select([master], [], [], 0.0)[0] or wanted.encode() not in text:
        assert time.monotonic() - begun < LONGEST_WAIT_S, text
        if select.select([master], [], [], 0.1)[0]:
            text += os.read(master, 4096)
    return text.decode()


def screen(text: str) -> str:
    """What stands on the line in the end: each CR writes over what was there."""
    line = ""
    for piece in text.split("\r"):
        line = piece + line[len(piece) :]
    return line.rstrip()


def test_quick_work_is_silent(terminal):
    """Nobody wants a flash of words for what takes a blink."""
    stream, master = terminal
    with Progress(stream, patience_s=LONGEST_WAIT_S) as progress:
        progress.step("planning")

    assert shown(master) == ""


def test_counted_work_tells_how_far_it_is_and_how_long_the_rest_takes(terminal):
    """From the second count on; a new step begins anew."""
    stream, master = terminal
    with Progress(stream, patience_s=0.02) as progress:
        progress.step("planning")
        progress.count(8, 1200, "planning")
        first = shown(master, "longdry: planning 8 of 1,200, ")
        progress.count(1200, 1200, "planning")
        second = shown(master, "longdry: planning 1,200 of 1,200, about 0 s left, ")

    assert "left" not in first
    assert screen(first + second + shown(master)) == ""


def test_long_work_tells_its_step_and_wipes_it(terminal):
    """The step that is under way is named; in the end the line is empty."""
    stream, master = terminal
    with Progress(stream, patience_s=0.02) as progress:
        progress.step("reading the route")
        first = shown(master, "longdry: reading the route, ")
        progress.step("planning")
        second = shown(master, "longdry: planning, ")

    assert "planning" not in first
    assert screen(first + second + shown(master)) == ""


def test_line_is_wiped_when_the_work_fails(terminal):
    """The sentence about the fault begins on a clean line."""
    stream, master = terminal

    def fail() -> None:
        with Progress(stream, patience_s=0.02) as progress:
            progress.step("planning")
            told.append(shown(master, "planning, "))
            raise ValueError("x")

    told: list[str] = []
    with pytest.raises(ValueError, match="x"):
        fail()

    assert screen(told[0] + shown(master)) == ""


def test_nothing_is_told_to_a_file():
    """A log of a script stays free of it."""
    stream = io.StringIO()
    with Progress(stream, patience_s=0.01) as progress:
        progress.step("planning")
        time.sleep(0.05)

    assert stream.getvalue() == ""


def started(folder, *words: str) -> tuple[int, int]:
    """Start ``longdry plan`` on a terminal of its own; return its process and the terminal."""
    command = [sys.executable, "-m", "longdry", "plan", "route.gpx", "--water", "water.csv", *words]
    process, master = pty.fork()
    if process == 0:  # pragma: no cover - another process
        os.chdir(folder)
        os.execv(sys.executable, command)  # noqa: S606 - our own program
    return process, master


def read_until(master: int, wanted: str) -> str:
    text, begun = "", time.monotonic()
    while wanted not in text and time.monotonic() - begun < LONGEST_WAIT_S:
        if select.select([master], [], [], 0.1)[0]:
            try:
                text += os.read(master, 4096).decode()
            except OSError:  # the other end has gone
                return text
    return text


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """Make a route of 1,500,000 points, which takes some seconds to read and plan."""
    made = tmp_path_factory.mktemp("long")
    points = "".join(
        f'<trkpt lat="{-25 + number * 1e-6:.6f}" lon="{130 + number * 1e-6:.6f}"/>'
        for number in range(1_500_000)
    )
    (made / "route.gpx").write_text(gpx(f"<trk><trkseg>{points}</trkseg></trk>"))
    (made / "water.csv").write_text(WATER)
    return made


@pytest.mark.parametrize("later_s", [0.0, 0.6])
def test_ctrl_c_ends_with_one_sentence_and_no_half_file(folder, later_s):
    """Typed on the terminal while a step is shown: exit 130, old page untouched, no rest."""
    (folder / "plan.html").write_text("the old page")
    before = sorted(folder.iterdir())
    process, master = started(folder, "--out", "plan.html")
    text = read_until(master, "longdry: ")
    time.sleep(later_s)
    os.write(master, b"\x03")
    text += read_until(master, "half-written.")
    status = os.waitstatus_to_exitcode(os.waitpid(process, 0)[1])
    os.close(master)
    last = screen(text[text.rindex("longdry: interrupted") :].replace("\r\n", ""))

    assert status == 128 + signal.SIGINT
    assert last == "longdry: interrupted; nothing was left half-written."
    assert "Traceback" not in text
    assert (folder / "plan.html").read_text() == "the old page"
    assert sorted(folder.iterdir()) == before
