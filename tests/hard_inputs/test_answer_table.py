"""Every bad input of the table gets its answer, exit status 2, and leaves all files as they were.

What counts as well-formed is said by XML 1.0, GPX 1.1, KML 2.2 (OGC 12-007r2), RFC 7946, RFC 4180,
RFC 8259, TOML 1.0 and APPNOTE.TXT of ZIP; that such files occur is common practice, no source.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from answer_table import (
    DESK,
    DESK_ROWS,
    DOORS,
    PAGE,
    answer_to,
    asked_desk,
    desk_answer_to,
    fill_desk_folder,
    told_in_page,
)
from row import put_files

TOLD = told_in_page(PAGE.read_text("utf-8"))
STEERING = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069]")
"""What steers a terminal or turns the direction of reading (Unicode Standard Annex 9)."""
ROWS = [(door, row) for door, rows in DOORS.items() for row in rows]


def contents(folder: Path) -> dict[str, bytes | None]:
    """Return what stands in all files; locks are no content."""
    return {
        str(path.relative_to(folder)): path.read_bytes() if path.is_file() else None
        for path in folder.rglob("*")
        if path.suffix != ".lock"
    }


def check_words(answer: str) -> None:
    """One sentence that says what is wrong and how to mend it; of several faults, ten at most."""
    first, *faults = answer.split("\n")
    assert first.startswith("longdry")
    assert not STEERING.search(answer)
    assert "Traceback" not in answer
    assert len(faults) <= 11
    assert not faults or first.endswith(":")
    for sentence in faults or [first]:
        assert sentence.endswith(".")
        assert "; " in sentence or re.fullmatch(r"  and \d+ more\.", sentence)


@pytest.mark.parametrize(("door", "row"), ROWS, ids=[row.given for _, row in ROWS])
def test_a_bad_input_gets_its_answer_and_nothing_is_written(tmp_path, door, row):
    """The answer of the table, status 2, and every file of the folder as it was.

    Mend: run ``python tests/hard_inputs/answer_table.py``, and read each answer that changed.
    """
    put_files(tmp_path, row)
    before = contents(tmp_path)
    status, out, answer = answer_to(row, tmp_path)

    assert (status, out) == (2, ""), answer
    assert answer == TOLD[door][row.given][1]
    check_words(answer)
    assert contents(tmp_path) == before


@pytest.fixture(scope="module")
def place(tmp_path_factory):
    folder = tmp_path_factory.mktemp("desk")
    with asked_desk(folder) as desk:
        yield desk, folder


@pytest.mark.parametrize("row", DESK_ROWS, ids=[row.given for row in DESK_ROWS])
def test_a_bad_request_gets_its_answer_and_nothing_is_written(place, row):
    """The desk's answer is that of the table; what cannot be planned is told with the plan."""
    desk, folder = place
    fill_desk_folder(folder, row)
    before = contents(folder)
    status, answer = desk_answer_to(row, desk, folder)

    assert status == 200 if row.path == "/api/plan" else 400 <= status < 500
    assert answer == TOLD[DESK][row.given][1]
    assert all(line.endswith(".") and "; " in line for line in answer.split("\n"))
    assert contents(folder) == before


def test_the_page_tells_every_row_once_and_no_other():
    """At least 400 rows, no two of a door alike, and each with its command in the page."""
    rows = {**DOORS, DESK: DESK_ROWS}
    commands = {door: {row.given: row.command for row in rows[door]} for door in rows}
    told = {door: {given: cells[0] for given, cells in TOLD[door].items()} for door in TOLD}

    assert told == commands
    assert sum(map(len, rows.values())) == sum(map(len, told.values())) >= 400
