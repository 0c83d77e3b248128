"""The replay of the clock does what the written rules say: every value is worked out by hand.

Source: the rules of docs/why/clock.md; the sums stand beside the checks. Unless a test says
otherwise, 10 km/h everywhere, start at 7:00, 8 hours a day, dark at 18:00, no break.
"""

from __future__ import annotations

import random
from itertools import pairwise

import pytest
from clock_replay import ReplayCamp, ReplayRules, ReplayStop, replay
from random_trips import random_case

SECOND_H = 1 / 3600


def rules(**changed):
    """Give the rules that most cases share."""
    plain = {
        "start_hour": 7.0,
        "hours_per_day": 8.0,
        "break_h": None,
        "off_route_kmh": 10.0,
        "longer_day_h": 1.0,
        "shorter_day_h": 0.5,
        "longest_wait_h": 2.0,
        "goes_after_dark": False,
        "reserve_is_a_day": True,
        "depart_h": 7.0,
        "dusk_h": [18.0],
    }
    return ReplayRules(**(plain | changed))


def travel(length_km, stops=(), camps=(), **changed):
    """Travel a route at 10 km/h."""
    knots = [(0.0, 0.0), (length_km, length_km / 10)]
    return replay(rules(**changed), knots, length_km, stops, camps)


def stop(km, *, way_km=0.0, stop_min=30, open_h=None, **pinned):
    """Give a call of half an hour on the route."""
    return ReplayStop(km, way_km, stop_min, open_h, **pinned)


def test_a_day_ends_when_its_hours_are_used_up():
    """20 h are 8 (7:00 to 15:00, km 80), 8 (km 160) and 4: the end on day 2 at 11:00."""
    done = travel(200)

    assert done.end_h == pytest.approx(48 + 11)
    assert [(day, round(km, 6), wet) for day, km, wet in done.camps] == [
        (0, 80, False),
        (1, 160, False),
    ]
    assert done.stretches[0].nights == 2
    assert done.stretches[0].moving_h == pytest.approx(20)
    assert done.stretches[0].days == pytest.approx((59 - 7) / 24)


@pytest.mark.parametrize(("depart_h", "end_h"), [(4.0, 12.0), (7.0, 12.0), (9.5, 14.5)])
def test_the_first_day_begins_at_the_later_of_departure_and_start_hour(depart_h, end_h):
    """5 h from 7:00 (for 4:00 and 7:00) or from 9:30."""
    done = travel(50, depart_h=depart_h)

    assert done.end_h == pytest.approx(end_h)
    assert done.stretches[0].days == pytest.approx(5 / 24)


def test_hours_not_used_by_dark_are_lost_and_a_departure_after_dark_camps_at_the_start():
    """From 12:00, 6 h to dark (km 60), then 4 h from 7:00; from 19:00 none, then 8 and 2."""
    noon, evening = travel(100, depart_h=12.0), travel(100, depart_h=19.0)

    assert noon.end_h == pytest.approx(24 + 11)
    assert noon.camps[0] == (0, pytest.approx(60), False)
    assert evening.end_h == pytest.approx(48 + 9)
    assert [camp[1] for camp in evening.camps] == pytest.approx([0, 80])


def test_dark_falls_on_each_day_at_its_own_hour():
    """Dark at 9:00, then at 8:00 for good: 2 h, then 1 h a day; 3.5 h end on day 2 at 7:30."""
    assert travel(35, dusk_h=[9.0, 8.0]).end_h == pytest.approx(48 + 7.5)
    assert travel(35, dusk_h=lambda day: 9.0 - min(day, 1)).camps[-1][1] == pytest.approx(30)


def test_who_goes_after_dark_still_stops_at_midnight():
    """From 19:00 to midnight are 5 of 8 h (km 50); then again from 19:00: 3 h more."""
    done = travel(80, start_hour=19.0, depart_h=19.0, goes_after_dark=True, longer_day_h=0.0)

    assert done.camps == [(0, pytest.approx(50), False)]
    assert done.end_h == pytest.approx(24 + 22)


