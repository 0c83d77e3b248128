"""The least litres to go on with, or to go back with, from anywhere on the way and at any hour."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from longdry.model.arrays import FloatArray
from longdry.units import UNSEEN_KM, rounded_down, told_step

LATE_H = (-12.0, -2.0, -0.5, 0.5, 2.0, 6.0, 12.0, 24.0, 48.0)
"""Edges of what counts as early, on time, and late by so many hours."""

PLANNED_EARLY_H = 0.5
PLANNED_LATE_H = (0.05, 0.5, 2.0)
"""Who is earlier or later than this at a place of the plan is no longer on the plan."""
SAME_H = 0.01
"""Of rows that are as near in time as this, the later one counts."""


def as_read_l(litres: float) -> float:
    """Return litres as pages tell what is carried, and as people read it off: whole ones from 10.

    >>> as_read_l(36.9), as_read_l(3.19)
    (36.0, 3.1)
    """
    return rounded_down(litres, told_step(litres))


@dataclass(frozen=True, slots=True)
class PlannedRow:
    """A part of the way or of a camp, as the plan goes it, and the litres that its promises take.

    They are: on its ration to the next water; should that be dry, on or back on the bare one.
    """

    from_km: float
    to_km: float
    from_h: float
    """Since the midnight before departure."""
    to_h: float
    on_label: str
    """The next water of the plan, or the end."""
    on_km: float
    is_clear: bool
    """Whether the verdict of the stretch is."""
    has_l: float
    """What the plan has at its end."""
    saving_l: float
    """What must be left at its end, with the margin, for who lives on the bare ration from there on
    and finds the next water dry."""
    hardest_l: tuple[float, ...]
    """What the hardest minute of it asks for, up to each of `PLANNED_LATE_H` late: without the
    margin, the last with it; infinite where it may find the next water shut."""

    def late_h(self, km: float, hour: float) -> float:
        """Return how much later than the plan an hour is at a km; below zero where it is earlier.

        At a standstill nobody is early or late between its beginning and its end.
        """
        along_km = self.to_km - self.from_km
        if along_km > 0.0:
            part = min(max((km - self.from_km) / along_km, 0.0), 1.0)
            return hour - self.from_h - (self.to_h - self.from_h) * part
        return min(hour - self.from_h, 0.0) + max(hour - self.to_h, 0.0)

    def least_l(self, late: int) -> float:
        """Return the litres with which the promises hold for who is up to a lateness late.

        That a row is long comes out of the margin, never out of the litres.
        """
        return max(as_read_l(self.saving_l), self.hardest_l[late])

    @property
    def told_l(self) -> float:
        """What the plan has at its end, as people read it off."""
        return as_read_l(self.has_l)


class OnPlan(NamedTuple):
    """Where on the plan a party is."""

    row: PlannedRow
    late: int
    """Index in `PLANNED_LATE_H` of the lateness that it is within."""


def row_on_plan(
    planned: Sequence[PlannedRow], km: float, hour: float, on_km: float
) -> OnPlan | None:
    """Return the row of the plan itself that is nearest in time; None: not on the plan.

    Parameters
    ----------
    on_km
        Of the next water: at a water two stretches meet.
    """
    near = [
        (row, late_h)
        for row in planned
        if row.on_km == on_km
        and row.from_km - UNSEEN_KM <= km <= row.to_km + UNSEEN_KM
        and -PLANNED_EARLY_H <= (late_h := row.late_h(km, hour)) <= PLANNED_LATE_H[-1]
    ]
    if not near:
        return None
    least_h = min(abs(late_h) for _, late_h in near)
    row, late_h = next(one for one in reversed(near) if abs(one[1]) <= least_h + SAME_H)
    late = next(index for index, most_h in enumerate(PLANNED_LATE_H) if late_h <= most_h)
    return OnPlan(row, late)


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
    is_on_arriving: bool = False
    """Whether it is a stop as the party comes there, where the plan stays until much later: the
    figures are for who finds it dry. On leaving it has a row of its own."""


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
    planned: tuple[PlannedRow, ...] = ()
    """The plan itself, in travel order; stretches that are too long are left out."""
    only_on: bool = False
    """Whether the trip lets nobody go back from a dry water."""

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
        past_l = self.past_l.item(row, column)
        return past_l if self.only_on else min(past_l, self.out_l.item(row, column))
