"""Figures of a dry stretch."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from longdry.model.plan.plan import Plan
from longdry.model.plan.stretch import DryStretch, StretchEnd
from longdry.showing.figures.figure import Figure, ToldIn
from longdry.showing.figures.local_time import Calendar, calendar_of
from longdry.showing.words.markup import clipped_name
from longdry.showing.words.stretches import end_words, told_missing_l


@dataclass(frozen=True, slots=True)
class StretchInPlan:
    """A stretch with what tells its times."""

    stretch: DryStretch
    calendar: Calendar


def stretches_in(plan: Plan) -> Iterator[StretchInPlan]:
    """Yield the stretches in travel order."""
    calendar = calendar_of(plan)
    return (StretchInPlan(stretch, calendar) for stretch in plan.stretches)


def _end(end: StretchEnd) -> dict[str, object]:
    return {"source": end.water.source.id if end.water else None, "km": end.km}


def _litres_by_use(row: StretchInPlan) -> dict[str, float]:
    litres: dict[str, float] = {}
    for use in row.stretch.need.by_use:
        litres[use.use] = litres.get(use.use, 0.0) + use.litres
    return litres


def _litres_by_ration(row: StretchInPlan) -> dict[str, float]:
    return {one.ration.value: one.need.total_l for one in row.stretch.needs}


def _litres_by_grade(row: StretchInPlan) -> dict[str, float]:
    return {"potable": row.stretch.need.potable_l, "any": row.stretch.need.any_l}


def _dry_at(row: StretchInPlan) -> dict[str, object] | None:
    dry = row.stretch.runs_dry
    return {"km": dry.km, "at": _dry_time(row), "at_h": _dry_h(row)} if dry else None


def _dry_time(row: StretchInPlan) -> str | None:
    dry = row.stretch.runs_dry
    return row.calendar.no_later_than(dry.hour) if dry else None


def _dry_h(row: StretchInPlan) -> float | None:
    dry = row.stretch.runs_dry
    return row.calendar.after_departure(dry.hour) if dry else None


def _dry_km(row: StretchInPlan) -> float | None:
    return row.stretch.runs_dry.km if row.stretch.runs_dry else None


_JSON, _TABLE = ToldIn.DOCUMENT, ToldIn.TABLE

STRETCH_FIGURES: tuple[Figure[StretchInPlan], ...] = (
    Figure("number", "", "from 1, in travel order", lambda s: s.stretch.number),
    Figure(
        "from",
        "",
        "where it begins: `source` (id; null at the start) and `km`",
        lambda s: _end(s.stretch.begin),
        _JSON,
    ),
    Figure(
        "to",
        "",
        "where it ends: `source` (id; null at the end) and `km`",
        lambda s: _end(s.stretch.end),
        _JSON,
    ),
    Figure(
        "from",
        "",
        "name of where it begins",
        lambda s: end_words(s.stretch.begin),
        _TABLE,
        clipped_name,
    ),
    Figure(
        "to", "", "name of where it ends", lambda s: end_words(s.stretch.end), _TABLE, clipped_name
    ),
    Figure("from_km", "km", "of the route, where it begins", lambda s: s.stretch.begin.km, _TABLE),
    Figure("to_km", "km", "of the route, where it ends", lambda s: s.stretch.end.km, _TABLE),
    Figure(
        "leave",
        "local time",
        "on leaving the water behind; null without a date",
        lambda s: s.calendar.local_time(s.stretch.travel.begin_h),
    ),
    Figure(
        "arrive",
        "local time",
        "when water can be drawn again, after a wait; null without a date",
        lambda s: s.calendar.local_time(s.stretch.travel.end_h),
    ),
    Figure("leave_h", "h", "the same after departure", lambda s: s.stretch.leave_h),
    Figure("arrive_h", "h", "the same after departure", lambda s: s.stretch.arrive_h),
    Figure(
        "length_km", "km", "along the route and on ways to water", lambda s: s.stretch.length_km
    ),
    Figure("moving_h", "h", "on the move, ways included", lambda s: s.stretch.travel.moving_h),
    Figure("wait_h", "h", "waiting for water to open", lambda s: s.stretch.travel.wait_h),
    Figure("days", "24 h", "from leaving to arriving, camps included", lambda s: s.stretch.days),
    Figure("nights", "", "camps within", lambda s: s.stretch.nights),
    Figure("need_l", "L", "on the full ration by use, losses left out", _litres_by_use, _JSON),
    Figure("losses_l", "L", "on top of all uses", lambda s: s.stretch.need.losses_l),
    Figure(
        "need_by_grade_l",
        "L",
        "`potable` and `any`, losses included",
        _litres_by_grade,
        _JSON,
    ),
    Figure("need_potable_l", "L", "of the need", lambda s: s.stretch.need.potable_l, _TABLE),
    Figure("need_any_l", "L", "of the need", lambda s: s.stretch.need.any_l, _TABLE),
    Figure(
        "need_total_l",
        "L",
        "on the full ration, losses included",
        lambda s: s.stretch.need.total_l,
    ),
    Figure(
        "need_on_ration_l",
        "L",
        "the same on the `full`, `lean` and `bare` ration",
        _litres_by_ration,
        _JSON,
    ),
    Figure(
        "need_lean_l",
        "L",
        "the same on the lean ration",
        lambda s: _litres_by_ration(s).get("lean"),
        _TABLE,
    ),
    Figure(
        "need_bare_l",
        "L",
        "the same on the bare ration",
        lambda s: _litres_by_ration(s).get("bare"),
        _TABLE,
    ),
    Figure("reserve_l", "L", "to be left over at its end", lambda s: s.stretch.reserve_l),
    Figure(
        "capacity_l",
        "L",
        "what all containers hold, within the payload left",
        lambda s: s.stretch.capacity_l,
    ),
    Figure(
        "available_l",
        "L",
        "what the containers hold on leaving; less than the capacity at a start that is not full",
        lambda s: s.stretch.available_l,
    ),
    Figure(
        "short_l",
        "L",
        "by which need and reserve pass the capacity",
        lambda s: s.stretch.short_l,
    ),
    Figure(
        "carried_l",
        "L",
        "on leaving, by the fills; null without containers",
        lambda s: s.stretch.on_board_l,
    ),
    Figure(
        "left_l",
        "L",
        "in the containers on arriving, on `ration_told`, at the end with what `days_after_end` "
        "will need; 0 where it ran out on the way; null without containers",
        lambda s: s.stretch.left_l,
    ),
    Figure(
        "spare_l",
        "L",
        "carried less need and reserve, below 0 where they are not covered; null without "
        "containers",
        lambda s: s.stretch.spare_l,
    ),
    Figure(
        "dry_at",
        "",
        "null where the water lasts, else where it runs out on the bare ration, or what is left "
        "cannot be treated in time: `km` of the route (of `to` where a stay there, or "
        "`days_after_end`, take more than is left), `at` (local time, null without a date), "
        "`at_h` (hours after departure)",
        _dry_at,
        _JSON,
    ),
    Figure("dry_at_km", "km", "of the route, where the water runs out", _dry_km, _TABLE),
    Figure("dry_at_time", "local time", "when it runs out", _dry_time, _TABLE),
    Figure("dry_at_h", "h", "the same after departure", _dry_h, _TABLE),
    Figure(
        "missing_l",
        "L",
        "of its own need and reserve, in all or of water fit to drink in time where that is more; "
        "null where it lacks nothing itself and its verdict is not clear: see the warnings",
        lambda s: told_missing_l(s.stretch),
    ),
    Figure(
        "held_back",
        "",
        "whether the verdict is worse than the containers alone would make it",
        lambda s: s.stretch.held_back,
    ),
    Figure(
        "verdict",
        "",
        "`clear`, `into reserve`, `short ration`, `too long` or `no containers given`",
        lambda s: s.stretch.verdict.value,
    ),
    Figure(
        "ration_that_does",
        "",
        "the fullest that does: `full`, `lean`, `bare`; null where not even the bare one does",
        lambda s: s.stretch.ration_that_does.value if s.stretch.ration_that_does else None,
    ),
    Figure(
        "ration_told",
        "",
        "the ration that `left_l` and `dry_at` are told for: the fullest that does, else the "
        "bare one",
        lambda s: s.stretch.ration_told.value,
    ),
)
