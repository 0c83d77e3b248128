"""What the popup of a source tells, and how its sign is drawn."""

from __future__ import annotations

import dataclasses
import datetime as dt
import json

import lxml.html
import pytest
from make import calling_at, source_at, straight_route, trip
from page_in_browser import opened

from longdry.computing.plan.planning import plan_trip
from longdry.model.water.source import Found, Visit
from longdry.model.words import Certainty, CountOn, Grade
from longdry.showing.page.page import page_html
from longdry.showing.signs.signs import water_drawing

HOSTILE = "</script><b onclick='x()'>low</b>"


def page_of(**known):
    source = dataclasses.replace(source_at(150.0), **known)
    made = trip(policy=calling_at(source))
    return page_html(plan_trip(straight_route(400.0, 9), [source], made, count_on=CountOn.ANY))


def water_of(page):
    (water,) = json.loads(lxml.html.fromstring(page).get_element_by_id("map-data").text)["waters"]
    return water


def test_popup_tells_flow_limit_and_last_visit():
    """What it gives is rounded down; of two visits the later is told, its note as plain text."""
    visits = (
        Visit(dt.date(2026, 5, 3), Found.FLOWING),
        Visit(dt.date(2027, 5, 3), Found.LOW, litres=12.0, note=HOSTILE),
    )
    page = page_of(flow_l_per_min=2.55, limit_l=40.9, visits=visits)
    rows = dict(water_of(page)["rows"])

    assert rows["Gives"] == "2.5 L/min, at most 40 L"
    assert rows["Last visit"] == f"Mon 3 May 2027: low, 12 L taken, {HOSTILE}"
    assert HOSTILE not in page


def test_popup_is_silent_of_what_nobody_knows():
    """Without flow, limit and visits there are no such rows."""
    assert not {"Gives", "Last visit"} & dict(water_of(page_of())["rows"]).keys()


def test_popup_tells_what_to_take_and_where_it_is():
    """Litres to take and to leave with stand first, coordinates last."""
    water = water_of(page_of())
    stop = dict(water["calls"])

    assert water["stop"] == 1
    assert all("leave with" in words for words in stop.values())
    assert dict(water["rows"])["Place"].endswith(("E", "W"))


@pytest.mark.parametrize(
    ("grade", "drawn"),
    [
        (Grade.POTABLE, '<circle class="face full"'),
        (Grade.TREAT, '<path class="half"'),
        (Grade.NOT_FOR_DRINKING, '<circle class="face" '),
    ],
)
def test_shape_says_the_grade(grade, drawn):
    """Full, half full, empty: three shapes, and no colour of their own."""
    pictures = {one: str(water_drawing(one)) for one in Grade}

    assert drawn in pictures[grade]
    assert len(set(pictures.values())) == len(Grade)
    assert "fill=" not in pictures[grade]


@pytest.mark.browser
@pytest.mark.parametrize("certainty", [Certainty.DOUBTFUL, Certainty.LIKELY])
def test_doubtful_water_has_a_broken_edge(browser, tmp_path, certainty):
    """On the map, and told in the legend only where it is drawn."""
    file = tmp_path / "plan.html"
    file.write_text(page_of(certainty=certainty), encoding="utf-8")
    with opened(browser, file) as watched:
        dash = watched.page.locator(".water-holder .face").evaluate(
            "face => getComputedStyle(face).strokeDasharray"
        )
        legend = watched.page.locator(".legend").text_content()

    assert (dash != "none") is (certainty is Certainty.DOUBTFUL)
    assert ("broken edge: doubtful" in legend) is (certainty is Certainty.DOUBTFUL)
