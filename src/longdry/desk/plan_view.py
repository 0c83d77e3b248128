"""The plan as the page of the desk shows it: its parts as HTML, its map as figures."""

from __future__ import annotations

from longdry.desk.planner import State
from longdry.desk.route_view import breaks_json
from longdry.model.plan.plan import Plan
from longdry.model.words import Units
from longdry.showing.figures.figure import Json
from longdry.showing.map.drawn_sources import drawn_water
from longdry.showing.map.line import drawn_track, stretch_lines
from longdry.showing.page.page import card_rules, map_tools, page_parts
from longdry.showing.words.changed import changed_words
from longdry.showing.words.measures import Measures


def plan_json(state: State) -> Json:
    """Return a state of the folder with the plan as it is shown."""
    plan = state.plan
    return {
        "number": state.number,
        "ready": {"plan": plan is not None, "mends": state.whole},
        "seconds": round(state.seconds, 4),
        "faults": state.faults,
        "failed": state.failed,
        "told": list(state.choice.told),
        **(_shown(plan, state) if plan else {"html": None, "map": None, "change": ""}),
    }


def _shown(plan: Plan, state: State) -> Json:
    options = state.choice.options
    measures = Measures(Units(options.units if options else Units.METRIC))
    track, water = drawn_track(plan.measured), drawn_water(plan)
    lines = stretch_lines(plan.stretches, track)
    parts = page_parts(plan, measures, track, lines, water)
    html = {
        name: str(getattr(parts, name))
        for name in ("head", "answer", "before", "way", "beyond", "profile", "legend", "more")
    }
    return {
        "html": {**html, "tools": str(map_tools(measures))},
        "rules": card_rules("".join(html.values())),
        "map": parts.map,
        "water_ids": [source.id for source in water.named],
        "breaks": breaks_json(plan.measured),
        "length_km": round(plan.measured.length_km, 3),
        "level": plan.headline.level,
        "change": changed_words(state.before, plan, measures) if state.before else "",
    }
