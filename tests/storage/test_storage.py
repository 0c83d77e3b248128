"""Whatever happens while writing, the old file or the new one is there, whole.

The system calls that can fail are those of POSIX.1-2017: ENOSPC, EROFS, EACCES, EISDIR, ENOENT,
EFBIG. /dev/full is Linux's own full disk.
"""

from __future__ import annotations

import contextlib
import errno
import gc
import os
import resource
import stat
import subprocess
import sys
import textwrap
from pathlib import Path

import pytest
from patience import LONGEST_WAIT_S

from conftest import NOBODY
from longdry import storage
from longdry.errors import StorageError
from longdry.storage import locked, replace_file


def only_file(folder: Path) -> str:
    (file,) = folder.iterdir()
    return file.name


def test_new_file_is_written_whole(tmp_path):
    """Text is written as UTF-8 and bytes as they are, and nothing stays beside the file."""
    replace_file(tmp_path / "page.html", "Wasserstelle für alle ü")

    assert (tmp_path / "page.html").read_bytes() == "Wasserstelle für alle ü".encode()
    assert only_file(tmp_path) == "page.html"


def test_new_file_has_the_mode_of_the_umask(tmp_path):
    """A new file can be read by whom the umask lets read it."""
    old = os.umask(0o027)
    try:
        replace_file(tmp_path / "page.html", b"x")
    finally:
        os.umask(old)

    assert stat.S_IMODE((tmp_path / "page.html").stat().st_mode) == 0o640


def test_mode_of_an_old_file_is_followed(tmp_path):
    """Who could read the old file can read the new one, and nobody else."""
    page = tmp_path / "page.html"
    page.write_text("old")
    page.chmod(0o604)

    replace_file(page, "new")

    assert stat.S_IMODE(page.stat().st_mode) == 0o604
    assert page.read_text() == "new"


def test_link_is_followed(tmp_path):
    """A link stays a link, and the file that it names is replaced."""
    (tmp_path / "kept").mkdir()
    real = tmp_path / "kept" / "book.geojson"
    real.write_text("old")
    link = tmp_path / "book.geojson"
    link.symlink_to(real)

    replace_file(link, "new")

    assert link.is_symlink()
    assert real.read_text() == "new"


def test_half_a_surrogate_pair_is_written_as_its_json_escape(tmp_path):
    """A lone surrogate (RFC 8259, section 8.2) comes out as the escape that it came in as."""
    replace_file(tmp_path / "book.geojson", '"\ud800"')

    assert (tmp_path / "book.geojson").read_bytes() == rb'"\ud800"'


def test_folder_is_refused(tmp_path):
    """A path that is a folder gets one sentence, and the folder stays as it was."""
    with pytest.raises(StorageError, match=r"it is a folder; name a file in it"):
        replace_file(tmp_path, "x")

    assert list(tmp_path.iterdir()) == []


def test_missing_folder_is_named(tmp_path):
    """A missing parent folder is named in the sentence."""
    with pytest.raises(StorageError, match=r"there is no folder .*trip; make it first"):
        replace_file(tmp_path / "trip" / "page.html", "x")

    assert list(tmp_path.iterdir()) == []


def test_file_as_a_folder_is_named(tmp_path):
    """A file where a folder should be is named in the sentence."""
    (tmp_path / "trip").write_text("x")

    with pytest.raises(StorageError, match=r"trip is not a folder"):
        replace_file(tmp_path / "trip" / "page.html", "x")


def test_links_that_lead_in_a_circle_are_told(tmp_path):
    """A link to itself gets one sentence at both doors, whatever this Python calls it."""
    loop = tmp_path / "loop.geojson"
    loop.symlink_to(loop)

    with pytest.raises(StorageError, match=r"its links lead in a circle; name the file itself"):
        replace_file(loop, "x")
    with pytest.raises(StorageError, match=r"its links lead in a circle"), locked(loop):
        pytest.fail("the lock was given")
    assert loop.is_symlink()


def test_name_too_long_is_told(tmp_path):
    """A name longer than the file system takes gets one sentence."""
    with pytest.raises(StorageError, match="its name is too long"):
        replace_file(tmp_path / ("x" * 300), "x")


