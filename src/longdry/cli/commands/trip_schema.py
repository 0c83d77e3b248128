"""``longdry trip-schema``: print the JSON Schema of the trip file."""

from __future__ import annotations

import argparse

EXAMPLE = "longdry trip-schema > trip.schema.json"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add nothing: the schema is always the same."""
    del parser


def run(options: argparse.Namespace) -> int:
    """Print the schema."""
    from longdry.reading.trip_schema import trip_schema_text  # noqa: PLC0415 - loaded when needed

    del options
    print(trip_schema_text(), end="")
    return 0
