"""``longdry new-trip``: write a commented trip file."""

from __future__ import annotations

import argparse

from longdry.cli.path_argument import file_path
from longdry.errors import UsageError
from longdry.model.words import Travel

EXAMPLE = "longdry new-trip vehicle trip.toml"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add what ``new-trip`` takes."""
    parser.add_argument("travel", choices=[t.value for t in Travel], help="how the party moves")
    parser.add_argument("file", metavar="FILE", type=file_path, help="the trip file to write")


def run(options: argparse.Namespace) -> int:
    """Write the file; one that is there already is left alone."""
    from longdry.showing.new_trip import new_trip_text  # noqa: PLC0415 - loaded when needed
    from longdry.storage import replace_file  # noqa: PLC0415 - loaded when needed

    if options.file.exists():
        raise UsageError.single(
            str(options.file), "", "there is a file of this name already", "give another name"
        )
    replace_file(options.file, new_trip_text(Travel(options.travel)))
    print(f"Written: {options.file}")
    return 0
