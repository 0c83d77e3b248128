"""What goes wrong, in words that the answer, the tables, the map and the sheet share."""

from __future__ import annotations

from longdry.model.dry_stretch import DryStretch
from longdry.model.plan import Plan
from longdry.model.what_if import TurnBack
from longdry.showing.measures import Measures
from longdry.units import rounded_down


def turn_backs_by_stretch(plan: Plan) -> dict[int, TurnBack]:
    """Turn-back km by the number of the stretch; empty where they were not worked out."""
    return {turn.stretch: turn for turn in plan.setbacks.turn_backs} if plan.setbacks else {}


def stranding_ids(plan: Plan) -> frozenset[str]:
    """Ids of the sources that leave neither way to water where they alone are dry."""
    dry = plan.setbacks.dry if plan.setbacks else ()
    alone = [what for what in dry if len(what.sources) == 1 and what.leaves_neither]
    return frozenset(what.sources[0].id for what in alone)


def turn_back_mark(km: float, measures: Measures) -> str:
    """Last place to turn round, never told too far.

    >>> from longdry.showing.measures import METRIC, US
    >>> turn_back_mark(210.38, METRIC), turn_back_mark(210.38, US)
    ('km 210.3', 'mile 130.7')
    """
    return f"{measures.mark_word} {rounded_down(km / measures.km_per_length, 0.1):.1f}"


def turn_back_words(turn: TurnBack, stretch: DryStretch, measures: Measures) -> list[str]:
    """Tell from where the party can still go back, for water and for time."""
    if turn.water_km is None:
        words = ["no way back on this water"]
    elif turn.water_km >= stretch.end.km - _WHOLE_KM:
        words = ["way back holds all along"]
    else:
        words = [f"turn back by {turn_back_mark(turn.water_km, measures)}"]
    if turn.time_km is not None:
        words.append(f"for time, by {turn_back_mark(turn.time_km, measures)}")
    return words


_WHOLE_KM = 1e-6
