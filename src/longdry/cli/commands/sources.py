"""``longdry sources``: the sources of a water book, judged for a day."""

from __future__ import annotations

import argparse

from longdry.cli.answer import Answer
from longdry.computing.book.listing import SourceFilter, listed_sources, sources_near_route
from longdry.computing.route.chainage import measure_route
from longdry.doing.book_transaction import day_of, today
from longdry.doing.common_options import add_units, file_path
from longdry.doing.on_the_way_options import option_number
from longdry.errors import UsageError
from longdry.model.water.book import ListedSource
from longdry.model.words import SOURCE_KINDS, Certainty, Grade, Units
from longdry.reading.book.book_file import read_book
from longdry.reading.route.route_file import read_route
from longdry.showing.exports.source_list_json import (
    selected_book_text,
    source_list_json,
)
from longdry.showing.terminal.sources import source_list_text
from longdry.showing.words.measures import Measures

USUAL_WITHIN_KM = 10.0
EXAMPLE = "longdry sources book.geojson --grade potable --near route.gpx --within 5"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add what ``sources`` takes."""
    parser.add_argument("book", metavar="BOOK", type=file_path, help="water book")
    parser.add_argument(
        "--grade",
        action="append",
        choices=[grade.value for grade in Grade],
        help="only this grade; may be given several times",
    )
    parser.add_argument(
        "--kind",
        action="append",
        help=f"only this kind ({', '.join(SOURCE_KINDS)}); may be given several times",
    )
    parser.add_argument(
        "--certainty",
        action="append",
        choices=[certainty.value for certainty in Certainty],
        help="only this certainty; may be given several times",
    )
    parser.add_argument("--on", metavar="DATE", help="judge for this day; today if not given")
    parser.add_argument(
        "--near", metavar="ROUTE", type=file_path, help="only those near this route, by km along it"
    )
    parser.add_argument("--track", metavar="NAME", help="which track, where the route has several")
    parser.add_argument(
        "--within", metavar="KM", help=f"with --near; {USUAL_WITHIN_KM:g} if not given"
    )
    add_units(parser)
    form = parser.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help="print JSON instead of the table")
    form.add_argument(
        "--geojson", action="store_true", help="print the features as the book has them"
    )


def run(options: argparse.Namespace) -> Answer:
    """List the sources; retired ones are listed as such."""
    on = day_of(options.on, "--on") if options.on else today()
    book = read_book(options.book)
    wanted = SourceFilter(
        grades=[Grade(word) for word in options.grade or ()],
        kinds=options.kind or (),
        certainties=[Certainty(word) for word in options.certainty or ()],
    )
    sources = _near(listed_sources(book, on, wanted), options)
    if options.json:
        return Answer(source_list_json(sources, on=on))
    if options.geojson:
        return Answer(selected_book_text(book, sources))
    measures = Measures(Units(options.units))
    text = source_list_text(sources, on=on, of=len(book.sources), measures=measures)
    return Answer(text + "\n")


def _refuse_without_near(options: argparse.Namespace) -> None:
    for name in ("within", "track"):
        if getattr(options, name) is not None:
            what = "says nothing without --near"
            raise UsageError.single(f"--{name}", "", what, "give --near ROUTE, or leave it out")


def _near(
    sources: tuple[ListedSource, ...], options: argparse.Namespace
) -> tuple[ListedSource, ...]:
    if options.near is None:
        _refuse_without_near(options)
        return sources
    within_km = option_number(options.within, "--within", "km")
    measured = measure_route(read_route(options.near, track=options.track))
    return sources_near_route(
        sources, measured, within_km=USUAL_WITHIN_KM if within_km is None else within_km
    )
