"""What the plan took for granted."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Assumption:
    """One thing that was assumed, printed with the answer."""

    what: str
    """In words: 'speed'."""
    value: str
    """With its unit: '4 km/h'."""
    why: str
    """Reason and source: 'no speed in the trip file; common practice, no source'."""
    key: str = ""
    """The trip key that would replace it: 'pace.speed_kmh'; empty where there is none."""
