"""The table of least litres as a page holds it: small, and looked up without reckoning."""

from __future__ import annotations

import math

from longdry.model.arrays import FloatArray
from longdry.model.plan.least import LATE_H, LeastRow, LeastTable
from longdry.showing.figures.figure import Json

STEPS_PER_L = 10
"""Litres are held in tenths, rounded up."""


def least_json(table: LeastTable) -> Json:
    """Return the table as a page's script looks it up.

    ``late_h`` holds the edges of the columns in hours after the plan, ``waters`` the places that
    rows lead to as name and km. Each row is: from km, to km, hour of the plan since the midnight
    before departure, 1 for a halt, the index of the next water and of that behind, 1 where the next
    is certain, then for each column tenths of litres, rounded up: full, lean, bare, full with the
    reserve, bare with its margin, back, past a dry next water, there and back.
    """
    waters: dict[tuple[str, float], int] = {}
    rows = [[*_place(row, waters), _tenths(table, number)] for number, row in enumerate(table.rows)]
    waiting = table.waiting
    return {
        "late_h": LATE_H,
        "waters": [[label, round(km, 3)] for label, km in waters],
        "rows": rows,
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


def _tenths(table: LeastTable, number: int) -> list[list[int]]:
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
    return [
        [_rounded_up(one, number, column) for one in figures] for column in range(len(LATE_H) - 1)
    ]


def _rounded_up(litres: FloatArray, row: int, column: int) -> int:
    return math.ceil(litres.item(row, column) * STEPS_PER_L - 1e-9)
