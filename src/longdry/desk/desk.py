"""One desk: a folder, its plan, and the right to change it; what every part of the server shares."""

from __future__ import annotations

import threading
from pathlib import Path

from longdry.desk.choice import choice_json
from longdry.desk.folder import Folder
from longdry.desk.kinds import FileKind
from longdry.desk.planner import Planner
from longdry.desk.refusals import Json


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
        self.changing = threading.RLock()
        """One change after another."""

    def folder_json(self) -> Json:
        """Return the files of the folder, what is chosen of them, and their versions."""
        choice = self.planner.choice()
        files = self.folder.files()
        versions = {one.name: one.version for one in files}
        versions |= self.folder.versions(choice.inputs)
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
            "versions": versions,
        }
