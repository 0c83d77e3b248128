"""The front door of the command line; it loads a command only once it knows which is wanted."""

from __future__ import annotations

import argparse
import importlib
import os
import sys
from collections.abc import Sequence
from types import ModuleType

from longdry._version import __version__
from longdry.cli.parser import BAD_INPUT, OneSentenceParser
from longdry.cli.printing import StopKey, print_error, print_whatever_it_can, write_answer
from longdry.errors import LongdryError
from longdry.model.words import CAUTION

DESCRIPTION = "Plans routes and water points in dry country."
COMMANDS = {
    "plan": "plan a trip: dry stretches, litres needed, one offline page",
    "desk": "open a folder of a trip in the browser of this computer",
    "compare": "compare routes, directions, days and trips: can it be done, and when",
    "tally": "write down what is left on the way, and see the true rates",
    "new-trip": "write a commented trip file to fill in",
    "trip-schema": "print the JSON Schema of the trip file, for editors",
    "mark": "mark a new source in the water book",
    "visit": "write down what was found at a source",
    "retire": "stop counting a source, keeping what is known of it",
    "bring": "bring another layer or recorded waypoints into the water book",
    "sources": "list the sources of a water book",
}
"""The commands and what each is for; the modules themselves are loaded only when used."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status: 0 done, 1 with --strict, 2 bad input."""
    key = StopKey()
    if arguments is None:
        key.listen()
    try:
        return _status_of(list(sys.argv[1:] if arguments is None else arguments))
    except (KeyboardInterrupt, Exception) as stopped:
        if not key.pressed and not isinstance(stopped, KeyboardInterrupt):
            raise
        return key.interrupted()
    finally:
        if arguments is None:
            key.leave()


def _status_of(words: list[str]) -> int:
    print_whatever_it_can()
    if words and words[0] in COMMANDS:
        if not _stands_in_a_folder():
            print_error(
                "the folder that you are in is no longer there; go into one that is, and ask again."
            )
            return BAD_INPUT
        return run_command(words[0], words[1:])
    _top_parser().parse_args(words or ["--help"])
    return 0


def _stands_in_a_folder() -> bool:
    try:
        os.getcwd()  # noqa: PTH109 - loading pathlib is a tenth of what --help takes
    except OSError:
        return False
    return True


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


def run_command(command: str, words: Sequence[str]) -> int:
    """Run ``command`` with its own words and return its exit status."""
    try:
        parser, module = command_parser(command), _module_of(command)
        taken = module.words_taken(words, parser) if hasattr(module, "words_taken") else words
        answer = module.run(parser.parse_args(taken))
    except LongdryError as error:
        print_error(str(error))
    except MemoryError:
        print_error("this takes more memory than there is; take smaller files, or fewer at once.")
    else:
        return write_answer(answer.text, answer.status)
    return BAD_INPUT


def command_parser(command: str) -> argparse.ArgumentParser:
    """Build the parser of one command; its module is loaded for that."""
    module = _module_of(command)
    parser = OneSentenceParser(
        prog=f"longdry {command}",
        description=f"{COMMANDS[command][0].upper()}{COMMANDS[command][1:]}.",
        epilog=f"Example:\n  {module.EXAMPLE}\n\n{CAUTION}",
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    module.add_arguments(parser)
    return parser


def module_of(command: str) -> str:
    """Return the full name of the module that runs ``command``."""
    return f"longdry.cli.commands.{command.replace('-', '_')}"


def _module_of(command: str) -> ModuleType:
    return importlib.import_module(module_of(command))
