"""Who fills all leaves half of a small water to others, unless the way on needs it."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from fill_replay import plan_fills
from make import container, policy, source_at, straight_route, trip, use
from without_mends import plan_without_mends

from longdry.model.plan.fills import FillProblem, FillWay, GradeNeed, Leg, Stop, Vessel
from longdry.model.words import Certainty, ContainerGrade, FillHabit, Grade

SURE = Certainty.CERTAIN
CANS = tuple(Vessel(f"can {n}", 20.0, ContainerGrade.POTABLE) for n in range(3))


def _taken_l(kind, limit_l, litres=4.0):
    """Return what a party that fills all takes at km 250 of 600."""
    water = dataclasses.replace(source_at(250.0), kind=kind, limit_l=limit_l, certainty=SURE)
    made = trip(containers=[container(50.0, 1)], uses=[use(litres=litres)],
                policy=policy(call_at=("s250",)))  # fmt: skip
    plan = plan_without_mends(straight_route(600.0), [water], made, fill=FillWay(FillHabit.TOP_UP))
    return plan.fills.fills[1].take_l


@pytest.mark.parametrize(
    ("kind", "limit_l", "taken_l"),
    [
        ("soak", 3.0, 1.5),
        ("Rockhole", 4.0, 2.0),
        ("gnamma hole", 4.0, 2.0),
        ("seep", 4.0, 2.0),
        ("tank", 4.0, 2.0),
        ("soak", None, 0.0),
        ("rockhole", None, 0.0),
        ("tank", None, 2.5),
        ("bore", 2.0, 2.0),
        (None, 2.0, 2.0),
    ],
)
def test_no_more_than_half_of_a_small_water_is_taken_beyond_the_need(kind, limit_l, taken_l):
    """By hand: 5 of 16 waking hours at 8 L a day have used 2.5 L of 50 L, and 8.5 L are needed on.

    Of a soak or a rockhole of unknown litres nothing is taken beyond the need.
    """
    assert _taken_l(kind, limit_l) == pytest.approx(taken_l)


def test_the_need_is_taken_of_a_small_water_whatever_is_left():
    """By hand: 40 L a day: 12.5 L of 50 L used, 42.5 L needed on: 5 L of a soak of 6 L."""
    assert _taken_l("soak", 6.0, litres=20.0) == pytest.approx(5.0)
    assert _taken_l("soak", None, litres=20.0) == pytest.approx(5.0)


def test_whole_containers_leave_the_half_too():
    """Worked by hand: 20 L of a soak are its half, so no second can of 20 L is filled from it."""
    need = GradeNeed(50.0)
    legs = tuple(Leg(100.0, 1.0, *[GradeNeed(litres)] * 3, GradeNeed()) for litres in (55.0, 5.0))
    soak = Stop(100.0, "soak", Grade.POTABLE, limit_l=50.0, top_up_l=25.0)
    way = FillProblem((Stop(0.0, "tap", Grade.POTABLE), soak, Stop(200.0, None)), legs, CANS)

    plan = plan_fills(way, FillHabit.TOP_UP, whole_containers=True)

    assert need.total_l > plan.fills[1].take_l
    assert plan.fills[1].take_l <= 25.0


def test_two_passes_of_one_small_water_leave_its_half_together():
    """A soak of 8 L on the way out and on the way back: 4 L in both together."""
    out = straight_route(400.0)
    lat, lon = ([*values, values[0]] for values in (out.lat_deg, out.lon_deg))
    route = dataclasses.replace(
        out, lat_deg=np.array(lat), lon_deg=np.array(lon), height_m=np.full(3, np.nan)
    )
    soak = dataclasses.replace(source_at(250.0), kind="soak", limit_l=8.0, certainty=SURE)
    made = trip(containers=[container(50.0, 1)], policy=policy(call_at=("s250",)))

    plan = plan_without_mends(route, [soak], made, fill=FillWay(FillHabit.TOP_UP))
    takes = [fill.take_l for fill in plan.fills.fills[1:]]

    assert len(takes) == 2
    assert sum(takes) == pytest.approx(4.0)


def test_who_fills_all_treats_for_empty_cans_but_never_into_the_water_of_a_tap():
    """Worked by hand: 45 L of 60 L used leave 15 L in one can: two others are filled, not it."""
    legs = tuple(Leg(100.0, 1.0, *[GradeNeed(litres)] * 3, GradeNeed()) for litres in (45.0, 5.0))
    creek = Stop(100.0, "creek", Grade.TREAT, treat_l=None)
    way = FillProblem((Stop(0.0, "tap", Grade.POTABLE), creek, Stop(200.0, None)), legs, CANS)

    at_creek = plan_fills(way, FillHabit.TOP_UP).fills[1]

    assert at_creek.treated_l == 40.0
    assert sorted(level.litres for level in at_creek.levels_leaving) == [15.0, 20.0, 20.0]
