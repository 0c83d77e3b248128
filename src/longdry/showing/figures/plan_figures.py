"""All tables of figures together: what the exports and the reference page follow."""

from __future__ import annotations

from dataclasses import dataclass

from longdry.model.plan.days import TravelDay
from longdry.model.water.source import WaterSource
from longdry.showing.figures.days import DAY_FIGURES
from longdry.showing.figures.figure import Figure
from longdry.showing.figures.fills import FILL_FIGURES, FillInPlan
from longdry.showing.figures.passes import PASS_FIGURES, PassInPlan
from longdry.showing.figures.sources import SOURCE_FIGURES
from longdry.showing.figures.stops import STOP_FIGURES, StopInPlan
from longdry.showing.figures.stretches import STRETCH_FIGURES, StretchInPlan


@dataclass(frozen=True, slots=True)
class PlanFigures:
    """One table for each kind of thing in a plan."""

    stretches: tuple[Figure[StretchInPlan], ...] = STRETCH_FIGURES
    stops: tuple[Figure[StopInPlan], ...] = STOP_FIGURES
    fills: tuple[Figure[FillInPlan], ...] = FILL_FIGURES
    days: tuple[Figure[TravelDay], ...] = DAY_FIGURES
    passes: tuple[Figure[PassInPlan], ...] = PASS_FIGURES
    sources: tuple[Figure[WaterSource], ...] = SOURCE_FIGURES


FIGURES = PlanFigures()
