"""A shorter ration never asks for more than a fuller one, whatever the heat asks for."""

from __future__ import annotations

import itertools

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from longdry.computing.clock.moving_hours import Moment, daily_windows
from longdry.computing.stretches.many_needs import ManyNeeds
from longdry.computing.stretches.many_spans import Spans
from longdry.computing.stretches.stretches import StretchContext
from make import policy, trip, use

from longdry.computing.clock.clock import Clock
from longdry.computing.fills.problem import by_grade
from longdry.computing.needs.needs import HeatDemand
from longdry.computing.needs.rates import RATIONS
from longdry.computing.pace.profile import profile_by_sections
from longdry.model.arrays import frozen_floats
from longdry.model.plan.stretch import Span
from longdry.model.words import Accrual, Grade, Ration

LENGTH_KM = 1000.0
HAIR = 1e-12
MOVING = daily_windows(start_hour=7.0, hours_per_day=6.5, break_h=(11.0, 15.0))
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
spans = st.builds(
    lambda start_h, hours, nights: Span(start_h, start_h + hours, nights),
    st.floats(-5.0, 200.0),
    st.floats(0.0, 200.0),
    st.integers(0, 9),
)


def going_of(its_uses, its_days, loss_percent, *, by_hours):
    litres_l, shares = (frozen_floats(list(column)) for column in zip(*its_days, strict=True))
    heat = HeatDemand(
        midnight_h=-8.0,
        moving_l=litres_l,
        resting_l=litres_l,
        moving=MOVING if by_hours else None,
        moving_share=shares if by_hours else None,
    )
    its_trip = trip(uses=its_uses, policy=policy(loss_percent=loss_percent, reserve_days=1.0))
    profile = profile_by_sections(LENGTH_KM, its_trip.pace)
    return StretchContext(its_trip, Clock(MOVING, profile, Moment(8.0, 0), ()), heat, LENGTH_KM)


@given(
    uses,
    days,
    st.sampled_from([0.0, 10.0]),
    st.booleans(),
    st.lists(spans, min_size=1, max_size=4),
    st.sampled_from([0.0, 0.5, 3.0]),
)
def test_a_shorter_ration_never_asks_for_more(
    its_uses, its_days, loss_percent, by_hours, its_spans, extra_days
):
    """In all and by the grade, of one span and of many at once, which say the same."""
    going = going_of(its_uses, its_days, loss_percent, by_hours=by_hours)
    asking = going.asking
    hours = np.array([(span.start_h, span.end_h, span.nights) for span in its_spans]).T
    many = ManyNeeds(Spans(*hours), np.full(len(its_spans), 120.0), going)
    at_once = [many.litres(ration, extra_days) for ration in RATIONS]

    for index, span in enumerate(its_spans):
        needs = asking.needs(span, 120.0, extra_days=extra_days)
        totals_l = [one.need.total_l for one in needs]
        alone_l = [asking.need_l(one, span, 120.0, extra_days=extra_days) for one in RATIONS]
        np.testing.assert_allclose([of_all[index] for of_all in at_once], totals_l, rtol=HAIR)
        np.testing.assert_allclose(alone_l, totals_l, rtol=HAIR)
        for fuller, leaner in itertools.pairwise(needs):
            more, less = by_grade(fuller.need), by_grade(leaner.need)
            assert fuller.need.total_l >= leaner.need.total_l * (1.0 - HAIR)
            for grade in GRADES:
                assert getattr(more, grade) >= getattr(less, grade) * (1.0 - HAIR)
        least_l = going.heat.over(span, extra_days)
        assert all(one.need.total_l >= least_l * (1.0 - HAIR) for one in needs)
