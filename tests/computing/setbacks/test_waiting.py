"""How long the party can wait: by hand, and against a look at every hundred metres.

The party: 2 people at 4 L a day, 50 km/h from 8 to 14 o'clock: 8 L a day.
"""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import pytest
from how_many import drawn_proof
from hypothesis import given
from hypothesis import strategies as st
from loaded import flat_heat, loaded
from make import source_at, use

from longdry.computing.setbacks.waiting import sit_out
from longdry.model.arrays import frozen_floats
from longdry.model.words import Accrual, Ration


def test_the_least_is_at_the_end_of_the_stretch_with_least_to_spare():
    """20 L for 30 h of way (10 L): 10 L left, 8 L a day: 1.25 days at the end."""
    found = sit_out(loaded(on_board_l=[20.0]))

    assert (found.least_days, found.at_km) == (pytest.approx(1.25), pytest.approx(600.0))
    assert (found.on_board_l, found.rest_l_per_day) == (pytest.approx(10.0), pytest.approx(8.0))
    assert found.days[0] == pytest.approx(20.0 / 8.0)


def test_the_start_of_the_next_stretch_is_full_again():
    """At the well 20 - 1.67 L are left before it is drawn from, 50 L after."""
    found = sit_out(loaded(source_at(250.0), on_board_l=[20.0, 50.0]))
    at_well = found.days[np.isclose(found.km, 250.0)]

    assert at_well == pytest.approx([(20.0 - 5.0 / 3.0) / 8.0, 50.0 / 8.0])
    assert found.at_km == pytest.approx(250.0)


def test_who_waits_lives_on_the_bare_ration_in_shade():
    """The heat asks for 20 L under way and 12 L at rest; showers are given up: 12 L a day."""
    uses = [use(), use("shower", 30.0, per=Accrual.PARTY_NIGHT, kept=Ration.FULL)]
    found = sit_out(loaded(uses=uses, heat=flat_heat(20.0, 12.0), on_board_l=[95.0]))

    assert found.rest_l_per_day == pytest.approx(12.0)
    assert found.least_days == pytest.approx((95.0 - 25.0 - 30.0) / 12.0)


def test_the_partys_own_rate_holds_where_the_heat_asks_for_less():
    """At rest the heat asks for 3 L; the party's bare ration is 8 L, and a night's 2 L."""
    uses = [use(), use("cooling", 2.0, per=Accrual.PARTY_NIGHT)]
    found = sit_out(loaded(uses=uses, heat=flat_heat(3.0, 3.0), on_board_l=[20.0]))

    assert found.rest_l_per_day == pytest.approx(10.0)


def test_the_heat_of_the_day_holds():
    """The second day is hotter: 16 L at rest. Its first hours still have more on board.

    20 L; at midnight 16 h are gone (5.33 L): 14.67 L last 0.92 days of the second day's heat;
    at the end 10 L last 0.625.
    """
    heat = dataclasses.replace(
        flat_heat(0.0, 0.0),
        moving_l=frozen_floats([0.0, 0.0]),
        resting_l=frozen_floats([0.0, 16.0]),
    )
    found = sit_out(loaded(heat=heat, on_board_l=[20.0]))

    assert found.days[0] == pytest.approx(20.0 / 8.0)
    assert found.least_days == pytest.approx(10.0 / 16.0)


def test_a_cooler_second_day_does_not_hide_the_evening_of_the_first():
    """The first day is hot (16 L at rest), the second cool (8 L): the evening counts.

    24 L: at midnight after the first day 18.67 L, 1.17 days. The next look, on the second day at
    km 350 or before, has to tell no more than that.
    """
    heat = dataclasses.replace(
        flat_heat(0.0, 0.0),
        moving_l=frozen_floats([0.0, 0.0]),
        resting_l=frozen_floats([16.0, 8.0]),
    )
    found = sit_out(loaded(heat=heat, on_board_l=[24.0]))

    assert found.least_days <= 18.67 / 16.0


def test_nothing_on_board_is_no_day():
    """Who has used up everything cannot wait; never less than nothing."""
    found = sit_out(loaded(on_board_l=[5.0]))

    assert found.least_days == 0.0
    assert found.days.min() >= 0.0


def test_who_needs_nothing_waits_for_ever():
    """Without uses and without heat the days are infinite, not a division by zero."""
    assert sit_out(loaded(uses=[], on_board_l=[5.0])).least_days == math.inf


@pytest.mark.parametrize(("help_days", "lasts"), [(None, None), (1.25, True), (1.3, False)])
def test_against_the_days_until_help(help_days, lasts):
    """1.25 days are enough for help in 1.25 days, not in 1.3."""
    assert sit_out(loaded(on_board_l=[20.0]), help_days=help_days).lasts_until_help is lasts


def test_the_curve_goes_up_the_route():
    """The km ascend from the start to the end."""
    found = sit_out(loaded(source_at(250.0), source_at(300.0)))

    assert found.km[0] == 0.0
    assert found.km[-1] == pytest.approx(600.0)
    assert (np.diff(found.km) >= 0.0).all()


rates = st.lists(st.floats(0.0, 40.0), min_size=1, max_size=4)


@drawn_proof(160)
@given(st.floats(20.0, 580.0), st.floats(1.0, 60.0), rates)
def test_no_place_has_less_than_the_least(well_km, litres, resting_l):
    """A look at every kilometre and at every stretch's end finds nothing below it."""
    heat = dataclasses.replace(
        flat_heat(0.0, 0.0),
        moving_l=frozen_floats([0.0] * len(resting_l)),
        resting_l=frozen_floats(resting_l),
    )
    plan = loaded(source_at(well_km), heat=heat, on_board_l=[litres, litres])
    least = sit_out(plan).least_days

    for index in range(2):
        stretch = plan.stretch(index)
        ration = stretch.ration_that_does or Ration.BARE
        for km in np.arange(stretch.begin.km, stretch.end.km, 1.0):
            span = plan.going.clock.span(stretch.begin.km, km)
            used_l = plan.going.asking.need_l(ration, span, km - stretch.begin.km)
            left_l = max(0.0, litres - used_l)
            day = int((8.0 + span.end_h) // 24.0)
            rate_l = max(8.0, resting_l[day] if day < len(resting_l) else max(resting_l))
            assert least <= left_l / rate_l + 1e-9
