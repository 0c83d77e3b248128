"""With times, flows and calls held fixed a harder trip is never the better one.

Verdicts and litres missing are compared as lists, the worst stretch first. Where the clock runs
freely a slower or a later trip can be better: see docs/why/clock.md.
"""

from __future__ import annotations

import dataclasses
import random
from functools import cache

import pytest
from how_many import proof
from random_plans import random_plan

from longdry.computing.calls.lists import in_whole_litres, item_of, worst_first_list
from longdry.computing.fills.filling import filling_of, stretches_as_filled
from longdry.computing.stretches.journey import journey_of
from longdry.model.trip.heat import Effort, HeatExpectation, HeatOutlook, PersonInHeat, TripHeat
from longdry.model.words import Verdict


def more_people(trip, dice):
    """One to three people more, in the same vehicle with the same cans."""
    party = dataclasses.replace(trip.party, people=trip.party.people + dice.randint(1, 3))
    return trip, dataclasses.replace(trip, party=party)


def smaller_container(trip, dice):
    """One sort of container holds less."""
    which = dice.randrange(len(trip.containers))
    size_l = trip.containers[which].rated_l * dice.choice([0.5, 0.8, 0.99])
    boxes = [
        dataclasses.replace(box, rated_l=size_l) if number == which else box
        for number, box in enumerate(trip.containers)
    ]
    return trip, dataclasses.replace(trip, containers=tuple(boxes))


def less_carried(trip, dice):
    """A litre to all of it less is carried at the start."""
    all_l = sum(box.count * box.rated_l for box in trip.containers)
    carried_l = all_l * dice.uniform(0.3, 1.0)
    return tuple(
        dataclasses.replace(
            trip, policy=dataclasses.replace(trip.policy, start_on_board_l=max(litres, 0.0))
        )
        for litres in (carried_l, carried_l - dice.choice([1.0, all_l / 4, all_l]))
    )


def in_heat(trip, shade_c, humidity):
    outlook = HeatOutlook(HeatExpectation(shade_c, humidity))
    person = PersonInHeat(Effort.usual(trip.pace.travel))
    return dataclasses.replace(trip, heat=TripHeat(outlook, person))


def hotter(trip, dice):
    """One to ten degrees more in the shade."""
    shade_c, humidity = dice.uniform(20.0, 40.0), dice.choice([20.0, 50.0])
    return tuple(
        in_heat(trip, one_c, humidity) for one_c in (shade_c, shade_c + dice.uniform(1.0, 10.0))
    )


def damper(trip, dice):
    """Ten to forty percent more humidity."""
    shade_c, humidity = dice.uniform(20.0, 42.0), dice.uniform(5.0, 50.0)
    return tuple(
        in_heat(trip, shade_c, one) for one in (humidity, humidity + dice.uniform(10.0, 40.0))
    )


HARDER = {make.__name__: make for make in (more_people, smaller_container, less_carried)}
IN_HEAT = {make.__name__: make for make in (hotter, damper)}


@proof(400)
@pytest.mark.parametrize("change", HARDER)
def test_a_harder_trip_is_never_better(cases, change):
    """More people, a smaller container, less carried: no list of verdicts gets better."""
    assert [seed for seed in cases if _gets_better(seed, HARDER[change])] == []


@proof(80)
@pytest.mark.parametrize("change", IN_HEAT)
def test_a_hotter_or_damper_trip_is_never_better(cases, change):
    """Days ask for more, so no list of verdicts gets better."""
    assert [seed for seed in cases if _gets_better(seed, IN_HEAT[change])] == []


@cache
def _settled(seed):
    return random_plan(seed, most_days=4.0).settled()


def _gets_better(seed, change):
    settled = _settled(seed)
    easy, hard = change(settled.trip, random.Random(seed))
    return _list_of(settled, hard) < _list_of(settled, easy)


def _list_of(settled, trip):
    """Go the same way at the same times with another trip; missing is what is gone without.

    What is carried for a later stretch is not there for this one, so it is not counted here.
    """
    journey = settled.journey
    prepared = dataclasses.replace(journey.prepared, trip=trip)
    again = journey_of(prepared, journey.ends, journey.stop_minutes)
    filling = filling_of(again.stretches(), again.demand, settled.fill)
    outcomes = [filling.chosen.outcomes[leg] for leg in filling.last_of_stop]
    filled = stretches_as_filled(again.stretches(), filling)
    items = worst_first_list(
        item_of(stretch.verdict, _gone_without_l(stretch, outcome))
        for stretch, outcome in zip(filled, outcomes, strict=True)
    )
    return in_whole_litres(items)


def _gone_without_l(stretch, outcome):
    """Uses given up, and reserve that is not left."""
    kept_l = 0.0 if outcome.verdict is Verdict.TOO_LONG else stretch.reserve_l
    return stretch.wanted_l - outcome.used_l - (kept_l - outcome.reserve_short_l)
