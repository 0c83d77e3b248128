"""The first lines of the terminal: what is to spare, what is missing, where it runs dry.

Two people drink half a litre an hour together, from 6 to 22 o'clock; 300 km are a day.
"""

from __future__ import annotations

import dataclasses
import re

import pytest
from make import calling_at, container, source_at, straight_route, trip

from longdry.computing.plan.planning import plan_trip
from longdry.model.trip.party import Vehicle
from longdry.model.words import Units, Verdict
from longdry.showing.terminal.plan import plan_text
from longdry.showing.words.measures import Measures
from longdry.showing.words.wording import alarm_words, gap_words, told_missing_l

WELL = source_at(200.0, id="well")


def _plan(length_km=600.0, *, policies=(), **changes):
    made = trip(policy=calling_at(WELL, **dict(policies)), **changes)
    return plan_trip(straight_route(length_km, 7), [WELL], made)


def _words(plan, units=Units.METRIC):
    return " ".join(plan_text(plan, Measures(units)).split())


def test_room_in_cans_is_nothing_to_spare():
    """100 L of cans, and the party leaves with need and reserve alone: 0 L to spare, not 83 L."""
    assert "is left with 0 L to spare beyond its reserve" in _words(
        _plan(policies={"reserve_days": 1.0})
    )


def test_what_is_carried_beyond_need_and_reserve_is_to_spare():
    """30 L at the start for 4 hours and one day of reserve: 2 L and 8 L asked for, 20 to spare."""
    plan = _plan(policies={"reserve_days": 1.0, "start_on_board_l": 30.0})
    first = dataclasses.replace(plan.stretches[0], on_board_l=30.0)
    alone = dataclasses.replace(plan, stretches=(first,), longest=dataclasses.replace(
        plan.longest, by_km=1, by_days=1, worst=1))  # fmt: skip

    assert "is left with 20 L to spare beyond its reserve" in _words(alone)


@pytest.mark.parametrize(
    ("units", "told"),
    [
        (Units.METRIC, r"dry at km (\S+), day 3, about (\S+)"),
        (Units.US, r"dry at mile (\S+), day 3, about (\S+)"),
    ],
)
def test_a_stretch_that_is_too_long_says_where_its_water_runs_out(units, told):
    """20 L from noon at km 200: to 20:00 of day 3 at km 900, or mile 559.2; never told later."""
    found = re.search(told, _words(_plan(1500.0, containers=[container(20.0, 1)]), units))

    assert found
    at_km = float(found[1]) * (1.609344 if units is Units.US else 1.0)
    assert 900.0 - 0.4 <= at_km <= 900.0
    assert "19:58" <= found[2].rstrip(":.;") <= "20:00"


def test_litres_that_are_not_missing_are_not_told_as_none():
    """A stretch that is held back by grade or treating has litres enough, and is not clear."""
    plan = _plan()
    held = dataclasses.replace(
        plan.stretches[1], verdict=Verdict.SHORT_RATION, held_back=True, lacking_l=0.0
    )

    assert told_missing_l(held) is None
    assert "0 L missing" not in alarm_words(held)
    assert alarm_words(held).startswith("SHORT RATION: not litres alone")
    assert told_missing_l(plan.stretches[1]) == 0.0


def test_what_cannot_be_carried_is_not_told_as_carried():
    """Cans of 40 L on a cart that bears 6 kg: 6 L are carried, whatever the cans hold."""
    can = dataclasses.replace(container(40.0, 1), vehicle="cart")
    made = dataclasses.replace(
        trip(containers=[can], policy=calling_at(WELL)), vehicles=(Vehicle("cart", 6.0),)
    )
    plan = plan_trip(straight_route(1500.0, 7), [WELL], made)
    stretch = plan.stretches[1]

    assert stretch.verdict is Verdict.TOO_LONG
    assert stretch.on_board_l == pytest.approx(6.0)
    assert "40 L" not in gap_words(stretch)
