"""How lines are laid on a terminal: plain characters, wrapped, in columns."""

from __future__ import annotations

import textwrap
from collections.abc import Collection, Sequence
from dataclasses import dataclass

from longdry.plain_text import steady

LINE_LETTERS = 96
"""Where nothing is known of the terminal."""
LONGEST_IN_COLUMN = 26
_BOLD, _RED, _YELLOW, _PLAIN = "\x1b[1m", "\x1b[31m", "\x1b[33m", "\x1b[0m"


@dataclass(frozen=True, slots=True)
class Terminal:
    """What the terminal can show."""

    width: int = LINE_LETTERS
    """Columns."""
    colour: bool = False
    is_screen: bool = False
    """Whether lines that are too wide are broken anywhere; a file or a pipe takes any width."""

    def strong(self, text: str) -> str:
        """Set in bold."""
        return f"{_BOLD}{text}{_PLAIN}" if self.colour else text

    def alarm(self, text: str) -> str:
        """Set as what may cost a life."""
        return f"{_BOLD}{_RED}{text}{_PLAIN}" if self.colour else text

    def caution(self, text: str) -> str:
        """Set as what must be heeded."""
        return f"{_YELLOW}{text}{_PLAIN}" if self.colour else text

    def wrapped(self, text: str, first: str = "", later: str = "") -> str:
        """Break into lines, the first and the later ones set in by some text."""
        if 0 < len(text) <= self.width - len(first) and text.isprintable() and text == text.strip():
            return first + text  # what textwrap would give back of most lines
        return textwrap.fill(text, self.width, initial_indent=first, subsequent_indent=later)

    def table(self, rows: Sequence[tuple[str, ...]], left: Collection[int]) -> str:
        """Lay cells in columns, the head first; where they find no room, write row by row."""
        text = aligned(rows, left)
        if not self.is_screen or max(map(len, text.splitlines())) <= self.width:
            return text
        head, *body = rows
        notes = (
            ", ".join(f"{name} {cell}" for name, cell in zip(head, row, strict=True) if cell)
            for row in body
        )
        return "\n".join(self.wrapped(one, "  - ", "    ") for one in notes)


def aligned(rows: Sequence[tuple[str, ...]], left: Collection[int]) -> str:
    """Lay cells in columns; those of ``left`` begin at their left edge, others end at the right."""
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    return "\n".join(
        "  ".join(
            cell.ljust(width) if column in left else cell.rjust(width)
            for column, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in rows
    )


def shortened(name: str) -> str:
    """Return a name that is not longer than a column."""
    shown = steady(name)
    return shown if len(shown) <= LONGEST_IN_COLUMN else shown[: LONGEST_IN_COLUMN - 1] + "…"
