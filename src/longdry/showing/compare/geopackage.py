"""The routes with their figures as a GeoPackage (OGC 12-128) for any GIS.

One feature for each trip, route and direction: the figures of its worst day of departure, and how
many days there are. A route that could not be read is a feature without a line that says why.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import Any

import numpy as np
import shapely

from longdry.model.arrays import FloatArray
from longdry.model.compare.combination import Line
from longdry.model.compare.comparison import Comparison
from longdry.model.plan.headline import HeadlineLevel
from longdry.model.words import CAUTION
from longdry.showing.figures.combinations import COMBINATION_FIGURES, RowCompared, rows_in
from longdry.showing.figures.figure import table_cells, table_names

LAYER = "routes"
_WGS_84 = 4326
_SAME_DAY = {"OGR_CURRENT_DATE": "2000-01-01T00:00:00.000Z"}
"""Written as the day of the last change, so that the same comparison gives the same bytes."""

RouteLine = tuple[FloatArray, FloatArray]
"""Latitude and longitude, each of shape (n,)."""


def routes_geopackage(comparison: Comparison, lines: Sequence[RouteLine | None]) -> bytes:
    """Return the file.

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


_COUNTS = ("departures", "departures_lasting")


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
