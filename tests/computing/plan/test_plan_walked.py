"""A walker that knows nothing of the planner goes through whole plans and finds nothing wrong."""

from __future__ import annotations

import dataclasses
import math

import pytest
from fill_replay import replay_faults
from how_many import PART_OF_SLOW, proof
from plan_walker import LITRE_TOLERANCE, Span, Walker, walk_faults
from random_plans import settled_plan

from longdry.model.plan.stretch import RunsDry
from longdry.model.words import Verdict

CLEAR_WALK, TOO_LONG_WALK = 11, 0
"""Seeds of a plan whose first stretch is clear, with a reserve, and of one whose is too long."""


@proof(1500, PART_OF_SLOW)
def test_whole_plans_go_as_they_say(cases):
    """Through stops, cans, grades and treating nothing is below nothing, left or lacking untold.

    What is used is added up from the rules; where a stretch is clear its reserve is left, and where
    it is too long the water is gone within a minute of the time told.
    """
    found = {seed: _faults(settled_plan(seed)) for seed in cases}

    assert {seed: told for seed, told in found.items() if told} == {}


def _faults(settled):
    filling = settled.filling
    return [
        *walk_faults(settled),
        *replay_faults(filling.problem, filling.chosen),
        *_not_handed_on(settled),
    ]


def _not_handed_on(settled):
    """What is left on arriving, less what a stay takes of it, is what the fills begin with there.

    No more is taken along than the water gives in that time beside what the party lives on.
    """
    walker = Walker(settled.trip, settled.journey.itinerary.travels)
    fills, legs = settled.filling.chosen.fills, settled.filling.last_of_stop
    for number, stay in enumerate(settled.journey.itinerary.stays):
        stretch, here = settled.stretches[number], fills[legs[number] + 1 : legs[number + 1] + 1]
        span = Span(stay.arrives.hour, stay.leaves.hour, (), 0.0, 0.0, stay.nights)
        used_l = walker.used_l(span, stretch.ration_told) if stay.nights else 0.0
        gives_l = sum(_gives_l(one.source, span) for one in stretch.end.waters)
        handed_l = max(stretch.left_l - max(used_l - gives_l, 0.0), 0.0)
        if abs(here[0].arriving.total_l - handed_l) > LITRE_TOLERANCE:
            yield f"{handed_l:.3f} L left, {here[0].arriving.total_l:.3f} L handed on"
        if sum(one.take_l for one in here) > max(gives_l - used_l, 0.0) + LITRE_TOLERANCE:
            yield f"more is taken at {stretch.end.label} than there is"


def _gives_l(source, span):
    """What a water gives in a stay with a night; where it has no hours, or else at most its limit.

    No source of these trips has a pump, or is on the route twice.
    """
    limit_l = math.inf if source.limit_l is None else source.limit_l
    has_hours = source.open_from_hour is not None or source.open_to_hour is not None
    if source.flow_l_per_min is None or has_hours or not span.nights:
        return limit_l
    return min(limit_l, source.flow_l_per_min * 60.0 * (span.end_h - span.begin_h))


PLANTED = {
    "L are left": lambda stretch: {"left_l": stretch.left_l + 0.1},
    "clear, but": lambda stretch: {"left_l": 0.0, "on_board_l": stretch.need.total_l},
    "of reserve": lambda stretch: {"reserve_l": stretch.reserve_l - 0.1},
    "below nothing": lambda _: {"left_l": -0.1},
    "a minute before": lambda stretch: {
        "runs_dry": RunsDry(stretch.end.km, stretch.travel.end_h + 1000.0)
    },
    "a minute after": lambda stretch: {
        "runs_dry": RunsDry(stretch.end.km, stretch.travel.begin_h + 0.1)
    },
}


@pytest.mark.parametrize("fault", PLANTED)
def test_the_walker_finds_a_planted_fault(fault):
    """A plan in which one figure is changed does not get through."""
    settled = settled_plan(CLEAR_WALK)
    stretch = settled.stretches[0]
    spoilt = dataclasses.replace(stretch, **PLANTED[fault](stretch))
    spoilt_plan = dataclasses.replace(settled, stretches=(spoilt, *settled.stretches[1:]))

    assert stretch.verdict is Verdict.CLEAR
    assert stretch.reserve_l > 0.0
    assert walk_faults(settled) == []
    assert any(fault in told for told in walk_faults(spoilt_plan))


def test_the_walker_finds_a_stretch_that_is_dry_and_does_not_say_so():
    """The time at which the water runs out is told wherever it does."""
    settled = settled_plan(TOO_LONG_WALK)
    dry = settled.stretches[0]
    untold = dataclasses.replace(dry, runs_dry=None)
    spoilt_plan = dataclasses.replace(settled, stretches=(untold, *settled.stretches[1:]))

    assert dry.verdict is Verdict.TOO_LONG
    assert any("nothing is told" in told for told in walk_faults(spoilt_plan))
