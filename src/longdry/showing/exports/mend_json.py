"""A mend as plain values."""

from __future__ import annotations

from typing import Any

from longdry.model.plan.mends import Mend, MendFigures


def mend_values(mend: Mend) -> dict[str, Any]:
    """Return a mend; figures that have no meaning for its kind are null."""
    return {
        "stretch": mend.stretch,
        "what": mend.what.value,
        "change": mend.change,
        "verdict_before": mend.verdict_before.value,
        "verdict_after": mend.verdict_after.value,
        "trip_after": mend.trip_after.value,
        "caution": mend.caution,
        "figures": _figures(mend.figures),
    }


def _figures(figures: MendFigures) -> dict[str, Any]:
    return {
        "litres": figures.litres,
        "count": figures.count,
        "kg": figures.kg,
        "at_km": figures.at_km,
        "extra_km": figures.extra_km,
        "extra_days": figures.extra_days,
        "extra_l": figures.extra_l,
        "km_per_day": figures.km_per_day,
        "saved_l": {saving.use: saving.litres for saving in figures.saved},
    }