def test_nobody_moves_in_the_break():
    """7:00 to 12:00 are 5 h, 2 h of break, then 1 h to 15:00."""
    assert travel(60, break_h=(12.0, 14.0)).end_h == pytest.approx(15)
    assert travel(60, break_h=(12.0, 14.0), depart_h=13.0).end_h == pytest.approx(24 + 9)


def test_ways_are_moving_hours_and_stops_are_not():
    """Out 1 h to 10:00, stop to 12:00, back 1 h, and 4 h of the 8 left: km 20 + 40 at 17:00."""
    done = travel(100, [stop(20, way_km=10, stop_min=120)])

    assert done.stops[0].arrive_h == pytest.approx(10)
    assert done.stops[0].leave_h == pytest.approx(12)
    assert done.stretches[0].moving_h == pytest.approx(3)
    assert done.stretches[1].moving_h == pytest.approx(9)
    assert done.camps == [(0, pytest.approx(60), False)]
    assert done.end_h == pytest.approx(24 + 11)


def test_a_camp_on_a_way_is_told_at_the_km_where_it_leaves_the_route():
    """7.5 h to km 75, and 0.5 h of the 2 h of way: camp; 1.5 h more from 7:00."""
    done = travel(100, [stop(75, way_km=20)])

    assert done.camps[0] == (0, pytest.approx(75), False)
    assert done.stops[0].arrive_h == pytest.approx(24 + 8.5)


def test_km_follow_the_knots():
    """4 h to km 10, then 20 km an hour: 8 h end at km 10 + 80."""
    done = replay(rules(), [(0, 0), (10, 4), (150, 11)], 150, [], [])

    assert done.camps == [(0, pytest.approx(90), False)]


@pytest.mark.parametrize(
    ("length_km", "changed", "end_h"),
    [
        (90, {}, 16),  # 9 h are 8 and 1 more
        (90.1, {}, 24 + 7 + 1.01),  # 36 s too far: camp at km 80
        (90, {"reserve_is_a_day": False}, 24 + 8),
        (82.5, {"reserve_is_a_day": False}, 15.25),  # the last quarter of an hour
        (82.6, {"reserve_is_a_day": False}, 24 + 7.26),  # 36 s too far
        (82, {"reserve_is_a_day": False, "longer_day_h": 0.0}, 24 + 7.2),
        (82, {"reserve_is_a_day": False, "dusk_h": [15.1]}, 24 + 7.2),
        (90, {"longer_day_h": 0.5}, 24 + 8),
        (90, {"dusk_h": [15.9]}, 24 + 8),  # dark 6 minutes before the end
        (40, {"dusk_h": [23.9], "depart_h": 20.1}, 24 + 7.2),  # 3.8 h to dark, then 0.2
        (85, {"break_h": (15.0, 15.5), "dusk_h": [16.1]}, 16),  # 15:30 to 16:00
        (85, {"break_h": (15.0, 15.5), "dusk_h": [15.9]}, 24 + 7.5),
        (120, {"goes_after_dark": True, "depart_h": 15.5}, 24 + 7 + 4),  # midnight, 0.5 h over
    ],
)
def test_a_longer_day_reaches_the_end_where_a_dry_night_more_is_carried(length_km, changed, end_h):
    """The hours are used up at 15:00; the end is reached where that is at most 1 h away."""
    assert travel(length_km, **changed).end_h == pytest.approx(end_h)


def test_a_longer_day_reaches_the_next_call_or_pinned_camp_and_ends_there():
    """8.6 h to km 86 at 15:36; there the night: at water until 7:00, or pinned."""
    call, camp = travel(150, [stop(86)]), travel(150, camps=[ReplayCamp(86, 1)])

    assert call.stops[0].arrive_h == pytest.approx(15.6)
    assert call.stops[0].nights_at_water == 1
    assert call.stops[0].leave_h == pytest.approx(24 + 7)
    assert camp.camps == [(0, 86, False)]
    assert camp.end_h == pytest.approx(24 + 7 + 6.4)


