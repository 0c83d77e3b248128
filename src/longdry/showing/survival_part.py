"""The published survival table with its caution and its source, cell by cell."""

from __future__ import annotations

from longdry.model.survival_table import (
    CAUTION,
    DAYS,
    FROM_MEMORY,
    SHADE_MAX_F,
    SOURCE,
    WATER_QT,
    Stranded,
    is_from_memory,
)
from longdry.showing.markup import Markup, joined, tag
from longdry.showing.measures import Measures
from longdry.showing.tables import Column, Row, table
from longdry.showing.wording import lasting_days, on_board_l, place_km
from longdry.units import L_PER_US_QUART

_FREEZING_F = 32.0


def survival_part(stranded: Stranded | None, measures: Measures) -> Markup:
    """Build figure and table between caution and source; nobody sees one without the other."""
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
            _here(stranded, measures),
            table("survival-table", caption, columns, rows),
            tag("p", {"class": "source"}, f"* {FROM_MEMORY} Source: {SOURCE}."),
        ]
    )


def _here(stranded: Stranded | None, measures: Measures) -> Markup:
    """Read the table where the wait is shortest; no allowance, and never beyond its limits."""
    if stranded is None:
        return tag(
            "p",
            None,
            "It cannot be read for this trip: no heat is given, or the trip lies outside its "
            "limits. Nothing may be read beyond them.",
        )
    star = "*" if stranded.figure.from_memory else ""
    return tag(
        "p",
        {"id": "stranded"},
        f"Read between its cells for the shortest wait, {place_km(stranded.at_km, measures)}, "
        f"with {on_board_l(stranded.litres_each, measures)} a person and up to "
        f"{measures.heat(stranded.shade_max_c)} in the shade: death is to be expected about ",
        tag("strong", None, f"{lasting_days(stranded.figure.days)}{star}"),
        " after being stranded. It is no time to plan with: call for help at once.",
    )


def _degrees(shade_f: float) -> str:
    return f"{(shade_f - _FREEZING_F) / 1.8:.1f} °C ({shade_f:g} °F)"


def _days(shade_f: float, place: int) -> str:
    row = DAYS[SHADE_MAX_F.index(shade_f)]
    mark = "*" if is_from_memory(shade_f, WATER_QT[place]) else ""
    return f"{row[place]:g}{mark}"
