"""Writers are killed at random moments; whatever was confirmed is in the book.

All sources are invented.
"""

from __future__ import annotations

import random
import signal
from concurrent.futures import ThreadPoolExecutor

from how_many import proof
from killed_writer import killed_writer

from longdry.cli.main import main
from longdry.reading.book.book_file import read_book

AT_ONCE = 4
SEED = 20270503
LONGEST_S = 0.05
"""About five changes fit into it."""

WRITER = """
import contextlib, io, sys
from longdry.cli.main import main
for count in range(200):
    note = f"{sys.argv[2]}-{count}"
    words = ["visit", sys.argv[1], "bore", "--on", "2025-05-03", "--found", "low", "--note", note]
    with contextlib.redirect_stdout(io.StringIO()):
        status = main(words)
    if status:
        sys.exit(status)
    print("confirmed", note, flush=True)
"""


@proof(200)
def test_every_confirmed_change_survives_killed_writers(tmp_path, cases):
    """A kill at any moment leaves the old or the new book whole, and no confirmed visit is lost."""
    book = tmp_path / "book.geojson"
    assert main(["mark", str(book), "--name", "Bore", "--at", "-25,131", "--id", "bore"]) == 0
    dice = random.Random(SEED)
    moments = [
        (number, dice.uniform(0.0, LONGEST_S), dice.choice((signal.SIGKILL, signal.SIGTERM)))
        for number in cases
    ]
    with ThreadPoolExecutor(AT_ONCE) as pool:
        confirmed = set().union(*pool.map(lambda one: killed_writer(WRITER, book, *one), moments))

    found = [visit.note for visit in read_book(book).sources[0].visits]

    assert confirmed <= set(found)
    assert len(found) == len(set(found))
    assert len(found) <= len(confirmed) + len(cases)
    assert len(confirmed) >= len(cases)


@proof(80)
def test_ctrl_c_at_any_moment_leaves_the_book_whole_and_nothing_beside_it(tmp_path, cases):
    """Interrupted, the book holds what was confirmed, and no unfinished file stays."""
    book = tmp_path / "book.geojson"
    assert main(["mark", str(book), "--name", "Bore", "--at", "-25,131", "--id", "bore"]) == 0
    dice = random.Random(SEED)
    confirmed = set()
    for number in cases:
        confirmed |= killed_writer(
            WRITER, book, number, dice.uniform(0.0, LONGEST_S), signal.SIGINT
        )

    assert confirmed <= {visit.note for visit in read_book(book).sources[0].visits}
    assert {path.name for path in tmp_path.iterdir()} == {"book.geojson", ".book.geojson.lock"}


def test_what_killed_writers_left_goes_with_the_next_change(tmp_path):
    """The litter of a kill does not pile up."""
    book = tmp_path / "book.geojson"
    (tmp_path / ".book.geojson.0badcafe.unfinished").write_text('{"type": "Feat')

    assert main(["mark", str(book), "--name", "Bore", "--at", "-25,131"]) == 0
    assert {path.name for path in tmp_path.iterdir()} == {"book.geojson", ".book.geojson.lock"}
