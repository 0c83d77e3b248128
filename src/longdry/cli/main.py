"""The front door of the command line; it loads nothing until it knows which command is wanted."""

from __future__ import annotations

import argparse
import gc
import os
import sys

from longdry._version import __version__
from longdry.cli.command_list import COMMANDS
from longdry.cli.terminal import (
    KeptBack,
    StopKey,
    complain,
    print_whatever_it_can,
)

TYPE_CHECKING = False
if TYPE_CHECKING:  # typing alone would take a third of the time of --help
    from collections.abc import Sequence
    from typing import NoReturn

BAD_INPUT = 2
DESCRIPTION = "Plans routes and water points in dry country."
CAUTION = (
    "A planning aid: check every figure, ask the local authorities and land managers,"
    " and take medical advice. Water that was there may be gone."
)


class OneSentenceParser(argparse.ArgumentParser):
    """A parser that answers a wrong word with one sentence."""

    def error(self, message: str) -> NoReturn:
        """Leave with status 2 after one sentence on standard error."""
        complain(f"{message}; '{self.prog} --help' tells what it takes.", who=self.prog)
        raise SystemExit(BAD_INPUT)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status: 0 done, 1 with --strict, 2 bad input."""
    key = StopKey()
    if arguments is None:
        key.listen()
        gc.disable()  # a command ends before garbage matters; looking for it takes a third longer
        _keep_numpy_single_threaded()
    try:
        return _printed(list(sys.argv[1:] if arguments is None else arguments))
    except (KeyboardInterrupt, Exception) as stopped:
        if not key.pressed and not isinstance(stopped, KeyboardInterrupt):
            raise
        return key.interrupted()
    finally:
        if arguments is None:
            gc.freeze()  # Python looks for garbage once more as it ends: a tenth of the whole time
            key.leave()


def _keep_numpy_single_threaded() -> None:
    """Keep numpy's linear algebra, hardly asked for here, from waking threads that spin idly.

    On a machine with two cores they take 40 to 110 ms of processor time at the start of every
    command, the more the less else is running. What the user has set stands.
    """
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")


def _printed(words: list[str]) -> int:
    print_whatever_it_can()
    kept = KeptBack()
    try:
        with kept:
            status = _status_of(words)
    except SystemExit as ended:  # how argparse ends, after --help too
        raise SystemExit(kept.written(int(ended.code or 0))) from None
    return kept.written(status)


def _status_of(words: list[str]) -> int:
    if words and words[0] in COMMANDS:
        from longdry.cli.running import run_command  # noqa: PLC0415 - not for --help

        return run_command(words[0], words[1:])
    _top_parser().parse_args(words or ["--help"])
    return 0


def _top_parser() -> argparse.ArgumentParser:
    listed = "\n".join(f"  {name:<12}{text}" for name, text in COMMANDS.items())
    parser = OneSentenceParser(
        prog="longdry",
        description=DESCRIPTION,
        epilog=f"commands:\n{listed}\n\n'longdry COMMAND --help' tells more.\n\n{CAUTION}",
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    parser.add_argument("--version", action="version", version=f"longdry {__version__}")
    parser.add_argument("command", choices=list(COMMANDS), metavar="COMMAND", help="see below")
    return parser
