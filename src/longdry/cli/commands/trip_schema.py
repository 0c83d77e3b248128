"""``longdry trip-schema``: print the JSON Schema of the trip file."""

from __future__ import annotations

import argparse

from longdry.cli.answer import Answer
from longdry.reading.trip.schema import trip_schema_text

EXAMPLE = "longdry trip-schema > trip.schema.json"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add nothing: the schema is always the same."""
    del parser


def run(options: argparse.Namespace) -> Answer:
    """Print the schema."""
    del options
    return Answer(trip_schema_text())