def test_read_only_folder_leaves_the_old_file(read_only_folder):
    """A folder that cannot be written to gets one sentence, and the old file stands."""
    with pytest.raises(StorageError, match=r"read-only for you; .* \(the old file stands"):
        replace_file(read_only_folder / "book.geojson", "new")

    assert (read_only_folder / "book.geojson").read_text() == "old"


def test_lock_in_a_read_only_folder_is_refused(read_only_folder):
    """The lock that cannot be made is told like the file that cannot be written."""
    with (
        pytest.raises(StorageError, match="read-only for you"),
        locked(read_only_folder / "book.geojson"),
    ):
        pass

    assert only_file(read_only_folder) == "book.geojson"


def test_write_protected_file_is_refused(read_only_folder):
    """A file that its owner protected is not replaced, even where the folder would allow it."""
    if os.geteuid() == NOBODY:
        os.seteuid(0)
        read_only_folder.chmod(0o777)
        os.seteuid(NOBODY)
    else:
        read_only_folder.chmod(0o755)
        (read_only_folder / "book.geojson").chmod(0o444)

    with pytest.raises(StorageError, match="read-only for you"):
        replace_file(read_only_folder / "book.geojson", "new")

    assert only_file(read_only_folder) == "book.geojson"


def test_real_full_device_is_told():
    """/dev/full of Linux answers every write with ENOSPC: the disk is full, longdry says."""
    with pytest.raises(StorageError, match="the disk is full; make room on it"):
        replace_file("/dev/full", "x")


def test_pipe_is_written_to_directly():
    """A pipe cannot be replaced: it is written to, as a shell would."""
    said = subprocess.run(
        [
            sys.executable,
            "-c",
            "from longdry.storage import replace_file; replace_file('/dev/stdout', 'page')",
        ],
        capture_output=True,
        check=True,
    ).stdout

    assert said == b"page"


@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EDQUOT])
def test_disk_that_fills_up_while_flushing_leaves_the_old_file(tmp_path, monkeypatch, code):
    """A disk that is full only when flushed leaves the old file and nothing beside it."""
    page = tmp_path / "page.html"
    page.write_text("old")

    def full(_):
        raise OSError(code, os.strerror(code))

    monkeypatch.setattr(storage.os, "fsync", full)
    with pytest.raises(StorageError, match=r"the disk is full; .* \(the old file stands"):
        replace_file(page, "new")

    assert page.read_text() == "old"
    assert only_file(tmp_path) == "page.html"


def test_file_larger_than_allowed_leaves_the_old_file(tmp_path):
    """A real limit of the kernel (RLIMIT_FSIZE) met half-way leaves the old file alone."""
    page = tmp_path / "page.html"
    page.write_text("old")
    limits = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (1000, limits[1]))
    try:
        with pytest.raises(StorageError, match="larger than is allowed here"):
            replace_file(page, "x" * 5000)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, limits)

    assert page.read_text() == "old"
    assert only_file(tmp_path) == "page.html"


@pytest.mark.parametrize("moment", ["fsync", "open"])
def test_ctrl_c_leaves_the_old_file(tmp_path, monkeypatch, moment):
    """Ctrl-C while writing leaves the old file and nothing beside it."""
    page = tmp_path / "page.html"
    page.write_text("old")

    def interrupted(*_):
        raise KeyboardInterrupt

    if moment == "fsync":
        monkeypatch.setattr(storage.os, "fsync", interrupted)
    else:
        monkeypatch.setattr(storage.Path, "replace", interrupted)
    with pytest.raises(KeyboardInterrupt):
        replace_file(page, "new")

    assert page.read_text() == "old"
    assert only_file(tmp_path) == "page.html"


def open_descriptors():
    found = set()
    for descriptor in range(100):
        with contextlib.suppress(OSError):
            os.fstat(descriptor)
            found.add(descriptor)
    return found


def interrupted_at(moment, work):
    """Run ``work`` and press Ctrl-C before the given line of the storage module is run."""
    left = moment

    def trace(frame, event, _):
        nonlocal left
        if frame.f_code.co_filename != storage.__file__:
            return None
        if event == "line":
            left -= 1
            if left == 0:
                raise KeyboardInterrupt
        return trace

    old_trace, open_before = sys.gettrace(), open_descriptors()
    gc.freeze()  # what was there before need not be looked through each time
    sys.settrace(trace)
    try:
        work()
    except KeyboardInterrupt:
        return True
    finally:
        sys.settrace(old_trace)
        gc.collect()
        gc.unfreeze()
        for stray in open_descriptors() - open_before:
            os.close(stray)  # as the end of an interrupted process does
    return False


