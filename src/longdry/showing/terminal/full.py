"""Everything that the plan says, as text for the terminal: the short answer, then its parts."""

from __future__ import annotations

from collections.abc import Sequence

from longdry.model.plan.days import TravelDay
from longdry.model.plan.plan import Plan
from longdry.model.plan.stretch import DryStretch
from longdry.model.water.passes import WaterPass
from longdry.plain_text import steady
from longdry.showing.terminal import fills as terminal_fills
from longdry.showing.terminal.layout import Terminal, shortened
from longdry.showing.terminal.plan import MOST_WARNINGS, plan_text
from longdry.showing.terminal.setbacks import SETBACKS_HEADING, setback_lines, worst_failure_line
from longdry.showing.words import mends as mend_lines
from longdry.showing.words.amounts import offset_words
from longdry.showing.words.headline import reasons
from longdry.showing.words.in_need import (
    IN_NEED_HEADING,
    MOST_IN_NEED,
    best_in_need,
    doubts_words,
    in_need_words,
    left_out_words,
)
from longdry.showing.words.measures import METRIC, Measures
from longdry.showing.words.passes import few_by_stretch
from longdry.showing.words.sources import grade_words, judged_words, salt_words, why_not_words
from longdry.showing.words.stretches import told_missing_l
from longdry.showing.words.way import way_of
from longdry.units import rounded_up

_LEFT = {1, 2, 10}
_DAYS_LEFT = {1, 5}
_PLAIN = Terminal()


def full_text(plan: Plan, measures: Measures = METRIC, terminal: Terminal = _PLAIN) -> str:
    """Return the short answer and, behind it, all that it rests on.

    Parameters
    ----------
    measures
        The units to write figures in.
    terminal
        Its width, and whether it shows colour.
    """
    notes = [measures.sentence(f"{a.what}: {a.value} ({a.why})") for a in plan.assumptions]
    parts = [
        plan_text(plan, measures, terminal),
        _section("Why else", reasons(plan, measures)[1 + MOST_WARNINGS :], terminal),
        _section("Warnings", [measures.sentence(w.text) for w in plan.warnings], terminal),
        _stretch_table(plan.stretches, measures, terminal),
        _section("Water along the route", water_lines(plan, measures), terminal),
        _section(IN_NEED_HEADING, in_need_lines(plan, measures), terminal),
        *_container_sections(plan, measures, terminal),
        _day_table(plan.days, measures, terminal),
        _section("Assumptions", notes, terminal),
    ]
    return "\n\n".join(part for part in parts if part)


def _container_sections(plan: Plan, measures: Measures, terminal: Terminal) -> list[str]:
    """Return the sections that only a plan with containers has."""
    if plan.fills is None:
        return []
    mends = [measures.sentence(line) for line in mend_lines.mend_lines(plan)]
    failure = worst_failure_line(plan, measures)
    setbacks = [*([failure] if failure else []), *setback_lines(plan, measures)]
    return [
        _section(terminal_fills.FILLS_HEADING, terminal_fills.fill_lines(plan, measures), terminal),
        _section(mend_lines.MENDS_HEADING, mends, terminal),
        _section(SETBACKS_HEADING, setbacks, terminal),
    ]


def _section(title: str, items: Sequence[str], terminal: Terminal) -> str:
    if not items:
        return ""
    return "\n".join([terminal.wrapped(f"{title}:"), *(_item(one, terminal) for one in items)])


def _item(notes: str, terminal: Terminal) -> str:
    """Set one item; what stands on further lines of it goes below, further in."""
    head, *below = map(steady, notes.split("\n"))
    lines = [
        terminal.wrapped(head, "  - ", "    "),
        *(terminal.wrapped(one, "      ", "        ") for one in below),
    ]
    return "\n".join(lines)


def _stretch_table(stretches: Sequence[DryStretch], measures: Measures, terminal: Terminal) -> str:
    unit = measures.volume
    headings = ("no", "from", "to", measures.length, "days", "nights", f"need {unit}",
                f"reserve {unit}", f"hold {unit}", f"missing {unit}", "verdict")  # fmt: skip
    return terminal.table([headings, *(_stretch_row(s, measures) for s in stretches)], _LEFT)


