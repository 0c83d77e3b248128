"""The table of least litres as a page holds it: small, and looked up without reckoning."""

from __future__ import annotations

import json
import math

from longdry.model.arrays import FloatArray
from longdry.model.plan.least import LATE_H, LeastRow, LeastTable

STEPS_PER_L = 10
"""Litres are held in tenths, rounded up."""


def least_json(table: LeastTable) -> str:
    """Return the table as JSON without blanks.

    ``late_h`` holds the edges of the columns in hours after the plan, ``waters`` the places that
    rows lead to as name and km. Each row is: from km, to km, hour of the plan since the midnight
    before departure, 1 for a halt, the index of the next water and of that behind, then for each
    column tenths of litres, rounded up: full, lean, bare, reserve, back.
    """
    waters: dict[tuple[str, float], int] = {}
    rows = [[*_place(row, waters), _tenths(table, number)] for number, row in enumerate(table.rows)]
    document = {
        "late_h": LATE_H,
        "waters": [[label, round(km, 1)] for label, km in waters],
        "rows": rows,
    }
    return json.dumps(document, ensure_ascii=False, separators=(",", ":"))


def _place(row: LeastRow, waters: dict[tuple[str, float], int]) -> list[object]:
    on = waters.setdefault((row.on_label, row.on_km), len(waters))
    back = waters.setdefault((row.back_label, row.back_km), len(waters))
    km = [round(row.from_km, 3), round(row.to_km, 3)]
    return [*km, round(row.hour, 3), int(row.is_halt), on, back]


def _tenths(table: LeastTable, number: int) -> list[list[int]]:
    figures = (table.full_l, table.lean_l, table.bare_l, table.reserve_l, table.back_l)
    return [
        [_rounded_up(one, number, column) for one in figures] for column in range(len(LATE_H) - 1)
    ]


def _rounded_up(litres: FloatArray, row: int, column: int) -> int:
    return math.ceil(litres.item(row, column) * STEPS_PER_L - 1e-9)
