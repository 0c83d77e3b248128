"""What becomes of printed words: a full disk, a reader who has gone, a key pressed to stop."""

from __future__ import annotations

import os
import signal
import sys

from longdry.plain_text import escaped

TYPE_CHECKING = False
if TYPE_CHECKING:  # as in longdry/__init__.py
    from typing import TextIO

FAILED = 2
_STOPPED_BY = 128
"""To this the number of the signal is added, as shells have it: 130 for Ctrl-C."""


def print_whatever_it_can() -> None:
    """Let letters that the terminal does not know be replaced, not fail."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")


def print_error(sentence: str, *, who: str = "longdry") -> None:
    """Write one sentence on standard error, if that can still be written to."""
    try:
        sys.stderr.write(f"{who}: {escaped(sentence)}\n")
        sys.stderr.flush()
    except (AttributeError, OSError, ValueError):
        _let_go_of(sys.stderr)


def write_answer(text: str, status: int) -> int:
    """Write what a command answers; return ``status``, or 2 where it cannot be written.

    A reader who has gone, as ``head`` does, is no fault.
    """
    if sys.stdout is None:  # closed by whoever started longdry
        return status
    try:
        sys.stdout.write(text)
        sys.stdout.flush()
    except BrokenPipeError:
        _let_go_of(sys.stdout)
    except OSError as problem:
        _let_go_of(sys.stdout)
        reason = problem.strerror or str(problem)
        print_error(f"printing failed: {reason}; make room, or send the output elsewhere.")
        return FAILED
    return status


class StopKey:
    """Hears Ctrl-C (SIGINT) and a polite kill (SIGTERM) while a command runs, and remembers it.

    What Python raises then may come out as something else: an import that is cut short by it ends
    in an ImportError.
    """

    def __init__(self) -> None:
        self.pressed = False
        self.number = int(signal.SIGINT)

    def listen(self) -> None:
        """Listen from now on, unless whoever started longdry wants the signal unheard."""
        if signal.getsignal(signal.SIGINT) is signal.default_int_handler:
            signal.signal(signal.SIGINT, self._heard)
        if signal.getsignal(signal.SIGTERM) is signal.SIG_DFL:
            signal.signal(signal.SIGTERM, self._heard)

    def _heard(self, number: int, _frame: object) -> None:
        self.pressed = True
        self.number = number
        sys.unraisablehook = lambda _swallowed: None
        raise KeyboardInterrupt

    def leave(self) -> None:
        """Let no key interrupt the few steps in which Python itself ends."""
        signal.signal(signal.SIGINT, signal.SIG_IGN)
        signal.signal(signal.SIGTERM, signal.SIG_IGN)

    def interrupted(self) -> int:
        """Say that nothing is half-written, and return the status of an interrupted command."""
        print_error("interrupted; nothing was left half-written.")
        return _STOPPED_BY + self.number


def _let_go_of(stream: TextIO | None) -> None:
    """Keep the interpreter from writing the rest when it ends."""
    try:
        if stream is not None:
            os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())
    except (OSError, ValueError):
        return
