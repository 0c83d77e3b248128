"""Runs one command, and turns every foreseen error into one sentence."""

from __future__ import annotations

import argparse
import contextlib
import importlib
import os
import sys
from collections.abc import Sequence
from types import ModuleType
from typing import TextIO

from longdry.cli.command_list import COMMANDS, module_of
from longdry.cli.main import BAD_INPUT, CAUTION, OneSentenceParser
from longdry.errors import LongdryError

INTERRUPTED = 130


def run_command(command: str, words: Sequence[str]) -> int:
    """Run ``command`` with its own words and return its exit status."""
    _print_whatever_the_terminal_can(sys.stdout)
    _print_whatever_the_terminal_can(sys.stderr)
    try:
        parser, module = _parser_and_module(command)
        status = module.run(parser.parse_args(words))
        sys.stdout.flush()
    except LongdryError as error:
        sys.stderr.write(f"longdry: {error}\n")
        return BAD_INPUT
    except KeyboardInterrupt:
        sys.stderr.write("longdry: interrupted; nothing was left half-written.\n")
        return INTERRUPTED
    except BrokenPipeError:
        return _reader_left()
    return int(status)


def command_parser(command: str) -> argparse.ArgumentParser:
    """Build the parser of one command; its module is loaded for that."""
    return _parser_and_module(command)[0]


def _parser_and_module(command: str) -> tuple[argparse.ArgumentParser, ModuleType]:
    module = importlib.import_module(module_of(command))
    parser = OneSentenceParser(
        prog=f"longdry {command}",
        description=f"{COMMANDS[command][0].upper()}{COMMANDS[command][1:]}.",
        epilog=f"Example:\n  {module.EXAMPLE}\n\n{CAUTION}",
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    module.add_arguments(parser)
    return parser, module


def _print_whatever_the_terminal_can(stream: TextIO) -> None:
    with contextlib.suppress(AttributeError, ValueError):
        stream.reconfigure(errors="replace")  # type: ignore[attr-defined]


def _reader_left() -> int:
    """Keep the interpreter from complaining when the reader of a pipe has gone."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return 0
