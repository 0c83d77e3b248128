"""The one door through which anything is written: the old file or the new one, never half of it.

A file is written beside its place, in the same folder, flushed to the disk, and only then put in
place by one rename; a kill, a full disk or a lost folder at any moment leaves the old file as it
was. Whoever reads, changes and writes back does so inside ``locked``, so that two processes follow
each other. The lock is taken on a small file of its own, ``.NAME.lock``, beside the file: the file
itself cannot carry it, because every change puts a new file in its place. The lock file stays
there, empty; it may be removed when no longdry runs.
"""

from __future__ import annotations

import contextlib
import errno
import os
import shutil
import stat
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import IO

from longdry.errors import StorageError

if sys.platform == "win32":
    import msvcrt
    import time
else:
    import fcntl

_NEW_FILE_MODE = 0o666
"""Before the user's umask."""
_UNFINISHED = ".unfinished"
"""Ending of a file that is being written beside its place."""
_NO_LINK = getattr(os, "O_NOFOLLOW", 0)
"""A lock that is a link would make a file elsewhere."""
_COMING = ".coming"
"""Ending of a folder in which a file is taken piece by piece."""

_READ_ONLY = (
    "the file or its folder {folder} is read-only for you",
    "name another folder, or have its permissions changed",
)
_DISK_FULL = ("the disk is full", "make room on it, or name a folder on another one")
_WHAT_AND_MEND = {
    errno.ENOENT: ("there is no folder {folder}", "make it first, or name another"),
    errno.EEXIST: ("a file of that name is there", "name a folder"),
    errno.ENOTDIR: ("{folder} is not a folder", "name a file in a folder"),
    errno.EACCES: _READ_ONLY,
    errno.EPERM: _READ_ONLY,
    errno.EROFS: _READ_ONLY,
    errno.ENOSPC: _DISK_FULL,
    errno.EDQUOT: _DISK_FULL,
    errno.EFBIG: ("it is larger than is allowed here", "name a folder on another disk"),
    errno.ENAMETOOLONG: ("its name is too long", "give it a shorter one"),
}


def replace_file(path: Path | str, data: bytes | str) -> None:
    """Put ``data`` in the place of the file at ``path``, whole or not at all.

    A link is followed, the mode of an existing file is kept, text is written as UTF-8. A device
    or a pipe is written to directly.

    Raises
    ------
    StorageError
        In one sentence: the file, what is wrong, how to mend it. What was there still stands.
    """
    replace_files([(path, data)])


def replace_files(contents: Sequence[tuple[Path | str, bytes | str]]) -> None:
    """Put several files in their places, all or none: see `replace_file`.

    All are written and flushed beside their places before the first is put in place, so that a
    full disk or a folder that is read-only leaves all as they were. The renames follow one another:
    a power cut between two leaves the first new and the second old. Devices and pipes come last.

    Raises
    ------
    StorageError
        Of the first file that cannot be written.
    """
    ready: list[tuple[Path, Path, Path]] = []
    streams: list[tuple[Path, bytes]] = []
    try:
        for path, data in contents:
            named, content = Path(path), _encoded(data)
            with _complaints_about(named):
                if _is_stream(named):
                    streams.append((named, content))
                    continue
                place = _resolved(named)
                _refuse_what_cannot_be_replaced(place)
                beside = place.with_name(f".{place.name}.{os.urandom(4).hex()}{_UNFINISHED}")
                ready.append((named, beside, place))
                _write_beside(beside, place, content)
        for named, beside, place in ready:
            with _complaints_about(named):
                beside.replace(place)
                _flush_folder(place.parent)
    finally:
        for _, beside, _ in ready:
            with contextlib.suppress(OSError):
                beside.unlink(missing_ok=True)
    for named, content in streams:
        with _complaints_about(named):
            _write_to_stream(named, content)


