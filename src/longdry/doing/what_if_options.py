"""What ``longdry plan`` can be asked about what may go wrong."""

from __future__ import annotations

import argparse
from collections.abc import Sequence

from longdry.errors import UsageError
from longdry.model.trip.what_if import USUAL_TRIALS, Change, Inquiry
from longdry.reading.trip.what_ifs import read_what_ifs

MOST_DRAWS = 1_000_000


def add_what_if_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the options about what may go wrong."""
    parser.add_argument(
        "--what-if",
        metavar="WORDS",
        action="append",
        default=[],
        help='look at one thing more that may go wrong, e.g. "delay 2 days at km 410",'
        ' "pace 25 %% slower", "5 C hotter", "lose container NAME", "2 more people", "dry NAME",'
        ' "lose vehicle NAME", "treating fails", "drought";'
        " may be given several times",
    )
    parser.add_argument(
        "--survive-dry",
        nargs="?",
        action=_NewName,
        help=argparse.SUPPRESS,
    )
    parser.add_argument(
        "--trials",
        metavar="N",
        type=_trials,
        default=USUAL_TRIALS,
        help=f"trials of the simulation of running short; 0: none (default: {USUAL_TRIALS})",
    )
    parser.add_argument(
        "--seed", metavar="N", type=_seed, default=1, help="seed of the simulation (default: 1)"
    )


class _NewName(argparse.Action):
    """Answers an option that has gone with its new name."""

    def __call__(
        self, parser: argparse.ArgumentParser, *_of_the_option: object, **_more: object
    ) -> None:
        """Leave with one sentence."""
        parser.error("--survive-dry has become '--fill safe'")


def inquiry_of(options: argparse.Namespace) -> Inquiry:
    """Return what is asked.

    Raises
    ------
    UsageError
        Where the words of a what-if are none that longdry knows.
    """
    return Inquiry(
        changes=_changes(options.what_if),
        origin="--what-if",
        trials=options.trials,
        seed=options.seed,
    )


def _changes(words: Sequence[str]) -> tuple[Change, ...]:
    if not words:
        return ()

    return read_what_ifs(words, origin="--what-if", error=UsageError)


def _trials(text: str) -> int:
    return _whole(text, MOST_DRAWS)


def _seed(text: str) -> int:
    return _whole(text, 2**63 - 1)


def _whole(text: str, most: int) -> int:
    number = int(text) if text.isascii() and text.isdigit() else -1
    if not 0 <= number <= most:
        raise argparse.ArgumentTypeError(f"'{text}' is no whole number from 0 to {most}")
    return number
