"""The plan as tables for a spreadsheet, one file each: stretches, stops, fills, days.

Figures are not rounded, so that a sum in the spreadsheet is the sum of the plan; empty where
nothing is known.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TypeVar

from longdry.model.plan.plan import Plan
from longdry.showing.exports.safe_csv import safe_csv
from longdry.showing.figures.figure import Figure, table_cells, table_names
from longdry.showing.figures.fills import fills_in
from longdry.showing.figures.plan_figures import FIGURES, PlanFigures
from longdry.showing.figures.stops import stops_in
from longdry.showing.figures.stretches import stretches_in

T = TypeVar("T")


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
