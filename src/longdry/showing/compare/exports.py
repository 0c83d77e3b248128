"""The comparison for other programs: JSON and CSV, figures unrounded."""

from __future__ import annotations

from typing import Any

from longdry.model.compare.comparison import Comparison, MatteringSource, Week
from longdry.model.words import CAUTION
from longdry.showing.compare.words import answer_of
from longdry.showing.exports.json_by_line import json_by_line
from longdry.showing.exports.plan_csv import safe_csv
from longdry.showing.figures.combinations import COMBINATION_FIGURES, rows_in
from longdry.showing.figures.figure import document_values, table_cells, table_names
from longdry.showing.words.measures import METRIC

FORMAT = "longdry-compare"
VERSION = 1


def compare_json(comparison: Comparison) -> str:
    """Return the comparison as JSON text, keys in a fixed order, one line feed at the end."""
    return json_by_line(compare_document(comparison)) + "\n"


def compare_document(comparison: Comparison) -> dict[str, Any]:
    """Return the comparison as plain values; lengths in km, amounts in litres, times in days."""
    answer = answer_of(comparison, METRIC)
    return {
        "format": FORMAT,
        "version": VERSION,
        "caution": CAUTION,
        "answer": {
            "level": answer.level.value if answer.level else None,
            "words": list(answer.lines),
            "best_week": _week_named(comparison, comparison.best_week),
            "worst_week": _week_named(comparison, comparison.worst_week),
        },
        "combinations": [document_values(COMBINATION_FIGURES, one) for one in rows_in(comparison)],
        "weeks": [_week(comparison, week) for week in comparison.weeks],
        "sources": [_source(comparison, one) for one in comparison.sources],
        "cautions": list(comparison.cautions),
        "remarks": list(comparison.remarks),
        "assumptions": [
            {"what": one.what, "values": list(one.values), "why": one.why, "plans": one.plans}
            for one in comparison.assumptions
        ],
    }


def compare_csv(comparison: Comparison) -> str:
    """Return the combinations as a table (CSV), one a line."""
    lines = (list(table_cells(COMBINATION_FIGURES, one).values()) for one in rows_in(comparison))
    return safe_csv(table_names(COMBINATION_FIGURES), lines)


def _week_named(comparison: Comparison, number: int | None) -> str | None:
    return None if number is None else comparison.weeks[number].monday.isoformat()


def _week(comparison: Comparison, week: Week) -> dict[str, Any]:
    return {
        "monday": week.monday.isoformat(),
        "combinations": [comparison.rows[index].of.key for index in week.rows],
        "best": None if week.best is None else comparison.rows[week.best].of.key,
    }


def _source(comparison: Comparison, one: MatteringSource) -> dict[str, Any]:
    return {
        "id": one.id,
        "name": one.name,
        "leaves_no_way_in": one.combinations,
        "of_combinations": len(comparison.ranked),
        "routes": one.routes,
        "first_route": comparison.routes[one.first.route].name,
        "first_km": one.first_km,
    }
