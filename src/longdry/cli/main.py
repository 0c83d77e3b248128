"""The command line: picks the command, and turns every foreseen error into one sentence."""

from __future__ import annotations

import argparse
import contextlib
import importlib
import os
import sys
from collections.abc import Sequence
from types import ModuleType
from typing import NoReturn, TextIO

from longdry._version import __version__
from longdry.cli.command_list import COMMANDS, module_of
from longdry.errors import LongdryError

BAD_INPUT = 2
INTERRUPTED = 130
DESCRIPTION = "Plans routes and water points in dry country."
CAUTION = (
    "A planning aid: check every figure, ask the local authorities and land managers,"
    " and take medical advice. Water that was there may be gone."
)


class _OneSentence(argparse.ArgumentParser):
    """A parser that answers a wrong word with one sentence."""

    def error(self, message: str) -> NoReturn:
        sys.stderr.write(f"{self.prog}: {message}; '{self.prog} --help' tells what it takes.\n")
        raise SystemExit(BAD_INPUT)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status: 0 done, 1 with --strict, 2 bad input."""
    _print_whatever_the_terminal_can(sys.stdout)
    _print_whatever_the_terminal_can(sys.stderr)
    try:
        return _run(list(sys.argv[1:] if arguments is None else arguments))
    except LongdryError as error:
        sys.stderr.write(f"longdry: {error}\n")
        return BAD_INPUT
    except KeyboardInterrupt:
        sys.stderr.write("longdry: interrupted; nothing was left half-written.\n")
        return INTERRUPTED
    except BrokenPipeError:
        return _reader_left()


def command_parser(command: str) -> argparse.ArgumentParser:
    """Build the parser of one command; its module is loaded for that."""
    return _parser_and_module(command)[0]


def _run(words: list[str]) -> int:
    command = words[0] if words and words[0] in COMMANDS else None
    if command is None:
        _top_parser().parse_args(words or ["--help"])
        return 0
    parser, module = _parser_and_module(command)
    status = module.run(parser.parse_args(words[1:]))
    sys.stdout.flush()
    return int(status)


def _parser_and_module(command: str) -> tuple[argparse.ArgumentParser, ModuleType]:
    module = importlib.import_module(module_of(command))
    parser = _OneSentence(
        prog=f"longdry {command}",
        description=f"{COMMANDS[command][0].upper()}{COMMANDS[command][1:]}.",
        epilog=f"Example:\n  {module.EXAMPLE}\n\n{CAUTION}",
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    module.add_arguments(parser)
    return parser, module


def _top_parser() -> argparse.ArgumentParser:
    listed = "\n".join(f"  {name:<12}{text}" for name, text in COMMANDS.items())
    parser = _OneSentence(
        prog="longdry",
        description=DESCRIPTION,
        epilog=f"commands:\n{listed}\n\n'longdry COMMAND --help' tells more.\n\n{CAUTION}",
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    parser.add_argument("--version", action="version", version=f"longdry {__version__}")
    parser.add_argument("command", choices=list(COMMANDS), metavar="COMMAND", help="see below")
    return parser


def _print_whatever_the_terminal_can(stream: TextIO) -> None:
    with contextlib.suppress(AttributeError, ValueError):
        stream.reconfigure(errors="replace")  # type: ignore[attr-defined]


def _reader_left() -> int:
    """Keep the interpreter from complaining when the reader of a pipe has gone."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return 0
