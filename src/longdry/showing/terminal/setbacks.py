"""What goes wrong, as lines for the terminal."""

from __future__ import annotations

import math
from collections.abc import Sequence

from longdry.model.plan.plan import Plan
from longdry.model.plan.setbacks import Setbacks, SitOut, WayOut, WhatIf
from longdry.showing.words.amounts import days_lasting_words, need_words
from longdry.showing.words.measures import Measures
from longdry.showing.words.setbacks import (
    HOLDS_ALL_ALONG,
    change_words,
    consequence,
    help_words,
    percent_words,
    stranding_ids,
    turn_back_words,
    turn_backs_by_stretch,
)

SETBACKS_HEADING = "When it goes wrong"


def worst_failure_line(plan: Plan, measures: Measures) -> str:
    """Tell the worst single failure and what it leads to; empty where nothing was worked out."""
    worst = plan.setbacks.worst if plan.setbacks else None
    if worst is None:
        return ""
    return f"Worst single failure: {change_words(worst, measures)}. {consequence(worst, measures)}"


def setback_lines(plan: Plan, measures: Measures) -> list[str]:
    """Tell changes, sources that strand, turning back, waiting and the chance."""
    if plan.setbacks is None:
        return []
    setbacks = plan.setbacks
    return [
        *(_change_line(one, measures) for one in setbacks.changes),
        *(_dry_line(one, measures) for one in setbacks.dry if len(one.sources) == 1),
        *_stranding_lines(plan),
        *_turn_back_lines(plan, measures),
        _waiting_line(setbacks.sit_out, measures),
        *_chance_lines(setbacks),
    ]


def _change_line(one: WhatIf, measures: Measures) -> str:
    return f"{change_words(one, measures)}: {one.before} -> {one.verdict}."


def _dry_line(one: WhatIf, measures: Measures) -> str:
    on, back = (_way_words(way, measures) for way in (one.go_on, one.go_back))
    ways = f"without the rest days, going on: {on}; going back: {back}"
    return f"{change_words(one, measures)}: {one.before} -> {one.verdict}; {ways}."


def _way_words(way: WayOut | None, measures: Measures) -> str:
    if way is None:
        return "not asked"
    goal = f"{way.to_label}, {measures.way(way.length_km)}"
    if way.ration is None:
        return f"no, {need_words(way.missing_l, measures)} missing to {goal}"
    return f"yes, to {goal}, on the {way.ration} ration"


def _stranding_lines(plan: Plan) -> list[str]:
    ids = stranding_ids(plan)
    names = dict.fromkeys(w.source.name for w in plan.passes if w.source.id in ids)
    if not names:
        return []
    listed = ", ".join(names)
    return [f"Dry, these leave no way to water, neither on nor back: {listed}."]


def _turn_back_lines(plan: Plan, measures: Measures) -> list[str]:
    turns = turn_backs_by_stretch(plan)
    notes = (
        (stretch.number, turn_back_words(turns[stretch.number], stretch, measures))
        for stretch in plan.stretches
    )
    limits = (
        (number, [one for one in words if one not in HOLDS_ALL_ALONG]) for number, words in notes
    )
    return [f"Stretch {number}: {'; '.join(words)}." for number, words in limits if words]


def _waiting_line(wait: SitOut, measures: Measures) -> str:
    place = measures.mark(wait.at_km)
    if not math.isfinite(wait.least_days):
        return "Waiting asks for no water on the bare ration: check the uses of the trip."
    return (
        f"Waiting for help is shortest at {place}: {days_lasting_words(wait.least_days)} on the"
        f" bare ration, at rest in shade. {help_words(wait, measures)}"
    )


def _chance_lines(setbacks: Setbacks) -> Sequence[str]:
    if setbacks.chance is None:
        return []
    chance = setbacks.chance
    shown = percent_words(chance.short, chance.standard_error)
    return [f"Chance of running short somewhere: {shown}. {chance.rests_on}"]
