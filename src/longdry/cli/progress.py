"""What is going on, on the terminal's error line, when it takes longer than a second."""

from __future__ import annotations

import sys
import threading
import time
from typing import Self, TextIO

PATIENCE_S = 1.0
"""Work that is done sooner is told nothing of."""
_TICK_S = 0.5
_WIDEST = 72
_MANY_S = 90.0


class Progress:
    """Tells the step that is under way, and for how long; only where a person watches.

    Nothing is written to a file or a pipe. What was written is wiped when the work ends, however
    it ends, so that the next line begins clean.

    Parameters
    ----------
    stream
        Where to tell; standard error where none is given.
    patience_s
        How long to be silent at first.
    """

    def __init__(self, stream: TextIO | None = None, *, patience_s: float = PATIENCE_S) -> None:
        self._stream = sys.stderr if stream is None else stream
        self._patience_s = patience_s
        self._words = ""
        self._since = time.monotonic()
        self._first_count: tuple[float, int] | None = None
        self._written = 0
        self._ended = threading.Event()
        self._ticker: threading.Thread | None = None

    def step(self, words: str) -> None:
        """Say what begins now: 'reading the route'."""
        self._since = time.monotonic()
        self._first_count = None
        self._words = words

    def count(self, done: int, of: int, what: str) -> None:
        """Say how much of the step is done, and about how long the rest will take.

        Reckoned from the first count on: what comes before it is the start of the work.
        """
        now_s = time.monotonic()
        if self._first_count is None:
            self._first_count = (now_s, done)
        begun_s, begun = self._first_count
        left = ""
        if done > begun:
            left = f", about {_short((now_s - begun_s) * (of - done) / (done - begun))} left"
        self._words = f"{what} {done:,} of {of:,}{left}"

    def __enter__(self) -> Self:
        if self._stream is not None and self._stream.isatty():
            self._ticker = threading.Thread(target=self._tick, daemon=True)
            self._ticker.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._ended.set()
        if self._ticker:
            self._ticker.join()
            self._write("")

    def _tick(self) -> None:
        pause_s = self._patience_s
        while not self._ended.wait(pause_s):
            pause_s = min(_TICK_S, self._patience_s)
            seconds = int(time.monotonic() - self._since)
            self._write(f"longdry: {self._words}, {seconds} s"[:_WIDEST] if self._words else "")

    def _write(self, text: str) -> None:
        if text or self._written:
            self._stream.write(f"\r{text:<{self._written}}" + ("" if text else "\r"))
            self._stream.flush()
            self._written = len(text)


def _short(seconds: float) -> str:
    """Write a time that is left.

    >>> _short(12.3), _short(170.0)
    ('12 s', '3 min')
    """
    return f"{seconds:.0f} s" if seconds < _MANY_S else f"{seconds / 60.0:.0f} min"
