"""The published survival table with its caution and its source, cell by cell."""

from __future__ import annotations

from longdry.model.survival_table import (
    CAUTION,
    DAYS,
    FROM_MEMORY,
    SHADE_MAX_F,
    SOURCE,
    WATER_QT,
    is_from_memory,
)
from longdry.showing.markup import Markup, joined, tag
from longdry.showing.tables import Column, Row, table
from longdry.units import L_PER_US_QUART

_FREEZING_F = 32.0


def survival_part() -> Markup:
    """Build the table between its caution and its source; nobody sees one without the other."""
    columns = (
        Column("Highest shade temperature"),
        *(Column(f"{quarts * L_PER_US_QUART:.1f} L", numeric=True) for quarts in WATER_QT),
    )
    rows = [
        Row((_degrees(shade_f), *(_days(shade_f, place) for place in range(len(WATER_QT)))))
        for shade_f in reversed(SHADE_MAX_F)
    ]
    quarts = ", ".join(f"{q:g}" for q in WATER_QT)
    caption = f"Expected days of survival in shade by water per person: {quarts} US quarts"
    return joined(
        [
            tag("h3", {"id": "survival"}, "What is published about being stranded"),
            tag("p", {"class": "caution"}, tag("strong", None, f"Caution. {CAUTION}")),
            table("survival-table", caption, columns, rows),
            tag("p", {"class": "source"}, f"* {FROM_MEMORY} Source: {SOURCE}."),
        ]
    )


def _degrees(shade_f: float) -> str:
    return f"{(shade_f - _FREEZING_F) / 1.8:.1f} °C ({shade_f:g} °F)"


def _days(shade_f: float, place: int) -> str:
    row = DAYS[SHADE_MAX_F.index(shade_f)]
    mark = "*" if is_from_memory(shade_f, WATER_QT[place]) else ""
    return f"{row[place]:g}{mark}"
