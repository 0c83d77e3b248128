"""The last km from which the party gets back: by hand, and against a replay of the trip.

The party: 2 people at 4 L a day, 50 km/h from 8 to 14 o'clock: half a litre in a waking hour, which
are those from 6 to 22 o'clock. A way back keeps a tenth over, and 2 L (a litre a head) at least.
"""

from __future__ import annotations

import dataclasses
import random

import numpy as np
import pytest
from how_many import drawn_proof, proof
from hypothesis import given
from hypothesis import strategies as st
from loaded import (
    L_PER_H,
    MARGIN_L,
    ON_FOOT,
    awake_h,
    bore_at,
    carrying,
    flat_heat,
    loaded,
    ticked,
)
from make import pace, policy, use

from longdry.computing.clock.day_rules import Moment
from longdry.computing.setbacks.dry import dry_sources
from longdry.computing.setbacks.supplied import profile_back
from longdry.computing.setbacks.turn_back import last_km, turn_backs, turn_by_time_km
from longdry.computing.setbacks.ways import moment_after
from longdry.model.arrays import frozen_floats
from longdry.model.pace import PaceProfile
from longdry.model.trip.trip import PinnedCamp
from longdry.model.words import Accrual, Ration


def water_kms(plan):
    return [one.water_km for one in turn_backs(plan)]


@pytest.mark.parametrize(
    ("awake", "km"),
    [(4.0, 100.0), (6.0, 150.0), (15.9, 150.0), (18.0, 200.0), (22.0, 300.0), (54.0, 600.0)],
)
def test_turn_back_km_worked_by_hand(awake, km):
    """Out and back at 50 km/h, 6 h a day; the margin of 2 L stays.

    4 waking hours: 2 h out, 100 km. 6 h: 3 h out. Below 16 h the night is not met: from 8:00 there
    are 14 to 22:00, and 2 before moving. 18 h: 8 h of moving. 22 h: 12 h of moving. 54 h: all 24.
    """
    litres = awake * L_PER_H + MARGIN_L + 1e-6
    assert water_kms(loaded(carried_l=[litres])) == [pytest.approx(km, abs=0.02)]


def test_the_margin_is_a_tenth_of_the_way_back_where_that_is_more():
    """Ten times as thirsty: 5 L an hour. 2 h out take 10 L, 2 h back 10 L and 2 L; of 21 L 1.909 h.

    t h out and back take 5 t + max(5.5 t, 5 t + 2): for t below 4 the 2 L are more. So the share is
    made a half: 5 t + 7.5 t = 25 L: 2 h.
    """
    plan = loaded(
        uses=[use(litres=40.0)], carried_l=[25.0 + 1e-6], policy=policy(turn_back_margin=0.5)
    )

    assert water_kms(plan) == [pytest.approx(100.0, abs=0.02)]


def test_on_foot_the_way_back_counts_its_own_hours_on_the_move():
    """2 h out at the plan's 8/6 L an hour, 2 h back at a litre a head: 8/3 + 4 + 2 L.

    At 8/6 L an hour back it would be km 125, with half a litre of the margin left on arriving.
    """
    plan = loaded(pace=ON_FOOT, carried_l=[8.0 / 3.0 + 4.0 + MARGIN_L + 1e-6])
    (turn,) = turn_backs(plan)

    assert turn.km == pytest.approx(100.0, abs=0.02)
    assert turn.left_l == pytest.approx(MARGIN_L, abs=0.001)


def test_what_is_left_behind_and_on_which_ration_is_told():
    """Back from km 100 with the margin and a bit: those 2 L are left at the start."""
    (turn,) = turn_backs(loaded(carried_l=[4.0 * L_PER_H + MARGIN_L + 1e-6]))

    assert turn.left_l == pytest.approx(MARGIN_L, abs=0.001)
    assert (turn.behind, turn.behind_km, turn.ration) == ("start", 0.0, Ration.FULL)


def test_no_water_for_the_way_back_to_the_well():
    """The well lies 2.6 km off: 0.52 h back and forth ask for 0.26 L and 2 L; with less no km."""
    plan = loaded(bore_at(250.0, offset_km=2.0), carried_l=[50.0, 2.25])
    turn = turn_backs(plan)[1]

    assert (turn.km, turn.left_l, turn.behind_km, turn.ration) == (None, None, None, None)


def test_a_stretch_that_can_be_gone_back_whole_ends_at_its_end():
    """With plenty carried the party can turn at the next water itself."""
    plan = loaded(bore_at(250.0))

    assert water_kms(plan) == pytest.approx([plan.ends[1].km, plan.ends[2].km])


@pytest.mark.parametrize(("awake", "km"), [(3.8, 95.0), (3.98, 99.5), (3.99, 100.0)])
def test_nobody_turns_back_in_sight_of_the_water(awake, km):
    """Well at km 100: 4 waking hours are out and back, 3.99 reach km 99.75, in sight of it."""
    plan = loaded(bore_at(100.0), carried_l=[awake * L_PER_H + MARGIN_L + 1e-6, 50.0])

    assert water_kms(plan)[0] == pytest.approx(km, abs=0.02)


