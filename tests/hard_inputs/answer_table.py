"""The table of bad inputs: what is given, the command, and the answer of each, as a page.

``python tests/hard_inputs/answer_table.py`` writes ``docs/reference/refusals.md`` anew. What has
changed in it is then to be read: each answer must tell a tired person what to mend.
"""

from __future__ import annotations

import contextlib
import json
import re
import shutil
import sys
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent / "helpers"))

import hard_desk
import hard_layers
import hard_roads
import hard_routes
import hard_trips
import hard_words
from hard_desk import DESK_FOLDER, Asked
from open_desk import OpenDesk, served_desk
from project_places import DOCS
from row import USUAL, Row, ended_in, put_files, write_files

PAGE = DOCS / "reference" / "refusals.md"
DOORS: Mapping[str, Sequence[Row]] = {
    "Trip files, and the files that they name": hard_trips.rows(),
    "Routes": hard_routes.rows(),
    "Water layers, and mappings of other people's columns": hard_layers.rows(),
    "Tallies, a party on its way, and water books": hard_roads.rows(),
    "Words, outputs, backdrops and files of arguments": hard_words.rows(),
}
DESK = "Requests to the desk, and files in its folder"
DESK_ROWS: Sequence[Asked] = hard_desk.rows()
_HEAD = """# What is said of what cannot be used

Every command answers what it cannot use with one sentence: which file or option, where in it, what
is wrong, and how to mend it. The exit status is 2, and nothing is written; of several faults in one
file ten are told at the most. Below are {count} such inputs with the answer of each, as the tests
check them; all are invented. `FOLDER` stands for the folder that the command runs in, and `...` for
what GDAL says.

This page is made by `python tests/hard_inputs/answer_table.py`.
"""
_SAID_BY_GDAL = re.compile(r'(?<=GDAL says: ).*"(?=; )')
"""Each version of it says something else."""


def answer_to(row: Row, folder: Path) -> tuple[int, str, str]:
    """Run a row in the folder that holds its files; return status, answer and complaint."""
    status, out, err = ended_in(folder, row.words)
    told = err.replace(str(folder.resolve()), "FOLDER").rstrip("\n")
    return status, out, _SAID_BY_GDAL.sub("...", told)


@contextlib.contextmanager
def asked_desk(folder: Path) -> Iterator[OpenDesk]:
    """Serve a folder to which rows are put one after the other."""
    with served_desk(folder) as desk:
        yield desk


def fill_desk_folder(folder: Path, row: Asked) -> None:
    """Put the files of a row, and nothing else, into the desk's folder."""
    wanted = {**DESK_FOLDER, **row.files}
    for path in folder.iterdir():
        if path.is_dir():
            shutil.rmtree(path)
        elif path.name not in wanted and path.suffix != ".lock":
            path.unlink()
    for name, content in wanted.items():
        data = content if isinstance(content, bytes) else content.encode()
        if not (folder / name).exists() or (folder / name).read_bytes() != data:
            (folder / name).write_bytes(data)


def desk_answer_to(row: Asked, desk: OpenDesk, folder: Path) -> tuple[int, str]:
    """Ask the desk on its folder as it is; return the status and the sentences."""
    headers = {"Content-Type": "application/json"} if row.method == "POST" else {}
    is_raw = isinstance(row.body, bytes | None)
    body = row.body if is_raw else json.dumps(row.body).encode()
    answer = desk.ask(row.method, row.path, body, headers)
    told = [fault["sentence"] for fault in answer.json["faults"]]
    said = "\n".join(told).replace(f"{folder.resolve()}/", "")
    return answer.status, _SAID_BY_GDAL.sub("...", said)


def page(answers: Mapping[str, Mapping[str, tuple[str, str]]]) -> str:
    """Return the page: of each door, by what is given, the command and the answer."""
    count = sum(map(len, answers.values()))
    parts = [_HEAD.format(count=count)]
    for door, told in answers.items():
        parts.append(f"## {door}\n\n| given | asked | answer |\n|---|---|---|")
        parts += [
            f"| {_cell(given)} | {_cell(command)} | {_cell(answer)} |"
            for given, (command, answer) in told.items()
        ]
        parts.append("")
    return "\n".join(parts)


_SPECIAL = re.compile(r"([\\`*_{}\[\]<>#|$~])")


def _cell(text: str) -> str:
    return _SPECIAL.sub(r"\\\1", text).replace("\n", "<br>")


def told_in_page(text: str) -> dict[str, dict[str, tuple[str, str]]]:
    """Return what a page tells: door -> what is given -> command and answer."""
    found: dict[str, dict[str, tuple[str, str]]] = {}
    for line in text.split("\n"):
        if line.startswith("## "):
            found[line[3:]] = {}
        elif line.startswith("| ") and line != "| given | asked | answer |":
            given, command, answer = (_plain(part) for part in line[2:-2].split(" | "))
            found[next(reversed(found))][given] = (command, answer)
    return found


def _plain(cell: str) -> str:
    return re.sub(r"\\(.)", r"\1", cell.replace("<br>", "\n"))


def all_answers() -> dict[str, dict[str, tuple[str, str]]]:
    """Run every row."""
    answers: dict[str, dict[str, tuple[str, str]]] = {door: {} for door in DOORS}
    with tempfile.TemporaryDirectory() as folder:
        write_files(Path(folder), USUAL)
        for door, row in ((door, row) for door, rows in DOORS.items() for row in rows):
            with put_files(Path(folder), row):
                answers[door][row.given] = (row.command, answer_to(row, Path(folder))[2])
    with tempfile.TemporaryDirectory() as folder, asked_desk(Path(folder)) as desk:
        answers[DESK] = {}
        for row in DESK_ROWS:
            fill_desk_folder(Path(folder), row)
            answers[DESK][row.given] = (row.command, desk_answer_to(row, desk, Path(folder))[1])
    return answers


if __name__ == "__main__":
    PAGE.write_text(page(all_answers()), encoding="utf-8", newline="\n")
