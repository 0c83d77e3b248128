"""The plan as text for the terminal: may the party start, why, and the way, stop by stop."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from longdry.model.plan.headline import HeadlineLevel
from longdry.model.plan.plan import Plan
from longdry.model.plan.stretch import worst_first
from longdry.model.water.notes import doubts_in
from longdry.model.words import VERDICTS_WORST_FIRST, Verdict
from longdry.plain_text import steady
from longdry.showing.terminal.layout import Terminal, shortened
from longdry.showing.words.amounts import (
    count_words,
    need_words,
    on_board_words,
    poured_words,
    supply_words,
    time_taken_words,
)
from longdry.showing.words.cans import into_words
from longdry.showing.words.departure import beginning_words, leaving_words, way_left_km
from longdry.showing.words.headline import (
    easiest_mend,
    graver_warnings,
    headline_words,
    heat_foremost,
    mend_head,
    no_mend_words,
    reasons,
    trips_of_100,
)
from longdry.showing.words.in_need import MOST_DOUBTS, best_in_need, in_a_word
from longdry.showing.words.markup import clipped_text
from longdry.showing.words.measures import METRIC, Measures
from longdry.showing.words.mends import easiest_words, turned_words
from longdry.showing.words.stops import leave_words, sizes_l
from longdry.showing.words.stretches import alarm_words, three_amounts
from longdry.showing.words.way import WayStop, WayStretch, day_words, way_of
from longdry.units import TOLERANCE_L

_MOST_LINES = 30
_LINES_BESIDE = 8
"""Trip, two of the caution, what was written, blanks, and the first of answer and way."""
_WORDS_OF_A_MATTER = 4
_OF_SUCH_TRIPS = "of 100 trips like this one"
_MOST_STRETCHES = 10
_FEWEST_STRETCHES = 3
MOST_WARNINGS = 3
_MARK_ROOM = 7
_BELOW = " " * (_MARK_ROOM + 2)
_PLAIN = Terminal()
_HOUR = re.compile(r", day \d+, about \d\d:\d\d")
SHORT_CAUTION = "Caution: a source may be dry; ask local authorities and land managers first."


def plan_text(plan: Plan, measures: Measures = METRIC, terminal: Terminal = _PLAIN) -> str:
    """Return the short answer, worst first, without control characters but those of colour.

    Parameters
    ----------
    measures
        The units to write figures in.
    terminal
        Its width, and whether it shows colour.
    """
    parts = [
        terminal.wrapped(_trip_words(plan, measures)),
        "\n".join(_answer(plan, measures, terminal)),
        "\n".join(_way(plan, measures, terminal, _stretches_told(plan, measures))),
        terminal.wrapped(f"{SHORT_CAUTION}{_more_words(plan)}"),
    ]
    return "\n\n".join(parts)


def _stretches_told(plan: Plan, measures: Measures) -> frozenset[int]:
    """Return the numbers of the worst stretches, as many as the answer has lines for.

    Counted as in a terminal of the usual width: a narrow one breaks lines and folds no more.
    """
    worst = [one.number for one in worst_first(plan.stretches)[:_MOST_STRETCHES]]
    answer = "\n".join(_answer(plan, measures, _PLAIN))
    others = answer.count("\n") + _LINES_BESIDE
    for most in range(len(worst), _FEWEST_STRETCHES, -1):
        told = frozenset(worst[:most])
        way = "\n".join(_way(plan, measures, _PLAIN, told))
        if way.count("\n") + others <= _MOST_LINES:
            return told
    return frozenset(worst[:_FEWEST_STRETCHES])


def _more_words(plan: Plan) -> str:
    """Say how much else there is to read, assumptions counted, and where it stands."""
    told = min(MOST_WARNINGS, len(_grave(plan, METRIC)))
    left = len(reasons(plan, METRIC)) - 1 + len(plan.warnings) - told
    notes = [
        count_words(count, one)
        for count, one in ((left, "more warning"), (len(plan.assumptions), "assumption"))
        if count > 0
    ]
    if plan.setbacks and plan.setbacks.chance:
        notes.append("what the chances rest on")
    return f" {', '.join([*notes, 'all else'])}: --full, or the page (--out)."


def _grave(plan: Plan, measures: Measures) -> list[str]:
    """Return the reasons behind the first, heat foremost, and grave warnings of another matter."""
    because = reasons(plan, measures)
    told = {_matter(one) for one in because}
    warned = [clipped_text(measures.sentence(one.text)) for one in graver_warnings(plan)]
    others = [one for one in warned if _matter(one) not in told]
    return [steady(text) for text in (*heat_foremost(because[1:]), *others)]


def _matter(text: str) -> tuple[str, ...]:
    """Return what a sentence is about: a warning that begins as a reason does tells the same."""
    return tuple(word.strip(".,:;") for word in text.split()[:_WORDS_OF_A_MATTER])


def _trip_words(plan: Plan, measures: Measures) -> str:
    trip = plan.trip
    leaves = f", {leaving_words(plan)}" if trip.depart else ""
    return (
        f"{steady(trip.name or plan.measured.route.name)}:"
        f" {measures.way(way_left_km(plan))}, {count_words(len(plan.days), 'day')},"
        f" {count_words(trip.party.people, 'person', 'people')}{leaves}."
    )


def _answer(plan: Plan, measures: Measures, terminal: Terminal) -> Iterator[str]:
    """Say whether the party may start, why, the gravest warnings, and the figures to remember."""
    head = headline_words(plan).upper()
    why = _with_turning_back(plan, steady(reasons(plan, measures)[0]))
    text = terminal.wrapped(f"{head} {why}")
    set_off = terminal.strong if plan.headline.level is HeadlineLevel.LASTS else terminal.alarm
    yield text.replace(head, set_off(head), 1)
    graver = [_with_turning_back(plan, one) for one in _grave(plan, measures)[:MOST_WARNINGS]]
    for one in graver:
        yield terminal.caution(terminal.wrapped(one, "  ! ", "    "))
    figures = (_most_words(plan, measures), _chances(plan, (why, *graver)), _mend(plan, measures))
    yield terminal.wrapped(" ".join(filter(None, figures)))
    if in_need := _in_need(plan, measures):
        yield terminal.wrapped(in_need)


def _in_need(plan: Plan, measures: Measures) -> str:
    """Name the best water in need, of the stretches too long where there are any; never counted."""
    ways = [stop.after for stop in way_of(plan) if stop.after]
    too_long = [way for way in ways if way.stretch.verdict is Verdict.TOO_LONG]
    if not too_long and plan.headline.level is not HeadlineLevel.NOT_SAFE:
        return ""
    best, more = best_in_need([need for way in too_long or ways for need in way.in_need], most=1)
    if not best:
        return ""
    need, others = best[0], f", {more:,} more" if more else ""
    place = f"{measures.mark(need.km)}, way {measures.way(need.way_km)}, {in_a_word(need.source)}"
    return f"In need only, never counted on: {shortened(need.source.name)} ({place}){others}."


def _mend(plan: Plan, measures: Measures) -> str:
    """Tell the easiest mend as the page does; of a stretch it is the worst, named above."""
    mend = easiest_mend(plan)
    if mend is None:
        return steady(mend_head(plan)).strip() or no_mend_words(plan)
    first = clipped_text(measures.sentence(mend.change)).partition(". ")[0].rstrip(".")
    if mend.is_of_headline:
        return steady(f"{mend_head(plan)}{first}.")
    trip = "" if mend.trip_after is mend.verdict_after else f"; the trip then: {mend.trip_after}"
    after = turned_words(mend)[1]
    return steady(f"Worst stretch: {easiest_words(plan, mend)} (with it: {after}{trip}): {first}.")


def _most_words(plan: Plan, measures: Measures) -> str:
    most, dry = plan.most_to_carry, plan.longest_without_water
    where = shortened(most.water.source.name) if most.water else beginning_words(plan)
    held_l, can_be_l = sum(sizes_l(plan).values()), plan.stretches[0].capacity_l
    holds = supply_words(held_l, measures)
    if can_be_l < held_l - TOLERANCE_L:
        holds += f", of which the payload left lets {supply_words(can_be_l, measures)} be carried"
    return (
        f"Most to carry: {need_words(most.litres, measures)}, from {where}"
        f" ({measures.mark(most.km)}); the containers hold {holds}. Longest without water:"
        f" {measures.way(dry.length_km)}, {time_taken_words(dry.days)}, from"
        f" {measures.mark(dry.from_km)}."
    )


def _with_turning_back(plan: Plan, told: str) -> str:
    """Add to the chance of running short that of turning back."""
    chance = plan.setbacks.chance if plan.setbacks else None
    if chance is None or _OF_SUCH_TRIPS not in told:
        return told
    return f"{told} In {_of_100(chance.turn_back)} they may have to turn back."


def _chances(plan: Plan, told: Sequence[str]) -> str:
    """Tell both chances, unless they are told above."""
    chance = plan.setbacks.chance if plan.setbacks else None
    if chance is None or any(_OF_SUCH_TRIPS in one for one in told):
        return ""
    short, back = _of_100(chance.short), _of_100(chance.turn_back)
    return f"Of 100 such trips {short} may run short, {back} have to turn back."


def _of_100(share: float) -> str:
    return trips_of_100(share).partition(" of")[0]


def _way(plan: Plan, measures: Measures, terminal: Terminal, told: frozenset[int]) -> Iterator[str]:
    """One line a stop, one line a stretch of those that are told; runs of the others in one."""
    yield terminal.wrapped(
        f"The way, by {measures.mark_word} (each stretch needs its water + its reserve)"
    )
    stops = way_of(plan)
    folded: list[WayStop] = []
    for stop in stops:
        if stop.after and stop.after.stretch.number not in told:
            folded.append(stop)
            continue
        if folded:
            yield terminal.wrapped(*_folded_line(folded, measures))
            folded = []
        yield terminal.wrapped(*_stop_line(plan, stop, measures))
        if stop.after:
            line = terminal.wrapped(*_stretch_line(stop.after, measures))
            yield line if stop.after.is_clear else terminal.alarm(line)


def _folded_line(stops: Sequence[WayStop], measures: Measures) -> tuple[str, str, str]:
    stretches = [stop.after.stretch for stop in stops if stop.after]
    worst = min((one.verdict for one in stretches), key=VERDICTS_WORST_FIRST.index)
    all_clear = "all clear" if worst is Verdict.CLEAR else f"at worst {worst}"
    mark = measures.mark_figure(stretches[0].begin.km).rjust(_MARK_ROOM)
    number = count_words(len(stretches), "stretch", "stretches")
    return f"… {number} to {measures.mark(stretches[-1].end.km)}, {all_clear}", f"{mark}  ", _BELOW


def _stop_line(plan: Plan, stop: WayStop, measures: Measures) -> tuple[str, str, str]:
    mark = measures.mark_figure(stop.end.km).rjust(_MARK_ROOM)
    when = f", {day_words(stop.planned.arrive_h)}" if stop.planned else ""
    notes = "; ".join(filter(None, (_taken(plan, stop, measures), _leaving(plan, stop, measures))))
    where = f"{shortened(stop.end.label)}{when}"
    told = f": {notes}" if notes else ""
    return f"{where}{told}{_doubts(stop)}", f"{mark}  ", _BELOW


def _doubts(stop: WayStop) -> str:
    """Quote what the notes of its waters say of drought, locks, money or bad water."""
    said = [doubt for water in stop.end.waters for doubt in doubts_in(water.source.note)]
    return f'; note: "{steady("; ".join(said[:MOST_DOUBTS]))}"' if said else ""


def _taken(plan: Plan, stop: WayStop, measures: Measures) -> str:
    sizes = sizes_l(plan)
    taken = [one for one in stop.fills if one.fill.take_l > 0.0 and stop.end.water]
    named = len(taken) > 1 or any(one.fill.water is not stop.end.water for one in taken)
    notes = []
    for one in taken:
        of = f" of {shortened(one.fill.water.source.name)}" if named and one.fill.water else ""
        into = ", ".join(
            f"{shortened(base)}{f' {which}' if which else ''}"
            for base, which in into_words(one.fill, sizes)
        )
        notes.append(f"{poured_words(one.fill.take_l, measures)}{of} into {into}")
    return "; ".join(notes)


def _leaving(plan: Plan, stop: WayStop, measures: Measures) -> str:
    if stop.fills:
        total, part = leave_words(stop.fills[-1].fill, sizes_l(plan), measures)
        to_treat = f" (treat {part.partition(' ')[0]})" if part else ""
        return f"leave with {total.removesuffix(', all full')}{to_treat}"
    if stop.after and stop.after.stretch.verdict is Verdict.NO_CONTAINERS:
        return f"take at least {need_words(stop.after.stretch.wanted_l, measures)}"
    left_l = stop.arriving_l
    return "" if left_l is None else f"{on_board_words(left_l, measures)} left"


def _stretch_line(after: WayStretch, measures: Measures) -> tuple[str, str, str]:
    stretch = after.stretch
    size = f"{measures.way(stretch.length_km)}, {time_taken_words(stretch.days)}"
    _, water, reserve = three_amounts(stretch, measures)
    need = f"needs {water.partition(' ')[0]} + {reserve}"
    outcome = _outcome(after, measures)
    told = f": {outcome}" if outcome else ""
    return f"{size}, {need}{told}", f"{_BELOW}| ", f"{_BELOW}  "


def _outcome(after: WayStretch, measures: Measures) -> str:
    if alarm := alarm_words(after.stretch, measures):
        return _HOUR.sub("", alarm)
    spare_l = after.stretch.spare_l
    if spare_l is None:
        return ""
    return f"{on_board_words(max(spare_l, 0.0), measures)} to spare"