def test_where_a_night_lies_in_the_last_metres_the_party_turns_a_km_before():
    """Well at km 150.1: back from km 150 is done by 14:00, from km 150.1 after a night.

    10 waking hours more take 5 L; the margin has 2 L.
    """
    plan = loaded(bore_at(150.1), carried_l=[6.2 * L_PER_H + MARGIN_L, 50.0])

    assert water_kms(plan)[0] == pytest.approx(149.1, abs=0.02)


@proof(400)
def test_the_water_ahead_is_never_turned_from_whose_back_is_held(cases):
    """Wherever the way back from a dry source holds, the whole stretch before it can be gone.

    Random trips with nights, which make the condition fail and hold again.
    """
    held = 0
    for seed in cases:
        rng = random.Random(seed)
        kms = sorted(rng.uniform(5.0, 590.0) for _ in range(3))
        plan = loaded(*(bore_at(km, id=f"w{n}") for n, km in enumerate(kms)))
        plan = carrying(plan, [rng.uniform(3.0, 30.0) for _ in range(4)])
        dry = dry_sources(plan)[:3]
        back = {n: one.go_back.possible for n, one in enumerate(dry, 1)}
        for turn in turn_backs(plan, goes_back_from=back):
            if back.get(turn.stretch):
                held += 1
                assert turn.km == plan.ends[turn.stretch].km
    assert held > len(cases) / 2


@pytest.mark.parametrize(("litres", "km"), [(23.0, 300.0), (28.0, 375.0)])
def test_the_way_back_is_on_the_bare_ration(litres, km):
    """Out half a litre a waking hour and a third an hour of showers, back the first alone.

    At km 300, 14:00: 3 + 2 L are used; back is a night and 6 h, 16 waking hours, 8 L, and 2 L:
    15 L. t hours into the second day: 8 + t/2 and 8 + t/3 L are used; back, a night between, 16 + t
    waking hours, 8 + t/2, and 2 L: 26 L + 4/3 t: 28 L are t = 1.5. The whole stretch takes 21 L.
    """
    uses = [use(), use("shower", 4.0, kept=Ration.FULL)]
    turn = turn_backs(loaded(uses=uses, carried_l=[litres + 1e-6]))[0]

    assert turn.km == pytest.approx(km, abs=0.02)


def test_uphill_back_takes_longer():
    """Twice the hours back: 4 waking hours are 80 min out and 160 min back: 66.7 km."""
    plan = loaded(carried_l=[4.0 * L_PER_H + MARGIN_L + 1e-6])
    profile = plan.journey.clock.profile
    back = PaceProfile(profile.km, frozen_floats(profile.moving_h * 2.0))
    uphill = dataclasses.replace(plan, back=back)

    assert water_kms(uphill) == [pytest.approx(200.0 / 3.0, abs=0.02)]


def test_hours_back_are_those_of_the_route_reversed():
    """50 km/h on the first 100 km one way, 25 km/h on them the other: 4 h back from km 100.

    With 3 waking hours x km are x/50 + x/25 h: km 50.
    """
    reversed_profile = PaceProfile(
        frozen_floats([0.0, 500.0, 600.0]), frozen_floats([0.0, 10.0, 14.0])
    )
    back = profile_back(reversed_profile)
    plan = loaded(carried_l=[3.0 * L_PER_H + MARGIN_L + 1e-6])

    assert back.between(0.0, 100.0) == pytest.approx(4.0)
    assert back.between(100.0, 600.0) == pytest.approx(10.0)
    assert water_kms(dataclasses.replace(plan, back=back)) == [pytest.approx(50.0, abs=0.02)]


def replay_back(plan, index, km):
    """Follow the party to ``km`` and back: litres left at the water behind, its margin taken off.

    Written without the engine: a clock that ticks through the moving hours of each day.
    """
    begin = plan.ends[index]
    starts = plan.journey.itinerary.travels[index].begin_h
    there = ticked(starts, begin.way_km / 10.0 + (km - begin.km) / 50.0)
    back = ticked(there, begin.way_km / 10.0 + (km - begin.km) / 50.0)
    back_l = awake_h(there, back) * L_PER_H
    return plan.carried_l[index] - awake_h(starts, there) * L_PER_H - max(1.1 * back_l, back_l + 2)