def test_a_longer_day_ends_at_midnight():
    """From 15:36, 8 h end at 23:36, 0.4 h before midnight: the end 0.3 h on is reached, 0.5 not."""
    late = {"depart_h": 15.6, "goes_after_dark": True}

    assert travel(83, **late).end_h == pytest.approx(23.9)
    assert travel(85, **late).end_h == pytest.approx(24 + 7.5)


def test_midnight_ends_the_day_where_dark_falls_later_still():
    """From 20:00, dark at 0:30: 4 h to midnight (km 40), and 2 h more from 7:00."""
    done = travel(60, depart_h=20.0, dusk_h=[24.5], longer_day_h=2.0)

    assert done.camps == [(0, pytest.approx(40), False)]
    assert done.end_h == pytest.approx(24 + 9)


@pytest.mark.parametrize(
    ("km", "changed", "nights"),
    [
        (76, {}, 1),  # 0.4 h left
        (75, {}, 1),  # 0.5 h left: at most half an hour
        (74, {}, 0),  # 0.6 h left
        (76, {"shorter_day_h": 0.3}, 0),
        (60, {"dusk_h": [13.8]}, 1),  # 13:30 after the stop, 2 h left but 0.3 h before dark
        (60, {"dusk_h": [15.0], "break_h": (13.6, 14.7)}, 1),  # 0.1 h and 0.3 h round the break
    ],
)
def test_who_is_ready_to_leave_with_little_of_the_day_left_camps_at_the_water(km, changed, nights):
    """Hours left are 8 - km / 10, or what is left before dark; the night lies at the water."""
    done = travel(200, [stop(km)], **changed)

    assert done.stops[0].nights_at_water == nights
    assert done.stretches[0].nights == 0
    assert done.stops[0].leave_h == pytest.approx(24 + 7 if nights else 7.5 + km / 10)


@pytest.mark.parametrize(
    ("length_km", "changed", "nights"),
    [
        (89, {}, 0),  # 8.9 h in all: by a longer day
        (91, {}, 1),
        (89, {"reserve_is_a_day": False}, 1),
        (79, {"reserve_is_a_day": False}, 0),  # within the day's hours
        (89, {"dusk_h": [16.3]}, 1),  # the end would be reached at 16:24
    ],
)
def test_no_shorter_day_where_the_end_is_reached_that_day(length_km, changed, nights):
    """The call at km 76 has 0.4 h left at 15:06; the end follows."""
    assert travel(length_km, [stop(76)], **changed).stops[0].nights_at_water == nights


def test_no_shorter_day_where_a_pinned_camp_is_reached_but_the_next_call_does_not_count():
    """A camp or a pinned call 0.8 h on is gone to, a call without a camp is not."""
    to_camp = travel(200, [stop(76)], [ReplayCamp(84, 1)])
    to_pinned = travel(200, [stop(76), stop(84, pinned_nights=1)])
    to_call = travel(200, [stop(76), stop(84)])

    assert to_camp.camps[0] == (0, 84, False)
    assert to_pinned.camps[0] == (0, 84, True)
    assert to_call.camps[0] == (0, 76, True)


def test_a_call_on_the_way_takes_its_time_of_the_day_that_reaches_the_end():
    """Ready at 15:06 at km 76; the call at km 80 takes 30 or 150 minutes; dark at 18:00.

    Moving to the end at km 88 takes 0.4 + 0.8 h: 16:48 or 18:48.
    """
    short = travel(88, [stop(76), stop(80)])
    long = travel(88, [stop(76), stop(80, stop_min=150)])

    assert short.end_h == pytest.approx(16.8)
    assert long.stops[0].nights_at_water == 1


