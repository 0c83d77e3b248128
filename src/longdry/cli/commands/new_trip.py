"""``longdry new-trip``: write a commented trip file."""

from __future__ import annotations

import argparse

from longdry.cli.answer import Answer
from longdry.doing.common_options import file_path
from longdry.errors import UsageError
from longdry.model.words import Travel
from longdry.showing.exports.new_trip import new_trip_text
from longdry.storage import replace_file

EXAMPLE = "longdry new-trip vehicle trip.toml"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add what ``new-trip`` takes."""
    parser.add_argument("travel", choices=[t.value for t in Travel], help="how the party moves")
    parser.add_argument("file", metavar="FILE", type=file_path, help="the trip file to write")


def run(options: argparse.Namespace) -> Answer:
    """Write the file; one that is there already is left alone."""
    if options.file.is_dir():
        raise UsageError.single(str(options.file), "", "this is a folder", "name a file in it")
    if options.file.exists():
        raise UsageError.single(
            str(options.file), "", "there is a file of this name already", "give another name"
        )
    replace_file(options.file, new_trip_text(Travel(options.travel)))
    return Answer(f"Written: {options.file}\n")
