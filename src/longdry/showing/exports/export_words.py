"""What the files for other programs say in words: the page's own phrases, on one line each."""

from __future__ import annotations

from longdry.model.plan.plan import Plan
from longdry.model.plan.setbacks import TurnBack
from longdry.model.plan.stretch import DryStretch
from longdry.model.water.passes import WaterPass
from longdry.model.water.source import WaterSource
from longdry.model.words import Verdict
from longdry.showing.words.amounts import (
    flow_words,
    length_words,
    need_words,
    offset_words,
    place_words,
    supply_words,
    time_taken_words,
)
from longdry.showing.words.markup import clipped_name, clipped_text
from longdry.showing.words.sources import grade_words, judged_words, opening_words
from longdry.showing.words.stretches import alarm_words, end_words, gap_words
from longdry.units import UNSEEN_KM, rounded_down


def plan_title(plan: Plan) -> str:
    """Name of the trip, else of the route."""
    return clipped_name(plan.trip.name or plan.measured.route.name)


def source_words(source: WaterSource, passes: list[WaterPass], *, strands: bool = False) -> str:
    """Tell what is known of a source and where the route comes by, in one paragraph.

    ``strands`` says that no way to water is left where it is dry; that comes first.
    """
    notes = ["IF DRY, NO WAY TO WATER"] if strands else []
    notes += [grade_words(source), *dict.fromkeys(judged_words(passed) for passed in passes)]
    notes += [_pass_words(passed) for passed in passes]
    extra = (("kind", source.kind), ("getting at it", source.access), ("note", source.note))
    notes += [f"{head}: {clipped_text(text)}" for head, text in extra if text]
    notes += filter(None, (*_giving(source), opening_words(source)))
    return "; ".join(notes)


def _giving(source: WaterSource) -> tuple[str, str]:
    flow, limit = source.flow_l_per_min, source.limit_l
    return (
        "" if flow is None else flow_words(flow),
        "" if limit is None else f"at most {supply_words(limit)}",
    )


def stretch_words(stretch: DryStretch) -> str:
    """Tell where a stretch goes, what it asks for and its verdict."""
    notes = (
        f"To {clipped_name(end_words(stretch.end))}, {length_words(stretch.length_km)}, "
        f"{time_taken_words(stretch.days)}. Need {need_words(stretch.need.total_l)} and reserve "
        f"{need_words(stretch.reserve_l)}. Verdict: {stretch.verdict}."
    )
    if alarm := alarm_words(stretch):
        notes = f"{alarm}. {notes}"
    return notes if stretch.verdict is Verdict.CLEAR else f"{notes} {gap_words(stretch)}"


def turn_backs_of(plan: Plan) -> list[TurnBack]:
    """Return the turn-back points to show: not those from whose stretch one can always go back."""
    found = plan.setbacks.turn_backs if plan.setbacks else ()
    return [turn for turn in found if _ends_before(turn, plan.stretches[turn.stretch - 1])]


def _ends_before(turn: TurnBack, stretch: DryStretch) -> bool:
    return turn.water_km is None or turn.water_km < stretch.end.km - UNSEEN_KM


def turn_back_name_and_words(turn: TurnBack, stretch: DryStretch) -> tuple[str, str]:
    """Give the name and the sentence of a turn-back km, which is never told too large."""
    behind = clipped_name(end_words(stretch.begin))
    if turn.water_km is None:
        said = f"What is left does not take the party back to {behind} from any km of it."
        return f"Stretch {stretch.number}: no way back", said
    shown = f"km {rounded_down(turn.water_km, 0.1):.1f}"
    said = (
        f"Last km of stretch {stretch.number} from which what is left takes the party back to "
        f"{behind} on the bare ration."
    )
    return f"Turn back by {shown}", said


def _pass_words(passed: WaterPass) -> str:
    at = f"at {place_words(passed.km)}"
    if passed.way_km <= 0.0:
        return f"{at} on the route"
    way = offset_words(passed.way_km)
    return f"{at} {offset_words(passed.offset_km)} off the route, way there {way}"
