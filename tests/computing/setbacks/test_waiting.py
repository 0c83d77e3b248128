"""How long the party can wait: by hand, and against a look at every kilometre.

The party: 2 people at 4 L a day, 50 km/h from 8 to 14 o'clock; half a litre in a waking hour (6 to
22 o'clock): 8 L a day.
"""

from __future__ import annotations

import datetime as dt
import math

import numpy as np
import pytest
from how_many import drawn_proof
from hypothesis import given
from hypothesis import strategies as st
from loaded import awake_h, bore_at, by_day_heat, flat_heat, loaded
from make import policy, use

from longdry.computing.setbacks.waiting import sit_out
from longdry.model.trip.trip import Contact
from longdry.model.words import Accrual, Ration

DEPART = {"depart": dt.datetime(2027, 5, 3, 8, 0)}
PHONE = "satellite telephone"


def test_the_least_is_at_the_end_of_the_stretch_with_least_to_spare():
    """21 L for 22 waking hours (11 L): 10 L left, 8 L a day: 1.25 days at the end."""
    found = sit_out(loaded(carried_l=[21.0]))

    assert (found.least_days, found.at_km) == (pytest.approx(1.25), pytest.approx(600.0))
    assert (found.on_board_l, found.rest_l_per_day) == (pytest.approx(10.0), pytest.approx(8.0))
    assert found.days[0] == pytest.approx(21.0 / 8.0)


def test_the_start_of_the_next_stretch_is_full_again():
    """At the well 20 - 2.5 L are left before it is drawn from, 50 L after."""
    found = sit_out(loaded(bore_at(250.0), carried_l=[20.0, 50.0]))
    at_well = found.days[np.isclose(found.km, 250.0)]

    assert at_well == pytest.approx([17.5 / 8.0, 50.0 / 8.0])
    assert found.at_km == pytest.approx(250.0)


def test_who_waits_lives_on_the_bare_ration_in_shade():
    """The heat asks for 20 L under way and 12 L at rest; showers are given up: 12 L a day."""
    uses = [use(), use("shower", 30.0, per=Accrual.PARTY_NIGHT, kept=Ration.FULL)]
    found = sit_out(loaded(uses=uses, heat=flat_heat(20.0, 12.0), carried_l=[95.0]))

    assert found.rest_l_per_day == pytest.approx(12.0)
    assert found.least_days == pytest.approx((95.0 - 25.0 - 30.0) / 12.0)


def test_the_partys_own_rate_holds_where_the_heat_asks_for_less():
    """At rest the heat asks for 3 L; the party's bare ration is 8 L, and a night's 2 L."""
    uses = [use(), use("cooling", 2.0, per=Accrual.PARTY_NIGHT)]
    found = sit_out(loaded(uses=uses, heat=flat_heat(3.0, 3.0), carried_l=[20.0]))

    assert found.rest_l_per_day == pytest.approx(10.0)


def test_water_that_is_never_spent_is_not_waited_on():
    """Of 21 L 4 L are for the engine: 6 L are left at the end."""
    engine = use("engine", 4.0, per=Accrual.ALWAYS)
    found = sit_out(loaded(uses=[use(), engine], carried_l=[21.0]))

    assert found.on_board_l == pytest.approx(6.0)


def test_the_heat_of_the_day_holds():
    """The second day is hotter: 16 L at rest. At its end 10 L of 21 L last 0.625 days."""
    found = sit_out(loaded(heat=by_day_heat([0.0, 0.0], [0.0, 16.0]), carried_l=[21.0]))

    assert found.days[0] == pytest.approx(21.0 / 8.0)
    assert found.least_days == pytest.approx(10.0 / 16.0)


def test_nothing_left_is_no_day():
    """Who has used up everything cannot wait; never less than nothing."""
    found = sit_out(loaded(carried_l=[5.0]))

    assert found.least_days == 0.0
    assert found.days.min() >= 0.0


def test_who_needs_nothing_waits_for_ever():
    """Without uses and without heat the days are infinite, not a division by zero."""
    assert sit_out(loaded(uses=[], carried_l=[5.0])).least_days == math.inf


def waiting(*sources, carried_l, help_days=None, **contact):
    """Give the wait of a trip that leaves on 3 May 2027 and arrives on 4 May, 14 o'clock."""
    more = {**DEPART, "contact": Contact(**contact)}
    rules = policy(help_days=help_days)
    return sit_out(loaded(*sources, carried_l=carried_l, policy=rules, more=more))


@pytest.mark.parametrize(("help_days", "lasts"), [(None, None), (1.25, True), (1.3, False)])
def test_who_can_call_waits_for_the_days_until_help(help_days, lasts):
    """10 L at the end are 1.25 days: enough for help in 1.25 days, not in 1.3."""
    found = waiting(carried_l=[21.0], help_days=help_days, call=PHONE)

    assert found.lasts_until_help is lasts
    assert (found.help_days, found.by_due_back) == (help_days, False)


