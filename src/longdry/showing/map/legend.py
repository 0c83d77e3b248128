"""The legend: what is drawn, and nothing else, with a switch for each layer."""

from __future__ import annotations

from collections.abc import Iterator

from longdry.model.plan.plan import Plan
from longdry.model.words import VERDICTS_WORST_FIRST, Certainty, Grade
from longdry.showing.map.drawn_sources import DrawnWater
from longdry.showing.map.setback_signs import STRANDS, shown_wait
from longdry.showing.signs.signs import (
    ARROW_OUTLINE,
    TURN_OUTLINE,
    WAIT_OUTLINE,
    camp_sign_svg,
    line_sample_svg,
    place_sign_svg,
    water_sign_svg,
)
from longdry.showing.words.amounts import count_words
from longdry.showing.words.markup import Markup, joined, tag
from longdry.showing.words.measures import Measures
from longdry.showing.words.setbacks import stranding_ids, turn_back_places_km
from longdry.showing.words.sources import GRADE_WORDS

_SWITCHES = (
    ("tags", "Names and gaps"),
    ("water", "Water that counts"),
    ("ways", "Ways off the route"),
    ("uncounted", "Water that does not count"),
    ("camps", "Camps"),
    ("turns", "Turn-back places"),
    ("waits", "Shortest wait"),
    ("marks", "Distance and direction"),
    ("grid", "Degrees"),
)


def legend(plan: Plan, measures: Measures, water: DrawnWater) -> Markup:
    """Tell what each sign that is drawn means, with a switch for each layer."""
    signs = tag(
        "ul", {"class": "signs"}, *(tag("li", None, sign) for sign in _signs(plan, measures, water))
    )
    switches = tag("fieldset", {"class": "needs-script"}, tag("legend", None, "Show"), *_switches())
    summary = tag("summary", None, "Signs of the map")
    return tag("details", {"class": "legend"}, summary, signs, switches)


def _switches() -> list[Markup]:
    return [
        tag(
            "label",
            None,
            Markup(f'<input type="checkbox" checked data-layer="{layer}">'),
            " ",
            words,
        )
        for layer, words in _SWITCHES
    ]


def _signs(plan: Plan, measures: Measures, water: DrawnWater) -> Iterator[Markup]:
    yield from _lines(plan)
    yield from _waters(plan, water)
    if any(day.camp for day in plan.days):
        yield joined([camp_sign_svg(), " camp, with its day"])
    yield joined(
        [
            place_sign_svg(ARROW_OUTLINE),
            f" {measures.mark_word} along the route, and the way of travel",
        ]
    )
    if turn_back_places_km(plan):
        yield joined([place_sign_svg(TURN_OUTLINE), " last place to turn back"])
    if shown_wait(plan):
        yield joined([place_sign_svg(WAIT_OUTLINE), " where waiting is shortest"])


def _lines(plan: Plan) -> Iterator[Markup]:
    drawn = {stretch.verdict for stretch in plan.stretches}
    for verdict in VERDICTS_WORST_FIRST:
        if verdict in drawn:
            yield joined([line_sample_svg(verdict), f" {verdict}"])


def _waters(plan: Plan, water: DrawnWater) -> Iterator[Markup]:
    sources = (*water.named, *water.dots)
    drawn = {source.trusted_grade for source in sources}
    for grade in Grade:
        if grade in drawn:
            yield joined([water_sign_svg(grade), f" {GRADE_WORDS[grade]}"])
    if water.is_dense:
        count = len(sources) - len(water.at_stops)
        words = f"small dots: {count_words(count, 'source')} more; look closer for their signs"
        yield Markup(words)
    counted = {one.source.id for one in plan.passes if one.counted}
    if any(source.id not in counted for source in sources):
        yield joined([water_sign_svg(Grade.POTABLE, "faint"), " pale: does not count"])
    if any(one.judgement.certainty is Certainty.DOUBTFUL for one in plan.passes):
        yield joined([water_sign_svg(Grade.POTABLE, "unsure"), " broken edge: doubtful"])
    if stranding_ids(plan):
        yield joined([water_sign_svg(Grade.POTABLE, "strands"), f" second ring: if dry, {STRANDS}"])
