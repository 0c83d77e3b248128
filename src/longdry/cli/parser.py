"""The parser of every command: a wrong word gets one sentence, and help is printed like answers."""

from __future__ import annotations

import argparse
import re
import sys

from longdry.cli.printing import print_error, write_answer
from longdry.doing.argument_words import in_our_words

TYPE_CHECKING = False
if TYPE_CHECKING:  # as in longdry/__init__.py
    from typing import Any, NoReturn

    from _typeshed import SupportsWrite

BAD_INPUT = 2
_LOOKS_LIKE_A_NUMBER = re.compile(r"-\.?\d")


class OneSentenceParser(argparse.ArgumentParser):
    """A parser that answers a wrong word with one sentence, and takes -25,131 for a value."""

    def __init__(self, *words: Any, **named: Any) -> None:  # noqa: ANN401 - as in argparse
        super().__init__(*words, **named)
        self._negative_number_matcher = _LOOKS_LIKE_A_NUMBER

    def error(self, message: str) -> NoReturn:
        """Leave with status 2 after one sentence on standard error."""
        what = in_our_words(message, self)
        print_error(f"{what}; '{self.prog} --help' tells what it takes.", who=self.prog)
        raise SystemExit(BAD_INPUT)

    def _print_message(self, message: str, file: SupportsWrite[str] | None = None) -> None:
        """Print help and version; a full disk ends with one sentence, as for any answer."""
        if file is not sys.stdout:
            super()._print_message(message, file)
        elif status := write_answer(message, 0):
            raise SystemExit(status)
