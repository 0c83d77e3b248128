"""What the sheet to carry says at each stop: lines of words, short enough for paper."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from longdry.model.plan.plan import Plan
from longdry.model.plan.setbacks import TurnBack
from longdry.model.plan.stretch import DryStretch, StretchEnd
from longdry.model.water.passes import WaterPass
from longdry.model.words import Certainty
from longdry.showing.words.fills import load_words
from longdry.showing.words.markup import Markup, printable, tag
from longdry.showing.words.measures import Measures
from longdry.showing.words.passes import last_visit
from longdry.showing.words.setbacks import (
    HOLDS_ALL_ALONG,
    stranding_ids,
    turn_back_words,
    turn_backs_by_stretch,
)
from longdry.showing.words.stops import (
    StopFill,
    StopKind,
    fills_by_stretch,
    leave_words,
    sizes_l,
    stop_lines,
)
from longdry.showing.words.wording import (
    GRADE_WORDS,
    alarm_words,
    day_name,
    flow_words,
    leaving_l,
    length_words,
    need_words,
    offset_words,
    on_board_words,
    opening_words,
    supply_words,
    time_taken_words,
)

_LONGEST = 44
"""Characters of one name on paper."""
_CERTAINTY = {
    Certainty.CERTAIN: "water certain",
    Certainty.LIKELY: "water likely",
    Certainty.DOUBTFUL: "water DOUBTFUL",
}
_CSS_OF = {StopKind.FIRST: "fill", StopKind.TAKE: "fill"}


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a cell."""

    words: str
    css: str = ""
    is_name: bool = False

    def html(self) -> Markup:
        """Mark it up; a name from a file is kept apart from the direction of the text around."""
        inner = tag("bdi", None, self.words) if self.is_name else self.words
        return tag("div", {"class": self.css} if self.css else None, inner)


Cell = tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class CarryRow:
    """One stop: where, what water, what to fill, what to leave with, what comes next."""

    cells: tuple[Cell, Cell, Cell, Cell, Cell]
    strands: bool = False
    """Whether no way to water is left where this source is dry."""


@dataclass(frozen=True, slots=True)
class _RowInputs:
    """What the rows are made from."""

    plan: Plan
    measures: Measures
    sizes_l: Mapping[str, float]
    turn_backs: Mapping[int, TurnBack]
    stranding: frozenset[str]


def carry_rows(plan: Plan, measures: Measures) -> list[CarryRow]:
    """Return every stop in travel order, the end of the route last."""
    notes = _RowInputs(
        plan, measures, sizes_l(plan), turn_backs_by_stretch(plan), stranding_ids(plan)
    )
    stops = zip(plan.stretches, fills_by_stretch(plan), strict=True)
    rows = [_row(stretch, fills, notes) for stretch, fills in stops]
    return [*rows, _last_row(notes)]


def shortened(name: str) -> str:
    """Return a name as it stands on paper.

    >>> shortened("North Well"), shortened(" "), len(shortened("W" * 10_000))
    ('North Well', '(no name)', 45)
    """
    shown = printable(name) or "(no name)"
    return shown if len(shown) <= _LONGEST else f"{shown[:_LONGEST]}…"


def _row(stretch: DryStretch, fills: Sequence[StopFill], notes: _RowInputs) -> CarryRow:
    strands = any(water.source.id in notes.stranding for water in stretch.begin.waters)
    cells = (
        _where(stretch.begin, notes.measures),
        _water(stretch.begin, notes.measures, strands=strands),
        _filling(fills, notes),
        _leaving(stretch, fills, notes),
        _next_water(stretch, notes),
    )
    return CarryRow(cells, strands)


def _last_row(inputs: _RowInputs) -> CarryRow:
    fills, last = inputs.plan.fills, inputs.plan.stretches[-1]
    left = on_board_words(fills.end.total_l, inputs.measures) if fills else "not known"
    here = _water(last.end, inputs.measures, strands=False)
    return CarryRow((_where(last.end, inputs.measures), here, (), (Line(f"{left} left"),), ()))


def _where(end: StretchEnd, measures: Measures) -> Cell:
    on = end.water.on if end.water else None
    mark = Line(measures.mark_figure(end.km), "mark")
    return (mark, Line(day_name(on).rsplit(" ", 1)[0], "small")) if on else (mark,)


