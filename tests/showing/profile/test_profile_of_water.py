"""The line of what is carried comes down to nothing where the water runs out, not at the next."""

from __future__ import annotations

import re

import pytest
from make import calling_at, container, source_at, straight_route, trip

from longdry.computing.plan.planning import plan_trip
from longdry.showing.profile.profile import profile_svg
from longdry.showing.words.measures import METRIC

WELL = source_at(200.0, id="well")
LEFT, RIGHT, BOTTOM = 40.0, 558.0, 150.0
"""Edges of the plot, in the picture."""


def _line(plan):
    *stretches, _of_the_key = re.findall(r'class="carried" d="M([^"]+)"', profile_svg(plan, METRIC))
    return [tuple(map(float, point.split())) for d in stretches for point in d.split("L")]


def test_water_that_runs_out_is_drawn_where_it_runs_out():
    """20 L from noon at km 200, half a litre in each waking hour: dry at km 900 of 1500."""
    cans = trip(containers=[container(20.0, 1)], policy=calling_at(WELL))
    line = _line(plan_trip(straight_route(1500.0, 7), [WELL], cans))
    dry_x = LEFT + (RIGHT - LEFT) * 900.0 / 1500.0

    assert line[-2] == (pytest.approx(dry_x, abs=0.1), BOTTOM)
    assert line[-1] == (RIGHT, BOTTOM)


def test_water_that_lasts_is_drawn_to_the_end_of_its_stretch():
    """Nothing between leaving one water and arriving at the next."""
    line = _line(plan_trip(straight_route(600.0, 7), [WELL], trip(policy=calling_at(WELL))))

    at_start, at_well, at_end = 1, 2, 1

    assert len(line) == at_start + at_well + at_end


def test_containers_are_drawn_as_full_as_they_are_on_leaving():
    """At the start and at the well the water in the container stands where the line begins."""
    cans = trip(containers=[container(20.0, 1)], policy=calling_at(WELL))
    svg = profile_svg(plan_trip(straight_route(600.0, 7), [WELL], cans), METRIC)
    *levels, _of_the_key = re.findall(r'<path class="carried" d="M[\d.]+ ([\d.]+)', svg)
    *tops, _ = re.findall(r'<rect class="can-water" [^>]*?y="([\d.]+)"', svg)

    assert len(tops) == 2
    assert [float(y) for y in tops] == [pytest.approx(float(level), abs=0.1) for level in levels]
