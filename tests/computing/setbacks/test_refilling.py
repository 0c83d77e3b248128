"""What a limited source gives to a party that comes with less than planned."""

from __future__ import annotations

import dataclasses

import pytest
from loaded import loaded
from make import pace, source_at

from longdry.computing.setbacks.dry import dry_sources
from longdry.computing.setbacks.turn_back import turns_by_water_km
from longdry.computing.setbacks.water_in_reach import low_stretches, refilled, water_behind


def _cache(km, limit_l):
    return dataclasses.replace(source_at(km, id="cache"), limit_l=limit_l)


def test_two_passes_of_one_source_give_its_limit_once():
    """Worked by hand: what the first pass takes of 12 L is gone at the second."""
    plan = loaded(_cache(200.0, 12.0), _cache(400.0, 12.0), on_board_l=[4.0, 12.0, 12.0])
    apart = loaded(
        _cache(200.0, 12.0),
        dataclasses.replace(_cache(400.0, 12.0), id="other"),
        on_board_l=[4.0, 12.0, 12.0],
    )

    once, twice = refilled(plan), refilled(apart)

    assert twice.on_board_l[2] == pytest.approx(12.0)
    assert once.on_board_l[1] == twice.on_board_l[1]
    assert once.on_board_l[2] < twice.on_board_l[2]


def _with_hours(km, begin, end):
    return dataclasses.replace(source_at(km), open_from_hour=begin, open_to_hour=end)


def test_a_source_that_is_closed_on_arrival_refills_nobody():
    """At km 200 it is 12 o'clock. By hand: 8 L a day, so 4 h from 8 o'clock are 4/3 L."""
    plans = [
        loaded(_with_hours(200.0, begin, 18.0), on_board_l=[10.0, 10.0]) for begin in (12.0, 13.0)
    ]

    still_open, closed = (refilled(plan).on_board_l[1] for plan in plans)

    assert still_open == pytest.approx(10.0)
    assert closed == pytest.approx(10.0 - 4.0 / 3.0)


def test_a_source_refills_no_more_than_it_gives_in_the_minutes_of_a_fill():
    """By hand: half a litre a minute for 10 minutes are 5 L, on what is left of 4 L: 2.667 L."""
    slow = dataclasses.replace(source_at(200.0), flow_l_per_min=0.5)
    plan = loaded(slow, on_board_l=[4.0, 20.0], pace=pace(fill_minutes=10.0))

    assert refilled(plan).on_board_l[1] == pytest.approx(4.0 - 4.0 / 3.0 + 5.0)


def test_what_the_plan_took_from_a_source_is_gone_after_a_dry_one():
    """By hand: 10.667 of the 12 L went at km 200 (12 L on leaving); 1.333 are left at km 400."""
    caches = (_cache(200.0, 12.0), _cache(400.0, 12.0))
    plan = loaded(*caches, on_board_l=[4.0 / 3.0 + 1.333, 12.0, 12.0])

    low = low_stretches(plan, 2, 0.0)

    assert [one.available_l for one in low] == [pytest.approx(1.333, abs=1e-6)]


@pytest.mark.parametrize(
    ("limit_l", "left_l", "behind"),
    [(20.0, 6.0, 1), (16.1, 2.1, 1), (15.9, 1.9, 0), (14.0, 0.0, 0)],
)
def test_nobody_goes_back_to_a_source_that_the_plan_has_emptied(limit_l, left_l, behind):
    """By hand: 10 L less 1.333 L on arriving, 22.667 L on leaving, so 14 L are taken at km 200.

    Two people need 2 L left there; else going back from the dry source means the start.
    """
    plan = loaded(_cache(200.0, limit_l), source_at(400.0), on_board_l=[10.0, 22.0 + 2 / 3, 20.0])

    dry = next(one for one in dry_sources(plan) if one.words == "dry s400")

    assert limit_l - 14.0 == pytest.approx(left_l)
    assert water_behind(plan, 1) == behind
    assert dry.go_back.to_km == pytest.approx(200.0 * behind)


def test_nobody_turns_back_to_a_source_that_was_closed():
    """The turn-back km lies earlier where the water behind is the start."""
    sources = (_with_hours(200.0, 12.0, 18.0), _with_hours(200.0, 13.0, 18.0))
    plans = [loaded(source, on_board_l=[20.0, 16.0]) for source in sources]

    still_open, closed = (turns_by_water_km(plan)[1] for plan in plans)

    assert 200.0 < closed < still_open
