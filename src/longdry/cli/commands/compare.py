"""``longdry compare``: read, plan every combination, show, store."""

from __future__ import annotations

import argparse
import datetime as dt
import re
from collections.abc import Sequence
from functools import partial
from pathlib import Path

from longdry import api
from longdry.at_once.cluster import cluster_runner
from longdry.at_once.comparing import Compared, ToCompare, compare
from longdry.at_once.job import Page, Runner
from longdry.at_once.processes import runner
from longdry.cli.answer import Answer
from longdry.cli.commands.plan import NO_LAYER
from longdry.cli.progress import Progress
from longdry.cli.terminal import terminal_here
from longdry.computing.compare.combinations import days_between
from longdry.doing.common_options import add_units, file_path
from longdry.doing.files_apart import keep_apart, read_along
from longdry.doing.plan_options import add_water_arguments
from longdry.errors import LongdryError, UsageError
from longdry.model.words import Units
from longdry.plain_text import escaped
from longdry.reading.route.route_file import route_files_in
from longdry.reading.trip.values import FIRST_YEAR, LAST_YEAR
from longdry.showing.compare.exports import compare_csv, compare_json, routes_geopackage
from longdry.showing.compare.page import compare_html
from longdry.showing.compare.terminal import compare_text
from longdry.showing.words.measures import Measures
from longdry.storage import check_place, make_folder, replace_file, replace_files

