"""``longdry bring``: another layer, or the waypoints of a recorded trip, into the water book."""

from __future__ import annotations

import argparse

from longdry.cli.answer import Answer
from longdry.doing.book_transaction import book_or_new, change_book
from longdry.doing.bringing import layer_brought, tally_brought
from longdry.doing.common_options import file_path
from longdry.errors import UsageError
from longdry.plain_text import escaped
from longdry.reading.book.proposing import proposed_fields
from longdry.reading.road.tally_file import TALLY_ENDING
from longdry.reading.water.gpx_layer import WaypointChoice
from longdry.reading.water.mapping import FieldMapping, read_field_mapping
from longdry.storage import replace_file

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
        help="layer or GPX waypoints; OpenStreetMap tags and WPDx columns are known; or a tally,"
        " NAME.tally.json",
    )
    parser.add_argument(
        "--fields",
        metavar="TOML",
        type=file_path,
        help="which column and word is read as what: [fields], [grades], [kinds], [visits] ...",
    )
    parser.add_argument(
        "--own",
        action="store_true",
        help="your party recorded it; without this new sources are doubtful until visited",
    )
    parser.add_argument(
        "--propose-fields",
        metavar="TOML",
        type=file_path,
        help="write a --fields file to fill in, with the values seen, and bring nothing",
    )
    waypoints = parser.add_mutually_exclusive_group()
    waypoints.add_argument(
        "--waypoint",
        metavar="NAME",
        action="append",
        default=[],
        help="of a GPX file, this waypoint; may be given several times",
    )
    waypoints.add_argument(
        "--all", action="store_true", help="of a GPX file, every waypoint, whatever it is"
    )
    parser.add_argument("--dry-run", action="store_true", help="tell it all, and write nothing")


def _choice(options: argparse.Namespace) -> WaypointChoice:
    return WaypointChoice(names=tuple(options.waypoint), everything=options.all)


def _proposed(options: argparse.Namespace, mapping: FieldMapping | None) -> Answer:
    if options.propose_fields.exists():
        what = "is there already, and may hold your own words"
        raise UsageError.single(str(options.propose_fields), "", what, "name a new file")
    text = proposed_fields(options.file, mapping)
    replace_file(options.propose_fields, text)
    told = (
        f"Written: {escaped(str(options.propose_fields))}. Take the # from each line that is right,"
        " and give the file with --fields."
    )
    return Answer(f"{told}\n")


def _refuse_with_tally(options: argparse.Namespace) -> None:
    for option, value in (
        ("--fields", options.fields),
        ("--waypoint", options.waypoint),
        ("--all", options.all),
    ):
        if value:
            raise UsageError.single(option, "", "does not go with a tally", "leave it out")


def run(options: argparse.Namespace) -> Answer:
    """Merge the file into the book; nothing in the book is overwritten."""
    mapping = read_field_mapping(options.fields) if options.fields else None
    if options.propose_fields:
        return _proposed(options, mapping)
    if options.file.name.endswith(TALLY_ENDING):
        _refuse_with_tally(options)
        brought = tally_brought(options.file)
    else:
        brought = layer_brought(options.file, mapping, _choice(options), own=options.own)
    if options.dry_run:
        change = brought.change_of(book_or_new(options.book))
    else:
        change = change_book(options.book, brought.change_of, make=True)
    lines = [*brought.before, *change.notes]
    if options.dry_run:
        lines.append("Nothing was written (--dry-run).")
    return Answer("\n".join(lines) + "\n")
