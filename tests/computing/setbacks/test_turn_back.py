"""The last km from which the party gets back: by hand, and against a replay of the trip.

The party: 2 people at 4 L a day, 50 km/h from 8 to 14 o'clock: 8 L a day.
"""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from how_many import drawn_proof
from hypothesis import given
from hypothesis import strategies as st
from loaded import flat_heat, loaded
from make import source_at, use

from longdry.model.pace import PaceProfile
from longdry.computing.setbacks.supplied import profile_back
from longdry.computing.setbacks.turn_back import last_km, turn_backs, turn_by_time_km
from longdry.model.arrays import frozen_floats
from longdry.model.words import Accrual, Ration

L_PER_H = 1.0 / 3.0


def water_kms(plan):
    return [one.water_km for one in turn_backs(plan)]


@pytest.mark.parametrize(
    ("litres", "km"),
    [
        (4.0 * L_PER_H, 100.0),
        (6.0 * L_PER_H, 150.0),
        (24.0 * L_PER_H, 150.0),
        (26.0 * L_PER_H, 200.0),
        (30.0 * L_PER_H, 300.0),
        (78.0 * L_PER_H, 600.0),
        (99.0, 600.0),
    ],
)
def test_turn_back_km_worked_by_hand(litres, km):
    """Out and back at 50 km/h, 6 h a day, a night of 18 h between.

    4 h of water: 2 h out, 100 km. 6 h: 3 h out. 24 h: the night is reached and nothing gained.
    26 h: 8 h of moving and a night: 200 km. 30 h: 12 h of moving. 78 h: 24 h and three nights.
    """
    assert water_kms(loaded(on_board_l=[litres + 1e-6])) == [pytest.approx(km, abs=0.01)]


def test_no_water_for_the_way_back_to_the_well():
    """The well lies 2.6 km off: 0.52 h back and forth ask for 0.173 L; with less there is no km."""
    plan = loaded(source_at(250.0, offset_km=2.0), on_board_l=[50.0, 0.17])

    assert water_kms(plan)[1] is None


def test_a_stretch_that_can_be_gone_back_whole_ends_at_its_end():
    """With plenty on board the party can turn at the next water itself."""
    plan = loaded(source_at(250.0))

    assert water_kms(plan) == pytest.approx([plan.ends[1].km, plan.ends[2].km])


def test_the_way_back_is_on_the_bare_ration():
    """Out on 24 L a day, back on 8 L a day, 33 L.

    6 h and the night take 24 L at 1 L/h; then y h on, and back (6 - y) h, a night of 18 h and
    2 y h at 1/3 L/h: 24 + y + (24 + y) / 3 = 33, y = 0.75: km 337.5. With 30 L, just enough for
    the whole stretch on the full ration, the night cannot be met: km 300.
    """
    uses = [use(), use("shower", 8.0, kept=Ration.FULL)]

    assert water_kms(loaded(uses=uses, on_board_l=[33.0])) == [pytest.approx(337.5, abs=0.01)]
    assert water_kms(loaded(uses=uses, on_board_l=[30.001])) == [pytest.approx(300.0, abs=0.01)]
    assert water_kms(loaded(uses=uses, on_board_l=[46.001])) == [pytest.approx(600.0)]


def test_uphill_back_takes_longer():
    """Twice the hours back: 4 h of water are 80 min out and 160 min back: 66.7 km."""
    plan = loaded(on_board_l=[4.0 * L_PER_H + 1e-6])
    profile = plan.going.clock.profile
    back = PaceProfile(profile.km, frozen_floats(profile.moving_h * 2.0))
    uphill = dataclasses.replace(plan, back=back)

    assert water_kms(uphill) == [pytest.approx(200.0 / 3.0, abs=0.01)]


def test_hours_back_are_those_of_the_route_reversed():
    """50 km/h on the first 100 km one way, 25 km/h on them the other: 4 h back from km 100.

    2 h out and 4 h back: with 3 h of water x km are x/50 + x/25 h: km 50.
    """
    reversed_profile = PaceProfile(
        frozen_floats([0.0, 500.0, 600.0]), frozen_floats([0.0, 10.0, 14.0])
    )
    back = profile_back(reversed_profile)
    plan = dataclasses.replace(loaded(on_board_l=[3.0 * L_PER_H + 1e-6]), back=back)

    assert back.between(0.0, 100.0) == pytest.approx(4.0)
    assert back.between(100.0, 600.0) == pytest.approx(10.0)
    assert water_kms(plan) == [pytest.approx(50.0, abs=0.01)]