def check_place(path: Path | str) -> None:
    """Raise what `replace_file` would raise for a place that can be seen to be wrong beforehand.

    Raises
    ------
    StorageError
        The place is a folder, in no folder, or read-only.
    """
    named = Path(path)
    with _complaints_about(named):
        if not _is_stream(named):
            place = _resolved(named)
            _refuse_what_cannot_be_replaced(place)
            _refuse_folder_for_new_files(place.parent)


def make_folder(path: Path) -> None:
    """Make a folder, and those that it lies in, where they are missing.

    Raises
    ------
    StorageError
        It cannot be made.
    """
    with _complaints_about(path):
        path.mkdir(parents=True, exist_ok=True)


def remove_file(path: Path) -> None:
    """Take a file away; one that is not there is no fault.

    Raises
    ------
    StorageError
        It cannot be taken away.
    """
    with _complaints_about(path):
        path.unlink(missing_ok=True)
        _flush_folder(path.parent)


@contextlib.contextmanager
def new_file_beside(path: Path) -> Iterator[tuple[IO[bytes], Path]]:
    """Give an open file in a new folder beside ``path``, to be filled piece by piece.

    It has the name of ``path``; `put_in_place` makes it the file at ``path``. What is not put in
    place is gone with the block.

    Raises
    ------
    StorageError
        It cannot be made or written.
    """
    room = path.with_name(f".{path.name}.{os.urandom(4).hex()}{_COMING}")
    with _complaints_about(path):
        room.mkdir()
    try:
        with _complaints_about(path), (room / path.name).open("xb") as file:
            yield file, room / path.name
    finally:
        shutil.rmtree(room, ignore_errors=True)


def sweep_coming(folder: Path) -> None:
    """Take away what was being taken piece by piece when a process was killed."""
    for other in folder.iterdir():
        is_ours = other.name.startswith(".") and other.name.endswith(_COMING)
        if is_ours and other.is_dir() and not other.is_symlink():
            shutil.rmtree(other, ignore_errors=True)


def put_in_place(new: Path, place: Path) -> None:
    """Flush a file that was written beside its place, and put it there by one rename.

    Raises
    ------
    StorageError
        It cannot be; what was there still stands.
    """
    with _complaints_about(place):
        _refuse_what_cannot_be_replaced(place)
        descriptor = os.open(new, os.O_RDWR)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
        _follow_mode(new, place)
        new.replace(place)
        _flush_folder(place.parent)


@contextlib.contextmanager
def locked(path: Path | str) -> Iterator[None]:
    """Hold the only right to change the file at ``path``; wait until nobody else holds it.

    The right ends with the block, and with the process however that ends. It binds those who ask
    for it: every command of longdry that changes a water book. What a killed writer left
    unfinished beside the file is swept away.

    Raises
    ------
    StorageError
        Where the lock file cannot be made.
    """
    named = Path(path)
    with _complaints_about(named):
        place = _resolved(named)
        lock_file = place.with_name(f".{place.name}.lock")
        descriptor = os.open(lock_file, os.O_RDWR | os.O_CREAT | _NO_LINK, _NEW_FILE_MODE)
    try:
        with _complaints_about(named):
            _wait_for_lock(descriptor)
            _sweep_unfinished(place)
        yield
    finally:
        os.close(descriptor)


@contextlib.contextmanager
def sole_right(folder: Path) -> Iterator[bool]:
    """Hold the one right to keep house in a folder, and write nothing for it; do not wait.

    Yields
    ------
    bool
        Whether it is ours; False where another process holds it. It ends with the block, and with
        the process however that ends. On Windows a folder cannot carry it: there it always is.

    Raises
    ------
    StorageError
        Where there is no such folder.
    """
    if sys.platform == "win32":
        yield True
        return
    with _complaints_about(folder):
        descriptor = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            yield False
        else:
            yield True
    finally:
        os.close(descriptor)


def _resolved(path: Path) -> Path:
    """Follow links; those in a circle are one error, whatever this version of Python does."""
    try:
        place = path.resolve()
    except RuntimeError as problem:
        raise OSError(errno.ELOOP, os.strerror(errno.ELOOP)) from problem
    if place.is_symlink():
        raise OSError(errno.ELOOP, os.strerror(errno.ELOOP))
    return place


