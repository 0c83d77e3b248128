"""What the fills are for where the ways to water bring the party to a stretch later in the day."""

from __future__ import annotations

import dataclasses
import itertools

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from longdry.computing.clock.moving_hours import Moment, daily_windows
from longdry.computing.stretches.late_clock import larger_of_each_use, late_spans, told_late
from longdry.computing.stretches.stretches import StretchContext, dry_stretches
from make import policy, source_at, trip, use

from longdry.computing.clock.clock import Camp, Clock
from longdry.computing.fills.problem import fill_problem
from longdry.computing.fills.terms import terms_of
from longdry.computing.mends.trials import asked_l
from longdry.computing.needs.needs import HeatDemand, WaterDemand
from longdry.computing.pace.profile import profile_by_sections
from longdry.model.arrays import frozen_floats
from longdry.model.plan.stretch import Need, StretchEnd, UseNeed
from longdry.model.water.passes import Judgement, WaterPass
from longdry.model.words import Accrual, Certainty, Grade, Ration, Verdict

DEPARTS_H = 8.0
HAIR_L = 1e-9
GRADES = ("potable_l", "treat_l", "any_l")
DRINKING = use("drinking", 2.4, per=Accrual.PARTY_DAY)
WASH = use("wash", 24.0, per=Accrual.PARTY_DAY, kept=Ration.FULL, grade=Grade.NOT_FOR_DRINKING)
SHOWER = use("shower", 3.0, per=Accrual.PERSON_NIGHT, kept=Ration.FULL, grade=Grade.TREAT)
COOKING = use("cooking", 1.7, kept=Ration.LEAN)
TRIP_OF_WASHERS = [DRINKING, WASH]


def heat_of(*litres_a_day):
    litres = frozen_floats(litres_a_day)
    return HeatDemand(midnight_h=-DEPARTS_H, moving_l=litres, resting_l=litres)


def going_of(uses, heat, length_km, *, camps=(), loss_percent=0.0):
    its_trip = trip(uses=uses, policy=policy(loss_percent=loss_percent))
    clock = Clock(
        moving=daily_windows(start_hour=DEPARTS_H, hours_per_day=6.0),
        profile=profile_by_sections(length_km, its_trip.pace),
        depart=Moment(DEPARTS_H, 0),
        camps=tuple(sorted(camps, key=lambda camp: camp.km)),
    )
    return StretchContext(its_trip, clock, heat, length_km)


def end_at(km, way_km=0.0):
    judgement = Judgement(Certainty.LIKELY, 0.5, 0.2, "seen")
    water = WaterPass(
        source_at(km), km, way_km, way_km, 0.0, 0.0, counted=True, judgement=judgement
    )
    return StretchEnd(km, water)


def stretches_of(inside, going):
    ends = [StretchEnd(0.0), *(end_at(*one) for one in inside), StretchEnd(going.length_km)]
    return told_late(dry_stretches(ends, going), going)


def hotter_but_shorter():
    """Moving from 8 to 14 o'clock at 50 km/h; the water is at km 250, two hours off the route.

    On the base clock the second stretch goes from 13 h on day 0 to 10 h on day 2: 45 h. With the
    way to the water gone, from 9 h on day 1 to 12 h on day 2: 27 h, but two hours more of the
    day that asks for 96 L.
    """
    going = going_of(TRIP_OF_WASHERS, heat_of(0.0, 0.0, 96.0), 600.0)
    return stretches_of([(250.0, 20.0)], going), going


def test_the_later_clock_may_be_shorter_and_hotter():
    """45 h on the base clock and 27 h on the later one: see the case."""
    stretches, going = hotter_but_shorter()

    hours = [24.0 * span.days for span in (stretches[1].span, late_spans(stretches, going)[1])]
    assert hours == pytest.approx([45.0, 27.0])


def test_fills_are_for_the_larger_of_each_use():
    """Drinking of the later clock, 15 x 0.1 + 12 x 4 = 49.5 L; wash of the base clock, 45 L."""
    stretches, going = hotter_but_shorter()

    leg = fill_problem(stretches, going).legs[1]
    assert (leg.full.potable_l, leg.full.any_l) == pytest.approx((49.5, 45.0))
    assert (leg.lean.potable_l, leg.bare.potable_l) == pytest.approx((49.5, 49.5))


