"""The option for the units that people read figures in."""

from __future__ import annotations

import argparse

from longdry.model.words import Units


def add_units(parser: argparse.ArgumentParser) -> None:
    """Add ``--units``."""
    parser.add_argument(
        "--units",
        choices=[units.value for units in Units],
        default=Units.METRIC.value,
        help="what people read figures in; files stay metric (default: metric)",
    )
