"""Check the clock against sums done by hand in the docstrings."""

from __future__ import annotations

import datetime as dt
import itertools

import pytest
from clocks import clock
from hypothesis import given
from hypothesis import strategies as st
from longdry.computing.clock.moving_hours import Moment, MovingHours, daily_windows
from make import PACE, pace

from longdry.computing.clock.clock import Camp
from longdry.computing.clock.days import travel_days
from longdry.model.trip.trip import PaceSection


def test_six_hundred_km_at_three_hundred_a_day():
    """600 km at 50 km/h, 6 h a day: 6 h, a night, 6 h; 8:00 to 14:00 next day is 30 h."""
    span = clock().span(0.0, 600.0)

    assert (span.end_h, span.nights) == (30.0, 1)
    assert span.days == 1.25


def test_arrival_at_the_last_moving_minute_is_before_the_night():
    """300 km take exactly one moving day: no camp is needed to arrive."""
    span = clock().span(0.0, 300.0)

    assert (span.end_h, span.nights) == (6.0, 0)


def test_stretch_begins_at_base_time_and_goes_through_the_moving_hours_of_its_ways():
    """From km 100 (10:00) back 20 km at 10 km/h, 100 km on: 2 h + 2 h, at 14:00, no night."""
    span = clock().span(100.0, 200.0, way_back_h=2.0)

    assert (span.start_h, span.end_h, span.nights) == (2.0, 6.0, 0)


def test_way_out_pushes_into_the_next_day():
    """From km 200 (12:00): 2 h to km 300 (14:00), half an hour of way falls on the next morning."""
    span = clock().span(200.0, 300.0, way_out_h=0.5)

    assert (span.start_h, span.end_h, span.nights) == (4.0, 24.5, 1)


def test_pinned_camp_ends_the_day():
    """Camp at km 100 (10:00); on at 8:00 next day, km 200 at 10:00 of day 2: 26 h."""
    span = clock(camps=[Camp(100.0, 1)]).span(0.0, 200.0)

    assert (span.end_h, span.nights) == (26.0, 1)


def test_rest_day_adds_a_day_and_a_night():
    """The same camp with a rest day: two nights, 50 h."""
    span = clock(camps=[Camp(100.0, 2)]).span(0.0, 200.0)

    assert (span.end_h, span.nights) == (50.0, 2)


def test_camp_at_the_first_km_of_a_stretch_belongs_to_it():
    """The night at km 100 belongs to the stretch that begins there: 10:00 to 10:00, 24 h."""
    base = clock(camps=[Camp(100.0, 1)])

    assert base.span(0.0, 100.0).nights == 0
    assert base.span(100.0, 200.0).nights == 1
    assert base.span(100.0, 200.0).days == 1.0


def test_camp_at_the_water_is_left_before_the_stretch_begins():
    """A camp at the water draws on the water: the stretch begins at 8:00 next day, 2 h long."""
    base = clock(camps=[Camp(100.0, 3, at_water=True)])

    assert base.span(100.0, 200.0).nights == 0
    assert base.span(100.0, 200.0).end_h - base.span(100.0, 200.0).start_h == 2.0
    assert base.arrival(200.0).day == 3


def test_departure_after_the_moving_hours_waits_for_the_next_morning():
    """Departure at 15:00, moving 8:00 to 14:00: 50 km are done at 9:00 next day, 18 h later."""
    assert clock(depart=15.0).span(0.0, 50.0).end_h == 18.0


def test_departure_inside_the_moving_hours_loses_what_has_gone_by():
    """Departure at 12:00: 2 h on the first day, the third hour ends at 9:00 next day."""
    assert clock(depart=12.0).span(0.0, 150.0).end_h == 21.0


def test_heat_break_stops_the_clock():
    """Moving 6:00 to 11:00 and 15:00 to 18:00: the sixth hour of moving ends at 16:00."""
    base = clock(its_pace=pace(start_hour=6.0, hours_per_day=8.0), depart=6.0, break_h=(11.0, 15.0))

    assert base.span(0.0, 300.0).end_h == 10.0


def test_sections_have_their_own_speed():
    """100 km at 50 km/h, 50 km at 25 km/h, 50 km at 50 km/h: 2 + 2 + 1 h."""
    slow = pace(sections=(PaceSection(100.0, 150.0, 25.0),))

    assert clock(its_pace=slow).span(0.0, 200.0).end_h == 5.0


def test_days_tell_where_each_one_ends():
    """700 km at 300 km a day: two camps at km 300 and 600, then 2 hours."""
    days = travel_days(clock(700.0), 700.0, dt.date(2027, 5, 3))

    assert [(d.from_km, d.to_km, d.moving_h, d.camp) for d in days] == [
        (0.0, 300.0, 6.0, True),
        (300.0, 600.0, 6.0, True),
        (600.0, 700.0, 2.0, False),
    ]
    assert days[-1].date == dt.date(2027, 5, 5)


def test_rest_days_stand_in_the_day_table():
    """A camp with a rest day at km 100: a day to it, a day of rest, then on."""
    days = travel_days(clock(200.0, camps=[Camp(100.0, 2)]), 200.0, None)

    assert [(d.from_km, d.to_km, d.rest, d.camp) for d in days] == [
        (0.0, 100.0, False, True),
        (100.0, 100.0, True, True),
        (100.0, 200.0, False, False),
    ]


