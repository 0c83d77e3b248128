"""``longdry visit``: what was found at a source."""

from __future__ import annotations

import argparse

from longdry.cli.answer import Answer
from longdry.computing.book.changes import visit_change
from longdry.doing.book_transaction import change_book
from longdry.doing.common_options import file_path
from longdry.doing.visits import told_visit
from longdry.model.water.source import Visit
from longdry.model.words import Grade

EXAMPLE = 'longdry visit book.geojson "Fork Bore" --on 2025-05-09 --found low --litres 40'
_FIELDS = {
    "on": "on",
    "found": "found",
    "litres": "litres",
    "grade": "grade",
    "tds": "tds_mg_per_l",
    "note": "note",
}


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add what ``visit`` takes."""
    parser.add_argument("book", metavar="BOOK", type=file_path, help="water book")
    parser.add_argument("source", metavar="SOURCE", help="id or name of the source")
    parser.add_argument("--on", metavar="DATE", required=True, help="day of the visit, 2025-05-09")
    parser.add_argument(
        "--found",
        required=True,
        metavar="WHAT",
        help="flowing, low, dry, or unreachable (counts as no water)",
    )
    parser.add_argument("--litres", metavar="L", help="litres taken")
    words = ", ".join(grade.value for grade in Grade)
    parser.add_argument("--grade", help=f"{words}; a worse one takes effect at once")
    parser.add_argument("--tds", metavar="MG/L", help="dissolved solids, milligrams per litre")
    parser.add_argument("--note", help="anything else worth knowing")
    parser.add_argument(
        "--better", action="store_true", help="let a better grade or fewer solids take effect too"
    )


def run(options: argparse.Namespace) -> Answer:
    """Write the visit down and tell what it changes."""
    visit = _visit(options)
    change = change_book(
        options.book,
        lambda book: visit_change(book, options.source, visit, better=options.better),
    )
    return Answer("\n".join(change.notes) + "\n")


def _visit(options: argparse.Namespace) -> Visit:
    notes = {field: getattr(options, name) for name, field in _FIELDS.items()}
    return told_visit(notes, {field: f"--{name}" for name, field in _FIELDS.items()})
