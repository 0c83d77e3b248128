"""The files that ``longdry plan`` can write: one option each, all made before one is written."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from longdry.doing.common_options import file_path
from longdry.model.backdrop import Backdrop
from longdry.model.plan.plan import Plan
from longdry.model.words import Units
from longdry.showing.exports.plan_csv import days_csv, fills_csv, stops_csv, stretches_csv
from longdry.showing.exports.plan_geojson import plan_geojson
from longdry.showing.exports.plan_gpx import plan_gpx
from longdry.showing.exports.plan_json import plan_json
from longdry.showing.page.page import page_html
from longdry.showing.words.measures import Measures
from longdry.storage import check_place, replace_files


@dataclass(frozen=True, slots=True)
class Material:
    """What the files are made from."""

    plan: Plan
    units: Units
    backdrops: Sequence[Backdrop]


@dataclass(frozen=True, slots=True)
class Output:
    """One file to write."""

    kind: str
    """What the desk calls it."""
    saved_as: str
    """What the desk calls the file."""
    option: str
    help: str
    make: Callable[[Material], str]

    def path(self, options: argparse.Namespace) -> Path | None:
        """Where the user wants it, None where it is not wanted."""
        found: Path | None = getattr(options, self.option.removeprefix("--").replace("-", "_"))
        return found


OUTPUTS = (
    Output(
        "page",
        "plan.html",
        "--out",
        "write the page (HTML) here",
        lambda of: page_html(of.plan, Measures(of.units), of.backdrops),
    ),
    Output(
        "json",
        "plan.json",
        "--json",
        "write every figure (JSON) here",
        lambda of: plan_json(of.plan),
    ),
    Output(
        "gpx",
        "plan.gpx",
        "--gpx-out",
        "write route, water and stretch ends for a GPS device (GPX) here",
        lambda of: plan_gpx(of.plan),
    ),
    Output(
        "geojson",
        "plan.geojson",
        "--geojson-out",
        "write stretches, passes and sources for a GIS here",
        lambda of: plan_geojson(of.plan),
    ),
    Output(
        "csv-stretches",
        "plan_stretches.csv",
        "--csv-out",
        "write the stretches as a table (CSV) here",
        lambda of: stretches_csv(of.plan),
    ),
    Output(
        "csv-stops",
        "plan_stops.csv",
        "--csv-stops-out",
        "write the stops at water as a table (CSV) here",
        lambda of: stops_csv(of.plan),
    ),
    Output(
        "csv-fills",
        "plan_fills.csv",
        "--csv-fills-out",
        "write the fills as a table (CSV) here",
        lambda of: fills_csv(of.plan),
    ),
    Output(
        "csv-days",
        "plan_days.csv",
        "--csv-days-out",
        "write the days as a table (CSV) here",
        lambda of: days_csv(of.plan),
    ),
)
SAVED_AS = {output.kind: output.saved_as for output in OUTPUTS}


def add_output_arguments(parser: argparse.ArgumentParser) -> None:
    """Add an option for each file that can be written."""
    for output in OUTPUTS:
        parser.add_argument(output.option, metavar="FILE", type=file_path, help=output.help)


def output_paths(options: argparse.Namespace) -> list[Path]:
    """Return the files that are to be written."""
    return [path for output in OUTPUTS if (path := output.path(options))]


def check_outputs(options: argparse.Namespace) -> None:
    """Look at the places of all files before anything is read.

    Raises
    ------
    StorageError
        Where a file can be seen to be impossible to write.
    """
    for path in output_paths(options):
        check_place(path)


def write_outputs(
    plan: Plan, options: argparse.Namespace, backdrops: Sequence[Backdrop] = ()
) -> None:
    """Make every output before the first is written, so that a fault leaves none of them.

    Raises
    ------
    StorageError
        Where a file cannot be written; what was there before still stands, in all places.
    """
    of = Material(plan, Units(options.units), backdrops)
    contents = [(path, out.make(of)) for out in OUTPUTS if (path := out.path(options))]
    replace_files(contents)
