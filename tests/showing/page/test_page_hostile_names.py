"""Names from files are text in every place: inert, legible, and the layout holds."""

from __future__ import annotations

import json

import pytest
from lxml import html
from page_in_browser import opened
from plan_examples import HOSTILE_NAMES, Names, gap_plan

from longdry.showing.page.page import page_html
from longdry.showing.words.markup import LONGEST_NAME, clipped_name, sentence_tag

pytestmark = pytest.mark.browser
SHORT = [
    "script",
    "image",
    "braces",
    "closing",
    "backtick",
    "arabic",
    "override",
    "controls",
    "long",
]


def _named(name):
    return Names(route=name, trip=name, wells=(name,) * 5, other=name)


@pytest.mark.parametrize("name", HOSTILE_NAMES, ids=SHORT)
def test_name_adds_no_element(name):
    """A page full of the name has the same elements, in the same order, as one of plain names."""
    plain = html.document_fromstring(page_html(gap_plan(_named("Well"))))
    hostile = html.document_fromstring(page_html(gap_plan(_named(name))))

    assert [e.tag for e in hostile.iter()] == [e.tag for e in plain.iter()]


@pytest.mark.parametrize("name", HOSTILE_NAMES, ids=SHORT)
def test_name_reaches_the_map_as_data(name):
    """The data of the map is JSON that holds the name as it is shown."""
    tree = html.document_fromstring(page_html(gap_plan(_named(name))))
    data = json.loads(tree.get_element_by_id("map-data").text)

    assert {water["title"] for water in data["waters"]} == {clipped_name(name)}


@pytest.mark.parametrize("name", HOSTILE_NAMES, ids=SHORT)
def test_name_is_inert_and_legible_and_keeps_the_layout(browser, tmp_path, name):
    """In Chromium at 360 px: nothing runs, nothing is fetched, the name reads as it is written."""
    file = tmp_path / "plan.html"
    file.write_text(page_html(gap_plan(_named(name))), encoding="utf-8")
    with opened(browser, file, width=360, height=740) as watched:
        page = watched.page
        page.locator(".water-holder").first.dispatch_event("click")
        popup = page.locator(".leaflet-popup .popup-title").inner_text()
        heading = page.locator("h1").inner_text()
        wide = page.evaluate("document.documentElement.scrollWidth")

        assert watched.messages == []
        assert watched.requests == []
        assert popup == heading == clipped_name(name)
        assert wide <= 360


def test_a_sentence_that_begins_with_a_name_from_the_right_runs_from_the_left(browser, tmp_path):
    """Figures stay behind the name that they are about, the next name behind them (UAX #9)."""
    first, then = "بئر الملح", "عين الغزال"
    file = tmp_path / "sentence.html"
    text = f"{first}: 8.3 days to {then}, 7.5 L"
    file.write_text(f"<meta charset=utf-8><p>{sentence_tag(text)}</p>", encoding="utf-8")
    with opened(browser, file) as watched:
        left = watched.page.evaluate(
            """parts => parts.map(part => {
              const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
              for (let node; (node = walk.nextNode());) {
                const at = node.data.indexOf(part), range = document.createRange();
                if (at < 0) continue;
                range.setStart(node, at);
                range.setEnd(node, at + part.length);
                return range.getBoundingClientRect().left;
              }
            })""",
            [first, "8.3", then, "7.5"],
        )

    assert left == sorted(left)


def test_long_name_is_cut_and_says_so():
    """A name of 10,000 characters shows its beginning and how long it is."""
    shown = clipped_name("W" * 10_000)

    assert shown.startswith("W" * LONGEST_NAME + "…")
    assert "10,000 characters" in shown
