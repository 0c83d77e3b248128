"""What a command has to say once its work is done."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Answer:
    """The text of a command and how it ends."""

    text: str
    status: int = 0
    """0 done, 1 where ``--strict`` found something, 2 bad input."""
