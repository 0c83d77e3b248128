"""What the popup of a source tells, and the sign of a certainty that the user set."""

from __future__ import annotations

import dataclasses
import datetime as dt
import json

import lxml.html
import pytest
from make import source_at, straight_route, trip
from page_in_browser import opened

from longdry.computing.plan.planning import plan_trip
from longdry.model.water.source import Found, Visit
from longdry.model.words import Certainty, CountOn
from longdry.showing.page.page import page_html

HOSTILE = "</script><b onclick='x()'>low</b>"


def page_of(**known):
    source = dataclasses.replace(source_at(150.0), **known)
    return page_html(plan_trip(straight_route(400.0, 9), [source], trip(), count_on=CountOn.ANY))


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


@pytest.mark.browser
@pytest.mark.parametrize("certainty", [Certainty.LIKELY, None], ids=["by hand", "worked out"])
def test_certainty_set_by_hand_is_underlined_on_the_map(browser, tmp_path, certainty):
    """The letter is underlined and the popup says who set it; the legend tells the sign."""
    file = tmp_path / "plan.html"
    file.write_text(page_of(certainty=certainty), encoding="utf-8")
    popup = dict(water_of(file.read_text("utf-8"))["rows"])["Water"]
    with opened(browser, file) as watched:
        letter = watched.page.locator(".water-holder .letter")
        line = letter.evaluate("text => getComputedStyle(text).textDecorationLine")
        legend = watched.page.locator(".legend").inner_text()

    assert line == ("underline" if certainty else "none")
    assert ("by hand" in popup) is bool(certainty)
    assert "underlined: certainty set by hand" in legend
