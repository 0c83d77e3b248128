"""What goes wrong, as plain values for the plan document."""

from __future__ import annotations

import math
from typing import Any

from longdry.model.plan.setbacks import (
    Chance,
    HelpWanted,
    Setbacks,
    SitOut,
    Stranded,
    TurnBack,
    WaterInNeed,
    WayOut,
    WhatIf,
)
from longdry.model.plan.stretch import DryStretch


def setbacks_document(setbacks: Setbacks) -> dict[str, Any]:
    """Return the keys that tell what goes wrong; an endless wait is null."""
    return {
        "what_ifs": [_what_if(one) for one in (*setbacks.dry, *setbacks.changes)],
        "worst_single_failure": _what_if(setbacks.worst) if setbacks.worst else None,
        "turn_back": [_turn_back(one) for one in setbacks.turn_backs],
        "sit_out": _sit_out(setbacks.sit_out),
        "published_survival": _stranded(setbacks.stranded) if setbacks.stranded else None,
        "chance": _chance(setbacks.chance) if setbacks.chance else None,
        "dry_proof": {
            "least_l": list(setbacks.proof.least_l),
            "extra_l": list(setbacks.proof.extra_l),
            "breaks": [source.id for source in setbacks.proof.breaks],
        },
        "in_need": [_in_need(one) for one in setbacks.in_need],
    }


def _in_need(one: WaterInNeed) -> dict[str, Any]:
    return {
        "source": one.source.id,
        "km": one.km,
        "way_km": one.way_km,
        "hours": one.hours,
        "litres": one.litres,
        "why_not": one.why_not,
    }


def _what_if(one: WhatIf) -> dict[str, Any]:
    return {
        "kind": one.kind.value,
        "words": one.words,
        "sources": [source.id for source in one.sources],
        "worst_stretch": _stretch(one.worst),
        "verdict_before": one.before.value,
        "verdict": one.verdict.value,
        "can_go_on": one.can_go_on,
        "can_go_back": one.can_go_back,
        "leaves_neither": one.leaves_neither,
        "known_dry": _stretch(one.known_dry) if one.known_dry else None,
        "go_on": _way(one.go_on) if one.go_on else None,
        "go_back": _way(one.go_back) if one.go_back else None,
        "later": _stretch(one.later) if one.later else None,
        "passes": [
            {"km": at.km, "go_on": _way(at.go_on), "go_back": _way(at.go_back)} for at in one.passes
        ],
    }


def _stretch(stretch: DryStretch) -> dict[str, Any]:
    return {
        "from_km": stretch.begin.km,
        "to_km": stretch.end.km,
        "length_km": stretch.length_km,
        "days": stretch.days,
        "need_total_l": stretch.need.total_l,
        "on_board_l": stretch.available_l,
        "verdict": stretch.verdict.value,
    }


def _way(way: WayOut) -> dict[str, Any]:
    return {
        "to_km": way.to_km,
        "length_km": way.length_km,
        "days": way.days,
        "left_l": way.left_l,
        "bare_l": way.bare_l,
        "asked_l": way.asked_l,
        "missing_l": way.missing_l,
        "ration": way.ration.value if way.ration else None,
    }


def _turn_back(one: TurnBack) -> dict[str, Any]:
    return {
        "stretch": one.stretch,
        "km": one.km,
        "time_km": one.time_km,
        "behind_km": one.behind_km,
        "ration": one.ration.value if one.ration else None,
        "left_l": one.left_l,
    }


def _sit_out(wait: SitOut) -> dict[str, Any]:
    return {
        "least_days": _finite(wait.least_days),
        "km": wait.at_km,
        "rest_l_per_day": wait.rest_l_per_day,
        "on_board_l": wait.on_board_l,
        "help_days": wait.help_days,
        "lasts_until_help": wait.lasts_until_help,
        "by_due_back": wait.by_due_back,
        "wanted": _wanted(wait.wanted) if wait.wanted else None,
        "along": [
            {"km": km, "days": _finite(days)}
            for km, days in zip(wait.km.tolist(), wait.days.tolist(), strict=True)
        ],
    }


def _wanted(wanted: HelpWanted) -> dict[str, Any]:
    return {
        "km": wanted.km,
        "days": wanted.days,
        "asked_l": wanted.asked_l,
        "carried_l": wanted.carried_l,
        "enough": wanted.enough,
    }


def _stranded(stranded: Stranded) -> dict[str, Any]:
    return {
        "km": stranded.at_km,
        "shade_max_c": stranded.shade_max_c,
        "litres_each": stranded.litres_each,
        "days": stranded.figure.days,
        "from_memory": stranded.figure.from_memory,
        "caution": stranded.figure.caution,
        "source": stranded.figure.source,
    }


def _chance(chance: Chance) -> dict[str, Any]:
    return {
        "short": chance.short,
        "turn_back": chance.turn_back,
        "standard_error": chance.standard_error,
        "short_at_most": chance.short_at_most,
        "trials": chance.trials,
        "seed": chance.seed,
        "rests_on": chance.rests_on,
        "by_stretch": [
            {"stretch": one.stretch, "short": one.short, "standard_error": one.standard_error}
            for one in chance.by_stretch
        ],
    }


def _finite(days: float) -> float | None:
    return days if math.isfinite(days) else None
