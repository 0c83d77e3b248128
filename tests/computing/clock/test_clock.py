"""Check the clock against sums done by hand in the docstrings, by the rules of docs/why/clock.md.

Unless a test says otherwise the party goes 50 km/h, 6 hours a day from 8 o'clock, so 300 km a day
from 8:00 to 14:00, and 10 km/h off the route.
"""

from __future__ import annotations

import datetime as dt
import itertools

import pytest
from clocks import clock, days_along, travel
from hypothesis import given
from hypothesis import strategies as st
from make import PACE, pace

from longdry.computing.clock.camps import camps_at_calls
from longdry.computing.clock.clock import Call, Camp, EndlessTripError
from longdry.model.trip.trip import PaceSection

QUARTER_H = 0.25


def first_stay(*calls, **rules):
    return clock(**rules).follow(calls).stays[0]


def test_six_hundred_km_at_three_hundred_a_day():
    """6 h, a night, 6 h: from 8:00 to 14:00 on the next day, 30 h."""
    whole = travel(0.0, 600.0)

    assert (whole.begin_h, whole.end_h, whole.nights) == (8.0, 38.0, 1)
    assert (whole.days, whole.moving_h) == (1.25, 12.0)


def test_arrival_at_the_last_moving_minute_is_before_the_night():
    """300 km take exactly one moving day: no camp is needed to arrive."""
    assert (travel(0.0, 300.0).end_h, travel(0.0, 300.0).nights) == (14.0, 0)


def test_ways_to_water_take_moving_hours_and_are_part_of_the_stretch():
    """Water at km 100, 10 km off: 2 h and 1 h out, there at 11:00; 1 h back, 2 h left, km 200.

    The last 100 km take 2 h of the next day.
    """
    gone = clock(300.0).follow([Call(100.0, 10.0)])
    out, on = gone.travels

    assert (out.end_h, out.length_km, out.moving_h) == (11.0, 110.0, 3.0)
    assert (on.begin_h, on.end_h, on.nights, on.length_km) == (11.0, 34.0, 1, 210.0)
    assert on.km_at(20.0) == 200.0


def test_a_stop_takes_time_of_the_clock_and_no_moving_hours():
    """Two hours at the water at km 100, 10:00 to 12:00; the four moving hours left go to 16:00."""
    gone = clock(300.0).follow([Call(100.0, stop_h=2.0)])

    assert (gone.stays[0].arrives.hour, gone.stays[0].leaves.hour) == (10.0, 12.0)
    assert (gone.arrives.hour, gone.travels[1].nights) == (16.0, 0)


def test_hours_that_dark_takes_are_lost():
    """The same stop with dark at 15:00: three hours on, km 250; the last hour is next morning's."""
    gone = clock(300.0, dark_h=15.0).follow([Call(100.0, stop_h=2.0)])

    assert gone.travels[1].km_at(20.0) == 250.0
    assert (gone.arrives.hour, gone.travels[1].nights) == (33.0, 1)


def test_nobody_moves_past_midnight():
    """From 20:00 with 6 hours a day: 4 h to midnight, 200 km; then two from 20:00."""
    late = travel(0.0, 300.0, its_pace=pace(start_hour=20.0), depart=20.0)

    assert (late.km_at(24.5), late.end_h, late.nights) == (200.0, 46.0, 1)


def test_a_longer_day_reaches_the_end_and_no_hour_more():
    """350 km at 300 a day: with an hour more at 15:00, with 59 minutes at 9:00 the next day."""
    assert travel(0.0, 350.0, longer_day_h=1.0).end_h == 15.0
    assert travel(0.0, 350.0, longer_day_h=59.0 / 60.0).end_h == 33.0
    assert travel(0.0, 350.0, longer_day_h=1.0, dark_h=14.5).end_h == 33.0


def test_a_longer_day_reaches_a_call_and_a_pinned_camp():
    """Water at km 340 is reached at 14:48, a camp at km 320 at 14:24; from there a whole day."""
    to_water = clock(700.0, longer_day_h=1.0).follow([Call(340.0)])
    to_camp = clock(700.0, longer_day_h=1.0, camps=[Camp(320.0, 1)]).follow([])

    assert to_water.stays[0].arrives.hour == pytest.approx(14.8)
    assert to_camp.travels[0].until_km(320.0).end_h == pytest.approx(14.4)
    assert to_camp.travels[0].km_at(40.0) == pytest.approx(620.0)


