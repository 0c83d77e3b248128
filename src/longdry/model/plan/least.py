"""The least litres to go on with, or to go back with, from anywhere on the way and at any hour."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

from longdry.model.arrays import FloatArray

LATE_H = (-12.0, -2.0, -0.5, 0.5, 2.0, 6.0, 12.0, 24.0, 48.0)
"""Edges of what counts as early, on time, and late by so many hours."""


@dataclass(frozen=True, slots=True)
class LeastRow:
    """A piece of the way that is gone through without a halt, or a halt."""

    from_km: float
    to_km: float
    """The same at a halt."""
    hour: float
    """When the plan is at its beginning, since the midnight before departure."""
    is_halt: bool
    """Whether the party stands there, in a camp or at water, on arriving."""
    on_label: str
    """The next water of the plan, or the end."""
    on_km: float
    back_label: str
    """Water behind that is open at any hour, or the start."""
    back_km: float
    is_sure: bool = True
    """Whether the next water is certain, or the end of the route."""


@dataclass(frozen=True, slots=True)
class WaitingHere:
    """What waiting for help takes, anywhere on the way."""

    l_per_day: float
    """Bare ration, at rest in shade, on the hottest day of the trip."""
    always_l: float
    """Carried and never planned to be spent: not counted."""
    help_days: float | None
    """From the call until help is there, with what the trip adds should the call fail; None: not
    known, or help only comes when the party is overdue."""
    found_by_h: float | None
    """When the party is found who cannot call, since the midnight before departure; None: not
    known."""


@dataclass(frozen=True, slots=True, eq=False)
class LeastTable:
    """For each row and each lateness the most that any place and minute in it asks for.

    Columns are the spans between neighbouring edges of `LATE_H`: a party that is there within them
    needs no more, except what it uses before it moves on. Outside them nothing is said.
    """

    rows: tuple[LeastRow, ...]
    full_l: FloatArray
    """Shape (rows, columns): to the next water on the full ration, what is always carried in it."""
    lean_l: FloatArray
    bare_l: FloatArray
    reserve_l: FloatArray
    """What the trip wants to be left there, on top."""
    back_l: FloatArray
    """Back to water on the bare ration, with the margin of turning back."""
    saving_l: FloatArray
    """To the next water on the bare ration, with the same margin."""
    past_l: FloatArray
    """Where the next water is dry: past it to the one behind it, bare ration, with the margin; 0
    where the next is the end of the route."""
    out_l: FloatArray
    """Where it is dry: there and back to water behind, bare ration, with the margin; 0 as above."""
    waiting: WaitingHere

    def column(self, late_h: float) -> int | None:
        """Return the column of a lateness in hours; None outside all of them."""
        return next(
            (
                index
                for index, (low, high) in enumerate(itertools.pairwise(LATE_H))
                if low <= late_h <= high
            ),
            None,
        )

    def if_dry_l(self, row: int, column: int) -> float:
        """Return what it takes to bear that the next water is dry; 0 where it is certain."""
        if self.rows[row].is_sure:
            return 0.0
        return min(self.past_l.item(row, column), self.out_l.item(row, column))
