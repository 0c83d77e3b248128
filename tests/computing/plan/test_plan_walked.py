"""A walker that knows nothing of the planner goes through whole plans and finds nothing wrong."""

from __future__ import annotations

import dataclasses

import pytest
from fill_replay import replay_faults
from how_many import PART_OF_SLOW, proof
from plan_walker import LITRE_TOLERANCE, Span, Walker, gives_l, stop_faults, walk_faults
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


@pytest.mark.parametrize("seed", [323, 1182])
def test_plans_that_once_went_wrong(seed):
    """A stay that uses up what is carried, and a floor that was filled for on another ration."""
    assert _faults(settled_plan(seed)) == []


def _faults(settled):
    filling = settled.filling
    return [
        *walk_faults(settled),
        *replay_faults(filling.problem, filling.chosen),
        *_not_handed_on(settled),
        *stop_faults(settled),
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
        given_l = sum(gives_l(one.source, span) for one in stretch.end.waters)
        handed_l = max(stretch.left_l - max(used_l - given_l, 0.0), 0.0)
        if abs(here[0].arriving.total_l - handed_l) > LITRE_TOLERANCE:
            yield f"{handed_l:.3f} L left, {here[0].arriving.total_l:.3f} L handed on"
        if sum(one.take_l for one in here) > max(given_l - used_l, 0.0) + LITRE_TOLERANCE:
            yield f"more is taken at {stretch.end.label} than there is"


PLANTED = {
    "L are left": lambda stretch: {"left_l": stretch.left_l + 0.1},
    "clear, but": lambda stretch: {"left_l": 0.0, "on_board_l": stretch.need.total_l},
    "of reserve": lambda stretch: {"reserve_l": stretch.reserve_l - 0.1},
    "below nothing": lambda _: {"left_l": -0.1},
    "no longer": lambda stretch: {
        "runs_dry": RunsDry(stretch.end.km, stretch.travel.end_h + 1000.0)
    },
    "a minute before": lambda stretch: {
        "on_board_l": 0.1,
        "runs_dry": RunsDry(stretch.end.km, stretch.travel.end_h),
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


def test_the_walker_finds_a_stop_that_is_too_short():
    """Who leaves on arriving has drawn nothing."""
    settled = settled_plan(CLEAR_WALK)
    journey = settled.journey
    stays = journey.itinerary.stays
    hasty = [stay._replace(leaves=stay.arrives) for stay in stays]
    itinerary = dataclasses.replace(journey.itinerary, stays=tuple(hasty))
    spoilt = dataclasses.replace(journey, itinerary=itinerary)

    assert stays
    assert list(stop_faults(settled)) == []
    assert len(list(stop_faults(dataclasses.replace(settled, journey=spoilt)))) == len(stays)


def test_the_walker_finds_a_stretch_that_is_dry_and_does_not_say_so():
    """The time at which the water runs out is told wherever it does."""
    settled = settled_plan(TOO_LONG_WALK)
    dry = settled.stretches[0]
    untold = dataclasses.replace(dry, runs_dry=None)
    spoilt_plan = dataclasses.replace(settled, stretches=(untold, *settled.stretches[1:]))

    assert dry.verdict is Verdict.TOO_LONG
    assert any("nothing is told" in told for told in walk_faults(spoilt_plan))