def test_a_shorter_day_ends_at_the_water():
    """Water at km 280, 13:36, with 24 minutes left: the party camps there and leaves at 8:00.

    With no shorter days it goes on at once, for 20 km.
    """
    stays = [first_stay(Call(280.0), shorter_day_h=hours) for hours in (0.5, 0.0)]

    assert [(stay.nights, stay.leaves.hour) for stay in stays] == [
        (1, 32.0),
        (0, pytest.approx(13.6)),
    ]


def test_no_camp_minutes_before_the_end():
    """The same water, 20 km before the end: 24 minutes are just enough. 30 km: a longer day is."""
    near = clock(300.0, shorter_day_h=0.5).follow([Call(280.0)])
    farther = clock(310.0, shorter_day_h=0.5, longer_day_h=1.0).follow([Call(280.0)])
    too_far = clock(310.0, shorter_day_h=0.5).follow([Call(280.0)])

    assert (near.arrives.hour, near.stays[0].nights) == (14.0, 0)
    assert farther.arrives.hour == pytest.approx(14.2)
    assert (too_far.arrives.hour, too_far.stays[0].nights) == (pytest.approx(32.6), 1)


def test_the_last_minutes_are_gone_to_the_end_and_to_nothing_else():
    """310 km at 300 a day: the end, 12 minutes on, is reached; water or a camp there is not."""
    to_end = clock(310.0, last_minutes_h=0.25).follow([])
    to_water = clock(400.0, last_minutes_h=0.25).follow([Call(310.0)])
    to_camp = clock(400.0, last_minutes_h=0.25, camps=[Camp(310.0, 1)]).follow([])

    assert to_end.arrives.hour == pytest.approx(14.2)
    assert to_water.stays[0].arrives.hour == pytest.approx(32.2)
    assert to_camp.travels[0].until_km(310.0).end_h == pytest.approx(32.2)


def test_water_is_left_for_the_end_only_where_it_is_reached_over_all_calls_between():
    """Water at km 285, 18 minutes left: 310 is reached; by a call at km 305 it is not."""
    rules = {"shorter_day_h": 0.5, "last_minutes_h": 0.25}
    straight_on = clock(310.0, **rules).follow([Call(285.0)])
    over_a_call = clock(310.0, **rules).follow([Call(285.0), Call(305.0)])

    assert (straight_on.stays[0].nights, straight_on.travels[-1].nights) == (0, 0)
    assert over_a_call.stays[0].nights == 1


def test_a_door_that_opens_within_the_wait_is_waited_for():
    """At the water at 10:00, open from 11:30: drawn at 11:30, the wait part of the stretch."""
    gone = clock().follow([Call(100.0, stop_h=QUARTER_H, open_h=(11.5, 17.0))])
    (stay,) = gone.stays

    assert (stay.arrives.hour, stay.wait_h, stay.leaves.hour) == (11.5, 1.5, 11.75)
    assert (gone.travels[0].end_h, gone.travels[0].wait_h) == (11.5, 1.5)


def test_a_door_that_opens_later_is_none():
    """At the water at 10:00, open from 12:01 with a wait of two hours: closed, and left at once."""
    stay = first_stay(Call(100.0, stop_h=QUARTER_H, open_h=(12.0 + 1 / 60, 17.0)))

    assert (stay.is_closed, stay.arrives.hour, stay.leaves.hour) == (True, 10.0, 10.0)


@pytest.mark.parametrize(
    ("open_h", "wait_h"), [((20.0, 9.0), 10.0), ((20.0, 11.0), 0.0), ((9.0, 10.0), 0.0)]
)
def test_doors_open_over_midnight(open_h, wait_h):
    """At 10:00: open from 20:00 to 9:00 it is 10 h early, to 11:00 or to 10:00 it is in time."""
    assert first_stay(Call(100.0, open_h=open_h), longest_wait_h=12.0).wait_h == wait_h


def test_a_stop_that_runs_into_the_next_day_leaves_all_its_hours_and_no_more_light():
    """Water at km 200, 12:00, 23 hours of drawing: until 11:00, one night at the water.

    From 11:00 the party has 6 hours, to 17:00 and km 500; where dark is at 15:00, 4 hours, km 400.
    """
    light = clock(700.0).follow([Call(200.0, stop_h=23.0)])
    dark = clock(700.0, dark_h=15.0).follow([Call(200.0, stop_h=23.0)])

    assert (light.stays[0].leaves.hour, light.stays[0].nights) == (35.0, 1)
    assert (light.travels[1].km_at(43.0), dark.travels[1].km_at(43.0)) == (500.0, 400.0)


