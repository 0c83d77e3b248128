"""Figures of a fill: what is done at one water of one stop."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from longdry.model.plan.fills import Fill, OnBoard, VesselLevel
from longdry.model.plan.plan import Plan
from longdry.model.plan.treating import StopTreatment
from longdry.model.trip.treatment import TreatEffort
from longdry.showing.figures.figure import Figure, ToldIn
from longdry.showing.words.markup import clipped_name
from longdry.showing.words.stops import fills_by_stretch

_JSON, _TABLE = ToldIn.DOCUMENT, ToldIn.TABLE


@dataclass(frozen=True, slots=True)
class FillInPlan:
    """A fill with the stretch that its stop begins."""

    fill: Fill
    treating: StopTreatment | None
    """None for a party that cannot treat."""
    stretch: int


def fills_in(plan: Plan) -> Iterator[FillInPlan]:
    """Yield the fills in travel order; none where the trip names no containers."""
    return (
        FillInPlan(one.fill, one.treating, stretch.number)
        for stretch, fills in zip(plan.stretches, fills_by_stretch(plan), strict=True)
        for one in fills
    )


def effort_values(effort: TreatEffort) -> dict[str, object]:
    """Return what treating takes for JSON."""
    return {
        "litres": effort.litres,
        "minutes": effort.minutes,
        "fuel_g": effort.fuel_g,
        "tablets": effort.tablets,
        "drops": effort.drops,
        "boil_minutes": effort.boil_minutes,
    }


def _on_board(row: FillInPlan) -> dict[str, float]:
    return {"arriving": row.fill.arriving.total_l, "leaving": row.fill.leaving.total_l}


def _by_grade(on_board: OnBoard) -> dict[str, float]:
    return {"potable": on_board.potable_l, "treat-before-drinking": on_board.treat_l}


def _level(level: VesselLevel) -> dict[str, object]:
    return {"container": level.vessel, "litres": level.litres, "grade": level.grade.value}


def _levels(row: FillInPlan) -> dict[str, object]:
    return {
        "arriving": [_level(level) for level in row.fill.levels_arriving],
        "leaving": [_level(level) for level in row.fill.levels_leaving],
    }


def _into(row: FillInPlan) -> list[dict[str, object]]:
    return [
        {"container": pour.vessel, "litres": pour.litres, "as": pour.grade.value}
        for pour in row.fill.into
    ]


def _into_words(row: FillInPlan) -> str:
    return "; ".join(f"{clipped_name(pour.vessel)} {pour.litres!r} L" for pour in row.fill.into)


def _decants(row: FillInPlan) -> list[dict[str, object]]:
    return [
        {"from": d.from_vessel, "into": d.into_vessel, "litres": d.litres, "as": d.grade.value}
        for d in row.fill.decants
    ]


FILL_FIGURES: tuple[Figure[FillInPlan], ...] = (
    Figure("stretch", "", "number of the stretch that this stop begins", lambda f: f.stretch),
    Figure("km", "km", "of the route", lambda f: f.fill.km),
    Figure("source", "", "id; null for the start's own supply", lambda f: f.fill.source),
    Figure(
        "name",
        "",
        "of the source",
        lambda f: f.fill.water.source.name if f.fill.water else None,
        shown=clipped_name,
    ),
    Figure(
        "grade",
        "",
        "of the water there; null where there is none",
        lambda f: f.fill.grade.value if f.fill.grade else None,
    ),
    Figure("take_l", "L", "drawn from the source", lambda f: f.fill.take_l),
    Figure(
        "into",
        "",
        "by container: `container`, `litres`, `as` (the grade that it counts as)",
        _into,
        _JSON,
    ),
    Figure(
        "on_board_l",
        "L",
        "carried on `arriving`, less what nights there take of it, and on `leaving`",
        _on_board,
        _JSON,
    ),
    Figure(
        "arriving_l",
        "L",
        "carried on arriving, less what nights there take of it",
        lambda f: f.fill.arriving.total_l,
        _TABLE,
    ),
    Figure("leaving_l", "L", "carried on leaving", lambda f: f.fill.leaving.total_l, _TABLE),
    Figure(
        "on_board_by_grade_l",
        "L",
        "the same by grade",
        lambda f: {"arriving": _by_grade(f.fill.arriving), "leaving": _by_grade(f.fill.leaving)},
        _JSON,
    ),
    Figure(
        "levels",
        "L",
        "of every container on `arriving` and on `leaving`: `container`, `litres`, `grade`",
        _levels,
        _JSON,
    ),
    Figure("treated_l", "L", "treated there", lambda f: f.fill.treated_l),
    Figure(
        "treat_here",
        "",
        "what that takes: `litres`, `minutes`, `fuel_g`, `tablets`, `drops`, `boil_minutes`, each "
        "null where the trip does not say enough; null for a party that cannot treat",
        lambda f: effort_values(f.treating.here) if f.treating else None,
        _JSON,
    ),
    Figure(
        "treat_on_way",
        "",
        "the same for what is treated on the stretch after it, in daily lots",
        lambda f: effort_values(f.treating.on_way) if f.treating else None,
        _JSON,
    ),
    Figure(
        "left_l",
        "L",
        "carried, and not wanted on the way on: keep it if in doubt",
        lambda f: f.fill.left_l,
    ),
    Figure(
        "drawn_off",
        "L",
        "out of containers, to be treated or left there: `container`, `litres`, `grade`",
        lambda f: [_level(level) for level in f.fill.drawn_off],
        _JSON,
    ),
    Figure("cleaned", "", "containers to be cleaned", lambda f: list(f.fill.cleaned), _JSON),
    Figure("decants", "", "poured over: `from`, `into`, `litres`, `as`", _decants, _JSON),
    Figure(
        "minutes",
        "min",
        "for `take_l` at the flow of the slower of source and pump",
        lambda f: f.fill.minutes,
    ),
    Figure("cost", "money", "in the money of the layer", lambda f: f.fill.cost),
    Figure("into", "", "containers and litres in one text", _into_words, _TABLE, str),
)
