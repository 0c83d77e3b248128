"""Words for a dry stretch: what is carried, where it ends and what to do."""

from __future__ import annotations

from longdry.model.plan.stretch import DryStretch, StretchEnd
from longdry.model.words import Verdict
from longdry.showing.words.amounts import (
    HELD_BACK,
    need_words,
    on_board_words,
    poured_words,
    supply_words,
)
from longdry.showing.words.measures import METRIC, Measures
from longdry.showing.words.sources import time_words
from longdry.units import (
    HOURS_PER_DAY,
    rounded_down,
)

VERDICT_MEANING = {
    Verdict.CLEAR: "need and reserve are within what can be carried",
    Verdict.INTO_RESERVE: "the need fits, but part of the reserve would be drunk",
    Verdict.SHORT_RATION: "the full need does not fit; it would do only with uses given up",
    Verdict.TOO_LONG: "not even the bare ration is within what can be carried",
    Verdict.NO_CONTAINERS: "the trip names no containers, so nothing can be said",
}


def leaving_l(stretch: DryStretch) -> float:
    """Litres to leave with: of the fill plan where there is one, else need and reserve."""
    if stretch.on_board_l is not None:
        return stretch.on_board_l
    return stretch.need.total_l + stretch.reserve_l


def carried_words(stretch: DryStretch, measures: Measures = METRIC) -> str:
    """Tell what is carried by the fill plan, or can be where there is none."""
    if stretch.on_board_l is not None:
        return f"{supply_words(stretch.on_board_l, measures)} are carried"
    return f"{supply_words(stretch.available_l, measures)} can be carried"


_LITTLE_TO_SPARE_L = 5.0


def three_amounts(stretch: DryStretch, measures: Measures = METRIC) -> tuple[str, str, str]:
    """Tell what is carried, the need and the reserve; to 0.1 L where little is to spare.

    In whole litres 35.8 L carried for 22.1 + 13.4 L would read as 35 L for 23 + 14 L: missing.
    """
    carried_l = stretch.available_l if stretch.on_board_l is None else stretch.on_board_l
    is_near = stretch.spare_l is not None and 0.0 <= stretch.spare_l < _LITTLE_TO_SPARE_L
    carried, needed = (on_board_words, poured_words) if is_near else (supply_words, need_words)
    return (
        carried(carried_l, measures),
        needed(stretch.need.total_l, measures),
        needed(stretch.reserve_l, measures),
    )


def end_words(end: StretchEnd) -> str:
    """Where a stretch begins or ends: a name, the start or end of the route, or here."""
    return end.label if end.water or end.is_here else f"{end.label} of the route"


def told_missing_l(stretch: DryStretch) -> float | None:
    """Litres missing for need and reserve; None where something else than litres is missing.

    Never 0 where the verdict is not clear: then it saves for a later stretch.
    """
    if stretch.missing_l <= 0.0 and stretch.verdict is not Verdict.CLEAR:
        return None
    return stretch.missing_l


def dry_words(stretch: DryStretch, measures: Measures = METRIC) -> str:
    """Where and when the water of a stretch runs out, neither told too late; empty: it lasts."""
    dry = stretch.runs_dry
    if dry is None:
        return ""
    km = rounded_down(dry.km / measures.km_per_length, 0.1)
    day = int(dry.hour // HOURS_PER_DAY) + 1
    when = f"day {day}, about {time_words(dry.hour % HOURS_PER_DAY)}"
    if stretch.dry_on_way:
        return f"dry at {measures.mark_word} {km:.1f}, {when}"
    if stretch.end.water is None:
        return f"dry after the end, on {when}"
    return f"dry during the stay at {measures.mark_word} {km:.1f}, on {when}"


def missing_words(stretch: DryStretch, measures: Measures = METRIC) -> str:
    """Litres missing to end a stretch with its reserve; not known where no containers are named."""
    if stretch.verdict is Verdict.NO_CONTAINERS:
        return "not known"
    missing_l = told_missing_l(stretch)
    if missing_l is None:
        return "not litres alone"
    return need_words(missing_l, measures) if missing_l > 0.0 else "none"


def alarm_words(stretch: DryStretch, measures: Measures = METRIC) -> str:
    """What must stand beside the litres to leave with; empty where they are enough."""
    if stretch.verdict in (Verdict.CLEAR, Verdict.NO_CONTAINERS):
        return ""
    missing_l = told_missing_l(stretch)
    why = HELD_BACK if missing_l is None else f"{need_words(missing_l, measures)} missing"
    head = ", ".join(filter(None, (str(stretch.verdict).upper(), dry_words(stretch, measures))))
    return f"{head}: {why}"


def gap_words(stretch: DryStretch, measures: Measures = METRIC) -> str:
    """Tell where the water of a stretch runs out, and what can be done about it."""
    dry = dry_words(stretch, measures)
    runs_out = f"{dry[0].upper()}{dry[1:]}. " if dry else ""
    return f"{runs_out}{what_to_do(stretch, measures)}"


def what_to_do(stretch: DryStretch, measures: Measures = METRIC) -> str:
    """Tell what can be done about a stretch that is not clear, in whole sentences."""
    if stretch.held_back:
        return (
            "The containers would hold what it asks for, but they cannot be filled so: "
            "what holds it back stands below."
        )
    bare_l = stretch.needs[-1].need.total_l
    carried = carried_words(stretch, measures)
    if stretch.verdict is Verdict.TOO_LONG:
        return (
            f"Not even the bare ration would do: it needs {need_words(bare_l, measures)}, and "
            f"{carried}. Carry more, find water on the way, or do not go."
        )
    if stretch.verdict is Verdict.SHORT_RATION and stretch.ration_that_does:
        return (
            f"It would do only on the {stretch.ration_that_does} ration, with nothing sure "
            f"left in reserve: {carried}."
        )
    if stretch.verdict is Verdict.INTO_RESERVE:
        return f"The full ration would do, but it drinks into the reserve: {carried}."
    return f"{VERDICT_MEANING[stretch.verdict].capitalize()}."
