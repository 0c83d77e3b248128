"""``longdry visit``: what was found at a source."""

from __future__ import annotations

import argparse
import datetime as dt

from longdry.cli.answer import Answer
from longdry.computing.book.changes import visit_change
from longdry.doing.book_transaction import change_book, today
from longdry.doing.path_argument import file_path
from longdry.errors import UsageError
from longdry.model.water.source import Found, Visit
from longdry.model.words import Grade
from longdry.reading.water.values import RefusedValueError
from longdry.reading.water.visits import visit_from

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
    try:
        visit = visit_from(notes)
    except RefusedValueError as refused:
        field, _, rest = refused.what.partition(" ")
        typed = {field: f"--{name}" for name, field in _FIELDS.items()}
        what = f"{typed.get(field, field)} {rest}"
        raise UsageError.single("visit", "", what, refused.mend) from None
    if visit.on > today() + dt.timedelta(days=1):
        what = f"the visit of {visit.on.isoformat()} is still to come"
        raise UsageError.single("--on", "", what, "give the day on which somebody was there")
    if visit.litres and visit.found in {Found.DRY, Found.UNREACHABLE}:
        what = f"{visit.litres:g} L cannot be taken where it was found {visit.found.value}"
        raise UsageError.single("--litres", "", what, "write --found low, or leave --litres out")
    return visit
