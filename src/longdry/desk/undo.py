"""What files were before each change: plain copies in ``.longdry``, the last 50 of each file.

The copies of ``water.geojson`` lie in ``.longdry/water.geojson``. The name of a copy tells its
number and the version that the change made of the file, so that a change by somebody else is never
taken back unseen. A file that was not there before leaves an empty copy that ends with ``.none``.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from longdry.desk.folder import Folder, version_of
from longdry.desk.refusals import CONFLICT, NOT_FOUND, RefusedError
from longdry.errors import LongdryError, StorageError
from longdry.storage import make_folder, remove_file, replace_file

UNDO_FOLDER = ".longdry"
MOST_KEPT = 50
MOST_BYTES = 1_000_000_000
"""Of all copies of one file together; the last one is always kept."""
_NONE = ".none"


@dataclass(frozen=True, slots=True)
class _Copy:
    path: Path
    number: int
    made: str
    """The version that the change made."""

    @property
    def content(self) -> bytes | None:
        """What stood in the file; None where it was not there."""
        return None if self.path.suffix == _NONE else self.path.read_bytes()


class Undo:
    """The copies of one folder."""

    def __init__(self, folder: Folder) -> None:
        self._folder = folder

    @contextlib.contextmanager
    def keeping(self) -> Iterator[Callable[[str, str], None]]:
        """Give what keeps copies for a change; they are gone again where the change fails.

        On a full disk each try would otherwise make it fuller.
        """
        copies: list[Path] = []
        try:
            yield lambda name, becomes: copies.append(self.keep(name, becomes))
        except LongdryError:
            for copy in copies:
                with contextlib.suppress(StorageError):
                    remove_file(copy)
            raise

    def keep(self, name: str, becomes: str) -> Path:
        """Keep a copy of a file as it is, before it becomes something else, and return its place.

        Parameters
        ----------
        becomes
            The version that it will have.

        Raises
        ------
        StorageError
            The copy cannot be written.
        """
        place = self._folder.place(name)
        copies = self._copies(name)
        number = copies[-1].number + 1 if copies else 1
        home = self._home(name)
        make_folder(home)
        ending = (place.suffix or ".txt") if place.exists() else _NONE
        copy = home / f"{number:06d}-{becomes}{ending}"
        replace_file(copy, place.read_bytes() if place.exists() else b"")
        self._drop_oldest(name)
        return copy

    def counts(self) -> dict[str, int]:
        """Return of each file how many changes can be taken back."""
        top = self._folder.path / UNDO_FOLDER
        if not top.is_dir() or top.is_symlink():
            return {}
        homes = {path.parent for path in top.rglob("*") if path.is_file()}
        names = sorted(home.relative_to(top).as_posix() for home in homes)
        return {name: count for name in names if (count := len(self._copies(name)))}

    def take_back(self, name: str) -> None:
        """Put a file back by one change.

        Raises
        ------
        RefusedError
            Nothing is kept of it, or somebody else has changed it since.
        StorageError
            It cannot be written.
        """
        place = self._folder.place(name)
        now = place.read_bytes() if place.exists() else None
        for copy in reversed(self._copies(name)):
            before = copy.content
            if before == now:  # its change was broken off, or is taken back already
                remove_file(copy.path)
                continue
            if now is None or version_of(now) != copy.made:
                what = "was changed by somebody else since; taking back would lose that"
                mend = f"look at it, and at the copies in {UNDO_FOLDER}"
                raise RefusedError(CONFLICT, name, what, mend)
            if before is None:
                remove_file(place)
            else:
                replace_file(place, before)
            remove_file(copy.path)
            return
        raise RefusedError(NOT_FOUND, name, "there is nothing to take back", "go on")

    def _home(self, name: str) -> Path:
        home = self._folder.path
        for part in (UNDO_FOLDER, *name.split("/")):
            home /= part
            if home.is_symlink():
                what = f"{UNDO_FOLDER} leads elsewhere: it is a link"
                raise RefusedError(CONFLICT, name, what, "take the link away")
        return home

    def _copies(self, name: str) -> list[_Copy]:
        home = self._home(name)
        if not home.is_dir():
            return []
        found = []
        for path in home.iterdir():
            number, _, made = path.stem.partition("-")
            if number.isascii() and number.isdigit() and made and path.is_file():
                found.append(_Copy(path, int(number), made))
        return sorted(found, key=lambda copy: copy.number)

    def _drop_oldest(self, name: str) -> None:
        copies = self._copies(name)
        total = sum(copy.path.stat().st_size for copy in copies)
        while len(copies) > 1 and (len(copies) > MOST_KEPT or total > MOST_BYTES):
            oldest = copies.pop(0)
            total -= oldest.path.stat().st_size
            remove_file(oldest.path)