def test_pinned_camp_ends_the_day():
    """Camp at km 100 (10:00); on at 8:00 next day, km 200 at 10:00 of day 2: 26 h."""
    gone = travel(0.0, 200.0, camps=[Camp(100.0, 1)])

    assert (gone.end_h - gone.begin_h, gone.nights) == (26.0, 1)


def test_rest_day_adds_a_day_and_a_night():
    """The same camp with a rest day: two nights, 50 h."""
    gone = travel(0.0, 200.0, camps=[Camp(100.0, 2)])

    assert (gone.end_h - gone.begin_h, gone.nights) == (50.0, 2)


def test_a_camp_pinned_at_the_water_draws_on_it():
    """Three nights at the water at km 100: there at 10:00, left at 8:00 on day 3; 2 h to km 200."""
    gone = clock(200.0).follow([Call(100.0, stop_h=QUARTER_H, pinned_nights=3)])

    assert (gone.stays[0].nights, gone.stays[0].leaves.hour) == (3, 80.0)
    assert (gone.travels[1].nights, gone.arrives.hour) == (0, 82.0)


def test_a_camp_beside_the_water_that_does_not_draw_on_it_is_carried():
    """The party leaves the water at 10:15 and camps beside it on what it carries, to 8:00."""
    gone = clock(200.0).follow([Call(100.0, stop_h=QUARTER_H, dry_nights=1)])

    assert (gone.stays[0].nights, gone.stays[0].leaves.hour) == (0, 10.25)
    assert (gone.travels[1].nights, gone.arrives.hour) == (1, 34.0)


@pytest.mark.parametrize(
    ("camp_km", "at_water", "nights"),
    [
        (100.3, None, (2, 0)),
        (100.4, None, (0, 0)),
        (100.9, True, (2, 0)),
        (101.1, True, (0, 0)),
        (100.2, False, (0, 2)),
    ],
)
def test_which_camps_are_at_a_call(camp_km, at_water, nights):
    """Within 0.3 km along the route, or within 1 km where the trip says so; the others are dry."""
    (call,), away = camps_at_calls([Camp(camp_km, 2, at_water)], [Call(100.0)])

    assert (call.pinned_nights, call.dry_nights) == nights
    assert len(away) == (nights == (0, 0))


def test_departure_before_the_start_hour_waits_for_it():
    """Who is ready at 5:00 leaves at 8:00."""
    assert clock(depart=5.0).start().hour == 8.0


def test_departure_late_in_the_day_has_all_its_hours_before_dark():
    """At 15:00 with 6 hours a day: 300 km by 21:00; where dark is at 18:00, 150 km of them."""
    assert travel(0.0, 300.0, depart=15.0).end_h == 21.0
    assert travel(0.0, 300.0, depart=15.0, dark_h=18.0).km_at(20.0) == 150.0


def test_departure_after_dark_waits_for_the_next_morning():
    """At 20:00 with dark at 18:00: 50 km are done at 9:00 on the next day, after one night."""
    gone = travel(0.0, 50.0, depart=20.0, dark_h=18.0)

    assert (gone.begin_h, gone.end_h, gone.nights) == (20.0, 33.0, 1)


def test_heat_break_stops_the_clock():
    """8 hours a day from 6:00, nobody moves from 11 to 15: the sixth hour ends at 16:00."""
    gone = travel(
        0.0, 300.0, its_pace=pace(start_hour=6.0, hours_per_day=8.0), depart=6.0, break_h=(11, 15)
    )

    assert (gone.begin_h, gone.end_h, gone.moving_h) == (6.0, 16.0, 6.0)


def test_sections_have_their_own_speed():
    """100 km at 50 km/h, 50 km at 25 km/h, 50 km at 50 km/h: 2 + 2 + 1 h."""
    slow = pace(sections=(PaceSection(100.0, 150.0, 25.0),))

    assert travel(0.0, 200.0, its_pace=slow).moving_h == 5.0


def test_days_tell_where_each_one_ends():
    """700 km at 300 km a day: two camps at km 300 and 600, then 2 hours."""
    days = days_along(700.0, departs_on=dt.date(2027, 5, 3))

    assert [(d.from_km, d.to_km, d.moving_h, d.camp) for d in days] == [
        (0.0, 300.0, 6.0, True),
        (300.0, 600.0, 6.0, True),
        (600.0, 700.0, 2.0, False),
    ]
    assert days[-1].date == dt.date(2027, 5, 5)


