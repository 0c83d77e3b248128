"""What page and sheet say of treating, loads, costs, hours, and of a clear plan with warnings."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import pytest
from lxml import html
from plan_examples import clear_plan, gap_plan, make_plan
from sample_plans import NAMES, page_of, planned

from longdry.model.plan.fills import CarrierLoad
from longdry.model.plan.plan import PlanWarning
from longdry.model.words import Verdict
from longdry.showing.page.page import page_html


def _words(tree, css_id):
    return " ".join(tree.get_element_by_id(css_id).text_content().split())


def _time(minutes):
    """Whole minutes; above two hours hours and minutes, to the next five."""
    if minutes <= 120.0:
        return f"{math.ceil(minutes)} min"
    whole, rest = divmod(5 * math.ceil(minutes / 5.0), 60)
    return f"{whole} h {rest} min" if rest else f"{whole} h"


def _tree(plan):
    return html.document_fromstring(page_html(plan))


def _changed_fill(**changes):
    plan = planned("saltbush_loop")
    first, *others = plan.fills.fills
    return replace(plan, fills=replace(plan.fills, fills=(replace(first, **changes), *others)))


@pytest.mark.parametrize("name", NAMES)
def test_treating_stands_at_its_stop_and_in_all_with_what_it_leaves(name):
    """Litres of each stop on page and sheet; what stays in the water beside the sum of both."""
    treating = planned(name).treating
    tree = html.document_fromstring(page_of(name))
    fills, sheet = _words(tree, "fills"), _words(tree, "sheet")
    stops = [one for one in treating.by_stop if one.here.litres + one.on_way.litres > 0.0]

    assert stops
    assert fills.count("treat ") - fills.count("treat before") >= len(stops)
    for one in stops:
        for effort in (one.here, one.on_way):
            if effort.litres > 0.0:
                told = f"({_time(effort.minutes)}"
                assert told in fills
                assert told in sheet
    for remains in treating.limits.not_removed:
        assert remains in _words(tree, "treating")
        assert remains in sheet


def test_load_of_each_carrier_stands_against_its_payload():
    """The heaviest load and the payload left, on the page and on the sheet."""
    plan = planned("saltbush_loop")
    (load,) = plan.loads
    tree = html.document_fromstring(page_of("saltbush_loop"))
    row = tree.xpath("//*[@id='load-table']/tbody/tr")[0].text_content()

    for words in (row, _words(tree, "sheet")):
        assert load.carrier in words
        assert f"{load.load_kg:.1f} kg of at most {load.payload_left_kg:g} kg" in words
    assert "TOO HEAVY" not in _words(tree, "fills")


def test_load_above_the_payload_cries_out():
    """Worked by hand: 110 kg on a payload of 100 kg are 10 kg too heavy."""
    load = CarrierLoad("cart", 100.0, 10.0, 100.0, 110.0, 0, 10.0)
    tree = _tree(replace(planned("saltbush_loop"), loads=(load,)))

    assert (
        "10.0 kg TOO HEAVY" in tree.xpath("//*[@id='load-table']//*[@class='alarm-words']")[0].text
    )
    assert any(
        "10.0 kg TOO HEAVY" in alarm.text_content()
        for alarm in tree.get_element_by_id("sheet").xpath(".//*[@class='alarm']")
    )


def test_costs_stand_at_the_stop_and_in_all():
    """Money for the water is told at its stop, on the sheet, and summed up below the table."""
    tree = _tree(_changed_fill(cost=12.5))

    assert "costs 12.50" in tree.xpath("//*[@id='fill-table']/tbody/tr[1]")[0].text_content()
    assert "The water costs 12.50 in the money of the layer" in _words(tree, "fills")
    assert "costs 12.50" in _words(tree, "sheet")


def test_water_that_may_stay_behind_may_be_kept():
    """Nobody is told to pour water away: keep it if in doubt; supplies are rounded down."""
    tree = _tree(_changed_fill(left_l=3.19))
    told = "3.1 L more than the way on asks for may stay here: keep them if in doubt"

    assert told in _words(tree, "fills")
    assert told in _words(tree, "sheet")


def test_hours_and_price_of_a_source_stand_where_its_access_does():
    """Open from 8:30 to 17:00: in the table, on the sheet, and in the data of the map."""
    plan = gap_plan()
    at = next(number for number, one in enumerate(plan.passes) if one.counted)
    passed = plan.passes[at]
    hours = {"open_from_hour": 8.5, "open_to_hour": 17.0, "cost_per_l": 0.2}
    source = replace(passed.source, **hours)
    there = replace(passed, source=source)
    plan = replace(
        plan,
        passes=(*plan.passes[:at], there, *plan.passes[at + 1 :]),
        sources=tuple(source if one.id == source.id else one for one in plan.sources),
        stretches=tuple(
            replace(one, begin=replace(one.begin, water=there))
            if one.begin.water is passed
            else one
            for one in plan.stretches
        ),
    )
    tree = _tree(plan)

    for part in ("pass-table", "sheet", "map-data"):
        assert "open 08:30 to 17:00" in _words(tree, part)
    assert "0.2 a litre in the money of the layer" in _words(tree, "pass-table")


def test_clear_plan_with_a_grave_warning_says_so_first():
    """The headline and its first sentence temper a clear verdict, by that warning only."""
    plain = replace(clear_plan(), warnings=())
    grave = replace(plain, warnings=(PlanWarning("The only tap is locked.", grave=True),))

    assert "but heed the warnings" not in _words(_tree(plain), "answer")
    words = _words(_tree(grave), "answer")
    assert words.startswith("On these figures the water lasts, but heed the warnings")
    assert "1 grave warning below" in words


@pytest.mark.parametrize("verdict", [v for v in Verdict if v is not Verdict.CLEAR])
def test_headline_calls_nothing_safe_that_is_not_clear(verdict):
    """Whoever reads the first line alone never reads that it holds."""
    words = _words(_tree(make_plan((verdict, Verdict.CLEAR))), "answer")

    assert words.startswith(("Not safe", "Nobody can say"))


def test_stretch_of_less_than_a_day_is_told_in_hours():
    """43 km at 30 km/h are no '0.1 days' to anybody: hours on the page and on the sheet."""
    plan = planned("saltbush_loop")
    hours = plan.stretches[0].days * 24.0
    tree = html.document_fromstring(page_of("saltbush_loop"))
    row, sheet = tree.get_element_by_id("stretch-1").text_content(), _words(tree, "sheet")
    told = re.search(r"(\d+) h (?:(\d+) min )?to water", sheet)
    shown = int(told[1]) + int(told[2] or 0) / 60.0

    assert 0.0 <= shown - hours < 0.09
    assert told[0].removesuffix(" to water") in row


def test_route_beyond_the_map_says_so():
    """Web maps end at 85 degrees: nearer to the pole the drawing is wrong, and says that it is."""
    plan = planned("gorge_walk")
    route = plan.measured.route
    north = replace(route, lat_deg=route.lat_deg * 0.0 + 88.5)
    beyond = replace(plan, measured=replace(plan.measured, route=north))

    assert "in the wrong place" in _words(_tree(beyond), "map")
    assert "in the wrong place" not in _words(_tree(plan), "map")
