"""``longdry retire``: a source kept, and no longer counted."""

from __future__ import annotations

import argparse

from longdry.cli.answer import Answer
from longdry.computing.book.changes import retire_change
from longdry.doing.book_transaction import change_book
from longdry.doing.common_options import file_path
from longdry.errors import UsageError
from longdry.plain_text import one_line

EXAMPLE = 'longdry retire book.geojson "Fork Bore" --why "casing has collapsed"'


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add what ``retire`` takes."""
    parser.add_argument("book", metavar="BOOK", type=file_path, help="water book")
    parser.add_argument("source", metavar="SOURCE", help="id or name of the source")
    parser.add_argument("--why", required=True, help="why nobody should count on it")


def run(options: argparse.Namespace) -> Answer:
    """Retire the source; all that is known of it stays in the book."""
    why = one_line(options.why)
    if not why:
        raise UsageError.single("--why", "", "no reason is given", "say why in a few words")
    change = change_book(options.book, lambda book: retire_change(book, options.source, why))
    return Answer("\n".join(change.notes) + "\n")
