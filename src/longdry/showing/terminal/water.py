"""Where the route comes by water, as lines for the terminal."""

from __future__ import annotations

from longdry.model.plan.plan import Plan
from longdry.model.water.passes import WaterPass
from longdry.showing.words.measures import Measures
from longdry.showing.words.wording import grade_words, judged_words, offset_words, why_not_words

HEADING = "Water along the route"


def water_lines(plan: Plan, measures: Measures) -> list[str]:
    """Tell each pass: whether it counts and why not, its grade, and whether there is water."""
    return [_line(passed, measures) for passed in plan.passes]


def _line(passed: WaterPass, measures: Measures) -> str:
    away = (
        f"; {offset_words(passed.way_km, measures)} there from the route"
        if passed.way_km > 0.0
        else ""
    )
    grade, judged = grade_words(passed.source), judged_words(passed, measures)
    counts = "" if passed.counted else f"NOT COUNTED{_why_not(passed, grade, judged, measures)}; "
    return f"{measures.mark(passed.km)}, {passed.source.name}: {counts}{grade}; {judged}{away}."


def _why_not(passed: WaterPass, grade: str, judged: str, measures: Measures) -> str:
    """Tell why it does not count, unless grade or certainty say so right behind it."""
    why = why_not_words(passed, measures)
    is_told = why in grade or judged.startswith(why) or passed.source.grade is None
    return "" if is_told else f", {why}"