@pytest.mark.parametrize(
    ("open_h", "wait_h", "too_late"),
    [
        ((8.0, 17.0), 0.0, False),
        ((10.0, 17.0), 1.0, False),
        ((11.0, 17.0), 2.0, False),  # at most 2 h
        ((11.1, 17.0), 0.0, True),
        ((20.0, 10.0), 0.0, False),  # open over midnight, until 10:00
        ((20.0, 9.0), 0.0, True),  # closed from its last hour on
        ((0.0, 24.0), 0.0, False),
    ],
)
def test_a_closed_call_is_waited_for_within_the_longest_wait(open_h, wait_h, too_late):
    """Reached at 9:00; the party has arrived when water can be drawn."""
    done = travel(40, [stop(20, open_h=open_h)])

    assert done.stops[0].too_late is too_late
    assert done.stops[0].wait_h == pytest.approx(wait_h)
    assert done.stops[0].arrive_h == pytest.approx(9 + wait_h)
    assert done.stops[0].leave_h == pytest.approx(9 + wait_h + (0.0 if too_late else 0.5))
    assert done.stretches[0].wait_h == pytest.approx(wait_h)
    assert done.stretches[0].days == pytest.approx((2 + wait_h) / 24)
    assert done.stretches[0].moving_h == pytest.approx(2)


def test_a_wait_past_midnight_ends_before_the_night_which_is_spent_at_the_water():
    """Reached at 23:30 after dark, open at 0:30: drawn by 1:00, camp until 7:00 of day 1."""
    done = travel(80, [stop(30, open_h=(0.5, 4.0))], depart_h=20.5, goes_after_dark=True)

    assert done.stops[0].arrive_h == pytest.approx(24.5)
    assert done.stops[0].leave_h == pytest.approx(24 + 7)
    assert done.camps == [(0, 30, True)]
    assert done.stretches[0].nights == 0


def test_a_stop_that_runs_into_the_next_day_has_its_hours_but_no_more_time_before_dark():
    """14:00 and 19 h are 9:00 of day 1: a night at the water, and 8 h to 17:00 at km 150.

    With dark at 14:00, 13:00 and 20 h are 9:00 too; that leaves 5 h, to km 110.
    """
    done = travel(200, [stop(70, stop_min=19 * 60)])
    dark = travel(200, [stop(60, stop_min=20 * 60)], dusk_h=[14.0])

    assert done.stops[0].nights_at_water == 1
    assert done.stops[0].leave_h == pytest.approx(24 + 9)
    assert done.camps == [(0, 70, True), (1, pytest.approx(150), False)]
    assert dark.camps[:2] == [(0, 60, True), (1, pytest.approx(110), False)]


def test_a_stop_that_ends_in_the_night_is_followed_by_the_rest_of_that_night():
    """14:00 and 12 h are 2:00: the hours of day 0 are lost at midnight; on at 7:00."""
    done = travel(200, [stop(70, stop_min=12 * 60)])

    assert done.stops[0].nights_at_water == 1
    assert done.stops[0].leave_h == pytest.approx(24 + 7)


def test_a_camp_pinned_at_water_begins_after_the_stop_with_its_days_of_rest():
    """9:00 to 9:30, then a night and a day of rest: on at 7:00 of day 2."""
    done = travel(60, [stop(20, pinned_nights=2)])

    assert done.stops[0].nights_at_water == 2
    assert done.stops[0].leave_h == pytest.approx(48 + 7)
    assert done.camps == [(0, 20, True), (1, 20, True)]
    assert done.stretches[1].nights == 0
    assert done.stretches[1].days == pytest.approx(4 / 24)


def test_a_camp_pinned_at_water_begins_after_a_stop_through_the_night():
    """From 9:00, 23 h end at 8:00 of day 1, and the pinned night at 7:00 of day 2."""
    done = travel(60, [stop(20, stop_min=23 * 60, pinned_nights=1)])

    assert done.stops[0].nights_at_water == 2
    assert done.stops[0].leave_h == pytest.approx(48 + 7)


