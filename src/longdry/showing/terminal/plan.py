"""The plan as text for the terminal: the worst first in words, then the stretches."""

from __future__ import annotations

import textwrap
from collections.abc import Collection, Sequence

from longdry.model.plan.days import TravelDay
from longdry.model.plan.plan import Plan
from longdry.model.plan.stretch import DryStretch
from longdry.model.words import Verdict
from longdry.plain_text import steady
from longdry.showing.terminal import fills as terminal_fills
from longdry.showing.terminal import setbacks as terminal_setbacks
from longdry.showing.terminal.setbacks import worst_failure_line
from longdry.showing.terminal.water import HEADING as WATER
from longdry.showing.terminal.water import water_lines
from longdry.showing.words import mends as mend_lines
from longdry.showing.words.measures import METRIC, Measures
from longdry.showing.words.wording import count_words, dry_words, told_missing_l
from longdry.units import rounded_up

WIDTH = 96
LONGEST_NAME = 26
CAUTION = (
    "Caution: these figures are only as good as the route, the water layer and the rates behind"
    " them. A source may be dry. Ask the local authorities and land managers before you leave,"
    " take medical advice on heat, and carry a way of calling for help."
)
_LEFT = {1, 2, 10}
_DAYS_LEFT = {1, 5}
_IN_WORDS = {
    Verdict.TOO_LONG: "is too long",
    Verdict.SHORT_RATION: "can be done only on a short ration",
    Verdict.INTO_RESERVE: "can be done only by drinking into the reserve",
}


def plan_text(plan: Plan, measures: Measures = METRIC) -> str:
    """Return the answer as plain text without control characters.

    Parameters
    ----------
    measures
        The units to write figures in.
    """
    notes = [measures.sentence(f"{a.what}: {a.value} ({a.why})") for a in plan.assumptions]
    parts = [
        _wrapped(_size_in_words(plan, measures)),
        _wrapped(_worst_in_words(plan, measures)),
        _wrapped(_longest_in_words(plan, measures)),
        _worst_failure(plan, measures),
        _section("Warnings", [steady(measures.sentence(w.text)) for w in plan.warnings]),
        _stretch_table(plan.stretches, measures),
        _section(WATER, [steady(line) for line in water_lines(plan, measures)]),
        *_container_sections(plan, measures),
        _day_table(plan.days, measures),
        _section("Assumptions", [steady(line) for line in notes]),
        _wrapped(CAUTION),
    ]
    return "\n\n".join(part for part in parts if part)


def _worst_failure(plan: Plan, measures: Measures) -> str:
    if plan.setbacks is None:
        return ""

    return _wrapped(steady(worst_failure_line(plan, measures)))


def _container_sections(plan: Plan, measures: Measures) -> list[str]:
    """Return the sections that only a plan with containers has."""
    if plan.fills is None:
        return []

    fills = terminal_fills.fill_lines(plan, measures)
    mends = mend_lines.mend_lines(plan)
    setbacks = terminal_setbacks.setback_lines(plan, measures)
    return [
        _section(terminal_fills.HEADING, [_plain_lines(item) for item in fills]),
        _section(mend_lines.HEADING, [steady(measures.sentence(line)) for line in mends]),
        _section(terminal_setbacks.HEADING, [steady(line) for line in setbacks]),
    ]


def _size_in_words(plan: Plan, measures: Measures) -> str:
    return (
        f"{steady(plan.measured.route.name)}: {measures.route_length(plan.measured.length_km)},"
        f" {count_words(len(plan.days), 'day')},"
        f" {count_words(len(plan.stretches), 'dry stretch', 'dry stretches')}."
    )


def _worst_in_words(plan: Plan, measures: Measures) -> str:
    worst = plan.stretches[plan.longest.worst - 1]
    where = f"Stretch {worst.number}, {_between(worst, measures)},"
    match worst.verdict:
        case Verdict.CLEAR:
            but = ", but heed the warnings" if any(w.grave for w in plan.warnings) else ""
            return (
                f"Every stretch is clear on these figures{but}. The tightest:"
                f" {where}{_spare(worst, measures)}."
            )
        case Verdict.NO_CONTAINERS:
            asks = _need_and_reserve(worst, measures)
            return f"NOT SAFE TO CALL: no containers given. {where} asks for {asks}."
        case _:
            return (
                f"NOT SAFE ON THESE FIGURES: {where} {_IN_WORDS[worst.verdict]}:"
                f" {_lacks(worst, measures)}."
            )


