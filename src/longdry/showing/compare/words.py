"""Can this be done, and when? In words that page and terminal share."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass

from longdry.model.compare.combination import HeatVerdict, Outcome, Row
from longdry.model.compare.comparison import Comparison, Week
from longdry.model.plan.headline import HeadlineLevel
from longdry.model.words import Verdict
from longdry.showing.words.amounts import count_words, day_name, need_words, time_taken_words
from longdry.showing.words.headline import HEADLINES, trips_of_100
from longdry.showing.words.markup import clipped_name, clipped_text
from longdry.showing.words.measures import Measures
from longdry.units import rounded_up

QUESTION = "Can this be done, and when?"
SIGNS = {HeadlineLevel.LASTS: "yes", HeadlineLevel.ONLY_IF: "if", HeadlineLevel.NOT_SAFE: "no"}
"""A word for a cell of the calendar: it says what the hue says."""
UNPLANNED = "?"
MEANINGS = {
    "yes": "on these figures the water lasts",
    "if": "not yet: something must be settled first",
    "no": "do not start",
    UNPLANNED: "could not be planned",
}
CAUTIONS = (
    (
        "A plan is not water. A source may be dry, foul, locked or gone: ask the local authorities"
        " and land managers about water, tracks, permits, fire and weather of that season before"
        " you leave, and take medical advice on heat."
    ),
    (
        "A good week is no promise: months of a layer and heat of a table are what is usual, not"
        " what will be. Never stake your life on one uncertain source."
    ),
    (
        "The figures compare plans, they do not replace one: read the whole plan of the combination"
        " that you choose, its warnings too, before anybody starts."
    ),
)


@dataclass(frozen=True, slots=True)
class Extreme:
    """The best or the worst, week by week where there are weeks."""

    head: str
    """Such as 'Best week'."""
    when: str
    """Its days; empty without weeks."""
    row: int
    """Index of the best combination then."""
    name: str
    level: HeadlineLevel
    told: str
    """What that comes to, whole sentences."""

    @property
    def words(self) -> str:
        """All of it on one line."""
        return f"{self.head}: {self.when}{'; ' if self.when else ''}{self.name}. {self.told}"


@dataclass(frozen=True, slots=True)
class FirstLines:
    """The first lines."""

    level: HeadlineLevel | None
    """The best that there is; None where nothing could be planned."""
    first: str
    """The answer, a few words."""
    count: str
    """In how many weeks, one sentence; empty where nothing could be planned."""
    extremes: tuple[Extreme, ...] = ()
    more: tuple[str, ...] = ()
    """What must be read with it."""

    @property
    def lines(self) -> tuple[str, ...]:
        """All of it, the first line first."""
        first = f"{self.first} {self.count}".strip()
        return (first, *(one.words for one in self.extremes), *self.more)


def sign_of(row: Row) -> str:
    """Return the word of a cell."""
    return SIGNS[row.outcome.level] if row.outcome else UNPLANNED


def answer_of(comparison: Comparison, measures: Measures) -> FirstLines:
    """Answer whether and when it can be done."""
    if not comparison.ranked:
        more = (*comparison.cautions, *_failed(comparison))
        return FirstLines(None, _NOBODY_KNOWS, "", (), more)
    best = comparison.rows[comparison.ranked[0]].outcome
    level = best.level if best else HeadlineLevel.NOT_SAFE
    heed = [*comparison.cautions, *_failed(comparison)]
    if best and best.grave and level is not HeadlineLevel.NOT_SAFE:
        count = f"{len(best.grave)} grave warnings" if len(best.grave) > 1 else "grave warning"
        heed.insert(0, f"First read the {count} of the best plan: what is said there can undo it.")
    extremes = tuple(_extremes(comparison, measures))
    return FirstLines(level, _FIRST[level], _count(comparison, level), extremes, tuple(heed))


_WEEK_DAYS = 7
"""Days farther apart are told one by one: nobody has planned those between."""
_MOST_SPANS = 3
_NOBODY_KNOWS = "Nobody knows: none of it could be planned."
_FIRST = {
    HeadlineLevel.LASTS: "Yes, on these figures.",
    HeadlineLevel.ONLY_IF: "Not yet: something must be settled first.",
    HeadlineLevel.NOT_SAFE: "No: do not start on any of these plans.",
}


def _count(comparison: Comparison, level: HeadlineLevel) -> str:
    """Say in how many weeks, or in how many combinations where there are no weeks."""
    rows = comparison.rows
    if len(comparison.weeks) == 1 or not comparison.weeks:
        count = sum(_level(row) is level for row in rows)
        of = f"{count} of {count_words(len(rows), 'combination')}"
        return {
            HeadlineLevel.LASTS: f"The water lasts in {of}.",
            HeadlineLevel.ONLY_IF: f"Once that is settled, {of} may hold; none lasts as it stands.",
            HeadlineLevel.NOT_SAFE: f"That holds for {of}.",
        }[level]
    best = [week for week in comparison.weeks if week.best is not None]
    good = [week for week in best if _level(rows[week.best or 0]) is level]
    of = f"{len(good)} of {count_words(len(comparison.weeks), 'week')}"
    then = f"In {of}{_span(comparison, level)}"
    return {
        HeadlineLevel.LASTS: f"{then} the water lasts on one plan at least.",
        HeadlineLevel.ONLY_IF: f"{then} a plan may hold once that is settled; none lasts as it"
        " stands.",
        HeadlineLevel.NOT_SAFE: f"That holds in {of}.",
    }[level]


def _level(row: Row) -> HeadlineLevel | None:
    return row.outcome.level if row.outcome else None


def _span(comparison: Comparison, level: HeadlineLevel) -> str:
    """Say on which days a party may leave: those alone on which a plan comes to the level."""
    rows = [row for row in comparison.rows if row.of.depart]
    good = {row.of.depart.date() for row in rows if row.of.depart and _level(row) is level}
    runs: list[list[dt.date]] = []
    before: dt.date | None = None
    for day in sorted({row.of.depart.date() for row in rows if row.of.depart}):
        if day in good:
            if not (runs and before == runs[-1][-1] and (day - before).days <= _WEEK_DAYS):
                runs.append([])
            runs[-1].append(day)
        before = day
    if not runs:
        return ""
    if len(runs) > _MOST_SPANS:
        return f", on some days from {day_words(runs[0][0])} to {day_words(runs[-1][-1])},"
    spans = [" to ".join(map(day_words, dict.fromkeys((run[0], run[-1])))) for run in runs]
    return f", leaving {' or '.join(spans)},"


def day_words(day: dt.date) -> str:
    """Write a day of departure short and plain.

    >>> day_words(dt.date(2027, 5, 3))
    '3 May 2027'
    """
    return day_name(day).partition(" ")[2]


def week_words(week: Week) -> str:
    """Name a week by its days."""
    first, last = (day_words(week.monday + dt.timedelta(days=days)) for days in (0, 6))
    year = first.rpartition(" ")[2]
    return f"{first.removesuffix(f' {year}') if last.endswith(year) else first} to {last}"


def _extremes(comparison: Comparison, measures: Measures) -> Iterator[Extreme]:
    """Yield the best and the worst where they are not the same."""
    best, worst = comparison.best_week, comparison.worst_week
    if best is None or worst is None or len(comparison.weeks) == 1:
        found = [("Best", "", comparison.ranked[0]), ("Worst", "", comparison.ranked[-1])]
    else:
        weeks = [("Best week", comparison.weeks[best]), ("Worst week", comparison.weeks[worst])]
        found = [
            (head, week_words(week), week.best) for head, week in weeks if week.best is not None
        ]
    for number, (head, when, index) in enumerate(found):
        row = comparison.rows[index]
        if row.outcome and (number == 0 or index != found[0][2]):
            told = f"{HEADLINES[row.outcome.level]} {first_reason(row.outcome, measures)}"
            name = name_of(comparison, row)
            yield Extreme(head, when, index, name, row.outcome.level, told)


def _failed(comparison: Comparison) -> tuple[str, ...]:
    failed = [row for row in comparison.rows if row.outcome is None]
    if not failed:
        return ()
    count = count_words(len(failed), "combination")
    of = f" of {len(comparison.rows):,}" if len(failed) < len(comparison.rows) else ""
    return (f"{count}{of} could not be planned, first: {clipped_text(failed[0].failed)}",)


def name_of(comparison: Comparison, row: Row) -> str:
    """Name a combination: route, direction, trip where there are several, day."""
    line = clipped_name(comparison.name_of_line(row.of.line))
    return f"{line}, {day_words(row.of.depart.date())}" if row.of.depart else line


def first_reason(outcome: Outcome, measures: Measures) -> str:
    """Return the gravest reason of a headline."""
    return clipped_text(measures.sentence(next(iter(outcome.because), "")))


def reasons_of(comparison: Comparison, row: Row, measures: Measures) -> list[str]:
    """Say why a cell is as it is: headline, water out of season, heat, dark, warnings."""
    outcome = row.outcome
    if outcome is None:
        return [clipped_text(row.failed)]
    told = [f"{HEADLINES[outcome.level]} {first_reason(outcome, measures)}"]
    if names := comparison.out_of_season.get(row.of):
        listed = ", ".join(clipped_name(name) for name in names)
        told.append(f"No water to count on then: {listed}.")
    if outcome.hottest:
        beyond = ", beyond the limits" if outcome.heat is HeatVerdict.BEYOND else ""
        told.append(
            f"Hottest: day {outcome.hottest.day}, {measures.heat(outcome.hottest.shade_max_c)}"
            f"{beyond}."
        )
    else:
        told.append("No heat is given.")
    if outcome.dark_days:
        told.append(
            f"Dark ends the moving early on {outcome.dark_days} of"
            f" {count_words(outcome.days, 'day')}."
        )
    return told


def worst_words(outcome: Outcome, measures: Measures) -> str:
    """Tell the worst stretch and what is missing."""
    worst = outcome.worst
    where = (
        f"{clipped_name(worst.from_name)} ({measures.mark(worst.from_km)}) to"
        f" {clipped_name(worst.to_name)} ({measures.mark(worst.to_km)})"
    )
    if worst.verdict in (Verdict.CLEAR, Verdict.NO_CONTAINERS) or worst.missing_l <= 0.0:
        return f"{where}: {worst.verdict}"
    return f"{where}: {worst.verdict}, {need_words(worst.missing_l, measures)} missing"


def longest_words(outcome: Outcome, measures: Measures) -> str:
    """Tell the longest way without water."""
    longest = outcome.longest
    return f"{measures.way(longest.length_km)}, {time_taken_words(longest.days)}"


def most_words(outcome: Outcome, measures: Measures) -> str:
    """Tell the most to carry and where it is taken."""
    where = clipped_name(outcome.most.name) if outcome.most.source_id else "the start"
    return f"{need_words(outcome.most.litres, measures)} from {where}"


def chances_words(outcome: Outcome) -> str:
    """Tell both chances in trips of 100, rounded up, with their error."""
    chances = outcome.chances
    if chances is None:
        return "not known"
    short, back = (of_100(share) for share in (chances.short, chances.turn_back))
    error = max(rounded_up(100.0 * chances.standard_error, 0.1), 0.1)
    return f"{short} may run short, {back} may have to turn back; ± {error:.1f}"


def of_100(share: float) -> str:
    """Write how many of 100 trips, rounded up, never as nothing.

    >>> of_100(0.4514), of_100(0.0)
    ('46', 'under 1')
    """
    return trips_of_100(share).partition(" of ")[0]


def heat_words(outcome: Outcome, measures: Measures) -> str:
    """Tell the hottest day and what the heat comes to."""
    if outcome.hottest is None:
        return str(outcome.heat)
    return f"{measures.heat(outcome.hottest.shade_max_c)}, {outcome.heat}"


def no_way_words(outcome: Outcome) -> str:
    """Name the first source whose loss leaves no way, and count the others."""
    if not outcome.no_way:
        return "none"
    more = len(outcome.no_way) - 1
    return f"{clipped_name(outcome.no_way[0].name)}{f' and {more} more' if more else ''}"
