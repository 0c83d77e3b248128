"""What the page says of what goes wrong: never a figure without what it rests on."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from lxml import html
from sample_plans import NAMES, page_of, planned

from longdry.model.plan.setbacks import Stranded, SurvivalFigure
from longdry.showing.page.page import page_html


@pytest.fixture(scope="module")
def plan():
    return planned("saltbush_loop")


@pytest.fixture(scope="module")
def tree():
    return html.document_fromstring(page_of("saltbush_loop"))


def _words(element):
    return " ".join(element.text_content().split())


def test_the_worst_single_failure_stands_first(plan, tree):
    """The part about what goes wrong begins with what fails worst, and what it leads to."""
    words = _words(tree.get_element_by_id("setbacks"))

    assert plan.setbacks.worst.words == "dry Lastgate Tank"
    assert "Worst single failure: Lastgate Tank is dry." in words
    assert plan.setbacks.worst.leaves_neither == ("no way to water: neither on nor back" in words)


def test_every_change_and_every_pair_of_dry_sources_is_a_row(plan, tree):
    """Verdicts before and after, as worked out; a pair that leaves neither way is marked."""
    pairs = [one for one in plan.setbacks.dry if len(one.sources) > 1]
    for table, asked in (("change-table", plan.setbacks.changes), ("pair-table", pairs)):
        rows = tree.xpath(f"//*[@id='{table}']/tbody/tr")
        shown = [(_words(row[1]), _words(row[2])) for row in rows]

        assert shown == [(str(one.before), str(one.verdict)) for one in asked]
    marked = [
        "no way to water" in _words(row[0]) for row in tree.xpath("//*[@id='pair-table']//tr")
    ]
    assert marked[1:] == [one.leaves_neither for one in pairs]


@pytest.mark.parametrize("name", NAMES)
def test_at_each_stop_stands_what_to_do_where_it_is_dry(name):
    """What is left, what on and back ask for; which can be gone, and where neither, an alarm."""
    plan = planned(name)
    tree = html.document_fromstring(page_of(name))
    single = {one.sources[0].id: one for one in plan.setbacks.dry if len(one.sources) == 1}
    checked = 0
    for number, stretch in enumerate(plan.stretches):
        if stretch.begin.water is None:
            continue
        what = single[stretch.begin.water.source.id]
        words = _words(tree.get_element_by_id(f"stop-{number}"))
        assert "Decide here. If dry, " in words
        assert what.leaves_neither == ("If dry, no way to water" in words)
        checked += 1
    assert checked > 3


def test_asked_litres_are_rounded_up_and_those_left_down(plan, tree):
    """Nobody goes on with less than the way asks for."""
    words = _words(tree.get_element_by_id("stop-1"))
    (one,) = [w for w in plan.setbacks.dry if w.words == "dry Galah Spring"]
    patterns = (
        "If dry, ([0-9.]+) L",
        "On to .*? takes ([0-9.]+) L",
        "back to .*? takes ([0-9.]+) L",
    )
    left, on, back = (float(re.search(pattern, words)[1]) for pattern in patterns)

    assert 0.0 <= one.passes[0].go_on.left_l - left < 1.0
    assert 0.0 <= on - one.passes[0].go_on.asked_l < 1.0
    assert 0.0 <= back - one.passes[0].go_back.asked_l < 1.0


def test_chance_never_stands_without_what_it_rests_on(plan, tree):
    """The sentence stands in the same paragraph as both figures and their standard error."""
    said = [p for p in tree.xpath("//p") if "Chance of running short" in p.text_content()]

    assert len(said) == 1
    assert " ".join(plan.setbacks.chance.rests_on.split()) in _words(said[0])
    assert "having to turn back" in _words(said[0])
    assert "standard error" in _words(said[0])


def test_survival_table_stands_between_its_caution_and_its_source(plan):
    """Adolph (1947): 110 °F and 20 US quarts is 7 days; cells from memory carry a star."""
    figure = SurvivalFigure(5.0, from_memory=False, caution="never", source="Adolph")
    there = replace(plan.setbacks, stranded=Stranded(1000.0, 40.0, 4.0, figure))
    tree = html.document_fromstring(page_html(replace(plan, setbacks=there)))
    section = _words(tree.get_element_by_id("setbacks"))
    rows = {_words(row[0]): [_words(cell) for cell in row[1:]]
            for row in tree.xpath("//*[@id='survival-table']/tbody/tr")}  # fmt: skip

    assert section.index("never plan with them") < section.index("Highest shade temperature")
    assert section.index("Highest shade temperature") < section.index("Physiology of Man")
    assert rows["43.3 °C (110 °F)"] == ["3", "3", "3.5", "4", "5", "7"]
    assert rows["48.9 °C (120 °F)"] == ["2", "2", "2", "2.5", "3*", "4.5*"]


def test_survival_table_stands_only_where_it_can_be_read(plan, tree):
    """Without heat nobody can read it for this trip, and nobody is shown it."""
    assert plan.setbacks.stranded is None
    assert not tree.xpath("//*[@id='survival-table']")


def test_turn_back_km_is_never_told_too_far(plan, tree):
    """The last place to turn back stands in the space that it is about, rounded towards home."""
    checked = 0
    for turn in plan.setbacks.turn_backs:
        found = re.search(
            r"Turn back by km ([\d.]+)", _words(tree.get_element_by_id(f"stretch-{turn.stretch}"))
        )
        inside = turn.water_km < plan.stretches[turn.stretch - 1].end.km - 1e-6
        assert bool(found) is inside
        if found:
            checked += 1
            assert 0.0 <= turn.water_km - float(found[1]) < 0.1
    assert checked > 0


def test_shortest_wait_is_never_told_too_long(plan, tree):
    """Days of waiting are rounded down; where nothing is left no days are told, but from where."""
    waits = planned("gorge_walk").setbacks.sit_out
    told = html.document_fromstring(page_of("gorge_walk")).get_element_by_id("setbacks")
    days = float(re.search(r"The shortest wait is at km [\d.]+: ([\d.]+) days?", _words(told))[1])
    words = _words(tree.get_element_by_id("setbacks"))
    gone = float(re.search(r"From km ([\d.]+) on nothing is left to wait with", words)[1])

    assert 0.1 <= days <= waits.least_days < days + 0.1
    assert plan.setbacks.sit_out.least_days == 0.0
    assert abs(gone - plan.setbacks.sit_out.at_km) <= 0.1
    assert "Nobody knows when help comes" in words
