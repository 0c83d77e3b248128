"""Figures of one combination of many that are compared."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from longdry.model.compare.combination import Outcome, Row, SourceAt
from longdry.model.compare.comparison import Comparison
from longdry.showing.figures.figure import Figure, ToldIn
from longdry.showing.words.markup import clipped_name


@dataclass(frozen=True, slots=True)
class RowCompared:
    """A row with what the others make of it."""

    comparison: Comparison
    index: int
    rank: int | None
    """From 1, the best first; None where it could not be planned."""

    @property
    def row(self) -> Row:
        """The row itself."""
        return self.comparison.rows[self.index]


def rows_in(comparison: Comparison) -> Iterator[RowCompared]:
    """Yield the rows by trip, route, direction and day."""
    ranks = {index: place for place, index in enumerate(comparison.ranked, 1)}
    return (
        RowCompared(comparison, index, ranks.get(index)) for index in range(len(comparison.rows))
    )


def _of(get: Callable[[Outcome], object]) -> Callable[[RowCompared], object]:
    """Return what reads a figure of the plan; None where there is none."""
    return lambda one: get(one.row.outcome) if one.row.outcome else None


def _source(source: SourceAt) -> dict[str, object]:
    return {"id": source.id, "name": source.name, "km": source.km}


def _route_name(one: RowCompared) -> str:
    return one.comparison.routes[one.row.of.route].name


def _departure(one: RowCompared) -> str | None:
    depart = one.row.of.depart
    return depart.isoformat(timespec="minutes") if depart else None


def _no_way(outcome: Outcome) -> list[dict[str, object]]:
    return [_source(one) for one in outcome.no_way]


def _out_of_season(one: RowCompared) -> tuple[str, ...]:
    return one.comparison.out_of_season.get(one.row.of, ())


def _not_counted(outcome: Outcome) -> list[dict[str, object]]:
    return [
        {
            **_source(one.source),
            "on": one.on.isoformat() if one.on else None,
            "why": one.why,
        }
        for one in outcome.not_counted
    ]


_JSON, _TABLE = ToldIn.DOCUMENT, ToldIn.TABLE

COMBINATION_FIGURES: tuple[Figure[RowCompared], ...] = (
    Figure("route", "", "its name, unlike the others'", _route_name, shown=clipped_name),
    Figure("file", "", "the route's", lambda o: o.comparison.routes[o.row.of.route].file),
    Figure("reverse", "", "travelled from its end to its start", lambda o: o.row.of.reverse),
    Figure(
        "trip",
        "",
        "its name, unlike the others'",
        lambda o: o.comparison.trips[o.row.of.trip],
        shown=clipped_name,
    ),
    Figure("depart", "local time", "null without a date", _departure),
    Figure("key", "", "short, unlike any other's", lambda o: o.row.of.key),
    Figure(
        "failed",
        "",
        "why it could not be planned; null where it could, and all below null where not",
        lambda o: o.row.failed or None,
    ),
    Figure("rank", "", "from 1, the best first", lambda o: o.rank),
    Figure(
        "unbeaten",
        "",
        "whether no other is better in one of headline, most to carry and chance of running "
        "short, and no worse in the two others; never what must not be started",
        lambda o: o.index in o.comparison.unbeaten,
    ),
    Figure("headline", "", "`not-safe`, `only-if` or `lasts`", _of(lambda p: p.level.value)),
    Figure("because", "", "why, the gravest first", _of(lambda p: list(p.because)), _JSON),
    Figure("because", "", "the gravest reason", _of(lambda p: next(iter(p.because), None)), _TABLE),
    Figure("length_km", "km", "of the route", _of(lambda p: p.length_km)),
    Figure("verdict", "", "of the worst stretch", _of(lambda p: p.worst.verdict.value)),
    Figure("worst_from", "", "where that begins", _of(lambda p: p.worst.from_name)),
    Figure("worst_from_km", "km", "the same", _of(lambda p: p.worst.from_km)),
    Figure("worst_to", "", "where it ends", _of(lambda p: p.worst.to_name)),
    Figure("worst_to_km", "km", "the same", _of(lambda p: p.worst.to_km)),
    Figure("worst_length_km", "km", "ways to water included", _of(lambda p: p.worst.length_km)),
    Figure("worst_days", "24 h", "what it takes", _of(lambda p: p.worst.days)),
    Figure("worst_need_l", "L", "on the full ration", _of(lambda p: p.worst.need_l)),
    Figure("worst_reserve_l", "L", "to be left over at its end", _of(lambda p: p.worst.reserve_l)),
    Figure("missing_l", "L", "of its need and reserve", _of(lambda p: p.worst.missing_l)),
    Figure("longest_km", "km", "longest without water", _of(lambda p: p.longest.length_km)),
    Figure("longest_from_km", "km", "where it begins", _of(lambda p: p.longest.from_km)),
    Figure("longest_days", "24 h", "what it takes", _of(lambda p: p.longest.days)),
    Figure("most_to_carry_l", "L", "need and reserve", _of(lambda p: p.most.litres)),
    Figure("most_from_km", "km", "where that is taken", _of(lambda p: p.most.km)),
    Figure(
        "most_from",
        "",
        "source that it is taken from (id); null at the start",
        _of(lambda p: p.most.source_id or None),
    ),
    Figure("calls", "", "stops at water", _of(lambda p: p.calls)),
    Figure("days", "", "calendar days", _of(lambda p: p.days)),
    Figure(
        "heat",
        "",
        "`within the limits`, `beyond the limits` or `no heat given`",
        _of(lambda p: p.heat.value),
    ),
    Figure(
        "hottest_c",
        "°C",
        "shade maximum of the hottest day",
        _of(lambda p: p.hottest.shade_max_c if p.hottest else None),
    ),
    Figure("hottest_day", "", "which, from 1", _of(lambda p: p.hottest.day if p.hottest else None)),
    Figure(
        "no_way",
        "",
        "sources whose loss, of each alone, leaves no way to water, in travel order: `id`, "
        "`name`, `km`",
        _of(_no_way),
        _JSON,
    ),
    Figure(
        "first_no_way",
        "",
        "id of the first of them",
        _of(lambda p: p.no_way[0].id if p.no_way else None),
        _TABLE,
    ),
    Figure(
        "chance_short",
        "",
        "of running short, 0 to 1; null without containers",
        _of(lambda p: p.chances.short if p.chances else None),
    ),
    Figure(
        "chance_turn_back",
        "",
        "of having to turn back",
        _of(lambda p: p.chances.turn_back if p.chances else None),
    ),
    Figure(
        "chance_error",
        "",
        "standard error of the two",
        _of(lambda p: p.chances.standard_error if p.chances else None),
    ),
    Figure(
        "grave_warnings",
        "",
        "whole sentences; that of calls that cost more hours than they save is left to the plan",
        _of(lambda p: list(p.grave)),
        _JSON,
    ),
    Figure("grave_warnings", "", "how many", _of(lambda p: len(p.grave)), _TABLE),
    Figure(
        "not_counted",
        "",
        "sources that do not count on the day when the party comes: `id`, `name`, `km`, `on`, "
        "`why`",
        _of(_not_counted),
        _JSON,
    ),
    Figure(
        "out_of_season",
        "",
        "names of those of them that count on another day of departure",
        lambda o: list(_out_of_season(o)),
        _JSON,
    ),
    Figure(
        "out_of_season",
        "",
        "the same in one text",
        lambda o: ", ".join(_out_of_season(o)) or None,
        _TABLE,
    ),
    Figure(
        "dark_days",
        "",
        "days on which dark ends the moving before the day's hours are used",
        _of(lambda p: p.dark_days),
    ),
    Figure(
        "page", "", "file with the whole plan; null: none was made", lambda o: o.row.page or None
    ),
)
