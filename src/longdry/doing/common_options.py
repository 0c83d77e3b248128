"""What many commands take alike: names of files, and the units that people read figures in."""

from __future__ import annotations

import argparse
from pathlib import Path

from longdry.model.words import Units


def file_path(text: str) -> Path:
    """Return the path that is named; an empty name would quietly mean this folder.

    >>> file_path("plan.html").name
    'plan.html'
    """
    if not text.strip():
        raise argparse.ArgumentTypeError("an empty name names no file")
    return Path(text)


def add_units(parser: argparse.ArgumentParser) -> None:
    """Add ``--units``."""
    parser.add_argument(
        "--units",
        choices=[units.value for units in Units],
        default=Units.METRIC.value,
        help="what people read figures in; files stay metric (default: metric)",
    )