def test_the_fills_can_be_planned_where_each_clock_is_worse_in_its_own_way():
    """No ration asks for more potable water than a fuller one, so the problem has its terms."""
    stretches, going = hotter_but_shorter()

    full, lean, bare = terms_of(fill_problem(stretches, going)).legs[1].needs
    assert full.potable == lean.potable == bare.potable == 49500


def test_reserve_follows_the_later_clock_into_a_hotter_day():
    """A day of reserve: the last stretch ends on day 1 on the base clock, on day 2 on the later.

    The route of 300 km takes the six hours of day 0 on the base clock, where 5 L a day are asked.
    The ways, 20 km off at 10 km/h, take two hours each, six ways in and out of them twelve hours:
    two days of moving more, into the day that asks for 96 L. So 96 L are kept, not 5.
    """
    going = going_of([DRINKING], heat_of(5.0, 5.0, 96.0), 300.0)
    its_trip = dataclasses.replace(going.trip, policy=policy(reserve_days=1.0))
    going = dataclasses.replace(going, trip=its_trip)
    stretches = stretches_of([(30.0, 20.0), (60.0, 20.0), (120.0, 20.0)], going)
    last = stretches[-1]

    assert last.reserve_l == pytest.approx(5.0)
    assert last.late.reserve.total_l == pytest.approx(96.0)
    assert last.wanted_l == pytest.approx(last.late.need_l + 96.0)
    assert asked_l(last, Verdict.CLEAR) == last.wanted_l
    assert fill_problem(stretches, going).legs[-1].reserve.potable_l == pytest.approx(96.0)


def test_drinking_that_the_heat_adds_on_one_clock_alone_is_paired_with_nothing():
    """7 L of added drinking and 3 L of wash, and 5 L of wash alone: 7 + 5 L, 10 % on top."""
    drinking = UseNeed("drinking", 7.0, Grade.POTABLE)
    hot = Need((drinking, UseNeed("wash", 3.0, Grade.TREAT)), losses_l=1.0)
    cool = Need((UseNeed("wash", 5.0, Grade.TREAT),), losses_l=0.5)

    larger = Need((drinking, UseNeed("wash", 5.0, Grade.TREAT)), losses_l=1.2)
    assert larger_of_each_use(hot, cool, 10.0) == larger
    assert larger_of_each_use(cool, hot, 10.0) == larger


kms = st.integers(1, 1499).map(float)
many_uses = st.lists(
    st.sampled_from([DRINKING, WASH, SHOWER, COOKING]), max_size=4, unique_by=lambda one: one.name
)
heats = st.lists(st.floats(0.0, 60.0), min_size=1, max_size=7).map(lambda days: heat_of(*days))
waters = st.lists(
    st.tuples(kms, st.sampled_from([0.0, 5.0, 20.0, 45.0])),
    max_size=5,
    unique_by=lambda one: one[0],
).map(sorted)
some_camps = st.lists(
    st.builds(Camp, kms, st.integers(1, 3), st.booleans(), st.booleans()),
    max_size=2,
    unique_by=lambda camp: camp.km,
)


@example([DRINKING, WASH], heat_of(0.0, 0.0, 96.0), [(250.0, 20.0), (600.0, 0.0)], [], 7.0)
@given(many_uses, heats, waters, some_camps, st.sampled_from([0.0, 7.0]))
def test_fills_do_on_either_clock_and_a_shorter_ration_asks_for_no_more(
    uses, heat, inside, camps, loss_percent
):
    """Each grade is at least that of both clocks on every ration, and falls with the ration."""
    going = going_of(uses, heat, 1500.0, camps=camps, loss_percent=loss_percent)
    stretches = stretches_of(inside, going)
    problem = fill_problem(stretches, going)

    assert len(terms_of(problem).legs) == len(stretches)
    for leg, stretch, span in zip(
        problem.legs, stretches, late_spans(stretches, going), strict=True
    ):
        late = WaterDemand(going.trip, heat).needs(span, stretch.length_km)
        on_rations = (leg.full, leg.lean, leg.bare)
        for asked, *clocks in zip(on_rations, stretch.needs, late, strict=True):
            for on_clock in clocks:
                assert asked.total_l >= on_clock.need.total_l - HAIR_L * (1 + len(uses))
                assert asked.potable_l >= on_clock.need.potable_l - HAIR_L * (1 + len(uses))
        for grade in GRADES:
            for fuller, leaner in itertools.pairwise(on_rations):
                assert getattr(fuller, grade) >= getattr(leaner, grade) - HAIR_L
