"""What the map shows of what goes wrong: where to turn back, and where waiting is shortest."""

from __future__ import annotations

import math

from longdry.model.plan.plan import Plan
from longdry.model.plan.setbacks import SitOut
from longdry.model.plan.stretch import DryStretch
from longdry.model.words import Verdict
from longdry.showing.figures.figure import Json
from longdry.showing.map.line import Track, map_place
from longdry.showing.words.amounts import (
    days_lasting_words,
    need_words,
    on_board_words,
    place_words,
)
from longdry.showing.words.markup import clipped_name
from longdry.showing.words.measures import Measures
from longdry.showing.words.setbacks import turn_back_mark
from longdry.showing.words.stretches import end_words
from longdry.units import TOLERANCE_KM

STRANDS = "no way to water, neither on nor back"
LEAST_WAIT_DAYS = 0.1
"""Of a wait that is told as one."""


def turn_signs(plan: Plan, track: Track, measures: Measures) -> list[Json]:
    """One sign for each stretch that has a last place to turn back inside it."""
    turns = plan.setbacks.turn_backs if plan.setbacks else ()
    signs = []
    for turn in turns:
        stretch = plan.stretches[turn.stretch - 1]
        for km, what in ((turn.water_km, "water"), (turn.time_km, "time")):
            if km is not None and stretch.begin.km < km < stretch.end.km - TOLERANCE_KM:
                signs.append(_turn(km, what, stretch, track, measures))
    return signs


def _turn(km: float, what: str, stretch: DryStretch, track: Track, measures: Measures) -> Json:
    mark = turn_back_mark(km, measures)
    is_clear = stretch.verdict is Verdict.CLEAR
    why = {
        "water": "beyond it what is carried does not take the party back to the water behind",
        "time": "beyond it the party is not back at the start in time",
    }
    rows = [
        ("Last place to turn back", mark),
        (f"For {what}", why[what]),
        ("Water behind", f"{clipped_name(end_words(stretch.begin))}"),
    ]
    return {
        "at": map_place(track.at(km)),
        "rank": 5 if is_clear else 13.5,
        "words": mark if is_clear else f"turn back by {mark}",
        "title": f"Turn back by {mark}, for {what}",
        "rows": rows,
    }


def shown_wait(plan: Plan) -> SitOut | None:
    """Return the shortest wait; None where nothing limits it, or where the water is gone anyhow.

    Where nothing is left the stretch says where it runs dry: a wait of 0 days would say it twice.
    """
    sit_out = plan.setbacks.sit_out if plan.setbacks else None
    if sit_out is None or not LEAST_WAIT_DAYS <= sit_out.least_days < math.inf:
        return None
    return sit_out


def wait_signs(plan: Plan, track: Track, measures: Measures) -> list[Json]:
    """The place where the party can wait the fewest days; none where nothing limits it."""
    sit_out = shown_wait(plan)
    if sit_out is None:
        return []
    mark = place_words(sit_out.at_km, measures)
    days = days_lasting_words(sit_out.least_days)
    rows = [
        ("Carried there", on_board_words(sit_out.on_board_l, measures)),
        ("A day of rest in shade", need_words(sit_out.rest_l_per_day, measures)),
    ]
    return [
        {
            "at": map_place(track.at(sit_out.at_km)),
            "rank": 3.5,
            "words": f"shortest wait: {days}",
            "title": f"Shortest wait: {days} at {mark}",
            "rows": rows,
        }
    ]
