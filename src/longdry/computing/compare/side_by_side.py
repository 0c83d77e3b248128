"""From the rows to what stands out among them: best, worst, unbeaten, what matters most."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from longdry.model.assumption import Assumption
from longdry.model.compare.combination import Combination, Line, Outcome, Row
from longdry.model.compare.comparison import (
    CommonAssumption,
    ComparedRoute,
    Comparison,
    MatteringSource,
    Week,
)
from longdry.model.plan.headline import HeadlineLevel
from longdry.model.trip.trip import Trip
from longdry.model.words import VERDICTS_WORST_FIRST

LEVELS_BEST_FIRST = (HeadlineLevel.LASTS, HeadlineLevel.ONLY_IF, HeadlineLevel.NOT_SAFE)
NOBODY_KNOWS = 1.0
"""The chance of a plan that has none worked out: unknown is worse."""

_Rank = tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Told:
    """What is told once of all plans."""

    assumptions: tuple[CommonAssumption, ...] = ()
    cautions: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()


NOTHING_TOLD = Told()


def side_by_side(
    rows: Sequence[Row],
    routes: Sequence[ComparedRoute],
    trips: Sequence[str],
    told: Told = NOTHING_TOLD,
) -> Comparison:
    """Rank the rows and find what stands out; the order in which they come does not matter."""
    ordered = tuple(sorted(rows, key=_place))
    ranked = tuple(sorted(_planned(ordered), key=lambda index: _rank(ordered[index])))
    weeks = _weeks(ordered, ranked)
    known = [index for index, week in enumerate(weeks) if week.best is not None]
    places = {index: place for place, index in enumerate(ranked)}
    by_worth = sorted(known, key=lambda index: places[weeks[index].best or 0])
    if by_worth and _rank_of_week(ordered, weeks, by_worth[0]) == _rank_of_week(
        ordered, weeks, by_worth[-1]
    ):
        by_worth = []  # no week is better than another
    return Comparison(
        rows=ordered,
        routes=tuple(routes),
        trips=tuple(trips),
        ranked=ranked,
        weeks=weeks,
        best_week=by_worth[0] if by_worth else None,
        worst_week=by_worth[-1] if by_worth else None,
        unbeaten=unbeaten(ordered),
        out_of_season=out_of_season(ordered),
        sources=mattering_sources(ordered),
        assumptions=told.assumptions,
        cautions=told.cautions,
        remarks=told.remarks,
    )


def _place(row: Row) -> tuple[int, int, bool, str]:
    of = row.of
    return (of.trip, of.route, of.reverse, of.depart.isoformat() if of.depart else "")


def _planned(rows: Sequence[Row]) -> list[int]:
    return [index for index, row in enumerate(rows) if row.outcome]


def _rank(row: Row) -> _Rank:
    return best_first_key(row.outcome) if row.outcome else ()


def _rank_of_week(rows: Sequence[Row], weeks: Sequence[Week], index: int) -> _Rank:
    return _rank(rows[weeks[index].best or 0])


def best_first_key(outcome: Outcome) -> _Rank:
    """Return what plans are ranked by, item by item; less is better.

    Headline; verdict of the worst stretch and litres missing on it; chance of running short, then
    of turning back; number of grave warnings; most to carry; longest without water.
    """
    chances = outcome.chances
    return (
        LEVELS_BEST_FIRST.index(outcome.level),
        -VERDICTS_WORST_FIRST.index(outcome.worst.verdict),
        outcome.worst.missing_l,
        chances.short if chances else NOBODY_KNOWS,
        chances.turn_back if chances else NOBODY_KNOWS,
        len(outcome.grave),
        outcome.most.litres,
        outcome.longest.length_km,
    )


def _weeks(rows: Sequence[Row], ranked: Sequence[int]) -> tuple[Week, ...]:
    """Gather the rows that depart in the same week, each with the best of them."""
    found: dict[dt.date, list[int]] = defaultdict(list)
    for index, row in enumerate(rows):
        if row.of.depart:
            found[monday_of(row.of.depart.date())].append(index)
    places = {index: place for place, index in enumerate(ranked)}
    return tuple(
        Week(
            monday,
            tuple(found[monday]),
            min(
                (one for one in found[monday] if one in places),
                key=places.__getitem__,
                default=None,
            ),
        )
        for monday in sorted(found)
    )


def monday_of(day: dt.date) -> dt.date:
    """Return the Monday of a day's week (ISO 8601).

    >>> str(monday_of(dt.date(2027, 5, 9)))
    '2027-05-03'
    """
    return day - dt.timedelta(days=day.weekday())


def unbeaten(rows: Sequence[Row]) -> frozenset[int]:
    """Return the indices of the rows that no other beats.

    One beats another whose headline is no better, that carries no less and runs short no more
    seldom, where one of the three is worse. What must not be started is never among them, nor
    what has no chance worked out.
    """
    worth = {
        index: (
            LEVELS_BEST_FIRST.index(row.outcome.level),
            row.outcome.most.litres,
            row.outcome.chances.short,
        )
        for index, row in enumerate(rows)
        if row.outcome and row.outcome.chances and row.outcome.level is not HeadlineLevel.NOT_SAFE
    }
    best: list[tuple[int, float, float]] = []
    for one in sorted(set(worth.values())):
        if not any(all(b <= a for a, b in zip(one, other, strict=True)) for other in best):
            best.append(one)
    kept = set(best)
    return frozenset(index for index, one in worth.items() if one in kept)


def out_of_season(rows: Sequence[Row]) -> Mapping[Combination, tuple[str, ...]]:
    """Name for each row the sources that do not count then, but do on another day of its line."""
    by_line: dict[Line, list[Row]] = defaultdict(list)
    for row in rows:
        if row.outcome:
            by_line[row.of.line].append(row)
    found: dict[Combination, tuple[str, ...]] = {}
    for line in by_line.values():
        out = [{one.source.id for one in row.outcome.not_counted} for row in line if row.outcome]
        always = set.intersection(*out)
        for row in line:
            if row.outcome and (
                names := [
                    one.source.name
                    for one in row.outcome.not_counted
                    if one.source.id not in always
                ]
            ):
                found[row.of] = tuple(dict.fromkeys(names))
    return found


def mattering_sources(rows: Sequence[Row]) -> tuple[MatteringSource, ...]:
    """Count in how many combinations the loss of each source leaves no way; the most first."""
    found: dict[str, list[tuple[Row, float, str]]] = defaultdict(list)
    for row in rows:
        for one in row.outcome.no_way if row.outcome else ():
            found[one.id].append((row, one.km, one.name))
    sources = [
        MatteringSource(
            id=name,
            name=told[0][2],
            combinations=len(told),
            routes=len({row.of.route for row, _, _ in told}),
            first_km=told[0][1],
            first=told[0][0].of,
        )
        for name, told in found.items()
    ]
    return tuple(sorted(sources, key=lambda one: (-one.combinations, -one.routes, one.id)))


def one_heat_for_all(
    trips: Sequence[Trip], names: Sequence[str], days: Sequence[dt.date]
) -> list[str]:
    """Warn of trips whose heat is the same in every month, where several are compared."""
    if len({(day.year, day.month) for day in days}) <= 1:
        return []
    same = [
        name
        for trip, name in zip(trips, names, strict=True)
        if trip.heat is not None and not trip.heat.outlook.months
    ]
    if not same:
        return []
    return [
        (
            f"One heat is given for all months ({', '.join(same)}), so a hot month looks no worse"
            " than a cool one: write the heat of each month under [[heat_month]]."
        )
    ]


@dataclass(slots=True)
class AssumptionsTold:
    """Gathers the assumptions of many plans, to be told once; keeps none of the plans."""

    counts: dict[tuple[str, str], dict[str, int]] = field(default_factory=dict)
    """What and why: how many plans assume each value."""

    def add(self, assumptions: Sequence[Assumption]) -> None:
        """Note what one plan assumes."""
        for one in assumptions:
            self._note((one.what, one.why), one.value, 1)

    def merge(self, other: AssumptionsTold) -> None:
        """Note what other plans assume."""
        for key, values in other.counts.items():
            for value, plans in values.items():
                self._note(key, value, plans)

    def told(self) -> tuple[CommonAssumption, ...]:
        """Return each once, with its values in order, whoever came first."""
        return tuple(
            CommonAssumption(what, tuple(sorted(values)), why, sum(values.values()))
            for (what, why), values in sorted(self.counts.items())
        )

    def _note(self, key: tuple[str, str], value: str, plans: int) -> None:
        values = self.counts.setdefault(key, {})
        values[value] = values.get(value, 0) + plans