EXAMPLE = (
    "longdry compare route.gpx --water sources.geojson --trip trip.toml"
    " --dates 2027-04-01..2027-10-31 --both-ways --out compare.html"
)
MOST_DAYS = 3660
MOST_WORKERS = 256
USUAL_STEP = 7
_PAGE_NAME = re.compile(r"trip\d+-route\d+-.*\.html")
_OUTPUTS = ("out", "json", "csv", "gpkg_out")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add what ``compare`` takes."""
    _add_inputs(parser)
    _add_what_varies(parser)
    for name, text in (
        ("--out", "write the page (HTML) here"),
        ("--json", "write every figure (JSON) here"),
        ("--csv", "write the combinations as a table (CSV) here"),
        ("--gpkg-out", "write the routes with their figures for a GIS (GeoPackage) here"),
    ):
        parser.add_argument(name, metavar="FILE", type=file_path, help=text)
    parser.add_argument(
        "--plans",
        metavar="FOLDER",
        type=file_path,
        help="write the page of every whole plan into this folder; the page links them",
    )
    add_units(parser)
    parser.add_argument(
        "--workers",
        metavar="N",
        type=partial(_whole, most=MOST_WORKERS),
        help="processes that plan side by side (default: one for each core, where worth it)",
    )
    parser.add_argument(
        "--scheduler",
        metavar="ADDRESS",
        help="have a Dask cluster plan, whose scheduler answers here, e.g. tcp://10.0.0.5:8786;"
        " takes longdry[dask]",
    )


def _add_inputs(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "routes",
        metavar="ROUTE",
        nargs="+",
        type=file_path,
        help="GPX file, any line layer, or a folder of such",
    )
    parser.add_argument(
        "--each-line",
        action="store_true",
        help="take every line of a file as a route of its own; without it a file is one route, as"
        " for plan",
    )
    add_water_arguments(parser)
    parser.add_argument(
        "--trip",
        metavar="FILE",
        type=file_path,
        action="append",
        default=[],
        help="trip file (TOML); may be given several times, to compare trips",
    )


def _add_what_varies(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--dates",
        metavar="FIRST..LAST",
        type=_days,
        help="days of departure, e.g. 2027-04-01..2027-10-31, at each trip's own time of day"
        " (default: each trip's own day)",
    )
    parser.add_argument(
        "--step",
        metavar="DAYS",
        type=partial(_whole, most=MOST_DAYS),
        help=f"days from one departure to the next (default: {USUAL_STEP})",
    )
    parser.add_argument(
        "--both-ways",
        action="store_true",
        help="plan each route from its end to its start too",
    )


def _days(text: str) -> tuple[dt.date, dt.date]:
    first, dots, last = text.partition("..")
    try:
        days = dt.date.fromisoformat(first.strip()), dt.date.fromisoformat(last.strip())
    except ValueError:
        days = None
    if not dots or days is None:
        raise argparse.ArgumentTypeError(
            f"'{text}' is no span of days; write the first and the last day as"
            " 2027-04-01..2027-10-31"
        )
    if not all(FIRST_YEAR <= day.year <= LAST_YEAR for day in days):
        raise argparse.ArgumentTypeError(
            f"'{text}' is out of range; write years from {FIRST_YEAR} to {LAST_YEAR}"
        )
    if days[1] < days[0]:
        raise argparse.ArgumentTypeError(f"'{text}' ends before it begins; exchange the two days")
    return days


def _whole(text: str, *, most: int) -> int:
    number = int(text) if text.isascii() and text.isdigit() and len(text) <= len(str(most)) else 0
    if not 1 <= number <= most:
        raise argparse.ArgumentTypeError(f"'{text}' is no whole number from 1 to {most}")
    return number


def run(options: argparse.Namespace) -> Answer:
    """Plan every combination and write what was asked for; the status is 0 whatever it comes to."""
    days = _days_asked(options)
    files = _route_files(options)
    outputs = _output_paths(options)
    if outputs:
        given = [*files, *options.water, *options.fields, *options.trip]
        keep_apart([*given, *read_along(given, options.trip)], outputs)
    _check_places(options, outputs)
    with Progress() as progress:
        progress.step("reading the trips")
        trips = [api.read_trip(path) for path in options.trip] or [api.read_trip()]
        progress.step("reading the water layers")
        asked = ToCompare(
            routes=files,
            water=api.read_water(options.water, fields=options.fields),
            trips=tuple(trips),
            days=days,
            both_ways=options.both_ways,
            each_line=options.each_line,
            page_units=Units(options.units) if options.plans else None,
            lines_wanted=options.gpkg_out is not None,
        )
        progress.step("planning")
        compared = compare(
            asked,
            _runner(options),
            told=lambda done, of: progress.count(done, of, "planning"),
            take_page=partial(_write_page, options.plans) if options.plans else None,
        )
        _refuse_where_no_route_was_read(compared)
        progress.step("making and writing the files")
        _write(compared, options)
    return Answer(_text(compared, options, outputs))


def _days_asked(options: argparse.Namespace) -> tuple[dt.date, ...]:
    if options.dates is None:
        if options.step is not None:
            raise UsageError.single("--step", "", "is given without --dates", "give both")
        return ()
    first, last = options.dates
    days = days_between(first, last, options.step or USUAL_STEP)
    if len(days) > MOST_DAYS:
        what = f"{len(days):,} days of departure are more than {MOST_DAYS:,}"
        raise UsageError.single("--dates", "", what, "take fewer, or a larger --step")
    return days


def _route_files(options: argparse.Namespace) -> tuple[Path, ...]:
    """Return the files that are named, and those of folders but for files named otherwise."""
    read_otherwise = {path.resolve() for path in (*options.water, *options.fields)}
    written = {path.resolve() for path in _output_paths(options)}
    found: list[Path] = []
    for path in options.routes:
        if path.is_dir():
            inside = route_files_in(path)
            found += [one for one in inside if one.resolve() not in read_otherwise | written]
        else:
            found.append(path)
    if not found:
        what = "the folder holds no file but those named otherwise"
        raise UsageError.single(str(options.routes[0]), "", what, "name files with routes")
    return tuple(dict.fromkeys(found))


def _output_paths(options: argparse.Namespace) -> list[Path]:
    return [path for name in _OUTPUTS if (path := getattr(options, name))]


def _check_places(options: argparse.Namespace, outputs: Sequence[Path]) -> None:
    if options.plans:
        _keep_from_pages(options.plans, outputs)
    for path in outputs:
        check_place(path)
    if options.plans:
        if options.plans.is_file():
            what = "is a file, and the plans need a folder"
            raise UsageError.single(str(options.plans), "", what, "name a folder, new or not")
        check_place(options.plans / "plan.html" if options.plans.is_dir() else options.plans)
    if options.scheduler and options.workers:
        what = "--workers counts processes of this machine, and a cluster has its own"
        raise UsageError.single("--scheduler", "", what, "give one of the two")


def _keep_from_pages(folder: Path, outputs: Sequence[Path]) -> None:
    """Refuse an output in the place of the folder of pages, or of a page in it."""
    for path in outputs:
        is_page = path.parent.resolve() == folder.resolve() and _PAGE_NAME.fullmatch(path.name)
        if is_page or path.resolve() == folder.resolve():
            what = f"{folder} is the folder of the plans and their pages"
            raise UsageError.single(str(path), "", what, "give the file another name")


def _runner(options: argparse.Namespace) -> Runner:
    return cluster_runner(options.scheduler) if options.scheduler else runner(options.workers)


def _write_page(folder: Path, page: Page) -> str:
    make_folder(folder)
    file = folder / f"{page.of.key}.html"
    replace_file(file, page.html)
    return str(file)


def _refuse_where_no_route_was_read(compared: Compared) -> None:
    failed = [route.failed for route in compared.comparison.routes]
    if all(failed):
        more = f" None of the {len(failed):,} routes can be read." if len(failed) > 1 else ""
        raise LongdryError(f"{failed[0]}{more}")


def _write(compared: Compared, options: argparse.Namespace) -> None:
    """Make every output before the first is written, so that a fault leaves none of them."""
    comparison, contents = compared.comparison, list[tuple[Path, bytes | str]]()
    if options.out:
        page = compare_html(comparison, Measures(Units(options.units)), options.out)
        contents.append((options.out, page))
    if options.json:
        contents.append((options.json, compare_json(comparison)))
    if options.csv:
        contents.append((options.csv, compare_csv(comparison)))
    if options.gpkg_out:
        contents.append((options.gpkg_out, routes_geopackage(comparison, compared.lines)))
    replace_files(contents)


def _text(compared: Compared, options: argparse.Namespace, outputs: Sequence[Path]) -> str:
    text = compare_text(compared.comparison, Measures(Units(options.units)), terminal_here())
    pages = sum(bool(row.page) for row in compared.comparison.rows)
    lines = [
        text,
        *(() if options.water else (NO_LAYER,)),
        *(f"Written: {escaped(str(path))}" for path in outputs),
        *((f"Written: {pages:,} pages in {escaped(str(options.plans))}",) if pages else ()),
    ]
    return "\n".join(lines) + "\n"
