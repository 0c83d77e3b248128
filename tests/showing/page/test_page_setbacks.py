"""What the page says of what goes wrong: never a figure without what it rests on."""

from __future__ import annotations

import json
import re
from dataclasses import replace

import pytest
from lxml import html
from sample_plans import page_of, planned

from longdry.model.plan.setbacks import Survival
from longdry.showing.page.page import page_html


@pytest.fixture(scope="module")
def plan():
    return planned("gorge_walk")


@pytest.fixture(scope="module")
def tree():
    return html.document_fromstring(page_of("gorge_walk"))


def _words(element):
    return " ".join(element.text_content().split())


def test_first_lines_name_the_worst_single_failure(plan, tree):
    """The answer says what fails and what it leads to."""
    words = _words(tree.get_element_by_id("answer"))

    assert plan.setbacks.worst.words == "dry Ranger Tap"
    assert "Worst single failure: Ranger Tap is dry." in words
    assert plan.setbacks.worst.leaves_neither == ("no way to water: neither on nor back" in words)


def test_every_change_and_every_dry_source_is_a_row(plan, tree):
    """Verdicts before and after, as worked out; a source that leaves neither way is marked."""
    for table, asked in (
        ("change-table", plan.setbacks.changes),
        ("dry-table", [one for one in plan.setbacks.dry if len(one.sources) == 1]),
        ("pair-table", [one for one in plan.setbacks.dry if len(one.sources) > 1]),
    ):
        rows = tree.xpath(f"//*[@id='{table}']/tbody/tr")
        shown = [(_words(row[1]), _words(row[2])) for row in rows]

        assert shown == [(str(one.before), str(one.verdict)) for one in asked]
    marked = ["no way to water" in _words(row[0]) for row in tree.xpath("//*[@id='dry-table']//tr")]
    single = [one for one in plan.setbacks.dry if len(one.sources) == 1]
    assert marked[1:] == [one.leaves_neither for one in single]


def test_chance_never_stands_without_what_it_rests_on(plan, tree):
    """The sentence stands in the same paragraph as the figure and its standard error."""
    said = [p for p in tree.xpath("//p") if "Chance of running short" in p.text_content()]

    assert len(said) == 1
    assert " ".join(plan.setbacks.chance.rests_on.split()) in _words(said[0])
    assert "standard error" in _words(said[0])


def test_survival_table_stands_between_its_caution_and_its_source(tree):
    """Adolph (1947): 110 °F and 20 US quarts is 7 days; cells from memory carry a star."""
    section = _words(tree.get_element_by_id("setbacks"))
    rows = {_words(row[0]): [_words(cell) for cell in row[1:]]
            for row in tree.xpath("//*[@id='survival-table']/tbody/tr")}  # fmt: skip

    assert section.index("never plan with them") < section.index("Highest shade temperature")
    assert section.index("Highest shade temperature") < section.index("Physiology of Man")
    assert rows["43.3 °C (110 °F)"] == ["3", "3", "3.5", "4", "5", "7"]
    assert rows["48.9 °C (120 °F)"] == ["2", "2", "2", "2.5", "3*", "4.5*"]


def test_turn_back_km_is_never_told_too_far(plan, tree):
    """Each last place to turn back is rounded towards the water behind."""
    rows = tree.xpath("//*[@id='turn-table']/tbody/tr")
    checked = 0
    for row, turn in zip(rows, plan.setbacks.turn_backs, strict=True):
        found = re.search(r"turn back by km ([\d.]+)", _words(row[2]))
        if found:
            checked += 1
            assert 0.0 <= turn.water_km - float(found[1]) < 0.1
    assert checked > 3


def test_shortest_wait_is_never_told_too_long(plan, tree):
    """Days of waiting are rounded down, and the page says whether help comes in time."""
    words = _words(tree.get_element_by_id("setbacks"))
    days = float(re.search(r"The shortest wait is at km [\d.]+: ([\d.]+) days?", words)[1])

    assert 0.0 <= plan.setbacks.sit_out.least_days - days < 0.1
    assert "days help takes" in words or "Help may take" in words


def test_what_if_line_goes_by_what_is_on_board_then(plan, tree):
    """From what is on board to what is left, or to a cross where it runs out; told in words too."""
    failure = plan.setbacks.worst
    left_l = failure.worst.available_l - failure.worst.need.total_l
    (line,) = tree.xpath("//*[@class='profile']//*[@class='what-if-line']/@d")
    x1, y1, x2, y2 = (float(one) for one in re.findall(r"[\d.]+", line))
    ground = float(re.search(r"M[\d.]+ ([\d.]+)h", tree.get_element_by_id("plot").get("d"))[1])
    slope = (y2 - y1) / (x2 - x1)
    at_end = y1 + slope * (_x(tree, failure.worst.end.km) - x1)
    per_l = (ground - y1) / failure.worst.available_l

    assert left_l < 0.0
    assert y2 == ground
    assert x1 == pytest.approx(_x(tree, failure.worst.begin.km), abs=0.1)
    assert at_end == pytest.approx(ground - left_l * per_l, abs=1.0)
    assert len(tree.xpath("//*[@class='profile']//*[@class='what-if-end']")) == 2
    assert "Ranger Tap is dry: 39 L at km 95.6, 37 L missing" in " ".join(
        tree.get_element_by_id("profile-text").text.split()
    )


def _x(tree, km):
    """Place of a km in the profile, by the plot's own width and the length on the page."""
    left, width = re.search(
        r"M([\d.]+) [\d.]+h([\d.]+)", tree.get_element_by_id("plot").get("d")
    ).groups()
    data = json.loads(tree.get_element_by_id("map-data").text)
    return float(left) + float(width) * km / data["length"]


def test_fills_that_survive_nothing_are_not_called_raised():
    """Where a dry source breaks every filling, that comes first, and no promise before it."""
    loop = planned("saltbush_loop")
    broken = Survival((0.0, 3.0), 9.0, (loop.sources[0],))
    held = Survival((0.0, 3.0), 9.0, ())

    for survival, first in ((broken, "No filling survives"), (held, "The fills are raised so")):
        tree = html.document_fromstring(page_html(replace(loop, survival=survival)))
        assert tree.get_element_by_id("proof").text_content().startswith(first)
