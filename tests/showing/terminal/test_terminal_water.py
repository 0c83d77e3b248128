"""What the terminal says of water along the route, of dry sources, and of turning back."""

from __future__ import annotations

import dataclasses
import re

import pytest
from make import source_at, straight_route, trip
from sample_plans import NAMES, planned

from longdry.computing.plan.planning import plan_trip
from longdry.model.words import Certainty, Grade
from longdry.showing.terminal.full import full_text, water_lines
from longdry.showing.words.measures import METRIC
from longdry.showing.words.setbacks import turn_backs_by_stretch
from longdry.showing.words.stretches import alarm_words


def _line(**known):
    source = dataclasses.replace(source_at(250.0), name="Fork", **known)
    (line,) = water_lines(plan_trip(straight_route(600.0), [source], trip()), METRIC)
    return line


@pytest.mark.parametrize(
    ("known", "told"),
    [
        ({"grade": Grade.POTABLE}, "km 250.0, Fork: potable; water is "),
        ({"grade": Grade.NOT_FOR_DRINKING}, "Fork: NOT COUNTED; not for drinking; water is "),
        ({"grade": None}, "Fork: NOT COUNTED; grade not given: counts as not for drinking; "),
        ({"certainty": Certainty.DOUBTFUL}, "NOT COUNTED; potable; water is doubtful: set by hand"),
        ({"limit_l": 0.0}, "NOT COUNTED, the layer gives it a limit of 0 L; potable; "),
    ],
)
def test_each_pass_says_its_grade_its_certainty_and_whether_it_counts(known, told):
    """Nobody who reads the terminal alone takes a doubtful source for a tap."""
    assert told in _line(**known)


@pytest.mark.parametrize("name", NAMES)
def test_terminal_tells_each_dry_source_and_each_last_place_to_turn(name):
    """As many lines as the plan has counted sources and stretches with such a place."""
    plan = planned(name)
    text = " ".join(full_text(plan).split())
    alone = [one for one in plan.setbacks.dry if len(one.sources) == 1]
    inside = [
        turn
        for number, turn in turn_backs_by_stretch(plan).items()
        if turn.water_km is not None and turn.water_km < plan.stretches[number - 1].end.km - 1e-6
    ]

    assert alone
    for one in alone:
        told = f"dry {one.sources[0].name}: {one.before} -> {one.verdict}"
        assert f"{told}; without the rest days, going on: " in text
    for turn in inside:
        assert re.search(rf"Stretch {turn.stretch}: .*?turn back by km", text)


@pytest.mark.parametrize("name", ["saltbush_loop"])
def test_short_and_full_answer_miss_the_same_litres(name):
    """Table and cries: 3.5 L is nowhere told as 4 L."""
    plan = planned(name)
    text = " ".join(full_text(plan).split())
    gaps = [stretch for stretch in plan.stretches if stretch.missing_l > 0.0]

    assert gaps
    for stretch in gaps:
        shown = alarm_words(stretch).rsplit(": ", 1)[1]
        assert f"{shown} for need and reserve" in text
        row = next(line for line in full_text(plan).splitlines()
                   if re.match(rf" *{stretch.number}  ", line))  # fmt: skip
        assert f" {shown.removesuffix(' L missing')}  " in row