def test_moving_hours_past_midnight_are_refused():
    """A day has 24 hours, a heat break included."""
    with pytest.raises(ValueError, match="midnight"):
        daily_windows(start_hour=14.0, hours_per_day=9.0, break_h=(15.0, 18.0))


@pytest.mark.parametrize("over_km", [0.0, 1e-7, 0.001, 0.005])
def test_centimetres_begin_no_day(over_km):
    """300 km and a few metres at most take one moving day of 300 km: no camp, no second day."""
    its = clock(300.0 + over_km)

    assert its.span(0.0, 300.0 + over_km).nights == 0
    assert [day.camp for day in travel_days(its, 300.0 + over_km, None)] == [False]
    assert clock(300.1).span(0.0, 300.1).nights == 1


def test_centimetres_wait_for_no_break():
    """150 km and a centimetre from 8:00 are done when the break begins at 11:00."""
    its = clock(300.0, break_h=(11.0, 15.0))

    assert its.span(0.0, 150.00001).end_h == 3.0
    assert its.span(0.0, 150.1).end_h == pytest.approx(7.0, abs=0.01)


SECOND_H = 1.0 / 3600.0
hours = st.floats(0.0, 200.0)
lengths_km = st.integers(1, 3000).map(float)
clock_hours = st.integers(0, 2390).map(lambda n: n / 100.0)
"""Ten metres and 36 seconds: longer than the half second that the clock lets pass."""


def camps_at(length_km, shares):
    places = sorted({round(length_km * share, 2) for share in shares})
    return [Camp(km, 1) for km in places if km < length_km]


windows = st.tuples(st.floats(0.5, 10.0), st.floats(0.5, 6.0), st.floats(0.25, 6.0)).map(
    lambda t: MovingHours(((t[0], t[0] + t[1]), (t[0] + t[1] + 0.5, t[0] + t[1] + 0.5 + t[2])))
)


@given(windows, hours, hours)
def test_clock_is_monotonic_and_additive(moving, first_h, second_h):
    """Moving for a time and then for another ends when moving for both together ends."""
    begin = Moment(moving.first_hour, 0)
    in_two = moving.after_moving(moving.after_moving(begin, first_h), second_h)
    in_one = moving.after_moving(begin, first_h + second_h)

    assert in_two.hour == pytest.approx(in_one.hour, abs=2 * SECOND_H) or abs(
        moving.moved_by(in_two.hour) - moving.moved_by(in_one.hour)
    ) == pytest.approx(0.0, abs=2 * SECOND_H)
    assert in_one.hour >= begin.hour


@given(lengths_km, st.floats(0.0, 1.0), st.lists(st.floats(0.0, 1.0), max_size=4))
def test_spans_tile_the_time(length_km, share, camp_shares):
    """Without ways, the spans of two neighbouring stretches add up to the span of both."""
    base = clock(length_km, camps=camps_at(length_km, camp_shares))
    middle_km = round(length_km * share, 2)
    parts = (base.span(0.0, middle_km), base.span(middle_km, length_km))
    whole = base.span(0.0, length_km)

    assert sum(part.days for part in parts) == pytest.approx(whole.days)
    assert sum(part.nights for part in parts) == whole.nights


@given(lengths_km, st.lists(st.floats(0.0, 1.0), max_size=4), clock_hours)
def test_days_tile_the_route(length_km, camp_shares, depart):
    """The day table starts at km 0, ends at the end, and no km is missing or told twice."""
    camps = [camp for camp in camps_at(length_km, camp_shares) if camp.km > 0.0]
    base = clock(length_km, camps=camps, depart=depart)
    days = travel_days(base, length_km, None)

    assert days[0].from_km == 0.0
    assert days[-1].to_km == pytest.approx(length_km)
    assert all(a.to_km == b.from_km for a, b in itertools.pairwise(days))
    assert sum(d.moving_h for d in days) == pytest.approx(length_km / PACE.speed_kmh)
    assert base.span(0.0, length_km).nights == sum(d.camp for d in days)


@given(
    clock_hours,
    st.lists(st.integers(0, 150_000).map(lambda n: n / 100.0), min_size=3, max_size=3),
    st.sampled_from([None, (11.0, 15.0), (8.0, 9.0), (13.5, 18.0)]),
)
def test_clock_is_monotonic_and_additive_around_a_break(depart, marks, break_h):
    """Farther is never earlier, two parts take as long as the whole, nobody moves in the break."""
    first, middle, last = sorted(marks)
    its = clock(1500.0, depart=depart, break_h=break_h)
    spans = [its.span(first, middle), its.span(middle, last), its.span(first, last)]

    assert its.arrival(first).hour <= its.arrival(middle).hour <= its.arrival(last).hour
    assert spans[0].days + spans[1].days == pytest.approx(spans[2].days)
    if break_h and last > 0.0:
        of_day = its.arrival(last).hour % 24.0
        assert not break_h[0] + 1e-6 < of_day < break_h[1] - 1e-6