def test_days_of_rest_stand_in_the_day_table_with_the_water_they_are_at():
    """Two nights at the water at km 100, a dry night at km 200: two days end at water, one not."""
    days = days_along(250.0, [Call(100.0, pinned_nights=2)], camps=[Camp(200.0, 1)])

    assert [(d.from_km, d.to_km, d.rest, d.camp, d.at_water) for d in days] == [
        (0.0, 100.0, False, True, True),
        (100.0, 100.0, True, True, True),
        (100.0, 200.0, False, True, False),
        (200.0, 250.0, False, False, False),
    ]


@pytest.mark.parametrize("over_km", [0.0, 1e-7, 0.001, 0.005])
def test_centimetres_begin_no_day(over_km):
    """300 km and a few metres at most take one moving day of 300 km: no camp, no second day."""
    assert [day.camp for day in days_along(300.0 + over_km)] == [False]
    assert travel(0.0, 300.1).nights == 1


def test_centimetres_wait_for_no_break():
    """150 km and a centimetre from 8:00 are done when the break begins at 11:00."""
    assert travel(0.0, 150.00001, break_h=(11.0, 15.0)).end_h == pytest.approx(11.0, abs=1e-6)
    assert travel(0.0, 150.1, break_h=(11.0, 15.0)).end_h == pytest.approx(15.0, abs=0.01)


def test_a_trip_of_more_than_ten_years_is_none():
    """10 million km at 300 km a day take 91 years."""
    with pytest.raises(EndlessTripError):
        clock(1e7).follow([])


SECOND_H = 1.0 / 3600.0
lengths_km = st.integers(1, 3000).map(float)
depart_hours = st.integers(0, 2390).map(lambda n: n / 100.0)
breaks = st.sampled_from([None, (11.0, 15.0), (8.0, 9.0), (13.5, 18.0)])
shares = st.lists(st.floats(0.01, 0.99), max_size=4)


def places(length_km, its_shares):
    return sorted({round(length_km * share, 2) for share in its_shares})


@given(lengths_km, st.lists(st.floats(0.0, 1.0), min_size=2, max_size=2), depart_hours, breaks)
def test_farther_is_never_earlier_and_nobody_moves_in_the_break(length_km, at, depart, break_h):
    """Along one way the clock never runs back, and no arrival lies within the hours of a break."""
    (way,) = clock(length_km, depart=depart, break_h=break_h).follow([]).travels
    near, far = (way.until_km(length_km * share).end_h for share in sorted(at))

    assert way.begin_h <= near <= far <= way.end_h
    if break_h and length_km * min(at) > 0.01:
        assert not break_h[0] + SECOND_H < near % 24.0 < break_h[1] - SECOND_H


@given(lengths_km, shares, shares, depart_hours)
def test_pieces_leave_no_gap_and_days_tile_the_route(length_km, call_at, camp_at, depart):
    """Every piece begins where the one before ends, in time and km; days and hours add up."""
    camps = [Camp(km, 1) for km in places(length_km, camp_at)]
    calls = [Call(km, 3.0, QUARTER_H) for km in places(length_km, call_at)]
    gone = clock(length_km, depart=depart, camps=camps, shorter_day_h=0.5).follow(calls)
    days = days_along(
        length_km, calls, depart=depart, camps=camps, shorter_day_h=0.5, departs_on=None
    )

    for travelled in gone.travels:
        hours = [travelled.begin_h, *(piece.end_h for piece in travelled.pieces)]
        assert [piece.begin_h for piece in travelled.pieces] == hours[:-1]
        assert hours[-1] == travelled.end_h
        assert all(a.to_km == b.from_km for a, b in itertools.pairwise(travelled.pieces))
    moving_h = length_km / PACE.speed_kmh + len(calls) * 2 * 3.0 / PACE.off_route_kmh
    assert sum(travelled.moving_h for travelled in gone.travels) == pytest.approx(moving_h)
    assert sum(day.moving_h for day in days) == pytest.approx(moving_h)
    assert (days[0].from_km, days[-1].to_km) == (0.0, pytest.approx(length_km))
    assert all(a.to_km == b.from_km for a, b in itertools.pairwise(days))
    nights = sum(one.nights for one in (*gone.travels, *gone.stays))
    assert nights == sum(day.camp for day in days)