def _longest_in_words(plan: Plan, measures: Measures) -> str:
    by_km = plan.stretches[plan.longest.by_km - 1]
    by_days = plan.stretches[plan.longest.by_days - 1]
    return (
        f"Longest without water to drink: {measures.way(by_km.length_km)} (stretch"
        f" {by_km.number}); {rounded_up(by_days.days, 0.1):.1f} days (stretch {by_days.number})."
    )


def _between(stretch: DryStretch, measures: Measures) -> str:
    return (
        f"{steady(stretch.begin.label)} ({measures.mark(stretch.begin.km)}) to"
        f" {steady(stretch.end.label)} ({measures.mark(stretch.end.km)})"
    )


def _spare(stretch: DryStretch, measures: Measures) -> str:
    if stretch.spare_l is None:
        return ""
    return f" is left with {measures.supply(max(stretch.spare_l, 0.0))} to spare beyond its reserve"


def _lacks(stretch: DryStretch, measures: Measures) -> str:
    missing_l, dry = told_missing_l(stretch), dry_words(stretch, measures)
    lacks = (
        "what is missing is not litres alone: see the warnings"
        if missing_l is None
        else f"{measures.need(missing_l)} are missing for need and reserve"
    )
    return f"{lacks}; {dry}" if dry else lacks


def _need_and_reserve(stretch: DryStretch, measures: Measures) -> str:
    return (
        f"{measures.need(stretch.need.total_l)} and {measures.need(stretch.reserve_l)} of reserve"
    )


def _section(title: str, lines: Sequence[str]) -> str:
    if not lines:
        return ""
    return "\n".join([f"{title}:", *map(_item, lines)])


def _item(notes: str) -> str:
    """Set one item; what stands on further lines of it goes below, further in."""
    head, *below = notes.split("\n")
    lines = [
        _wrapped(head, "  - ", "    "),
        *(_wrapped(one, "      ", "        ") for one in below),
    ]
    return "\n".join(lines)


def _wrapped(text: str, first: str = "", later: str = "") -> str:
    if 0 < len(text) <= WIDTH - len(first) and text.isprintable() and text == text.strip():
        return first + text  # what textwrap would give back of most lines, after taking them apart
    return textwrap.fill(text, WIDTH, initial_indent=first, subsequent_indent=later)


def _aligned(rows: Sequence[tuple[str, ...]], left: Collection[int]) -> str:
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    return "\n".join(
        "  ".join(
            cell.ljust(width) if column in left else cell.rjust(width)
            for column, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in rows
    )


def _stretch_table(stretches: Sequence[DryStretch], measures: Measures) -> str:
    unit = measures.volume
    headings = ("no", "from", "to", measures.length, "days", "nights", f"need {unit}",
                f"reserve {unit}", f"hold {unit}", f"missing {unit}", "verdict")  # fmt: skip
    return _aligned([headings, *(_stretch_row(s, measures) for s in stretches)], _LEFT)


def _stretch_row(stretch: DryStretch, measures: Measures) -> tuple[str, ...]:
    return (
        str(stretch.number),
        _shortened(stretch.begin.label),
        _shortened(stretch.end.label),
        measures.way_figure(stretch.length_km),
        f"{rounded_up(stretch.days, 0.1):.1f}",
        str(stretch.nights),
        measures.need_figure(stretch.need.total_l),
        measures.need_figure(stretch.reserve_l),
        measures.supply_figure(stretch.available_l),
        "-" if (missing_l := told_missing_l(stretch)) is None else measures.need_figure(missing_l),
        stretch.verdict.value,
    )


def _day_table(days: Sequence[TravelDay], measures: Measures) -> str:
    """Lay the days out; what the heat asks for only where the trip gives heat."""
    unit, way = measures.volume, measures.length
    heat = any(day.heat_asks_l is not None for day in days)
    headings = ("day", "date", f"from {way}", f"to {way}", "hours", "ends", f"drink {unit}",
                *((f"heat asks {unit}", f"own rate {unit}") if heat else ()),
                f"used {unit}", f"on board {unit}", "water passed")  # fmt: skip
    left = _DAYS_LEFT | {len(headings) - 1}
    return _aligned([headings, *(_day_row(day, measures, heat=heat) for day in days)], left)


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
        ", ".join(_shortened(name) for name in day.sources),
    )


def _ends(day: TravelDay) -> str:
    what = "rest" if day.rest else "camp" if day.camp else "end"
    at = f" at {_shortened(day.camp_name)}" if day.camp_name else ""
    return f"{what}{at}{', after dark' if day.arrives_after_dark else ''}"


def _shortened(name: str) -> str:
    plain = steady(name)
    return plain if len(plain) <= LONGEST_NAME else plain[: LONGEST_NAME - 1] + "…"


def _plain_lines(item: str) -> str:
    return "\n".join(map(steady, item.split("\n")))