@drawn_proof(360)
@given(st.floats(20.0, 580.0), st.floats(0.0, 4.5), st.floats(2.3, 35.0))
def test_the_bisection_agrees_with_a_replay(well_km, offset_km, litres):
    """Twenty metres before the turn-back km the replay gets home; as much behind it does not.

    Nor is it asked within 1 km of the next water, where nobody turns.
    """
    plan = loaded(bore_at(well_km, offset_km=offset_km), carried_l=[litres, litres])

    for index, km in enumerate(water_kms(plan)):
        begin, end = plan.ends[index], plan.ends[index + 1]
        if km is None:
            assert replay_back(plan, index, begin.km) < 1e-6
            continue
        if km < end.km:
            assert replay_back(plan, index, max(km - 0.02, begin.km)) > -1e-6
        if km < end.km - 1.0 - 1e-6:
            assert replay_back(plan, index, km + 0.02) < 1e-6


def test_the_moment_at_every_km_is_that_of_the_clock():
    """The hours left of a day at a km, from the pieces, equal those of a clock that stops there."""
    camps = [PinnedCamp(km=180.0, rest_days=1), PinnedCamp(km=420.0)]
    plan = loaded(bore_at(100.0), camps=camps, pace=pace(break_h=(11.0, 12.0)))
    clock, travel = plan.journey.clock, plan.journey.itinerary.travels[1]
    for km in np.linspace(101.0, 599.0, 60):
        now = moment_after(clock, plan.leaves(1), travel.until_km(float(km)))
        on, arrived = clock.freely(now, (600.0 - km) / 50.0, way_km=0.0, from_km=km, to_km=600.0)
        gone = sum(piece.hours for piece in travel.pieces if piece.day == now.day
                   and piece.length_km > 0.0 and piece.end_h <= now.hour)  # fmt: skip

        assert isinstance(now, Moment)
        assert now.day == int(now.hour // 24)
        assert 0.0 <= now.left_h <= 6.0 + 1e-9
        assert now.left_h <= 6.0 - gone + 1e-9
        assert on.moving_h == pytest.approx((600.0 - km) / 50.0)
        assert arrived.hour >= now.hour


@drawn_proof(240)
@given(st.floats(2.5, 30.0), st.floats(0.0, 10.0))
def test_more_water_never_turns_the_party_sooner(litres, more_l):
    """The turn-back km does not fall with the litres carried, nor rise with the heat."""
    less, more = loaded(carried_l=[litres]), loaded(carried_l=[litres + more_l])
    hot = loaded(carried_l=[litres], heat=flat_heat(16.0, 8.0))

    assert water_kms(hot)[0] <= water_kms(less)[0] + 0.02
    assert water_kms(less)[0] <= water_kms(more)[0] + 0.02


@pytest.mark.parametrize(
    ("back_by_h", "km"),
    [(4.0, 100.0), (6.0, 150.0), (20.0, 150.0), (24.0, 150.0), (30.0, 300.0), (500.0, 600.0)],
)
def test_turn_back_by_time_worked_by_hand(back_by_h, km):
    """Back at the start h hours after 8 o'clock: half of the moving hours until then."""
    assert turn_by_time_km(loaded(), back_by_h) == pytest.approx(km, abs=0.02)


def test_time_is_told_per_stretch():
    """Back within 30 h: turn at km 300. The first stretch whole, the second to km 300, no third."""
    plan = loaded(bore_at(250.0), bore_at(450.0))
    kms = [one.time_km for one in turn_backs(plan, back_by_h=30.0)]

    assert kms[:2] == [pytest.approx(250.0), pytest.approx(300.0, abs=0.02)]
    assert kms[2] is None


def test_calls_at_the_water_on_the_way_back_take_time():
    """A well 2.6 km off, 0.52 h each time: back within 30 h from 0.52 h x 50 km/h less far."""
    plan = loaded(bore_at(100.0, offset_km=2.0))

    assert turn_by_time_km(plan, 30.0) == pytest.approx(300.0 - 26.0, abs=0.02)


def test_no_time_at_all():
    """Less than nothing leaves no km; without a limit no time is told."""
    assert turn_by_time_km(loaded(), -1.0) is None
    assert turn_backs(loaded())[0].time_km is None


def test_a_night_on_the_way_out_uses_what_nights_use():
    """6 L each night: with 15 L the night cannot be met, and the way back is done on the first day.

    Out 6 h and the night: 3 + 5 + 6 = 14 L at 8 o'clock of the second day.
    """
    uses = [use(), use("cooling", 6.0, per=Accrual.PARTY_NIGHT)]

    assert water_kms(loaded(uses=uses, carried_l=[15.0])) == [pytest.approx(150.0, abs=0.02)]
    assert water_kms(loaded(uses=uses, carried_l=[18.0]))[0] > 150.1


def test_the_last_km_is_where_a_condition_first_fails_and_still_holds_there():
    """True to km 30 and again from km 70: 30, and on the safe side of it."""
    found = last_km(lambda km: km <= 30.0 or km >= 70.0, 0.0, 100.0)

    assert 30.0 - 0.01 <= found <= 30.0
    assert last_km(lambda _km: False, 0.0, 100.0) is None
    assert last_km(lambda _km: True, 0.0, 100.0) == 100.0