def test_a_day_between_two_words_home_comes_on_top():
    """Help in a day, words every half: 12 L; 10 L are there, and the place is told."""
    found = waiting(carried_l=[21.0], help_days=1.0, check_in_days=0.5, call=PHONE)

    assert found.wanted.days == pytest.approx(1.5)
    assert found.wanted.asked_l == pytest.approx(12.0)
    assert found.wanted.carried_l == pytest.approx(10.0)
    assert found.wanted.km == pytest.approx(600.0)
    assert not found.wanted.enough


def test_waiting_is_asked_everywhere_and_the_worst_place_told():
    """Wells at km 100 and 300. Of 5 L 4 L arrive at the first, then 20 L; 25 L are left with."""
    wells = (bore_at(100.0), bore_at(300.0))
    found = waiting(*wells, carried_l=[5.0, 20.0, 25.0], help_days=1.0, call=PHONE)

    assert found.wanted.km == pytest.approx(100.0)
    assert found.wanted.asked_l - found.wanted.carried_l == pytest.approx(4.0)


@pytest.mark.parametrize(("litres", "lasts"), [(51.46, True), (51.44, False)])
def test_without_a_means_of_calling_help_is_looked_for_when_the_party_is_overdue(litres, lasts):
    """Due on 6 May, overdue at its end, hour 96; found two days later. A look every 12 km.

    Hardest is km 312, at 8:14 of the second day, which may have been waited from km 300 on, 14:00
    of the first: 82 h and 2 days, 43.33 L. Up to km 312 16.24 waking hours have taken 8.12 L.
    """
    due = {"due_back": dt.date(2027, 5, 6), "search_days": 2.0}
    found = waiting(carried_l=[litres], help_days=0.5, **due)

    assert found.by_due_back
    assert found.wanted.km == pytest.approx(312.0)
    assert found.wanted.days == pytest.approx(82.0 / 24.0 + 2.0)
    assert found.wanted.asked_l == pytest.approx(130.0 / 3.0)
    assert found.wanted.carried_l == pytest.approx(litres - 8.12)
    assert found.lasts_until_help is lasts


def test_who_is_due_back_before_the_plan_ends_waits_as_from_its_end():
    """Due on 1 May, there on 4 May: a search that began before is no help that can be counted on.

    The last 12 km begin at 13:00 of 4 May at the earliest: 10 h and 3 days at the least.
    """
    early, late = (
        waiting(carried_l=[20.0], due_back=dt.date(2027, 5, day), search_days=3.0) for day in (1, 4)
    )

    assert early.wanted == late.wanted
    assert early.wanted.days > 3.0 + 10.0 / 24.0 - 1e-9


@pytest.mark.parametrize(
    "contact",
    [
        {},
        {"due_back": dt.date(2027, 5, 6)},
        {"search_days": 2.0},
    ],
)
def test_without_a_call_and_a_day_nobody_knows_whether_it_is_enough(contact):
    """Plenty is not known to be enough; too little for `help_days` is told; neither: nothing."""
    assert waiting(carried_l=[90.0], help_days=1.0, **contact).lasts_until_help is None
    assert waiting(carried_l=[12.0], help_days=1.0, **contact).lasts_until_help is False
    assert waiting(carried_l=[90.0], **contact).wanted is None


def test_the_curve_goes_up_the_route():
    """The km ascend from the start to the end."""
    found = sit_out(loaded(bore_at(250.0), bore_at(301.0)))

    assert found.km[0] == 0.0
    assert found.km[-1] == pytest.approx(600.0)
    assert (np.diff(found.km) >= 0.0).all()


rates = st.lists(st.floats(0.0, 40.0), min_size=1, max_size=4)


@drawn_proof(150)
@given(st.one_of(st.floats(20.0, 270.0), st.floats(305.0, 560.0)), st.floats(1.0, 60.0), rates)
def test_no_place_has_less_than_the_least(well_km, litres, resting_l):
    """A look at every kilometre finds nothing below it; its clock is written here again.

    Km are gone from 8 to 14 o'clock; at no well the day is over.
    """
    heat = by_day_heat([0.0] * len(resting_l), resting_l)
    least = sit_out(loaded(bore_at(well_km), heat=heat, carried_l=[litres, litres])).least_days

    def hour_at(km):
        days, hours = divmod(max(km / 50.0 - 1e-9, 0.0), 6.0)
        return 24.0 * days + 8.0 + hours

    for begin_km, end_km in ((0.0, well_km), (well_km, 600.0)):
        for km in np.arange(begin_km, end_km, 1.0):
            used_l = 0.5 * awake_h(hour_at(begin_km), hour_at(km))
            day = int(hour_at(km) // 24.0)
            rate_l = max(8.0, resting_l[day] if day < len(resting_l) else max(resting_l))
            assert least <= max(0.0, litres - used_l) / rate_l + 1e-6
