"""Runs one command, and turns every foreseen error into one sentence."""

from __future__ import annotations

import argparse
import importlib
from collections.abc import Sequence
from types import ModuleType

from longdry.cli.command_list import COMMANDS, module_of
from longdry.cli.parser import BAD_INPUT, CAUTION, OneSentenceParser
from longdry.cli.terminal import print_error, write_answer
from longdry.errors import LongdryError


def run_command(command: str, words: Sequence[str]) -> int:
    """Run ``command`` with its own words and return its exit status."""
    try:
        parser, module = _parser_and_module(command)
        answer = module.run(parser.parse_args(words))
    except LongdryError as error:
        print_error(str(error))
    except MemoryError:
        print_error("this takes more memory than there is; take smaller files, or fewer at once.")
    else:
        return write_answer(answer.text, answer.status)
    return BAD_INPUT


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