@pytest.mark.filterwarnings(
    # An interrupt between opening a file and the block that closes it leaves it to the collector.
    "ignore::pytest.PytestUnraisableExceptionWarning"
)
def test_ctrl_c_before_any_line_leaves_an_old_or_a_new_file(tmp_path):
    """Interrupted before each line of the writer in turn, the file is always whole."""
    page = tmp_path / "page.html"
    moments = 0
    seen = set()
    while True:
        page.write_text("old")
        moments += 1
        if not interrupted_at(moments, lambda: replace_file(page, "new")):
            break
        seen.add(page.read_text())

    assert moments > 20
    assert seen == {"old", "new"}
    assert page.read_text() == "new"


REPLACER = """
import sys
from longdry.storage import replace_file
for _ in range(100):
    replace_file(sys.argv[1], sys.argv[2] * 200_000)
"""


def test_two_runs_that_write_one_file_never_show_half_of_it(tmp_path):
    """Whoever reads while two runs write the same page finds one page or the other, whole."""
    page = tmp_path / "page.html"
    page.write_text("a" * 200_000)
    runs = [
        subprocess.Popen([sys.executable, "-c", REPLACER, str(page), letter]) for letter in "ab"
    ]
    looks = 0
    while any(run.poll() is None for run in runs):
        assert page.read_text() in {"a" * 200_000, "b" * 200_000}
        looks += 1

    assert [run.returncode for run in runs] == [0, 0]
    assert looks > 10
    assert only_file(tmp_path) == "page.html"


def test_lock_sweeps_what_killed_writers_left(tmp_path):
    """An unfinished file of a killed writer goes with the next change; others' files stay."""
    (tmp_path / ".book.geojson.1a2b3c4d.unfinished").write_text("hal")
    (tmp_path / ".other.geojson.1a2b3c4d.unfinished").write_text("hal")

    with locked(tmp_path / "book.geojson"):
        pass

    assert {file.name for file in tmp_path.iterdir()} == {
        ".book.geojson.lock",
        ".other.geojson.1a2b3c4d.unfinished",
    }


def test_what_goes_wrong_under_the_lock_is_not_taken_for_its_own(tmp_path):
    """An error inside the block comes out as it is."""
    with pytest.raises(FileNotFoundError, match="mine"), locked(tmp_path / "book"):
        raise FileNotFoundError("mine")


COUNTER = textwrap.dedent(
    """
    import sys
    from pathlib import Path
    from longdry.storage import locked, replace_file
    count = Path(sys.argv[1])
    for _ in range(50):
        with locked(count):
            replace_file(count, str(int(count.read_text()) + 1))
    """
)


def test_processes_at_once_follow_each_other(tmp_path):
    """Three processes that count in one file lose no count."""
    count = tmp_path / "count"
    count.write_text("0")
    counters = [subprocess.Popen([sys.executable, "-c", COUNTER, str(count)]) for _ in range(3)]

    assert [counter.wait(timeout=LONGEST_WAIT_S) for counter in counters] == [0, 0, 0]
    assert count.read_text() == "150"


def test_link_into_a_missing_folder_names_that_folder(tmp_path):
    """Where a link leads nowhere, the sentence names the folder that is missing."""
    (tmp_path / "book.geojson").symlink_to(tmp_path / "gone" / "book.geojson")

    with pytest.raises(StorageError, match=r"there is no folder .*gone; make it first"):
        replace_file(tmp_path / "book.geojson", "x")


def test_folder_cleared_while_writing_is_told(tmp_path, monkeypatch):
    """Who loses the unfinished file to somebody's tidying is told to try again."""

    def tidied(beside, _):
        beside.unlink()
        raise FileNotFoundError(errno.ENOENT, "No such file or directory")

    monkeypatch.setattr(storage.Path, "replace", tidied)
    with pytest.raises(StorageError, match=r"somebody took it away .*; try again"):
        replace_file(tmp_path / "page.html", "x")
