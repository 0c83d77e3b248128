"""Figures of a stop: a call as it comes about."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from longdry.model.plan.plan import Plan
from longdry.model.plan.stops import PlannedStop
from longdry.showing.figures.figure import Figure, ToldIn
from longdry.showing.figures.local_time import Calendar, calendar_of
from longdry.showing.words.markup import clipped_name
from longdry.units import HOURS_PER_DAY


@dataclass(frozen=True, slots=True)
class StopInPlan:
    """A stop with what tells its times."""

    stop: PlannedStop
    calendar: Calendar


def stops_in(plan: Plan) -> Iterator[StopInPlan]:
    """Yield the stops in travel order."""
    calendar = calendar_of(plan)
    return (StopInPlan(stop, calendar) for stop in plan.stops)


def _hours(row: StopInPlan) -> tuple[float, float] | None:
    source = row.stop.water.source
    opens, closes = source.open_from_hour, source.open_to_hour
    if opens is None and closes is None:
        return None
    return opens or 0.0, HOURS_PER_DAY if closes is None else closes


def _open(row: StopInPlan) -> dict[str, float] | None:
    hours = _hours(row)
    return {"from_hour": hours[0], "to_hour": hours[1]} if hours else None


def _opens(row: StopInPlan) -> float | None:
    hours = _hours(row)
    return hours[0] if hours else None


def _closes(row: StopInPlan) -> float | None:
    hours = _hours(row)
    return hours[1] if hours else None


def _beside(row: StopInPlan) -> list[str]:
    return [water.source.id for water in row.stop.beside]


def _sources(row: StopInPlan) -> list[str]:
    return [water.source.id for water in row.stop.waters]


STOP_FIGURES: tuple[Figure[StopInPlan], ...] = (
    Figure(
        "source",
        "",
        "id of the water that the stop is named by",
        lambda s: s.stop.water.source.id,
    ),
    Figure("name", "", "of that water", lambda s: s.stop.water.source.name, shown=clipped_name),
    Figure(
        "sources",
        "",
        "ids of all water that may be drawn on there: what is taken from each stands in `fills`",
        _sources,
        ToldIn.DOCUMENT,
    ),
    Figure(
        "not_for_drinking",
        "",
        "ids of water there that is not for drinking, to be used there by what takes any water; "
        "it is never carried, and no litre of the plan counts on it",
        _beside,
        ToldIn.DOCUMENT,
    ),
    Figure("km", "km", "of the route", lambda s: s.stop.km),
    Figure(
        "arrive",
        "local time",
        "when water can be drawn, after a wait; null without a date",
        lambda s: s.calendar.local_time(s.stop.arrive_h),
    ),
    Figure(
        "arrive_h",
        "h",
        "the same after departure",
        lambda s: s.calendar.after_departure(s.stop.arrive_h),
    ),
    Figure("wait_h", "h", "waiting for it to open, before that", lambda s: s.stop.wait_h),
    Figure(
        "open",
        "",
        "`from_hour` and `to_hour` of the day; null where the layer gives no hours",
        _open,
        ToldIn.DOCUMENT,
    ),
    Figure("open_from_hour", "h", "of the day", _opens, ToldIn.TABLE),
    Figure("open_to_hour", "h", "of the day", _closes, ToldIn.TABLE),
    Figure("draw_min", "min", "drawing the water", lambda s: s.stop.draw_min),
    Figure("treat_min", "min", "treating it there", lambda s: s.stop.treat_min),
    Figure("nights", "", "spent at the water", lambda s: s.stop.nights),
    Figure(
        "leave",
        "local time",
        "on leaving; null without a date",
        lambda s: s.calendar.local_time(s.stop.leave_h),
    ),
    Figure(
        "leave_h",
        "h",
        "the same after departure",
        lambda s: s.calendar.after_departure(s.stop.leave_h),
    ),
)
