"""Papers beside the sheet: ask before you leave, bring for the water, for the person at home."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from longdry.model.plan.days import TravelDay
from longdry.model.plan.plan import Plan
from longdry.model.trip.party import Kit
from longdry.model.trip.tools import tools_lacking
from longdry.model.water.passes import WaterPass
from longdry.model.words import VERDICTS_WORST_FIRST
from longdry.showing.map.line import Track, drawn_track
from longdry.showing.sheet.names import blank, check_in_words, on_paper, print_button, whole
from longdry.showing.words.amounts import (
    count_words,
    day_name,
    days_lasting_words,
    on_board_words,
)
from longdry.showing.words.markup import Markup, clipped_text, joined, tag
from longdry.showing.words.measures import Measures
from longdry.showing.words.places import coordinates
from longdry.showing.words.setbacks import stranding_ids

_ANSWERS = tag(
    "span",
    {"class": "answers"},
    "asked ",
    blank("long"),
    " on ",
    blank(),
    " answer ",
    blank("long"),
)


def papers(plan: Plan, measures: Measures) -> Markup:
    """Build the three papers, each on a page of its own where they are printed."""
    return joined(
        [
            tag(
                "p",
                {"class": "sheet-tools"},
                print_button("papers", "Print these papers"),
                " ",
                print_button("both", "Print the sheet and these papers"),
            ),
            _paper("Ask before you leave", *_ask(plan, measures)),
            _paper("Bring for the water", *_bring(plan)),
            _paper("For the person at home", *_home(plan, measures)),
        ]
    )


def _paper(head: str, *parts: Markup) -> Markup:
    return tag("div", {"class": "paper"}, tag("h4", None, head), *parts)


def _waters(plan: Plan) -> list[WaterPass]:
    """Return the water that the plan draws on, each source once, in travel order."""
    waters = [water for stretch in plan.stretches for water in stretch.begin.waters]
    return list({water.source.id: water for water in reversed(waters)}.values())[::-1]


def _ask(plan: Plan, measures: Measures) -> Iterator[Markup]:
    """List the uncertain sources, the one that most depends on first."""
    stranding = stranding_ids(plan)
    asked = [w for w in _waters(plan) if not w.judgement.is_sure]
    worst = _harm_by_source(plan)
    asked.sort(key=lambda water: worst.get(water.source.id, _NO_HARM))
    if not asked:
        yield tag("p", None, "Every source of the plan is sure.")
        return
    yield tag("p", None, "Whether there is water, of whom, and when. Not answered means not there.")
    yield tag(
        "ul",
        {"class": "asks"},
        *(_question(w, measures, strands=w.source.id in stranding) for w in asked),
    )


_Harm = tuple[bool, int, float]
_NO_HARM: _Harm = (True, len(VERDICTS_WORST_FIRST), 0.0)


def _harm_by_source(plan: Plan) -> dict[str, _Harm]:
    """Rank what a source's loss leads to, the least the worst: no way, verdict, litres missing."""
    alone = [one for one in plan.setbacks.dry if len(one.sources) == 1] if plan.setbacks else []
    return {
        one.sources[0].id: (
            not one.leaves_neither,
            VERDICTS_WORST_FIRST.index(one.verdict),
            one.worst.available_l - one.worst.wanted_l,
        )
        for one in alone
    }


def _question(water: WaterPass, measures: Measures, *, strands: bool) -> Markup:
    on = f", {day_name(water.on)}" if water.on else ""
    source = water.source
    alarm = tag("b", None, " If dry, no way to water.") if strands else ""
    return tag(
        "li", None, tag("b", None, whole(source.name)),
        f", {measures.mark(water.km)}{on}, {coordinates(source.lat_deg, source.lon_deg)}:"
        f" {water.judgement.certainty}.", alarm, _ANSWERS,
    )  # fmt: skip


def _bring(plan: Plan) -> Iterator[Markup]:
    """List the tools that the access to the water asks for, then what else it says."""
    tools: dict[str, list[str]] = {}
    others: dict[str, list[str]] = {}
    for water in _waters(plan):
        access = water.source.access or ""
        asked = tools_lacking(access, Kit())
        for tool in asked:
            tools.setdefault(tool, []).append(water.source.name)
        if access and not asked:
            others.setdefault(access, []).append(water.source.name)
    if not tools:
        yield tag("p", None, "The layers name no tool to bring.")
    items = (tag("li", None, blank("box-blank"), " ", *_at(*one)) for one in tools.items())
    yield tag("ul", None, *items)
    if others:
        yield tag("p", None, "How the water is got at, in the words of its layer:")
        yield tag("ul", None, *(tag("li", None, *_at(*one)) for one in others.items()))


def _at(what: str, names: Sequence[str]) -> list[Markup]:
    listed = [part for name in names for part in (Markup(", "), whole(name))][1:]
    return [tag("b", None, whole(what)), Markup(": "), *listed]


def _home(plan: Plan, measures: Measures) -> Iterator[Markup]:
    trip, contact = plan.trip, plan.trip.contact
    route = [on_paper(trip.name or plan.measured.route.name), ", ",
             count_words(trip.party.people, "person", "people")]  # fmt: skip
    for vehicle in trip.vehicles:
        route += [", ", on_paper(vehicle.name)]
    yield tag("p", None, *route, ". Names and numbers ", blank("long"))
    alarm = day_name(contact.due_back) if contact.due_back else blank("long")
    ring = whole(contact.on_overdue) if contact.on_overdue else blank("long")
    every = check_in_words(contact.check_in_days)
    call = whole(contact.call) if contact.call else blank("long")
    back = tag("b", None, "Nobody back by ")
    yield tag(
        "p",
        None,
        "They call by ",
        call,
        ", ",
        every,
        ". ",
        back,
        alarm,
        " at ",
        blank(),
        ": ring ",
        ring,
        ".",
    )
    wait = plan.setbacks.sit_out if plan.setbacks else None
    if wait and math.isfinite(wait.least_days):
        yield tag("p", None, f"At the worst place, {measures.mark(wait.at_km)}, their water lasts ",
                  tag("b", None, days_lasting_words(wait.least_days)),
                  " at rest in shade.")  # fmt: skip
    track = drawn_track(plan.measured)
    if any(day.camp for day in plan.days):
        yield tag("p", None, "Camps, where, and the water that they then have by the plan:")
    yield tag("ul", None, *(_camp(day, track, measures) for day in plan.days if day.camp))
    yield tag(
        "p", None, clipped_text("Local authorities decide on a search: tell them all of this.")
    )


def _camp(day: TravelDay, track: Track, measures: Measures) -> Markup:
    when = day_name(day.date) if day.date else f"Day {day.number}"
    left = f", {on_board_words(day.on_board_l, measures)}" if day.on_board_l is not None else ""
    return tag(
        "li", None, f"{when}: {measures.mark(day.to_km)}, {coordinates(*track.at(day.to_km))}{left}"
    )
