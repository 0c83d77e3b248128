"""What list and sheet say of treating, loads, costs, hours and times."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from lxml import html
from plan_examples import gap_plan
from sample_plans import NAMES, page_of, planned

from longdry.model.plan.fills import CarrierLoad
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
def test_treating_stands_at_its_stop_and_what_it_leaves_on_the_sheet(name):
    """Minutes of each stop in the list; what stays in the water where it is carried along."""
    treating = planned(name).treating
    tree = html.document_fromstring(page_of(name))
    way, sheet = _words(tree, "way"), _words(tree, "sheet")
    efforts = [
        effort
        for one in treating.by_stop
        for effort in (one.here, one.on_way)
        if effort.litres > 0.0 and effort.minutes is not None
    ]

    assert treating.in_all.litres > 0.0
    for effort in efforts:
        assert f"({_time(effort.minutes)}" in way
    for remains in treating.limits.not_removed:
        assert remains in sheet


def test_load_of_each_carrier_stands_against_its_payload():
    """The heaviest load and the payload left, at the stop that is left with it."""
    plan = planned("saltbush_loop")
    (load,) = plan.loads
    words = _words(html.document_fromstring(page_of("saltbush_loop")), "way")

    assert f"{load.carrier}: {load.load_kg:.1f} kg of at most {load.payload_left_kg:g} kg" in words
    assert "TOO HEAVY" not in words


def test_load_above_the_payload_cries_out():
    """Worked by hand: 110 kg on a payload of 100 kg are 10 kg too heavy, in list and sheet."""
    load = CarrierLoad("cart", 100.0, 10.0, 110.0, 0, 10.0)
    tree = _tree(replace(planned("saltbush_loop"), loads=(load,)))

    assert "10.0 kg TOO HEAVY" in _words(tree, "stop-0")
    assert any(
        "10.0 kg TOO HEAVY" in alarm.text_content()
        for alarm in tree.get_element_by_id("sheet").xpath(".//table//strong")
    )


def test_costs_stand_at_the_stop():
    """Money for the water is told where it is taken."""
    assert "Costs 12.50" in _words(_tree(_changed_fill(cost=12.5)), "stop-0")


def test_water_that_may_stay_behind_may_be_kept():
    """Nobody is told to pour water away: keep it if in doubt; supplies are rounded down."""
    told = "3.1 L more than you need from here on may stay here: keep them if in doubt"

    assert told in _words(_tree(_changed_fill(left_l=3.19)), "stop-0")


def test_hours_and_price_of_a_source_stand_where_its_access_does():
    """Open from 8:30 to 17:00: in the list, on the sheet, and in the data of the map."""
    plan = gap_plan()
    passed = plan.stretches[1].begin.water
    hours = {"open_from_hour": 8.5, "open_to_hour": 17.0, "cost_per_l": 0.2}
    source = replace(passed.source, **hours)
    there = replace(passed, source=source)
    plan = replace(
        plan,
        passes=tuple(there if one is passed else one for one in plan.passes),
        sources=tuple(source if one.id == source.id else one for one in plan.sources),
        stretches=tuple(
            replace(one, begin=replace(one.begin, water=there))
            if one.begin.water is passed
            else one
            for one in plan.stretches
        ),
    )
    tree = _tree(plan)

    for part in ("stop-1", "sheet", "map-data"):
        assert "open 08:30 to 17:00" in _words(tree, part)
    assert "0.2 a litre in the money of the layer" in _words(tree, "stop-1")


def test_stretch_of_less_than_a_day_is_told_in_hours():
    """A short stretch is no '0.1 days' to anybody: hours in the list and on the sheet."""
    short = min(planned("saltbush_loop").stretches, key=lambda one: one.days)
    hours = short.days * 24.0
    whole, minutes = divmod(5 * math.ceil(hours * 12.0 - 1e-6), 60)
    told = f"{whole} h {minutes} min"
    tree = html.document_fromstring(page_of("saltbush_loop"))

    assert told in _words(tree, f"stretch-{short.number}")
    assert told in _words(tree, "sheet")


def test_route_beyond_the_map_says_so():
    """Web maps end at 85 degrees: nearer to the pole the drawing is wrong, and says that it is."""
    plan = planned("gorge_walk")
    route = plan.measured.route
    north = replace(route, lat_deg=route.lat_deg * 0.0 + 88.5)
    beyond = replace(plan, measured=replace(plan.measured, route=north))

    assert "in the wrong place" in _words(_tree(beyond), "map")
    assert "in the wrong place" not in _words(_tree(plan), "map")
