"""The table of least litres as a page holds it: small, and looked up without reckoning."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

import numpy as np

from longdry.model.plan.least import (
    LATE_H,
    PLANNED_EARLY_H,
    PLANNED_LATE_H,
    LeastRow,
    LeastTable,
    PlannedRow,
)
from longdry.showing.figures.figure import Json
from longdry.units import rounded_up

STEPS_PER_L = 10
"""Litres are held in tenths, rounded up."""


def least_json(table: LeastTable) -> Json:
    """Return the table as a page's script looks it up.

    ``late_h`` holds the edges of the columns in hours after the plan, ``waters`` the places that
    rows lead to as name and km. Each row is: from km, to km, hour of the plan since the midnight
    before departure, 1 for a halt, the index of the next water and of that behind, 1 where the next
    is certain, then for each column tenths of litres, rounded up: full, lean, bare, full with the
    reserve, bare with its margin, back, past a dry next water, there and back.

    ``planned`` is the plan itself: from km, to km, from hour, to hour, the index of the next water,
    1 where the stretch is clear, what the plan has there as it is told, then the litres with which
    its promises hold up to each of ``planned_late_h`` late, null where they may not.
    """
    waters: dict[tuple[str, float], int] = {}
    rows = [
        [*_place(row, waters), litres]
        for row, litres in zip(table.rows, _tenths(table), strict=True)
    ]
    waiting = table.waiting
    planned = list(_planned(table, waters))
    return {
        "late_h": LATE_H,
        "waters": [[label, round(km, 3)] for label, km in waters],
        "rows": rows,
        "planned_late_h": [-PLANNED_EARLY_H, *PLANNED_LATE_H],
        "planned": planned,
        "only_on": table.only_on,
        "wait": {
            "l_per_day": round(math.ceil(waiting.l_per_day * 1e3 - 1e-6) / 1e3, 3),
            "always_l": waiting.always_l,
            "help_days": waiting.help_days,
            "found_by_h": waiting.found_by_h,
        },
    }


def _place(row: LeastRow, waters: dict[tuple[str, float], int]) -> list[object]:
    on = waters.setdefault((row.on_label, row.on_km), len(waters))
    back = waters.setdefault((row.back_label, row.back_km), len(waters))
    km = [round(row.from_km, 3), round(row.to_km, 3)]
    return [*km, round(row.hour, 3), int(row.is_halt), on, back, int(row.is_sure)]


def _planned(table: LeastTable, waters: dict[tuple[str, float], int]) -> Iterator[list[object]]:
    """Yield the rows of the plan itself; those of a camp that are alike are one."""
    alike = itertools.groupby(
        table.planned, key=lambda row: (row.from_km, row.to_km, row.on_km, _planned_litres(row))
    )
    for (from_km, to_km, _, litres), some in alike:
        rows = list(some)
        first, last = rows[0], rows[-1]
        yield [
            *(round(one, 3) for one in (from_km, to_km, first.from_h, last.to_h)),
            waters.setdefault((first.on_label, first.on_km), len(waters)),
            int(first.is_clear),
            *litres,
        ]


def _planned_litres(row: PlannedRow) -> tuple[float | None, ...]:
    least = (row.least_l(late) for late in range(len(PLANNED_LATE_H)))
    return (
        round(row.told_l, 1),
        *(round(rounded_up(one, 0.1), 1) if math.isfinite(one) else None for one in least),
    )


def _tenths(table: LeastTable) -> list[list[list[int]]]:
    """Return the litres of each row, column by column, in tenths, rounded up."""
    figures = (
        table.full_l,
        table.lean_l,
        table.bare_l,
        table.full_l + table.reserve_l,
        table.saving_l,
        table.back_l,
        table.past_l,
        table.out_l,
    )
    by_row = (np.stack(figures, axis=-1) * STEPS_PER_L - 1e-9).tolist()
    return [[list(map(math.ceil, litres)) for litres in columns] for columns in by_row]
