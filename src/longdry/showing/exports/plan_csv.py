"""The plan as tables for a spreadsheet, one file each: stretches, stops, fills, days.

Figures are not rounded, so that a sum in the spreadsheet is the sum of the plan; empty where
nothing is known.

Format: RFC 4180 (commas, CRLF), UTF-8 with a byte order mark, without which spreadsheets take
names for another encoding. A text whose first character would begin a formula gets an apostrophe
before it, as OWASP, 'CSV Injection', advises (from memory); a number stays a number.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence
from typing import TypeVar

from longdry.model.plan.plan import Plan
from longdry.plain_text import BYTE_ORDER_MARK, printable
from longdry.showing.figures.figure import Cell, Figure, table_cells, table_names
from longdry.showing.figures.fills import fills_in
from longdry.showing.figures.plan_figures import FIGURES, PlanFigures
from longdry.showing.figures.stops import stops_in
from longdry.showing.figures.stretches import stretches_in

T = TypeVar("T")
_BEGINS_A_FORMULA = ("=", "+", "-", "@", "＝", "＋", "－", "＠")
_BEHIND_A_SEMICOLON = re.compile(r"(;\s*)(?=[=+\-@＝＋－＠])")
"""Where numbers have a decimal comma, a spreadsheet parts the cells of a line at its semicolons."""


def stretches_csv(plan: Plan, figures: PlanFigures = FIGURES) -> str:
    """Return the dry stretches in travel order."""
    return _csv(figures.stretches, stretches_in(plan))


def stops_csv(plan: Plan, figures: PlanFigures = FIGURES) -> str:
    """Return the stops at water in travel order."""
    return _csv(figures.stops, stops_in(plan))


def fills_csv(plan: Plan, figures: PlanFigures = FIGURES) -> str:
    """Return what is done at each water of each stop; only the heads without containers."""
    return _csv(figures.fills, fills_in(plan))


def days_csv(plan: Plan, figures: PlanFigures = FIGURES) -> str:
    """Return the days of the trip."""
    return _csv(figures.days, plan.days)


def _csv(figures: Sequence[Figure[T]], rows: Iterable[T]) -> str:
    lines = (list(table_cells(figures, row).values()) for row in rows)
    return safe_csv(table_names(figures), lines)


def safe_csv(heads: Sequence[str], rows: Iterable[Sequence[Cell]]) -> str:
    r"""Return the table as CSV text.

    >>> safe_csv(["name", "km"], [["=cmd()", -1.5], [None, 2]])
    "\ufeffname,km\r\n'=cmd(),-1.5\r\n,2\r\n"
    """
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(heads)
    writer.writerows([_cell(value) for value in row] for row in rows)
    return BYTE_ORDER_MARK + out.getvalue()


def _cell(value: Cell) -> str | float | int | None:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return without_formula(value) if isinstance(value, str) else value


def without_formula(text: str) -> str:
    r"""Return text on one line that no spreadsheet takes for a formula.

    >>> without_formula("=1+1"), without_formula("\t@x"), without_formula("Old Well")
    ("'=1+1", "'@x", 'Old Well')
    >>> without_formula("a;=1+1")
    "a;'=1+1"
    """
    shown = _BEHIND_A_SEMICOLON.sub(r"\1'", printable(text))
    return f"'{shown}" if shown.startswith(_BEGINS_A_FORMULA) else shown
