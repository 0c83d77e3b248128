"""``longdry bring``: another layer, or the waypoints of a recorded trip, into the water book."""

from __future__ import annotations

import argparse
import datetime as dt

from longdry.cli.answer import Answer
from longdry.cli.book_transaction import book_or_new, change_book, today
from longdry.cli.path_argument import file_path
from longdry.computing.book.merging import brought
from longdry.computing.book.names import without_coming_visits
from longdry.model.water.book import BookChange, WaterBook
from longdry.reading.book.brought import read_brought
from longdry.reading.book.mapping import read_field_mapping

EXAMPLE = "longdry bring book.geojson recorded.gpx --own --dry-run"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add what ``bring`` takes."""
    parser.add_argument(
        "book", metavar="BOOK", type=file_path, help="water book; made where missing"
    )
    parser.add_argument(
        "file",
        metavar="FILE",
        type=file_path,
        help="layer or GPX waypoints; OpenStreetMap tags and WPDx columns are known",
    )
    parser.add_argument(
        "--fields",
        metavar="TOML",
        type=file_path,
        help="which column is read as what: [fields], [grades], [kinds], [always]",
    )
    parser.add_argument(
        "--own",
        action="store_true",
        help="your party recorded it; without this new sources are doubtful until visited",
    )
    parser.add_argument("--dry-run", action="store_true", help="tell it all, and write nothing")


def run(options: argparse.Namespace) -> Answer:
    """Merge the file into the book; nothing in the book is overwritten."""
    mapping = read_field_mapping(options.fields) if options.fields else None
    layer = read_brought(options.file, mapping)
    sources, left_out = without_coming_visits(layer.sources, today() + dt.timedelta(days=1))

    def change_of(book: WaterBook) -> BookChange:
        return brought(book, sources, origin=options.file.name, own=options.own)

    if options.dry_run:
        change = change_of(book_or_new(options.book))
    else:
        change = change_book(options.book, change_of, make=True)
    lines = [*layer.remarks, *left_out, *change.notes]
    if options.dry_run:
        lines.append("Nothing was written (--dry-run).")
    return Answer("\n".join(lines) + "\n")
