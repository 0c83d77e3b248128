"""What a limited source gives to a party that comes with less than planned."""

from __future__ import annotations

import dataclasses

import pytest
from loaded import bore_at, loaded
from make import pace

from longdry.computing.setbacks.chance import chance_of_short
from longdry.computing.setbacks.chance_tables import Spread
from longdry.computing.setbacks.dry import dry_sources
from longdry.computing.setbacks.giving import low_stretches, refilled, water_behind
from longdry.computing.setbacks.turn_back import turn_backs


def _cache(km, limit_l, name="cache"):
    return bore_at(km, id=name, limit_l=limit_l)


def test_two_passes_of_one_source_give_its_limit_once():
    """Worked by hand: what the first pass takes of 12 L is gone at the second.

    10 L are carried after the first: 10 L less 2 L of 4 h before it, so 8 L of the 12 L. To the
    second 14 h of waking (2 + 8 h that day, 2 + 2 h the next): 7 L; 3 L arrive, 4 L are left.
    """
    plan = loaded(_cache(200.0, 12.0), _cache(400.0, 12.0), carried_l=[4.0, 10.0, 12.0])
    apart = loaded(_cache(200.0, 12.0), _cache(400.0, 12.0, "other"), carried_l=[4.0, 10.0, 12.0])

    once, twice = refilled(plan), refilled(apart)

    assert twice.carried_l == pytest.approx((4.0, 10.0, 12.0))
    assert once.carried_l == pytest.approx((4.0, 10.0, 3.0 + 4.0))


def test_a_source_that_is_closed_on_arrival_refills_nobody():
    """At km 200 it is 12 o'clock; 4 h of half a litre are gone of 10 L."""
    plans = [
        loaded(bore_at(200.0, open_from_hour=begin, open_to_hour=18.0), carried_l=[10.0, 10.0])
        for begin in (12.0, 15.0)
    ]

    still_open, closed = (refilled(plan).carried_l[1] for plan in plans)

    assert still_open == pytest.approx(10.0)
    assert closed == pytest.approx(8.0)


def test_a_source_refills_no_more_than_it_gives_in_the_minutes_of_a_fill():
    """Half a litre a minute for 10 minutes are 5 L, on what is left of 4 L: 2 L.

    The plan that draws 4 L there with 4 h less behind it would be refilled to its 8 L.
    """
    slow = bore_at(200.0, flow_l_per_min=0.5)
    plan = loaded(slow, carried_l=[4.0, 6.0], pace=pace(fill_minutes=10.0))

    assert refilled(plan).carried_l[1] == pytest.approx(6.0)
    assert refilled(_greedy(plan, 20.0)).carried_l[1] == pytest.approx(4.0 - 2.0 + 5.0)


@pytest.mark.parametrize(("limit_l", "leaves_l"), [(None, 17.0), (14.0, 14.0), (3.0, 3.0)])
def test_a_stay_at_a_limited_source_is_lived_on_it(limit_l, leaves_l):
    """From 14:00 to 8:00 the two drink in 10 waking hours: 5 L. 5 L of 8 L arrive after 6 h.

    Of 14 L 9 L are left to be taken along; of 3 L nothing, and 2 L come out of what is carried.
    """
    plan = loaded(bore_at(300.0, limit_l=limit_l), carried_l=[8.0, 17.0])

    assert refilled(plan).carried_l == pytest.approx((8.0, leaves_l))


def test_who_comes_to_a_night_with_less_leaves_with_less():
    """The same of a party that went on past a dry well: 4 L arrive, 9 L of 14 L are left."""
    plan = loaded(bore_at(300.0, limit_l=14.0), carried_l=[8.0, 17.0])
    (low,) = low_stretches(plan, 1, 4.0, 14.0)

    assert low.available_l == pytest.approx(13.0)


@pytest.mark.parametrize(("limit_l", "behind_km"), [(18.9, 0.0), (19.1, 300.0)])
def test_nobody_turns_back_to_what_the_stay_has_drunk(limit_l, behind_km):
    """12 L are drawn and 5 L drunk there: 2 L more than that are a litre a head."""
    plan = loaded(bore_at(300.0, limit_l=limit_l), carried_l=[8.0, 17.0])

    assert turn_backs(plan)[1].behind_km == pytest.approx(behind_km)


def test_the_chance_does_not_count_what_the_stay_has_drunk():
    """3 L at the night's water, 2 L of it lacking: 8 L less 3 L and 2 L leave it, 3 L on.

    With 0.1 L less at the start every trial runs short; without spread none does with it.
    """
    sure = {"s300": 1.0}
    none = Spread(use=0.0, pace=0.0, delays_per_day=0.0)

    def short(start_l):
        plan = loaded(bore_at(300.0, limit_l=3.0), carried_l=[start_l, 3.0])
        return chance_of_short(plan, sure, trials=20, seed=1, spread=none).short

    assert (short(7.9), short(8.1)) == (1.0, 0.0)


def _greedy(plan, litres):
    """Return the plan that carries more, drawn in the minutes of the plan before."""
    return dataclasses.replace(
        plan, carried_l=(plan.carried_l[0], litres), drawn_l=plan.all_drawn_l()
    )


def test_what_the_plan_took_from_a_source_is_gone_after_a_dry_one():
    """11 of the 12 L went at km 200 (12 L on leaving, 1 L on arriving); 1 L is left at km 400."""
    caches = (_cache(200.0, 12.0), _cache(400.0, 12.0))
    plan = loaded(*caches, carried_l=[3.0, 12.0, 12.0])

    low = low_stretches(plan, 2, 0.0, plan.arrives(2).hour)

    assert [one.available_l for one in low] == [pytest.approx(1.0)]


@pytest.mark.parametrize(
    ("limit_l", "left_l", "behind"),
    [(20.0, 6.0, 1), (16.1, 2.1, 1), (15.9, 1.9, 0), (14.0, 0.0, 0)],
)
def test_nobody_goes_back_to_a_source_that_the_plan_has_emptied(limit_l, left_l, behind):
    """10 L less 2 L on arriving, 22 L on leaving, so 14 L are taken at km 200.

    Two people need 2 L left there; else going back from the dry source means the start.
    """
    plan = loaded(_cache(200.0, limit_l), bore_at(400.0), carried_l=[10.0, 22.0, 20.0])

    dry = next(one for one in dry_sources(plan) if one.words == "dry s400")

    assert limit_l - 14.0 == pytest.approx(left_l)
    assert water_behind(plan, 1) == behind
    assert dry.go_back.to_km == pytest.approx(200.0 * behind)


def test_nobody_turns_back_to_a_source_that_was_closed():
    """13 L less the margin are 22 waking hours; those to 14:00 of the next day are 18.

    By then 8 h can be moved: 4 h out and back from an open well at km 200, or 2 h out and 6 h back
    to the start.
    """
    sources = [bore_at(200.0), bore_at(200.0, open_from_hour=15.0, open_to_hour=18.0)]
    plans = [loaded(source, carried_l=[20.0, 13.0]) for source in sources]

    still_open, closed = (turn_backs(plan)[1].km for plan in plans)

    assert (closed, still_open) == pytest.approx((300.0, 400.0), abs=0.02)