def _encoded(data: bytes | str) -> bytes:
    """Return UTF-8; half of a surrogate pair, which UTF-8 cannot hold, as its escape."""
    return data if isinstance(data, bytes) else data.encode("utf-8", "backslashreplace")


def _mode(path: Path) -> int:
    """Return the mode of what is there; 0 where nothing is, or nothing that can be seen."""
    try:
        return path.stat().st_mode
    except OSError:
        return 0


def _is_stream(path: Path) -> bool:
    mode = _mode(path)
    return mode != 0 and not stat.S_ISREG(mode) and not stat.S_ISDIR(mode)


def _write_to_stream(place: Path, content: bytes) -> None:
    with place.open("wb") as stream:
        stream.write(content)


def _refuse_what_cannot_be_replaced(place: Path) -> None:
    if stat.S_ISDIR(_mode(place)):
        raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR))
    as_effective_user = os.access in os.supports_effective_ids
    if _mode(place) and not os.access(place, os.W_OK, effective_ids=as_effective_user):
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))


def _refuse_folder_for_new_files(folder: Path) -> None:
    if not stat.S_ISDIR(folder.stat().st_mode):
        raise NotADirectoryError(errno.ENOTDIR, os.strerror(errno.ENOTDIR))
    as_effective_user = os.access in os.supports_effective_ids
    if not os.access(folder, os.W_OK | os.X_OK, effective_ids=as_effective_user):
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))


def _write_beside(beside: Path, place: Path, content: bytes) -> None:
    with beside.open("xb") as file:
        file.write(content)
        file.flush()
        _follow_mode(beside, place)
        os.fsync(file.fileno())


def _follow_mode(beside: Path, place: Path) -> None:
    if old_mode := _mode(place):
        beside.chmod(stat.S_IMODE(old_mode))


def _flush_folder(folder: Path) -> None:
    """Make the rename itself last; Windows has no such call, and some file systems refuse it."""
    if sys.platform == "win32":
        return
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    except OSError as problem:
        if problem.errno not in {errno.EINVAL, errno.ENOTSUP}:
            raise
    finally:
        os.close(descriptor)


def _wait_for_lock(descriptor: int) -> None:
    if sys.platform == "win32":
        while True:
            try:
                os.lseek(descriptor, 0, os.SEEK_SET)
                msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
            except OSError:
                time.sleep(0.05)
            else:
                return
    else:
        fcntl.flock(descriptor, fcntl.LOCK_EX)


def _sweep_unfinished(place: Path) -> None:
    """Remove what killed writers left; the lock says that nobody is writing."""
    prefix = f".{place.name}."
    for other in place.parent.iterdir():
        if other.name.startswith(prefix) and other.name.endswith(_UNFINISHED):
            other.unlink(missing_ok=True)


@contextlib.contextmanager
def _complaints_about(path: Path) -> Iterator[None]:
    try:
        yield
    except OSError as problem:
        raise StorageError(_sentence(path, problem)) from problem


def _sentence(path: Path, problem: OSError) -> str:
    """Say which file, what is wrong, how to mend it, and what became of what was there."""
    what, mend = _what_and_mend(path, problem)
    left = "the old file stands as it was" if stat.S_ISREG(_mode(path)) else "nothing was written"
    return f"{path} was not written: {what}; {mend} ({left})."


def _what_and_mend(path: Path, problem: OSError) -> tuple[str, str]:
    if stat.S_ISDIR(_mode(path)):
        return "it is a folder", "name a file in it"
    if problem.errno == errno.ELOOP:
        return "its links lead in a circle", "name the file itself"
    folder = path.resolve().parent
    if problem.errno == errno.ENOENT and stat.S_ISDIR(_mode(folder)):
        return "somebody took it away while it was being written", "try again"
    unknown = (problem.strerror or str(problem), "try another folder or disk")
    what, mend = _WHAT_AND_MEND.get(problem.errno or 0, unknown)
    return what.format(folder=folder), mend
