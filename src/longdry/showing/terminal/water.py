"""Where the route comes by water, as lines for the terminal."""

from __future__ import annotations

from longdry.model.plan.plan import Plan
from longdry.model.water.passes import WaterPass
from longdry.showing.words.amounts import offset_words
from longdry.showing.words.in_need import MOST, best_in_need, in_need_words, left_out_words
from longdry.showing.words.measures import Measures
from longdry.showing.words.passes import few_by_stretch
from longdry.showing.words.sources import grade_words, judged_words, salt_words, why_not_words
from longdry.showing.words.way import way_of

HEADING = "Water along the route"


def water_lines(plan: Plan, measures: Measures) -> list[str]:
    """Tell each pass: whether it counts and why not, its grade, and whether there is water."""
    lines = []
    for stretch, told, left in few_by_stretch(plan, plan.passes, MOST):
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
        lines += [
            f"{measures.mark(need.km)}, {need.source.name}: {in_need_words(need, measures)}."
            for need in told
        ]
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
