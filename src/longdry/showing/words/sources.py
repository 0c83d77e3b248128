"""Words for a source: its grade, certainty, salt, doors and visits."""

from __future__ import annotations

from collections.abc import Callable

from longdry.model.water.passes import WaterPass
from longdry.model.water.source import Visit, WaterSource
from longdry.model.words import Certainty, Grade
from longdry.showing.words.amounts import day_name, supply_words
from longdry.showing.words.markup import clipped_text
from longdry.showing.words.measures import METRIC, Measures
from longdry.units import (
    HOURS_PER_DAY,
    rounded_down,
    rounded_up,
)

GRADE_WORDS = {
    Grade.POTABLE: "potable",
    Grade.TREAT: "treat before drinking",
    Grade.NOT_FOR_DRINKING: "not for drinking",
}
CERTAINTY_WORDS = {
    Certainty.CERTAIN: "water is certain",
    Certainty.LIKELY: "water is likely",
    Certainty.DOUBTFUL: "water is doubtful",
}


def opening_words(source: WaterSource) -> str:
    """Tell between which hours a source is open; empty where the layer says nothing.

    >>> opening_words(WaterSource("t", "Tap", 0.0, 0.0, open_from_hour=8.5, open_to_hour=17.0))
    'open 08:30 to 17:00'
    >>> opening_words(WaterSource("t", "Tap", 0.0, 0.0))
    ''
    """
    if source.open_from_hour is None and source.open_to_hour is None:
        return ""
    begins, ends = source.open_from_hour or 0.0, source.open_to_hour
    closes = time_words(HOURS_PER_DAY if ends is None else ends)
    return f"open {time_words(begins, rounded_up)} to {closes}"


def time_words(hour: float, rounded: Callable[[float], float] = rounded_down) -> str:
    """Write an hour of the day, the minute that has begun unless it is rounded otherwise.

    >>> time_words(21.43)
    '21:25'
    """
    whole, minutes = divmod(int(rounded(hour * 60.0)), 60)
    return f"{whole:02d}:{minutes:02d}"


def grade_words(source: WaterSource) -> str:
    """Grade of a source in words; one that is not given says what it counts as."""
    if source.grade is None:
        return "grade not given: counts as not for drinking"
    return GRADE_WORDS[source.grade]


def salt_words(source: WaterSource) -> str:
    """Return what stands behind a grade where the dissolved solids are known, else nothing."""
    salt_mg_per_l = source.solids_mg_per_l
    return "" if salt_mg_per_l is None else f", {salt_mg_per_l:g} mg/L of salt"


def judged_words(passed: WaterPass, measures: Measures = METRIC) -> str:
    """Whether there will be water when the party comes by, and what that rests on."""
    certainty = CERTAINTY_WORDS[passed.judgement.certainty]
    why = clipped_text(measures.sentence(passed.judgement.why))
    return f"{certainty}: {why}" if why else certainty


def why_not_words(passed: WaterPass, measures: Measures = METRIC) -> str:
    """Why a pass does not count, where ``judged_words`` stand beside it: nothing is told twice."""
    judged = passed.judgement
    if passed.why_not == f"{judged.certainty}: {judged.why}":
        return CERTAINTY_WORDS[judged.certainty]
    if passed.source.retired is not None and passed.why_not == judged.why:
        return "retired"
    if passed.source.grade is None and passed.why_not.startswith("no grade given"):
        return "no grade given"
    return clipped_text(measures.sentence(passed.why_not)) or "no reason given"


def visit_words(visit: Visit, measures: Measures = METRIC) -> str:
    """Tell what a visit found, its note left out.

    >>> import datetime as dt
    >>> from longdry.model.water.source import Found
    >>> visit_words(Visit(dt.date(2027, 5, 3), Found.LOW, litres=12.0))
    'Mon 3 May 2027: low, 12 L taken'
    """
    taken = f", {supply_words(visit.litres, measures)} taken" if visit.litres is not None else ""
    return f"{day_name(visit.on)}: {visit.found}{taken}"


def certainty_words(source: WaterSource) -> str:
    """Whether there will be water, in words."""
    if source.certainty is None:
        return "not known whether there is water"
    why = f'for "{source.certainty_why}"' if source.certainty_why else "set by hand in the layer"
    return f"{CERTAINTY_WORDS[source.certainty]}: {why}"