def _water(end: StretchEnd, measures: Measures, *, strands: bool) -> Cell:
    at = () if end.water else (Line(f"{end.label} of the route".capitalize(), "stop"),)
    alarm = (Line("IF DRY: NO WAY TO WATER", "alarm"),) if strands else ()
    lines = [line for water in end.waters for line in _one_water(water, measures)]
    return (*at, *lines[:1], *alarm, *lines[1:])


def _one_water(water: WaterPass, measures: Measures) -> list[Line]:
    grade = GRADE_WORDS[water.source.trusted_grade]
    return [
        Line(shortened(water.source.name), "stop", is_name=True),
        Line(f"{grade}; {_certainty(water)}"),
        *_getting_at(water, measures),
    ]


def _certainty(water: WaterPass) -> str:
    """Tell whether there will be water, and on whose word or on which visit that rests."""
    judged, visit = water.judgement, last_visit(water)
    word = "set by hand in the layer" if judged.by_hand else ""
    if not word and judged.on_word_alone:
        word = "on the layer's word alone"
    seen = f"last seen {visit.found} {day_name(visit.on).split(' ', 1)[1]}" if visit else ""
    rests_on = "; ".join(filter(None, (word, seen)))
    return f"{_CERTAINTY[judged.certainty]}{f' ({rests_on})' if rests_on else ''}"


def _getting_at(water: WaterPass, measures: Measures) -> list[Line]:
    source = water.source
    notes = [shortened(text) for text in (source.kind, source.access) if text]
    if source.flow_l_per_min is not None:
        notes.append(flow_words(source.flow_l_per_min, measures))
    if source.limit_l is not None:
        notes.append(f"at most {supply_words(source.limit_l, measures)}")
    notes += filter(None, [opening_words(source)])
    if water.way_km > 0.0:
        notes.append(f"{offset_words(water.way_km, measures)} there from the route")
    return [Line(", ".join(notes), is_name=True)] if notes else []


def _filling(fills: Sequence[StopFill], notes: _RowInputs) -> Cell:
    """Tell what is done at each water, under its name where the stop has several."""
    if not fills:
        return (Line("no containers named"),)
    lines: list[Line] = []
    for one in fills:
        if len(fills) > 1 and one.fill.water:
            lines.append(Line(f"{shortened(one.fill.water.source.name)}:", is_name=True))
        lines += [
            Line(line.words(shortened), _CSS_OF.get(line.kind, ""), is_name=True)
            for line in stop_lines(one.fill, one.treating, notes.sizes_l, notes.measures)
        ]
        lines += _loads(one.index, notes)
    return tuple(lines)


def _loads(index: int, notes: _RowInputs) -> Cell:
    """Tell the load of each carrier that is at its heaviest on leaving here."""
    return tuple(
        Line(
            f"{shortened(load.carrier)}: {load_words(load, notes.measures)}",
            "alarm" if load.over_kg > 0.0 else "",
            is_name=True,
        )
        for load in notes.plan.loads
        if load.stop == index
    )


def _leaving(stretch: DryStretch, fills: Sequence[StopFill], notes: _RowInputs) -> Cell:
    if not fills:
        return (Line(f"at least {need_words(leaving_l(stretch), notes.measures)}", "mark"),)
    total, part = leave_words(fills[-1].fill, notes.sizes_l, notes.measures)
    return (Line(total, "mark"), *([Line(part, "small")] if part else []))


def _next_water(stretch: DryStretch, inputs: _RowInputs) -> Cell:
    measures = inputs.measures
    goal = "water" if stretch.end.water else "end"
    lines = [
        Line(f"{time_taken_words(stretch.days)} to {goal}", "next"),
        Line(f"{length_words(stretch.length_km, measures)}, at {measures.mark(stretch.end.km)}"),
    ]
    if alarm := alarm_words(stretch, measures):
        lines.append(Line(alarm, "alarm"))
    turn = inputs.turn_backs.get(stretch.number)
    if turn:
        turns = turn_back_words(turn, stretch, measures)
        lines += [Line(words, "turn") for words in turns if words not in HOLDS_ALL_ALONG]
    return tuple(lines)
