"""The plan as tables for a spreadsheet, one file each: stretches, fills, days.

Figures are not rounded, so that a sum in the spreadsheet is the sum of the plan; empty where
nothing is known.
"""

from __future__ import annotations

from collections.abc import Mapping

from longdry.model.plan.days import TravelDay
from longdry.model.plan.fills import Fill
from longdry.model.plan.plan import Plan
from longdry.model.plan.stretch import DryStretch
from longdry.showing.exports.safe_csv import Cell, safe_csv
from longdry.showing.words.markup import clipped_name
from longdry.showing.words.wording import end_words

STRETCH_HEADS = (
    "stretch", "from", "to", "from_km", "to_km", "length_km", "days", "nights", "need_l",
    "need_potable_l", "need_any_l", "reserve_l", "available_l", "on_board_l", "missing_l",
    "verdict", "ration_that_does",
)  # fmt: skip
FILL_HEADS = (
    "km", "source", "name", "grade", "take_l", "arriving_l", "leaving_l", "treated_l", "minutes",
    "cost", "into",
)  # fmt: skip
DAY_HEADS = ("day", "date", "from_km", "to_km", "moving_h", "camp", "rest")


def stretches_csv(plan: Plan) -> str:
    """Return the dry stretches in travel order."""
    return safe_csv(STRETCH_HEADS, (_stretch(stretch) for stretch in plan.stretches))


def fills_csv(plan: Plan) -> str:
    """Return what happens at each stop; only the heads where the trip names no containers."""
    names = {source.id: source.name for source in plan.sources}
    fills = plan.fills.fills if plan.fills else ()
    return safe_csv(FILL_HEADS, (_fill(fill, names) for fill in fills))


def days_csv(plan: Plan) -> str:
    """Return the days of the base clock."""
    return safe_csv(DAY_HEADS, (_day(day) for day in plan.days))


def _stretch(stretch: DryStretch) -> tuple[Cell, ...]:
    return (
        stretch.number,
        clipped_name(end_words(stretch.begin)),
        clipped_name(end_words(stretch.end)),
        stretch.begin.km,
        stretch.end.km,
        stretch.length_km,
        stretch.days,
        stretch.nights,
        stretch.need.total_l,
        stretch.need.potable_l,
        stretch.need.any_l,
        stretch.reserve_l,
        stretch.available_l,
        stretch.on_board_l,
        stretch.missing_l,
        stretch.verdict.value,
        stretch.ration_that_does.value if stretch.ration_that_does else None,
    )


def _fill(fill: Fill, names: Mapping[str, str]) -> tuple[Cell, ...]:
    return (
        fill.km,
        clipped_name(fill.source) if fill.source is not None else None,
        clipped_name(names[fill.source]) if fill.source is not None else None,
        fill.grade.value if fill.grade else None,
        fill.take_l,
        fill.arriving.total_l,
        fill.leaving.total_l,
        fill.treated_l,
        fill.minutes,
        fill.cost,
        "; ".join(f"{clipped_name(pour.vessel)} {pour.litres!r} L" for pour in fill.into) or None,
    )


def _day(day: TravelDay) -> tuple[Cell, ...]:
    return (
        day.number,
        day.date.isoformat() if day.date else None,
        day.from_km,
        day.to_km,
        day.moving_h,
        day.camp,
        day.rest,
    )