def _stretch_row(stretch: DryStretch, measures: Measures) -> tuple[str, ...]:
    return (
        str(stretch.number),
        shortened(stretch.begin.label),
        shortened(stretch.end.label),
        measures.way_figure(stretch.length_km),
        f"{rounded_up(stretch.days, 0.1):.1f}",
        str(stretch.nights),
        measures.need_figure(stretch.need.total_l),
        measures.need_figure(stretch.reserve_l),
        measures.supply_figure(stretch.available_l),
        "-" if (missing_l := told_missing_l(stretch)) is None else measures.need_figure(missing_l),
        stretch.verdict.value,
    )


def _day_table(days: Sequence[TravelDay], measures: Measures, terminal: Terminal) -> str:
    """Lay the days out; what the heat asks for only where the trip gives heat."""
    unit, way = measures.volume, measures.length
    heat = any(day.heat_asks_l is not None for day in days)
    headings = ("day", "date", f"from {way}", f"to {way}", "hours", "ends", f"drink {unit}",
                *((f"heat asks {unit}", f"own rate {unit}") if heat else ()),
                f"used {unit}", f"carried {unit}", "water passed")  # fmt: skip
    left = _DAYS_LEFT | {len(headings) - 1}
    return terminal.table([headings, *(_day_row(day, measures, heat=heat) for day in days)], left)


def _day_row(day: TravelDay, measures: Measures, *, heat: bool) -> tuple[str, ...]:
    asks = (
        (measures.need_figure(day.heat_asks_l or 0.0), measures.supply_figure(day.measured_l))
        if heat
        else ()
    )
    return (
        str(day.number),
        day.date.isoformat() if day.date else "-",
        measures.mark_figure(day.from_km),
        measures.mark_figure(day.to_km),
        f"{day.moving_h:.1f}",
        _ends(day),
        measures.need_figure(day.drinking_l),
        *asks,
        "-" if day.used_l is None else measures.need_figure(day.used_l),
        "-" if day.on_board_l is None else measures.supply_figure(day.on_board_l),
        ", ".join(shortened(name) for name in day.sources),
    )


def _ends(day: TravelDay) -> str:
    what = "rest" if day.rest else "camp" if day.camp else "end"
    at = f" at {shortened(day.camp_name)}" if day.camp_name else ""
    return f"{what}{at}{', after dark' if day.arrives_after_dark else ''}"


def water_lines(plan: Plan, measures: Measures) -> list[str]:
    """Tell each pass: whether it counts and why not, its grade, and whether there is water."""
    lines = []
    for stretch, told, left in few_by_stretch(plan, plan.passes, MOST_IN_NEED):
        lines += [_line(passed, measures) for passed in told]
        if left:
            between = f"{measures.mark(stretch.begin.km)} to {measures.mark(stretch.end.km)}"
            lines.append(f"{between}: {left_out_words(left)}.")
    return lines


def in_need_lines(plan: Plan, measures: Measures) -> list[str]:
    """Name the water that does not count, for those whose life hangs on it."""
    lines = []
    for stop in way_of(plan):
        told, left = best_in_need(stop.in_need)
        for need in told:
            words = f"{need.source.name}: {in_need_words(need, measures)}"
            doubts = doubts_words(need)
            note = f'; note: "{doubts}"' if doubts else ""
            lines.append(f"{measures.mark(need.km)}, {words}{note}.")
        if left:
            lines.append(f"From {stop.end.label}: {left_out_words(left)}.")
    return lines


def _line(passed: WaterPass, measures: Measures) -> str:
    off = offset_words(passed.way_km, measures)
    away = "" if off == "on the route" else f"; {off} there from the route"
    grade = f"{grade_words(passed.source)}{salt_words(passed.source)}"
    judged = judged_words(passed, measures)
    counts = "" if passed.counted else f"NOT COUNTED{_why_not(passed, grade, judged, measures)}; "
    return f"{measures.mark(passed.km)}, {passed.source.name}: {counts}{grade}; {judged}{away}."


def _why_not(passed: WaterPass, grade: str, judged: str, measures: Measures) -> str:
    """Tell why it does not count, unless grade or certainty say so right behind it."""
    why = why_not_words(passed, measures)
    is_told = why in grade or judged.startswith(why) or passed.source.grade is None
    return "" if is_told else f", {why}"