def replay_back(plan, index, km):
    """Follow the party hour by hour to ``km`` and back: litres left at the water behind.

    Written without the engine: a clock that ticks through the moving hours of each day.
    """
    begin = plan.ends[index]
    rate = L_PER_H
    hour = plan.going.clock.departure_from(begin.km).hour
    moving_h = 2 * begin.way_km / 10.0 + 2 * (km - begin.km) / 50.0
    elapsed_h = 0.0
    while moving_h > 1e-12:
        of_day = hour % 24.0
        if of_day < 8.0 or of_day >= 14.0 - 1e-9:
            wait_h = (8.0 - of_day) % 24.0
            elapsed_h, hour = elapsed_h + wait_h, hour + wait_h
            continue
        step_h = min(14.0 - of_day, moving_h)
        elapsed_h, hour, moving_h = elapsed_h + step_h, hour + step_h, moving_h - step_h
    return plan.on_board_l[index] - elapsed_h * rate


@drawn_proof(320)
@given(st.floats(20.0, 580.0), st.floats(0.0, 4.5), st.floats(0.3, 25.0))
def test_the_bisection_agrees_with_a_replay(well_km, offset_km, litres):
    """Ten metres before the turn-back km the replay gets home; ten metres behind it does not."""
    plan = loaded(source_at(well_km, offset_km=offset_km), on_board_l=[litres, litres])

    for index, km in enumerate(water_kms(plan)):
        begin, end = plan.ends[index], plan.ends[index + 1]
        if km is None:
            assert replay_back(plan, index, begin.km) < 1e-6
            continue
        assert replay_back(plan, index, max(km - 0.01, begin.km)) > -1e-6
        if km < end.km:
            assert replay_back(plan, index, km + 0.01) < 1e-6


@drawn_proof(200)
@given(st.floats(0.5, 30.0), st.floats(0.0, 10.0))
def test_more_water_never_turns_the_party_sooner(litres, more_l):
    """The turn-back km does not fall with the litres on board, nor rise with the heat."""
    less, more = loaded(on_board_l=[litres]), loaded(on_board_l=[litres + more_l])
    hot = loaded(on_board_l=[litres], heat=flat_heat(16.0, 8.0))

    assert water_kms(hot)[0] <= water_kms(less)[0] + 0.01
    assert water_kms(less)[0] <= water_kms(more)[0] + 0.01


@pytest.mark.parametrize(
    ("back_by_h", "km"),
    [(4.0, 100.0), (6.0, 150.0), (20.0, 150.0), (24.0, 150.0), (30.0, 300.0), (500.0, 600.0)],
)
def test_turn_back_by_time_worked_by_hand(back_by_h, km):
    """Back at the start h hours after 8 o'clock: half of the moving hours until then."""
    assert turn_by_time_km(loaded(), back_by_h) == pytest.approx(km, abs=0.01)


def test_time_is_told_per_stretch():
    """Back within 30 h: turn at km 300. The first stretch whole, the second to km 300, no third."""
    plan = loaded(source_at(250.0), source_at(450.0))
    kms = [one.time_km for one in turn_backs(plan, back_by_h=30.0)]

    assert kms[:2] == [pytest.approx(250.0), pytest.approx(300.0, abs=0.01)]
    assert kms[2] is None


def test_calls_at_the_water_on_the_way_back_take_time():
    """A well 2.6 km off, 0.52 h: back within 30 h from 0.26 h x 50 km/h = 13 km less far."""
    plan = loaded(source_at(100.0, offset_km=2.0))

    assert turn_by_time_km(plan, 30.0) == pytest.approx(300.0 - 13.0, abs=0.01)


def test_no_time_at_all():
    """Less than nothing leaves no km; without a limit no time is told."""
    assert turn_by_time_km(loaded(), -1.0) is None
    assert turn_backs(loaded())[0].time_km is None


def test_a_night_on_the_way_out_uses_what_nights_use():
    """6 L each night and 8 L a day: 12 L are used up before the second day is over.

    Out 6 h and the night: 2 + 6 + 6 = 14 L at 8 o'clock. With 13 L the last km is where the way
    back is still done on the first day: 150 km.
    """
    uses = [use(), use("cooling", 6.0, per=Accrual.PARTY_NIGHT)]

    assert water_kms(loaded(uses=uses, on_board_l=[13.0])) == [pytest.approx(150.0, abs=0.01)]
    assert np.isfinite(water_kms(loaded(uses=uses, on_board_l=[15.0]))[0])


def test_the_last_km_is_where_a_condition_first_fails_and_still_holds_there():
    """True to km 30 and again from km 70: 30, and on the safe side of it."""
    found = last_km(lambda km: km <= 30.0 or km >= 70.0, 0.0, 100.0)

    assert 30.0 - 0.001 <= found <= 30.0
    assert last_km(lambda _km: False, 0.0, 100.0) is None
    assert last_km(lambda _km: True, 0.0, 100.0) == 100.0
