"""What became better or worse from one plan to the next."""

from __future__ import annotations

from plan_examples import clear_plan, gap_plan, large_plan

from longdry.showing.words.changed import changed_words
from longdry.showing.words.measures import METRIC


def test_the_same_plan_is_neither_better_nor_worse():
    """No figure has changed, so nothing is said."""
    assert changed_words(gap_plan(), gap_plan(), METRIC) == ""


def test_what_is_worse_one_way_is_better_the_other():
    """Each figure changes its side with the order of the two plans."""
    bad, good = gap_plan(), clear_plan()
    worse = changed_words(good, bad, METRIC).partition(" Better: ")
    better = changed_words(bad, good, METRIC).partition(" Better: ")

    assert worse[0].startswith("Worse: “Do not start on this plan.”, not “On these figures")
    assert "stretches not clear 3, before 0" in worse[0]
    assert "longest without water 292.3 km, before 349.8 km" in worse[2]
    assert better[2].startswith("“On these figures the water lasts.”, not “Do not start on this")
    assert "stretches not clear 0, before 3" in better[2]
    assert "longest without water 349.8 km, before 292.3 km" in better[0]


def test_another_way_is_not_compared():
    """Figures of another line say nothing about what was changed."""
    told = changed_words(gap_plan(), large_plan(), METRIC)

    assert told == "Another way to travel: its figures are not compared with those before."
