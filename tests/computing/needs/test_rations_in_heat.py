"""A shorter ration never asks for more than a fuller one, whatever the heat asks for."""

from __future__ import annotations

import itertools

import numpy as np
from clocks import clock
from hypothesis import given
from hypothesis import strategies as st
from make import pace, policy, trip, use

from longdry.computing.clock.clock import Call
from longdry.computing.fills.problem import by_grade
from longdry.computing.needs.drinking import DrinkingHours, moving_by_waking_day
from longdry.computing.needs.needs import HeatDemand, WaterDemand
from longdry.model.arrays import frozen_floats
from longdry.model.words import Accrual, Grade, Ration

LENGTH_KM = 1500.0
HAIR = 1e-12
GRADES = ("potable_l", "treat_l", "any_l")
uses = st.lists(
    st.builds(
        use,
        st.sampled_from(["drinking", "Drinking ", "cooking", "wash", "engine"]),
        st.floats(0.0, 9.0),
        per=st.sampled_from(Accrual),
        kept=st.sampled_from(Ration),
        grade=st.sampled_from(Grade),
    ),
    max_size=5,
)
litres = st.floats(0.0, 40.0)
days = st.lists(st.tuples(litres, st.floats(0.0, 1.0)), min_size=1, max_size=6)
calls = st.lists(st.integers(1, 1499), max_size=4, unique=True).map(sorted)


def travels_between(call_kms):
    its = clock(LENGTH_KM, its_pace=pace(start_hour=7.0, hours_per_day=6.5), break_h=(11.0, 15.0))
    return its.follow([Call(float(km), 2.0, 1.5) for km in call_kms]).travels


def demand_of(its_uses, its_days, loss_percent, travels, *, by_hours, on_foot):
    litres_l, shares = (frozen_floats(list(column)) for column in zip(*its_days, strict=True))
    heat = HeatDemand(
        moving_l=litres_l,
        resting_l=litres_l,
        moving_h=6.5 if by_hours else 0.0,
        moving_share=shares if by_hours else None,
    )
    its_trip = trip(uses=its_uses, policy=policy(loss_percent=loss_percent, reserve_days=1.0))
    hours = DrinkingHours(7.0, 2.0, moving_by_waking_day(travels, 7.0))
    return WaterDemand(its_trip, heat, hours if on_foot else DrinkingHours(7.0))


@given(
    uses,
    days,
    st.sampled_from([0.0, 10.0]),
    st.booleans(),
    st.booleans(),
    calls,
    st.sampled_from([0.0, 0.5, 3.0]),
)
def test_a_shorter_ration_never_asks_for_more(
    its_uses, its_days, loss_percent, by_hours, on_foot, call_kms, extra_days
):
    """In all and by the grade; totals are those of the uses; never below what heat asks."""
    travels = travels_between(call_kms)
    demand = demand_of(
        its_uses, its_days, loss_percent, travels, by_hours=by_hours, on_foot=on_foot
    )

    for travel in travels:
        needs = demand.needs(travel, extra_days=extra_days)
        totals_l = [one.need.total_l for one in needs]
        alone_l = [demand.litres(travel, extra_days=extra_days)[one.ration] for one in needs]
        np.testing.assert_allclose(alone_l, totals_l, rtol=HAIR)
        for fuller, leaner in itertools.pairwise(needs):
            more, less = by_grade(fuller.need), by_grade(leaner.need)
            assert fuller.need.total_l >= leaner.need.total_l * (1.0 - HAIR)
            for grade in GRADES:
                assert getattr(more, grade) >= getattr(less, grade) * (1.0 - HAIR)
        least_l = demand.heat.within(travel, demand.own_l_per_day)
        assert all(one.need.total_l >= least_l * (1.0 - HAIR) for one in needs)