def test_a_dry_camp_beside_a_call_belongs_to_the_next_stretch():
    """Left at 9:30; a night beside it; 4 h from 7:00 of day 1 with 1 h of way: 12:00."""
    done = travel(60, [stop(20, way_km=10, leaves_at_once=True, dry_nights=1)])

    assert done.stops[0].nights_at_water == 0
    assert done.stops[0].leave_h == pytest.approx(10.5)
    assert done.camps == [(0, 20, False)]
    assert done.stretches[1].nights == 1
    assert done.stretches[1].days == pytest.approx((24 + 12 - 10.5) / 24)


def test_a_pinned_camp_ends_the_day_whatever_hours_are_left():
    """9:00 at km 20; a night and a day of rest; 6 h from 7:00 of day 2."""
    done = travel(80, camps=[ReplayCamp(20, 2)])

    assert done.camps == [(0, 20, False), (1, 20, False)]
    assert done.end_h == pytest.approx(48 + 13)
    assert done.stretches[0].nights == 2


@pytest.mark.parametrize(("beyond_s", "nights"), [(0.4, 0), (0.6, 1)])
@pytest.mark.parametrize(
    "changed", [{"longer_day_h": 0.0}, {"dusk_h": [15.0]}, {"hours_per_day": 7.0}]
)
def test_less_than_half_a_second_begins_no_new_day(beyond_s, nights, changed):
    """8 h and 0.4 or 0.6 s, against the hours, dark at 15:00, and 7 h and a longer day."""
    done = travel(80 + 10 * beyond_s * SECOND_H, **changed)

    assert done.stretches[0].nights == nights


def test_hours_that_are_no_hours_are_refused():
    """A call open from 8:00 to 8:00 is open always or never: nobody knows."""
    with pytest.raises(ValueError, match="the same"):
        travel(40, [stop(20, open_h=(8.0, 8.0))])


def test_a_party_that_never_moves_is_told():
    """Dark falls before the start hour on every day."""
    with pytest.raises(ValueError, match="does not get on"):
        travel(40, dusk_h=[6.0])


@pytest.mark.parametrize("seed", range(60))
def test_random_trips_add_up(seed):
    """Whatever the trip, its moving, nights, stretches and calls add up to the whole."""
    case = random_case(random.Random(seed))
    done = replay(**case)
    way_h = sum(2 * call.way_km for call in case["stops"]) / case["rules"].off_route_kmh
    at_water = sum(call.nights_at_water for call in done.stops)
    on_the_way = sum(stretch.nights for stretch in done.stretches)
    stays_h = sum(call.leave_h - call.arrive_h for call in done.stops)
    gone_h = done.end_h - max(case["rules"].depart_h, case["rules"].start_hour)

    assert sum(part.moving_h for part in done.stretches) == pytest.approx(
        case["knots"][-1][1] + way_h
    )
    assert [day for day, _, _ in done.camps] == list(range(at_water + on_the_way))
    assert sum(wet for _, _, wet in done.camps) == at_water
    assert sum(part.days for part in done.stretches) * 24 + stays_h == pytest.approx(gone_h)
    assert all(b >= a - 1e-6 for (_, a, _), (_, b, _) in pairwise(done.camps))
    assert not any(call.too_late for call in done.stops)
    assert random_case(random.Random(seed)) == case


def test_random_trips_hold_every_rule():
    """Each turn of the rules is met by some of the trips."""
    cases = [random_case(random.Random(seed)) for seed in range(60)]
    done = [replay(**case) for case in cases]
    calls = [call for trip in done for call in trip.stops]
    stops = [call for case in cases for call in case["stops"]]

    assert any(call.wait_h > 0 for call in calls)
    assert any(call.nights_at_water for call in calls)
    assert any(call.leaves_at_once for call in stops)
    assert any(call.pinned_nights > 1 for call in stops)
    assert any(call.open_h and call.open_h[0] > call.open_h[1] for call in stops)
    assert any(case["camps"] for case in cases)
    assert {case["rules"].goes_after_dark for case in cases} == {True, False}
    assert {case["rules"].start_hour >= 16 for case in cases} == {True, False}
    assert {case["rules"].depart_h < case["rules"].start_hour for case in cases} == {True, False}
