"""What the user asks about what may go wrong."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:  # most inquiries name none
    from longdry.model.change import Change

USUAL_TRIALS = 4000
"""A chance of one half then has a standard error below 0.8 %."""


@dataclass(frozen=True, slots=True)
class Inquiry:
    """What is to be found out beside the usual set."""

    changes: tuple[Change, ...] = ()
    """On top of those that the trip file names."""
    origin: str = "what if"
    """Where they were written, to be named where one asks for what is not there."""
    survive_dry: bool = False
    """Whether the fills must hold when any one uncertain source is dry."""
    trials: int = USUAL_TRIALS
    """Of the simulation; 0: no chance is worked out."""
    seed: int = 1


USUAL_INQUIRY = Inquiry()
