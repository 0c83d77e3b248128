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
from row import USUAL, put_files, write_files

TOLD = told_in_page(PAGE.read_text("utf-8"))
STEERING = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069]")
"""What steers a terminal or turns the direction of reading (Unicode Standard Annex 9)."""


def contents(folder: Path) -> dict[str, bytes | None]:
    """Return what stands in all files; locks are no content."""
    return {
        str(path.relative_to(folder)): path.read_bytes() if path.is_file() else None
        for path in folder.rglob("*")
        if path.suffix != ".lock"
    }


def says_what_and_mend(answer: str) -> bool:
    """Whether it is one sentence that tells how to mend it, or ten faults at most, one a line."""
    first, *faults = answer.split("\n")
    sentences = faults or [first]
    return (
        len(faults) <= 11
        and (not faults or first.endswith(":"))
        and not STEERING.search(answer)
        and "Traceback" not in answer
        and all(one.endswith(".") for one in sentences)
        and all("; " in one or re.fullmatch(r"  and \d+ more\.", one) for one in sentences)
    )


@pytest.fixture(scope="module")
def usual(tmp_path_factory):
    folder = tmp_path_factory.mktemp("usual")
    write_files(folder, USUAL)
    return folder


@pytest.mark.parametrize("door", DOORS)
def test_bad_inputs_get_their_answers_and_nothing_is_written(usual, door):
    """The answer of the table, status 2, and every file of the folder as it was.

    Mend: run ``python tests/hard_inputs/answer_table.py``, and read each answer that changed.
    """
    wrong = {}
    for row in DOORS[door]:
        with put_files(usual, row):
            before = contents(usual)
            status, out, answer = answer_to(row, usual)
            is_kept = contents(usual) == before
        is_told = answer == TOLD[door][row.given][1] and says_what_and_mend(answer)
        if not ((status, out) == (2, "") and is_told and answer.startswith("longdry") and is_kept):
            wrong[row.given] = (status, out, answer, is_kept)

    assert wrong == {}


@pytest.fixture(scope="module")
def place(tmp_path_factory):
    folder = tmp_path_factory.mktemp("desk")
    with asked_desk(folder) as desk:
        yield desk, folder


def test_bad_requests_get_their_answers_and_nothing_is_written(place):
    """The desk's answer is that of the table; what cannot be planned is told with the plan."""
    desk, folder = place
    wrong = {}
    for row in DESK_ROWS:
        fill_desk_folder(folder, row)
        before = contents(folder)
        status, answer = desk_answer_to(row, desk, folder)
        is_kept = contents(folder) == before
        is_refused = status == 200 if row.path == "/api/plan" else 400 <= status < 500
        is_told = answer == TOLD[DESK][row.given][1] and all(
            line.endswith(".") and "; " in line for line in answer.split("\n")
        )
        if not (is_refused and is_told and is_kept):
            wrong[row.given] = (status, answer, is_kept)

    assert wrong == {}


def test_the_page_tells_every_row_once_and_no_other():
    """At least 400 rows, no two of a door alike, and each with its command in the page."""
    rows = {**DOORS, DESK: DESK_ROWS}
    commands = {door: {row.given: row.command for row in rows[door]} for door in rows}
    told = {door: {given: cells[0] for given, cells in TOLD[door].items()} for door in TOLD}

    assert told == commands
    assert sum(map(len, rows.values())) == sum(map(len, told.values())) >= 400
