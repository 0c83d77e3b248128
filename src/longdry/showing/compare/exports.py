"""The comparison for other programs: JSON, CSV, GeoPackage (OGC 12-128); figures unrounded."""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import Any

import numpy as np
import shapely

from longdry.model.arrays import FloatArray
from longdry.model.compare.combination import Line
from longdry.model.compare.comparison import Comparison, MatteringSource, Week
from longdry.model.plan.headline import HeadlineLevel
from longdry.model.words import CAUTION
from longdry.showing.compare.words import answer_of
from longdry.showing.exports.json_by_line import json_by_line
from longdry.showing.exports.plan_csv import safe_csv
from longdry.showing.figures.combinations import COMBINATION_FIGURES, RowCompared, rows_in
from longdry.showing.figures.figure import document_rows, table_cells, table_names
from longdry.showing.words.measures import METRIC

FORMAT = "longdry-compare"
VERSION = 1
LAYER = "routes"
_COUNTS = ("departures", "departures_lasting")
_WGS_84 = 4326
_SAME_DAY = {"OGR_CURRENT_DATE": "2000-01-01T00:00:00.000Z"}
"""Written as the day of the last change, so that the same comparison gives the same bytes."""

RouteLine = tuple[FloatArray, FloatArray]
"""Latitude and longitude, each of shape (n,)."""


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
        "combinations": document_rows(COMBINATION_FIGURES, rows_in(comparison)),
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


def routes_geopackage(comparison: Comparison, lines: Sequence[RouteLine | None]) -> bytes:
    """Return the routes with their figures for any GIS.

    One feature for each trip, route and direction: the figures of its worst day of departure, and
    how many days there are. A route that could not be read is a feature without a line that says
    why.

    Parameters
    ----------
    lines
        Of each route of the comparison; None where it could not be read.
    """
    import pyogrio  # noqa: PLC0415 - heavy, and only this output needs it
    from geopandas import GeoDataFrame  # noqa: PLC0415 - the same

    features = _features(comparison)
    shapes = {
        number: shapely.linestrings(np.column_stack([line[1], line[0]])) if line else None
        for number, line in enumerate(lines)
    }
    columns = [*table_names(COMBINATION_FIGURES), *_COUNTS]
    frame = GeoDataFrame(
        [cells for _, cells in features],
        columns=columns,
        geometry=[shapes[line.route] for line, _ in features],
        crs=_WGS_84,
    )
    before = {name: pyogrio.get_gdal_config_option(name) for name in _SAME_DAY}
    pyogrio.set_gdal_config_options(_SAME_DAY)
    try:
        out = io.BytesIO()
        pyogrio.write_dataframe(
            frame,
            out,
            layer=LAYER,
            driver="GPKG",
            geometry_type="LineString",
            layer_options={"DESCRIPTION": CAUTION},
        )
    finally:
        pyogrio.set_gdal_config_options(before)
    return out.getvalue()


def _features(comparison: Comparison) -> list[tuple[Line, dict[str, Any]]]:
    by_line: dict[Line, list[RowCompared]] = {}
    for one in rows_in(comparison):
        by_line.setdefault(one.row.of.line, []).append(one)
    return [(line, _cells(rows)) for line, rows in by_line.items()]


def _cells(rows: Sequence[RowCompared]) -> dict[str, Any]:
    """Return the figures of the worst row, one that could not be planned before all others."""
    worst = max(rows, key=lambda one: float("inf") if one.rank is None else one.rank)
    lasting = sum(
        one.row.outcome is not None and one.row.outcome.level is HeadlineLevel.LASTS for one in rows
    )
    counts = dict(zip(_COUNTS, (len(rows), lasting), strict=True))
    return {**table_cells(COMBINATION_FIGURES, worst), **counts}
