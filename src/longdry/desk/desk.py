"""One desk: a folder, its plan, and the right to change it; all parts of the server share it."""

from __future__ import annotations

import contextlib
import threading
from collections.abc import Mapping
from pathlib import Path

from longdry.desk.choice import choice_json, new_plan_text
from longdry.desk.folder import NO_FILE, Folder, version_of
from longdry.desk.kinds import FileKind
from longdry.desk.planner import Planner
from longdry.desk.refusals import CONFLICT, NOT_FOUND, RefusedError
from longdry.desk.samples import sample_files, samples_json
from longdry.desk.undo import Undo
from longdry.doing.plan_file import PLAN_FILE
from longdry.showing.figures.figure import Json
from longdry.storage import locked, replace_files


class Desk:
    """What the server works with.

    Parameters
    ----------
    path
        The folder.
    """

    def __init__(self, path: Path) -> None:
        self.folder = Folder(path)
        self.planner = Planner(self.folder)
        self.undo = Undo(self.folder)
        self.changing = threading.RLock()
        """One change after another."""
        self.is_closing = False
        """Whether nobody may wait for an answer any more."""

    def write(self, name: str, data: bytes | str, version: object) -> None:
        """Write a file of the folder whole: see `write_all`."""
        self.write_all({name: data}, version)

    def write_all(self, contents: Mapping[str, bytes | str], version: object) -> None:
        """Write files of the folder, all or none, a copy of what each was kept for undo.

        Parameters
        ----------
        contents
            By the names of the files.
        version
            What the change was made on; None: whatever stands there.

        Raises
        ------
        RefusedError
            Somebody else has changed the file meanwhile, or the name leads out of the folder.
        StorageError
            It cannot be written; what was there stands.
        """
        places = {name: self.folder.place(name) for name in contents}
        with self.changing, contextlib.ExitStack() as locks, self.undo.keeping() as keep:
            changed: list[tuple[Path, bytes]] = []
            for name, place in places.items():
                data = contents[name]
                content = data if isinstance(data, bytes) else data.encode("utf-8")
                locks.enter_context(locked(place))
                self.check_version(name, version)
                if not place.exists() or place.read_bytes() != content:
                    keep(name, version_of(content))
                    changed.append((place, content))
            replace_files(changed)

    def check_version(self, name: str, version: object) -> None:
        """Refuse a change that was made on another state of a file than the one that is there."""
        place = self.folder.place(name)
        now = version_of(place.read_bytes()) if place.exists() else NO_FILE
        if version is not None and version != now:
            what = "was changed by somebody else meanwhile; nothing was written"
            raise RefusedError(CONFLICT, name, what, "look at it as it is now, then try again")

    def choose(self, wish: Mapping[str, object]) -> Json:
        """Write into plan.txt what the plan is made of."""
        with self.changing:
            text = new_plan_text(self.folder, self.planner.choice(), wish)
            self.write(PLAN_FILE, text, wish.get("version"))
        return self.folder_json()

    def pin_choice(self) -> None:
        """Write down what the plan takes by itself, so that a file more does not change it."""
        with self.changing:
            choice = self.planner.choice()
            if choice.options is not None and not self.folder.place(PLAN_FILE).exists():
                self.write(PLAN_FILE, new_plan_text(self.folder, choice, {}), NO_FILE)

    def fill_with_sample(self, wish: Mapping[str, object]) -> Json:
        """Copy an invented sample into the folder, if that is empty."""
        files = sample_files(str(wish.get("name", "")))
        if not files:
            raise RefusedError(NOT_FOUND, "", "there is no such sample", "load the page again")
        with self.changing:
            if self.folder.files():
                what = "there are files in this folder already"
                raise RefusedError(CONFLICT, "", what, "open a desk in an empty folder for it")
            replace_files([(self.folder.place(name), data) for name, data in files.items()])
        return self.folder_json()

    def take_back_by_one(self, wish: Mapping[str, object]) -> Json:
        """Put a file back by one change."""
        name = str(wish.get("file", ""))
        with self.changing, locked(self.folder.place(name)):
            self.undo.take_back(name)
        return self.folder_json()

    def folder_json(self) -> Json:
        """Return the files of the folder, what is chosen of them, and their versions."""
        choice = self.planner.choice()
        files = self.folder.files()
        return {
            "name": self.folder.name,
            "path": str(self.folder.path.resolve()),
            "files": [
                {"name": one.name, "what": one.what, "bytes": one.bytes}
                for one in files
                if one.what is not FileKind.PLAN
            ],
            "choice": choice_json(self.folder, choice),
            "tracks": self.planner.track_names(choice),
            "notes": list(choice.told),
            "left_out": self.folder.left_out(),
            "samples": [] if files else samples_json(),
            **self.versions_json(),
        }

    def versions_json(self) -> Json:
        """Return the version of each file, and how many changes of each can be taken back."""
        versions = {one.name: one.version for one in self.folder.files()}
        versions |= self.folder.versions(self.planner.choice().inputs)
        return {"versions": versions, "can_undo": self.undo.counts()}
