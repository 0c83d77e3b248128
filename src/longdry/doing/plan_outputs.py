"""The files that ``longdry plan`` can write: one option each, all made before one is written."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from longdry.doing.path_argument import file_path
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
    options: argparse.Namespace
    backdrops: Sequence[Backdrop]


def _page(of: Material) -> str:

    return page_html(of.plan, Measures(Units(of.options.units)), of.backdrops)


def _json(of: Material) -> str:

    return plan_json(of.plan)


def _gpx(of: Material) -> str:

    return plan_gpx(of.plan)


def _geojson(of: Material) -> str:

    return plan_geojson(of.plan)


def _stretches_csv(of: Material) -> str:

    return stretches_csv(of.plan)


def _stops_csv(of: Material) -> str:

    return stops_csv(of.plan)


def _fills_csv(of: Material) -> str:

    return fills_csv(of.plan)


def _days_csv(of: Material) -> str:

    return days_csv(of.plan)


@dataclass(frozen=True, slots=True)
class Output:
    """One file to write."""

    option: str
    help: str
    make: Callable[[Material], str]

    def path(self, options: argparse.Namespace) -> Path | None:
        """Where the user wants it, None where it is not wanted."""
        found: Path | None = getattr(options, self.option.removeprefix("--").replace("-", "_"))
        return found


OUTPUTS = (
    Output("--out", "write the page (HTML) here", _page),
    Output("--json", "write every figure (JSON) here", _json),
    Output("--gpx-out", "write route, water and stretch ends for a GPS device (GPX) here", _gpx),
    Output("--geojson-out", "write stretches, passes and sources for a GIS here", _geojson),
    Output("--csv-out", "write the stretches as a table (CSV) here", _stretches_csv),
    Output("--csv-stops-out", "write the stops at water as a table (CSV) here", _stops_csv),
    Output("--csv-fills-out", "write the fills as a table (CSV) here", _fills_csv),
    Output("--csv-days-out", "write the days as a table (CSV) here", _days_csv),
)


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
    of = Material(plan, options, backdrops)
    contents = [(path, out.make(of)) for out in OUTPUTS if (path := out.path(options))]
    replace_files(contents)
