"""What goes wrong, in words that the answer, the tables, the map and the sheet share."""

from __future__ import annotations

from longdry.model.plan.plan import Plan
from longdry.model.plan.setbacks import SitOut, TurnBack, WhatIf
from longdry.model.plan.stretch import DryStretch
from longdry.model.words import Verdict
from longdry.showing.words.amounts import count_words, need_words
from longdry.showing.words.markup import clipped_text
from longdry.showing.words.measures import Measures
from longdry.units import TOLERANCE_KM, rounded_down, rounded_up

_LEAST_PERCENT = 0.1
HOLDS_ALL_ALONG = ("way back holds all along", "back in time all along")
"""For water and for time, where no place of a stretch is the last."""


def turn_backs_by_stretch(plan: Plan) -> dict[int, TurnBack]:
    """Turn-back km by the number of the stretch; empty where they were not worked out."""
    return {turn.stretch: turn for turn in plan.setbacks.turn_backs} if plan.setbacks else {}


def stranding_ids(plan: Plan) -> frozenset[str]:
    """Ids of the sources that leave neither way to water where they alone are dry."""
    dry = plan.setbacks.dry if plan.setbacks else ()
    alone = [what for what in dry if len(what.sources) == 1 and what.leaves_neither]
    return frozenset(what.sources[0].id for what in alone)


def turn_back_places_km(plan: Plan) -> list[float]:
    """Km of every place inside a stretch that is the last to turn back from, for water."""
    turns = plan.setbacks.turn_backs if plan.setbacks else ()
    inside = []
    for turn in turns:
        stretch = plan.stretches[turn.stretch - 1]
        if turn.water_km is not None and _is_inside(turn.water_km, stretch):
            inside.append(turn.water_km)
    return inside


def _is_inside(km: float, stretch: DryStretch) -> bool:
    return stretch.begin.km < km < stretch.end.km - TOLERANCE_KM


def turn_back_mark(km: float, measures: Measures) -> str:
    """Last place to turn round, never told too far.

    >>> from longdry.showing.words.measures import METRIC, US
    >>> turn_back_mark(210.38, METRIC), turn_back_mark(210.38, US)
    ('km 210.3', 'mile 130.7')
    """
    return f"{measures.mark_word} {rounded_down(km / measures.km_per_length, 0.1):.1f}"


def turn_by_water_words(turn: TurnBack, stretch: DryStretch, measures: Measures) -> str:
    """Tell from where what is carried still takes the party back to the water behind."""
    if turn.water_km is None:
        return "no way back on this water"
    if turn.water_km >= stretch.end.km - TOLERANCE_KM:
        return HOLDS_ALL_ALONG[0]
    return f"turn back by {turn_back_mark(turn.water_km, measures)}"


def turn_by_time_words(turn: TurnBack, stretch: DryStretch, measures: Measures) -> str:
    """Tell from where the party is back at the start in time; empty where that is not known."""
    if turn.time_km is None:
        return ""
    if turn.time_km >= stretch.end.km - TOLERANCE_KM:
        return HOLDS_ALL_ALONG[1]
    return f"for time, turn by {turn_back_mark(turn.time_km, measures)}"


def turn_back_words(turn: TurnBack, stretch: DryStretch, measures: Measures) -> list[str]:
    """Tell both."""
    both = (
        turn_by_water_words(turn, stretch, measures),
        turn_by_time_words(turn, stretch, measures),
    )
    return [words for words in both if words]


def change_words(one: WhatIf, measures: Measures) -> str:
    """Tell what goes wrong, as the reader's units have it."""
    return clipped_text(measures.sentence(one.words))


def failure_words(one: WhatIf, measures: Measures) -> str:
    """Tell what goes wrong as a sentence without its end: 'Fork Well is dry'."""
    names = [source.name for source in one.sources]
    if not names:
        return change_words(one, measures)
    return f"{' and '.join(names)} {'is' if len(names) == 1 else 'are'} dry"


def help_words(wait: SitOut, measures: Measures) -> str:
    """Tell in one sentence how long help may take, and whether the water lasts until then."""
    wanted = wait.wanted
    if wanted is None:
        return "Nobody knows when help comes: the trip does not say."
    days = count_words(rounded_up(wanted.days, 0.1), "day")
    if wanted.enough:
        return f"Help may take {days}: enough everywhere."
    return f"Help may take {days} at {measures.mark(wanted.km)}: NOT ENOUGH there."


def percent_words(share: float, standard_error: float) -> str:
    """Write a chance with its standard error, both rounded up, never as nothing.

    >>> percent_words(0.1234, 0.0052), percent_words(0.0, 0.0003)
    ('12.4 % (standard error 0.6 %)', 'below 0.1 % (standard error 0.1 %)')
    """
    error = f"{rounded_up(standard_error * 100.0, 0.1):.1f} %"
    percent = share * 100.0
    shown = f"{rounded_up(percent, 0.1):.1f} %" if percent > 0.0 else f"below {_LEAST_PERCENT} %"
    return f"{shown} (standard error {error})"


def consequence(one: WhatIf, measures: Measures) -> str:
    """Tell in whole sentences what a failure leads to."""
    if one.leaves_neither:
        return "Then there is no way to water: neither on nor back, not even on the bare ration."
    ways = _ways_left(one)
    if one.verdict is Verdict.CLEAR:
        return f"Even then every stretch stays clear.{ways}"
    missing = need_words(max(0.0, one.worst.wanted_l - one.worst.available_l), measures)
    return (
        f"Then the worst stretch is {one.verdict}: {missing} missing for need and reserve with "
        f"what the plan carries there.{ways}"
    )


def _ways_left(one: WhatIf) -> str:
    if one.go_on is None or one.go_back is None:
        return ""
    if one.go_on.possible:
        return f" The party can go on, on the {one.go_on.ration} ration."
    return f" It cannot go on; it can go back, on the {one.go_back.ration} ration."
