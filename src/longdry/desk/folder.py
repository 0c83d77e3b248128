"""The folder of a trip: which files lie in it, and which names lead to one of them.

Only plain files inside the folder are read or written. A name that leads out of it, a link, a
device or a pipe, a hidden name and one that a system keeps for a device are refused.
"""

from __future__ import annotations

import hashlib
import stat
import threading
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from longdry.desk.kinds import FileKind, kind_of
from longdry.desk.refusals import FORBIDDEN, RefusedError
from longdry.plain_text import has_controls, one_line

NO_FILE = ""
"""The version of a file that is not there."""
_LONGEST_NAME = 120
_MOST_BYTES_OF_A_NAME = 200
"""A file system takes 255 (POSIX NAME_MAX is at most that as a rule); a lock's name is longer."""
_KEPT_FOR_DEVICES = frozenset(
    {"con", "prn", "aux", "nul", "conin$", "conout$"}
    | {f"{port}{number}" for port in ("com", "lpt") for number in "0123456789¹²³"}
)
"""Microsoft, 'Naming Files, Paths, and Namespaces': such a name is the device in any folder."""
_NEVER_IN_A_NAME = frozenset('<>:"|?*\\')
_PIECE = 1 << 20


@dataclass(frozen=True, slots=True)
class FileFacts:
    """What is known of one file."""

    name: str
    what: FileKind
    bytes: int
    version: str
    """Digest of what stands in it."""


def version_of(content: bytes) -> str:
    """Return the version of a file that holds ``content``.

    >>> version_of(b"") == version_of(b""), len(version_of(b"a"))
    (True, 24)
    """
    return hashlib.sha256(content).hexdigest()[:24]


class Folder:
    """The one folder that a desk works in."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._known: dict[str, tuple[tuple[int, ...], FileFacts]] = {}
        self._lock = threading.Lock()

    @property
    def name(self) -> str:
        """What people call the folder."""
        return self.path.resolve().name or str(self.path.resolve())

    def place(self, name: str) -> Path:
        """Return the path of a plain file inside the folder, or of one that can be made there.

        Raises
        ------
        RefusedError
            For any name that leads elsewhere.
        """
        _refuse_strange_name(name)
        place = self.path
        parts = PurePosixPath(name).parts
        for part in parts:
            place /= part
            if place.is_symlink():
                raise _outside(name, "is a link, or lies behind one")
        if place.exists() and not place.is_file():
            raise _outside(name, "is no plain file")
        if not place.parent.is_dir():
            raise _outside(name, "lies in no folder that is there")
        return place

    def place_of(self, path: Path) -> Path:
        """Return the place that a path from the folder means; absolute ones must lead into it."""
        try:
            inside = path.relative_to(self.path)
        except ValueError:
            raise _outside(str(path), "lies outside this folder") from None
        return self.place(inside.as_posix())

    def name_of(self, path: Path) -> str:
        """Return the name of a path inside the folder."""
        return path.relative_to(self.path).as_posix()

    def files(self) -> list[FileFacts]:
        """Return the plain files that lie in the folder, by name; hidden ones and links do not."""
        found = []
        for path in sorted(self.path.iterdir()):
            if path.name.startswith(".") or path.is_symlink() or not path.is_file():
                continue
            facts = self.facts(path)
            if facts is not None:
                found.append(facts)
        return found

    def facts(self, path: Path) -> FileFacts | None:
        """Return what is known of a file, read anew only where it was put there anew."""
        try:
            info = path.stat()
            if not stat.S_ISREG(info.st_mode):
                return None
            sign = (info.st_mtime_ns, info.st_ctime_ns, info.st_size, info.st_ino)
            name = self.name_of(path)
            with self._lock:
                known = self._known.get(name)
            if known and known[0] == sign:
                return known[1]
            facts = FileFacts(name, kind_of(path), info.st_size, version_of_file(path))
        except OSError:
            return None
        with self._lock:
            self._known[name] = (sign, facts)
        return facts

    def version(self, path: Path) -> str:
        """Return the version of a file as it is now."""
        facts = self.facts(path)
        return facts.version if facts else NO_FILE

    def versions(self, paths: Iterable[Path]) -> dict[str, str]:
        """Return the version of each file, by its name."""
        return {self.name_of(path): self.version(path) for path in paths}


def version_of_file(path: Path) -> str:
    """Return the version of a file as it is now, read to its end."""
    digest = hashlib.sha256()
    with path.open("rb") as file:
        while piece := file.read(_PIECE):
            digest.update(piece)
    return digest.hexdigest()[:24]


def _refuse_strange_name(name: str) -> None:
    if not name or len(name) > _LONGEST_NAME:
        raise _outside(name, f"is no name of 1 to {_LONGEST_NAME} letters")
    if len(name.encode("utf-8", "replace")) > _MOST_BYTES_OF_A_NAME:
        raise _outside(name, "is too long a name in its script for some computers")
    if has_controls(name) or _NEVER_IN_A_NAME & set(name):
        raise _outside(name, "holds a sign that no name of a file may hold here")
    if name.startswith("/") or "//" in name:
        raise _outside(name, "does not begin in this folder")
    for part in name.split("/"):
        if part.startswith("."):
            raise _outside(name, "is hidden, or leads out of this folder")
        if part != part.strip() or part.endswith("."):
            raise _outside(name, "begins or ends with a blank or a dot")
        if part.split(".")[0].strip().casefold() in _KEPT_FOR_DEVICES:
            raise _outside(name, "is a name that some systems keep for a device")


def _outside(name: str, what: str) -> RefusedError:
    told = one_line(name)[:_LONGEST_NAME]
    mend = "name a plain file that lies in this folder"
    return RefusedError(FORBIDDEN, f'"{told}"', what, mend)
