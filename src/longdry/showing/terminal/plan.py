"""The plan as text for the terminal: may the party start, why, and the way, stop by stop."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from longdry.model.plan.headline import HeadlineLevel
from longdry.model.plan.plan import Plan
from longdry.model.words import Verdict
from longdry.plain_text import steady
from longdry.showing.terminal.layout import Terminal, shortened
from longdry.showing.words.amounts import (
    count_words,
    days_taken_words,
    need_words,
    on_board_words,
    poured_words,
    supply_words,
    time_taken_words,
)
from longdry.showing.words.cans import into_words
from longdry.showing.words.headline import (
    easiest_mend,
    graver_warnings,
    headline_words,
    mend_head,
    reasons,
    trips_of_100,
    worst_first,
)
from longdry.showing.words.markup import clipped_text
from longdry.showing.words.measures import METRIC, Measures
from longdry.showing.words.mends import kind_words
from longdry.showing.words.outset import leaving_words, way_left_km
from longdry.showing.words.stops import leave_words, sizes_l
from longdry.showing.words.stretches import alarm_words
from longdry.showing.words.way import WayStop, WayStretch, day_words, way_of

_MOST_STRETCHES = 10
_MOST_WARNINGS = 3
_MARK_ROOM = 7
_BELOW = " " * (_MARK_ROOM + 2)
_PLAIN = Terminal()
_HOUR = re.compile(r", day \d+, about \d\d:\d\d")
CAUTION = "Caution: a source may be dry; ask local authorities and land managers first."


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
        "\n".join(_way(plan, measures, terminal)),
        terminal.wrapped(f"{CAUTION}{_more_words(plan)}"),
    ]
    return "\n\n".join(parts)


def _more_words(plan: Plan) -> str:
    """Say how much else there is to read, assumptions counted, and where it stands."""
    told = min(_MOST_WARNINGS, len(_grave(plan, METRIC)))
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
    """Return the reasons behind the first, and the grave warnings, the gravest first."""
    warned = [clipped_text(measures.sentence(one.text)) for one in graver_warnings(plan)]
    return [steady(text) for text in (*reasons(plan, measures)[1:], *warned)]


def _trip_words(plan: Plan, measures: Measures) -> str:
    trip = plan.trip
    leaves = f", {leaving_words(plan)}" if trip.depart else ""
    return (
        f"{steady(trip.name or plan.measured.route.name)}:"
        f" {measures.route_length(way_left_km(plan))}, {count_words(len(plan.days), 'day')},"
        f" {count_words(trip.party.people, 'person', 'people')}{leaves}."
    )


def _answer(plan: Plan, measures: Measures, terminal: Terminal) -> Iterator[str]:
    """Say whether the party may start, why, the gravest warnings, and the figures to remember."""
    head = headline_words(plan).upper()
    why = steady(reasons(plan, measures)[0])
    text = terminal.wrapped(f"{head} {why}")
    set_off = terminal.strong if plan.headline.level is HeadlineLevel.LASTS else terminal.alarm
    yield text.replace(head, set_off(head), 1)
    for one in _grave(plan, measures)[:_MOST_WARNINGS]:
        yield terminal.caution(terminal.wrapped(one, "  ! ", "    "))
    told = (_most_words(plan, measures), _chances(plan), _mend(plan))
    yield terminal.wrapped(" ".join(filter(None, told)))


def _mend(plan: Plan) -> str:
    """Name the stretch by its number where a mend helps: the reason above names its ends."""
    mend = easiest_mend(plan)
    if mend is None:
        return steady(mend_head(plan)).strip()
    turned = f"{mend.verdict_before} -> {mend.verdict_after}"
    return f"Stretch {mend.stretch}, easiest mend: {kind_words(mend)} ({turned})."


def _most_words(plan: Plan, measures: Measures) -> str:
    most, dry = plan.most_to_carry, plan.longest_without_water
    where = shortened(most.water.source.name) if most.water else "the start"
    holds = supply_words(sum(sizes_l(plan).values()), measures)
    return (
        f"Most to carry: {need_words(most.litres, measures)}, from {where}"
        f" ({measures.mark(most.km)}); the containers hold {holds}. Longest without water:"
        f" {measures.way(dry.length_km)}, {days_taken_words(dry.days)}, from"
        f" {measures.mark(dry.from_km)}."
    )


def _chances(plan: Plan) -> str:
    chance = plan.setbacks.chance if plan.setbacks else None
    if chance is None:
        return ""
    short, back = (
        trips_of_100(share).partition(" of")[0] for share in (chance.short, chance.turn_back)
    )
    return f"Of 100 such trips {short} may run short, {back} turn back."


def _way(plan: Plan, measures: Measures, terminal: Terminal) -> Iterator[str]:
    """One line a stop, one line a stretch; of many stretches the worst alone."""
    yield f"The way, by {measures.mark_word} (each stretch needs its water + its reserve)"
    stops = way_of(plan)
    told = {one.number for one in worst_first(plan.stretches)[:_MOST_STRETCHES]}
    folded: list[WayStop] = []
    for stop in stops:
        if stop.after and stop.after.stretch.number not in told:
            folded.append(stop)
            continue
        if folded:
            yield _folded_line(folded, measures)
            folded = []
        yield terminal.wrapped(*_stop_line(plan, stop, measures))
        if stop.after:
            line = terminal.wrapped(*_stretch_line(stop.after, measures))
            yield line if stop.after.is_clear else terminal.alarm(line)


def _folded_line(stops: Sequence[WayStop], measures: Measures) -> str:
    stretches = [stop.after.stretch for stop in stops if stop.after]
    worst = worst_first(stretches)[0].verdict
    all_clear = "all clear" if worst is Verdict.CLEAR else f"at worst {worst}"
    mark = measures.mark_figure(stretches[0].begin.km).rjust(_MARK_ROOM)
    return (
        f"{mark}  … {count_words(len(stretches), 'stretch', 'stretches')} to"
        f" {measures.mark(stretches[-1].end.km)}, {all_clear}"
    )


def _stop_line(plan: Plan, stop: WayStop, measures: Measures) -> tuple[str, str, str]:
    mark = measures.mark_figure(stop.end.km).rjust(_MARK_ROOM)
    when = f", {day_words(stop.planned.arrive_h)}" if stop.planned else ""
    notes = "; ".join(filter(None, (_taken(plan, stop, measures), _leaving(plan, stop, measures))))
    where = f"{shortened(stop.end.label)}{when}"
    return f"{where}: {notes or 'no containers named'}", f"{mark}  ", _BELOW


def _taken(plan: Plan, stop: WayStop, measures: Measures) -> str:
    sizes = sizes_l(plan)
    notes = []
    for one in stop.fills:
        if one.fill.take_l <= 0.0 or not stop.end.water:
            continue
        into = ", ".join(
            f"{shortened(base)}{f' {which}' if which else ''}"
            for base, which in into_words(one.fill, sizes)
        )
        notes.append(f"{poured_words(one.fill.take_l, measures)} into {into}")
    return "; ".join(notes)


def _leaving(plan: Plan, stop: WayStop, measures: Measures) -> str:
    if stop.fills:
        total, part = leave_words(stop.fills[-1].fill, sizes_l(plan), measures)
        raw = f" ({part.partition(' ')[0]} raw)" if part else ""
        return f"leave with {total.removesuffix(', all full')}{raw}"
    return f"{on_board_words(stop.arriving.total_l, measures)} left" if stop.arriving else ""


def _stretch_line(after: WayStretch, measures: Measures) -> tuple[str, str, str]:
    stretch = after.stretch
    size = f"{measures.way(stretch.length_km)}, {time_taken_words(stretch.days)}"
    reserve = need_words(stretch.reserve_l, measures)
    need = f"needs {measures.need_figure(stretch.need.total_l)} + {reserve}"
    return f"{size}, {need}: {_outcome(after, measures)}", f"{_BELOW}| ", f"{_BELOW}  "


def _outcome(after: WayStretch, measures: Measures) -> str:
    if alarm := alarm_words(after.stretch, measures):
        return _HOUR.sub("", alarm)
    spare_l = after.stretch.spare_l
    if spare_l is None:
        return str(after.stretch.verdict)
    return f"{on_board_words(max(spare_l, 0.0), measures)} to spare"
