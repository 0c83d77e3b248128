"""Figures of a pass: one approach of the route to a source."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from longdry.model.plan.fills import Draw
from longdry.model.plan.plan import Plan
from longdry.model.water.passes import WaterPass
from longdry.model.water.source import WaterSource
from longdry.showing.figures.figure import Figure, ToldIn, document_rows
from longdry.showing.words.markup import clipped_name
from longdry.showing.words.passes import draws_by_pass, last_visit, pass_key

_JSON = ToldIn.DOCUMENT


@dataclass(frozen=True, slots=True)
class PassInPlan:
    """A pass with what the plan draws there."""

    water: WaterPass
    draw: Draw | None


def passes_in(plan: Plan) -> Iterator[PassInPlan]:
    """Yield the passes in calling order."""
    draws = draws_by_pass(plan)
    return (PassInPlan(water, draws.get(pass_key(water))) for water in plan.passes)


def pass_rows(
    figures: Iterable[Figure[PassInPlan]], of_source: Iterable[Figure[WaterSource]], plan: Plan
) -> list[dict[str, object]]:
    """Return the figures of passes for JSON, and those of their sources that they have not."""
    own = document_rows(figures, passes_in(plan))
    names = own[0].keys() if own else ()
    others = [one for one in of_source if one.name not in names]
    sources = document_rows(others, [passed.source for passed in plan.passes])
    return [passed | source for passed, source in zip(own, sources, strict=True)]


def _last_visit(row: PassInPlan) -> dict[str, object] | None:
    last = last_visit(row.water)
    if last is None:
        return None
    return {"on": last.on.isoformat(), "found": last.found.value, "note": last.note}


PASS_FIGURES: tuple[Figure[PassInPlan], ...] = (
    Figure("source", "", "id", lambda p: p.water.source.id),
    Figure("name", "", "of the source", lambda p: p.water.source.name, shown=clipped_name),
    Figure(
        "grade",
        "",
        "that the plan goes by: `not-for-drinking` where the layer says nothing",
        lambda p: p.water.source.trusted_grade.value,
    ),
    Figure("km", "km", "of the route, where the way to it begins", lambda p: p.water.km),
    Figure("offset_km", "km", "from there as the crow flies", lambda p: p.water.offset_km),
    Figure("way_km", "km", "from there by the way, one way", lambda p: p.water.way_km),
    Figure("counted", "", "whether the plan drinks from it", lambda p: p.water.counted),
    Figure(
        "call",
        "",
        "whether the plan goes to it; of the waters of one stop true for the one that the stop "
        "is named by",
        lambda p: p.water.call,
    ),
    Figure(
        "passed_by_because",
        "",
        "why the plan does not go to a pass that counts; null where it does, or does not count",
        lambda p: p.water.passed_by_because or None,
    ),
    Figure(
        "why_not", "", "why it is not counted; null where it is", lambda p: p.water.why_not or None
    ),
    Figure(
        "certainty",
        "",
        "`certain`, `likely` or `doubtful`, when the party comes by",
        lambda p: p.water.judgement.certainty.value,
    ),
    Figure("chance", "0 to 1", "that there is water", lambda p: p.water.judgement.chance),
    Figure(
        "chance_lower_bound",
        "0 to 1",
        "the chance is above it with a credibility of 80 %",
        lambda p: p.water.judgement.lower_bound,
    ),
    Figure("certainty_why", "", "what the word rests on", lambda p: p.water.judgement.why),
    Figure(
        "on",
        "",
        "date on which the party comes by; null without a departure",
        lambda p: p.water.on.isoformat() if p.water.on else None,
    ),
    Figure(
        "last_visit",
        "",
        "`on`, `found`, `note` of the last visit before that; null: none known",
        _last_visit,
        _JSON,
    ),
    Figure("lat_deg", "°", "of the point on the route", lambda p: p.water.lat_deg, _JSON),
    Figure("lon_deg", "°", "of the point on the route", lambda p: p.water.lon_deg, _JSON),
    Figure(
        "wanted_l",
        "L",
        "what the fills take; null where it is not drawn on",
        lambda p: p.draw.litres if p.draw else None,
    ),
    Figure(
        "minutes",
        "min",
        "that drawing it takes; null where neither flow nor pump tells",
        lambda p: p.draw.minutes if p.draw else None,
    ),
    Figure(
        "charge_ah",
        "Ah",
        "that a 12 V pump takes for it; null where none is needed",
        lambda p: p.draw.charge_ah if p.draw else None,
    ),
)
