"""``longdry retire``: a source kept, and no longer counted."""

from __future__ import annotations

import argparse

from longdry.cli.path_argument import file_path
from longdry.errors import UsageError

EXAMPLE = 'longdry retire book.geojson "Fork Bore" --why "casing has collapsed"'


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add what ``retire`` takes."""
    parser.add_argument("book", metavar="BOOK", type=file_path, help="water book")
    parser.add_argument("source", metavar="SOURCE", help="id or name of the source")
    parser.add_argument("--why", required=True, help="why nobody should count on it")


def run(options: argparse.Namespace) -> int:
    """Retire the source; all that is known of it stays in the book."""
    from longdry.cli.book_desk import change_book  # noqa: PLC0415 - loaded when needed
    from longdry.computing.book_changes import retired  # noqa: PLC0415 - loaded when needed
    from longdry.reading.field_values import one_line  # noqa: PLC0415 - loaded when needed

    why = one_line(options.why)
    if not why:
        raise UsageError.single("--why", "", "no reason is given", "say why in a few words")
    change = change_book(options.book, lambda book: retired(book, options.source, why))
    print("\n".join(change.told))
    return 0
