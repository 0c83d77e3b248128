"""The parser of every command: a wrong word gets one sentence, and help is printed like answers."""

from __future__ import annotations

import argparse
import sys

from longdry.cli.printing import print_error, write_answer

TYPE_CHECKING = False
if TYPE_CHECKING:  # as in longdry/__init__.py
    from typing import Any, NoReturn

BAD_INPUT = 2


class OneSentenceParser(argparse.ArgumentParser):
    """A parser that answers a wrong word with one sentence."""

    def error(self, message: str) -> NoReturn:
        """Leave with status 2 after one sentence on standard error."""
        print_error(f"{message}; '{self.prog} --help' tells what it takes.", who=self.prog)
        raise SystemExit(BAD_INPUT)

    def _print_message(self, message: str, file: Any = None) -> None:  # noqa: ANN401 - as in argparse
        """Print help and version; a full disk ends with one sentence, as for any answer."""
        if file is not sys.stdout:
            super()._print_message(message, file)
        elif status := write_answer(message, 0):
            raise SystemExit(status)
