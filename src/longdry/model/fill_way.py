"""How the party wants to fill: all of the fills that a plan without containers asks after."""

from __future__ import annotations

from dataclasses import dataclass

from longdry.model.words import FillHabit


@dataclass(frozen=True, slots=True)
class FillWay:
    """How the party wants to fill."""

    habit: FillHabit = FillHabit.LEAST
    whole_containers: bool = False
    """Fill containers to their mark only, so that the rest is known by counting."""


FILL_LEAST = FillWay()
