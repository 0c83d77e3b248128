"""The plan as text for the terminal: the worst first in words, then the stretches."""

from __future__ import annotations

import textwrap
import unicodedata
from collections.abc import Sequence

from longdry.model.dry_stretch import DryStretch
from longdry.model.plan import Plan
from longdry.model.words import Verdict
from longdry.units import rounded_down, rounded_up

WIDTH = 96
LONGEST_NAME = 26
CAUTION = (
    "Caution: these figures are only as good as the route, the water layer and the rates behind"
    " them. A source may be dry. Ask the local authorities and land managers before you leave,"
    " take medical advice on heat, and carry a way of calling for help."
)
_HEADINGS = ("no", "from", "to", "km", "days", "nights", "need L", "reserve L", "hold L",
             "missing L", "verdict")  # fmt: skip
_LEFT = {1, 2, 10}
_IN_WORDS = {
    Verdict.TOO_LONG: "is too long",
    Verdict.SHORT_RATION: "can be done only on a short ration",
    Verdict.INTO_RESERVE: "can be done only by drinking into the reserve",
}


def plan_text(plan: Plan) -> str:
    """Return the answer as plain text without control characters."""
    parts = [
        _wrapped(_size_in_words(plan)),
        _wrapped(_worst_in_words(plan)),
        _wrapped(_longest_in_words(plan)),
        _section("Warnings", [_plain(warning.text) for warning in plan.warnings]),
        _table(plan.stretches),
        _section(
            "Assumptions", [_plain(f"{a.what}: {a.value} ({a.why})") for a in plan.assumptions]
        ),
        _wrapped(CAUTION),
    ]
    return "\n\n".join(part for part in parts if part)


def _size_in_words(plan: Plan) -> str:
    return (
        f"{_plain(plan.measured.route.name)}: {plan.measured.length_km:.1f} km,"
        f" {len(plan.days)} days, {len(plan.stretches)} dry stretches."
    )


def _worst_in_words(plan: Plan) -> str:
    worst = plan.stretches[plan.longest.worst - 1]
    where = f"Stretch {worst.number}, {_between(worst)},"
    match worst.verdict:
        case Verdict.CLEAR:
            return (
                f"Every stretch is clear on these figures. The tightest: {where} {_spare(worst)}."
            )
        case Verdict.NO_CONTAINERS:
            return f"NOT SAFE TO CALL: no containers given. {where} asks for {_asks(worst)}."
        case _:
            litres = rounded_up(worst.missing_l)
            return (
                f"NOT SAFE ON THESE FIGURES: {where} {_IN_WORDS[worst.verdict]}:"
                f" {litres:.0f} L are missing for need and reserve."
            )


def _longest_in_words(plan: Plan) -> str:
    by_km = plan.stretches[plan.longest.by_km - 1]
    by_days = plan.stretches[plan.longest.by_days - 1]
    return (
        f"Longest without water to drink: {rounded_up(by_km.length_km, 0.1):.1f} km (stretch"
        f" {by_km.number}); {rounded_up(by_days.days, 0.1):.1f} days (stretch {by_days.number})."
    )


def _between(stretch: DryStretch) -> str:
    return (
        f"{_plain(stretch.begin.label)} (km {stretch.begin.km:.1f}) to"
        f" {_plain(stretch.end.label)} (km {stretch.end.km:.1f})"
    )


def _spare(stretch: DryStretch) -> str:
    spare_l = stretch.available_l - stretch.need.total_l - stretch.reserve_l
    return f"has {rounded_down(spare_l):.0f} L to spare beyond its reserve"


def _asks(stretch: DryStretch) -> str:
    return (
        f"{rounded_up(stretch.need.total_l):.0f} L and"
        f" {rounded_up(stretch.reserve_l):.0f} L of reserve"
    )


def _section(title: str, lines: Sequence[str]) -> str:
    if not lines:
        return ""
    return "\n".join([f"{title}:", *(_wrapped(line, "  - ", "    ") for line in lines)])


def _wrapped(text: str, first: str = "", later: str = "") -> str:
    return textwrap.fill(text, WIDTH, initial_indent=first, subsequent_indent=later)


def _table(stretches: Sequence[DryStretch]) -> str:
    rows = [_HEADINGS, *(_row(stretch) for stretch in stretches)]
    widths = [max(len(row[column]) for row in rows) for column in range(len(_HEADINGS))]
    return "\n".join(
        "  ".join(
            cell.ljust(width) if column in _LEFT else cell.rjust(width)
            for column, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in rows
    )


def _row(stretch: DryStretch) -> tuple[str, ...]:
    return (
        str(stretch.number),
        _short(stretch.begin.label),
        _short(stretch.end.label),
        f"{rounded_up(stretch.length_km, 0.1):.1f}",
        f"{rounded_up(stretch.days, 0.1):.1f}",
        str(stretch.nights),
        f"{rounded_up(stretch.need.total_l):.0f}",
        f"{rounded_up(stretch.reserve_l):.0f}",
        f"{rounded_down(stretch.available_l):.0f}",
        f"{rounded_up(stretch.missing_l):.0f}",
        stretch.verdict.value,
    )


def _short(name: str) -> str:
    plain = _plain(name)
    return plain if len(plain) <= LONGEST_NAME else plain[: LONGEST_NAME - 1] + "…"


def _plain(text: str) -> str:
    """Return the text without characters that could steer a terminal or turn its direction."""
    return "".join(" " if unicodedata.category(c).startswith("C") else c for c in text)
