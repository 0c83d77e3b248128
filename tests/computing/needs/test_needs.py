"""Check litres against sums done by hand in the docstrings."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from clocks import clock, travel
from hypothesis import given
from hypothesis import strategies as st
from make import pace, policy, trip, use

from longdry.computing.needs.drinking import DrinkingHours, moving_by_waking_day
from longdry.computing.needs.needs import HeatDemand, WaterDemand, no_heat
from longdry.model.arrays import frozen_floats
from longdry.model.assumption import Assumption
from longdry.model.plan.travel import TravelTime
from longdry.model.trip.party import Animal
from longdry.model.trip.trip import Contact
from longdry.model.words import Accrual, Grade, Ration, Travel

DAY_AND_A_QUARTER = travel(0.0, 600.0)
"""From 8:00 over a night to 14:00, 6 hours of moving on each day, 600 km: 30 h, of which 22 are
waking hours (from 6:00, two hours before the start, to 22:00), 14 on the first day and 8 on the
second."""
CAMEL = Animal("camels", count=3, litres_per_day=20.0, grade=Grade.NOT_FOR_DRINKING)
EVENLY = DrinkingHours(8.0)


def demand(its_trip, heat=None):
    return WaterDemand(its_trip, heat or no_heat(), EVENLY)


def needs_on_rations(its_trip, heat=None, *, way=DAY_AND_A_QUARTER, **how):
    return demand(its_trip, heat).needs(way, **how)


def full_need(its_trip, **how):
    return needs_on_rations(its_trip, **how)[0].need


@pytest.mark.parametrize(
    ("per", "litres"),
    [
        (Accrual.PERSON_DAY, 11.0),
        (Accrual.PARTY_DAY, 5.5),
        (Accrual.PERSON_NIGHT, 8.0),
        (Accrual.PARTY_NIGHT, 4.0),
        (Accrual.PARTY_100KM, 24.0),
    ],
)
def test_uses_accrue(per, litres):
    """Drinking 4 L, two people, 22/16 days of waking hours, 1 night, 600 km.

    4 x 2 x 22/16, 4 x 22/16, 4 x 2, 4, 4 x 6.
    """
    assert full_need(trip(uses=[use(per=per)])).total_l == pytest.approx(litres)


@pytest.mark.parametrize(("per", "litres"), [(Accrual.PERSON_DAY, 10.0), (Accrual.PARTY_DAY, 5.0)])
def test_other_uses_of_the_day_accrue_with_its_24_hours(per, litres):
    """4 L of cooking for two people over 30 h: 4 x 2 x 1.25, 4 x 1.25."""
    assert full_need(trip(uses=[use("cooking", per=per)])).total_l == pytest.approx(litres)


def test_what_is_always_carried_is_kept_in_reserve_and_never_needed():
    """2 L for wounds beside a reserve of one day of 8 L: 10 L in reserve, none of them needed."""
    wounds = use("wounds", 2.0, per=Accrual.ALWAYS)
    its_trip = trip(uses=[use(), wounds], policy=policy(reserve_days=1.0))

    assert full_need(its_trip).total_l == pytest.approx(11.0)
    assert demand(its_trip).reserve_l(DAY_AND_A_QUARTER) == pytest.approx(10.0)


def test_animals_drink_at_their_own_rate():
    """Three animals at 20 L a day over 1.25 days: 75 L, none of it potable."""
    need = full_need(dataclasses.replace(trip(uses=[]), animals=(CAMEL,)))

    assert (need.total_l, need.potable_l, need.any_l) == (75.0, 0.0, 75.0)


def test_losses_come_on_top():
    """10 % of losses on 11 L: 12.1 L."""
    need = full_need(trip(policy=policy(loss_percent=10.0)))

    assert need.total_l == pytest.approx(12.1)
    assert need.potable_l == pytest.approx(12.1)


def test_rations_give_up_uses():
    """Shower on full, cooking down to lean, drinking down to bare: 11 + 2.5 + 1.5 L."""
    uses = [
        use("drinking", 4.0),
        use("cooking", 1.0, kept=Ration.LEAN),
        use("shower", 1.5, per=Accrual.PARTY_NIGHT, kept=Ration.FULL),
    ]
    needs = needs_on_rations(trip(uses=uses))

    assert [n.need.total_l for n in needs] == pytest.approx([15.0, 13.5, 11.0])


def test_days_after_the_end_are_days_and_nights():
    """One more day: 4 L x 2 x (22/16 + 1) days."""
    assert full_need(trip(), extra_days=1.0).total_l == pytest.approx(19.0)


def test_reserve_is_whole_days_with_nights_on_its_ration():
    """Two days on the bare ration: drinking alone, 2 x 8 L; on the full one 2 x (8 + 5)."""
    uses = [use(), use("shower", 5.0, per=Accrual.PARTY_NIGHT, kept=Ration.FULL)]
    bare = trip(uses=uses, policy=policy(reserve_days=2.0, reserve_ration=Ration.BARE))
    full = trip(uses=uses, policy=policy(reserve_days=2.0))

    assert demand(bare).reserve_l(DAY_AND_A_QUARTER) == pytest.approx(16.0)
    assert demand(full).reserve_l(DAY_AND_A_QUARTER) == pytest.approx(26.0)


RESERVE_NOT_STATED = (Assumption("reserve", "3 days", "why", "policy.reserve_days"),)


@pytest.mark.parametrize(("help_days", "check_in", "litres"), [(2.0, 0.5, 24.0), (3.0, 1.0, 32.0)])
def test_a_vehicle_that_states_no_reserve_keeps_the_larger_of_three_days_and_waiting_for_help(
    help_days, check_in, litres
):
    """8 L a day on the bare ration: three days are 24 L, help after 2.5 days 20 L, after 4 days 32.

    A reserve that is stated is kept as it is.
    """
    three_days = policy(reserve_days=3.0, reserve_ration=Ration.BARE, help_days=help_days)
    stated = dataclasses.replace(trip(policy=three_days), contact=Contact(check_in_days=check_in))
    unstated = dataclasses.replace(stated, defaults=RESERVE_NOT_STATED)

    assert demand(unstated).reserve_l(DAY_AND_A_QUARTER) == pytest.approx(litres)
    assert demand(stated).reserve_l(DAY_AND_A_QUARTER) == pytest.approx(24.0)


@pytest.mark.parametrize("travel_by", [Travel.FOOT, Travel.BICYCLE])
def test_a_walker_that_states_no_reserve_keeps_one_day_whatever_help_takes(travel_by):
    """Four days of waiting are more than anybody carries: one bare day of 8 L."""
    one_day = policy(reserve_days=1.0, reserve_ration=Ration.BARE, help_days=4.0)
    its_trip = dataclasses.replace(
        trip(policy=one_day, pace=pace(travel=travel_by)), defaults=RESERVE_NOT_STATED
    )

    assert demand(its_trip).reserve_l(DAY_AND_A_QUARTER) == pytest.approx(8.0)


def heat_of(*litres_a_day):
    days = frozen_floats(litres_a_day)
    return HeatDemand(moving_l=days, resting_l=days)


def test_drinking_is_never_lower_than_the_heat_asks():
    """16 h of a calendar day of 24 L and 14 h of one of 36 L: 16 + 21 = 37 L."""
    need = needs_on_rations(trip(), heat_of(24.0, 36.0))[0].need

    assert need.total_l == pytest.approx(37.0)


def test_own_rate_holds_where_it_is_higher():
    """The party drinks 8 L a day, the heat asks for 2: 11 L in 22 waking hours."""
    need = needs_on_rations(trip(), heat_of(2.0))[0].need

    assert need.total_l == pytest.approx(11.0)


def test_on_each_day_the_larger_counts():
    """16 h of a day of 24 L and 14 h of a day of 2 L, own rate 8 L: 16 + 8 x 14 / 24 L."""
    need = needs_on_rations(trip(), heat_of(24.0, 2.0))[0].need

    assert need.total_l == pytest.approx(16.0 + 8.0 * 14.0 / 24.0)


def test_heat_asks_for_water_where_no_drinking_was_named():
    """A party that names no drinking use still drinks what the heat asks for: 24 x 30 / 24."""
    need = needs_on_rations(trip(uses=[]), heat_of(24.0))[2].need

    assert need.total_l == pytest.approx(30.0)
    assert need.potable_l == pytest.approx(30.0)


def on_foot(travels, per_hour_l=2.0):
    return DrinkingHours(8.0, per_hour_l, moving_by_waking_day(travels, 8.0))


def test_walkers_drink_a_litre_an_hour_on_the_move():
    """Two people, 32 L a day, six hours of moving: 2 x 6 = 12 L in them, 20 L in the other ten.

    A morning from 8:00 to 14:00 asks for the larger of 12 L and its 6/16 of 32 L: 12 L, 0.375 of
    the day, either way. A march of 3 h asks for 6 L, 3/16 of the day.
    """
    whole, short = travel(0.0, 300.0), travel(0.0, 150.0)

    assert on_foot([whole]).days_of(whole, 32.0) == pytest.approx(12.0 / 32.0)
    assert on_foot([whole]).days_of(short, 32.0) == pytest.approx(6.0 / 32.0)


def test_who_counts_on_little_drinks_most_of_it_on_the_move():
    """Two people, 16 L a day, six hours of moving at 2 L: 12 of the 16 L, 3/4 of the day.

    By vehicle the same morning asks for 6/16 of the day.
    """
    whole = travel(0.0, 300.0)

    assert on_foot([whole]).days_of(whole, 16.0) == pytest.approx(0.75)
    assert EVENLY.days_of(whole, 16.0) == pytest.approx(6.0 / 16.0)


def test_nobody_drinks_more_than_the_day_has():
    """Two people, 8 L a day, six hours of moving: 8/6 L an hour, not 2; half the march half of it.

    A march of four hours of the six asks for 4/6 of the day.
    """
    whole, part = travel(0.0, 300.0), travel(0.0, 200.0)

    assert on_foot([whole]).days_of(whole, 8.0) == pytest.approx(1.0)
    assert on_foot([whole]).days_of(part, 8.0) == pytest.approx(4.0 / 6.0)


def test_a_rest_in_the_evening_takes_its_share_of_the_waking_hours():
    """From the camp at 14:00 to the next morning at 8:00: 8 waking hours to 22:00, 2 from 6:00.

    Of the first day's 16 L 12 are drunk on the march and 4 in ten other hours: the evening would
    take 8/10 of 4 L, 3.2 L, but its share of the 16 waking hours is 8 L. The parts of a day may
    add up to more than the day.
    """
    its = clock(600.0)
    (way,) = its.follow([]).travels
    evening = TravelTime(14.0, 32.0, tuple(p for p in way.pieces if p.begin_h == 14.0), its.profile)

    assert on_foot([way]).days_of(evening, 16.0) == pytest.approx(8.0 / 16.0 + 2.0 / 16.0)


@given(st.floats(10.0, 300.0), st.integers(0, 40), st.floats(0.01, 3.0), st.floats(1.0, 40.0))
def test_a_way_off_the_plan_asks_for_no_less_than_by_any_hours_of_its_day(
    to_km, quarters, per_hour_l, day_l
):
    """However long it moves on that day in all, by formula (a) of docs/why/stretches.md.

    The way begins at 8:00, moves m = ``to_km`` / 50 hours and rests o, till 22:00 at most. On its
    day of 16 waking hours M are moved: m at least, and all but o at most.
    """
    way = travel(0.0, to_km)
    m = way.moving_h
    o = min(quarters / 4.0, 14.0 - m)
    off_plan = DrinkingHours(8.0, per_hour_l).days_of(way._replace(end_h=8.0 + m + o), day_l)

    for all_h in np.linspace(m, 16.0 - o, 20):
        hourly_l = min(per_hour_l, day_l / all_h)
        rest_l = (day_l - all_h * hourly_l) * o / (16.0 - all_h) if o else 0.0
        assert off_plan * day_l >= m * hourly_l + rest_l - 1e-9


@given(st.integers(1, 20), st.floats(1.0, 1000.0))
def test_more_people_never_need_less(people, to_km):
    """One person more never lowers the need on any ration."""
    uses = [use(f"u{per}", 3.0, per=per) for per in Accrual]
    way = travel(0.0, to_km)
    fewer = needs_on_rations(trip(people=people, uses=uses), way=way)
    more = needs_on_rations(trip(people=people + 1, uses=uses), way=way)

    assert all(a.need.total_l <= b.need.total_l for a, b in zip(fewer, more, strict=True))
