"""Every grave warning appears where it should, and not a step before. All invented.

Litres and hours are worked by hand in the docstrings from the rules of docs/why.
"""

from __future__ import annotations

import dataclasses
import datetime as dt

import pytest
from loaded import DATED, SURE
from make import calling_at, container, pace, policy, source_at, straight_route, trip
from without_mends import plan_without_mends

from longdry.computing.plan.planning import plan_trip
from longdry.model.plan.headline import HeadlineLevel
from longdry.model.trip.heat import Effort, HeatExpectation, HeatOutlook, PersonInHeat, TripHeat
from longdry.model.trip.party import Kit
from longdry.model.trip.treatment import Treatment, TreatMethod
from longdry.model.trip.trip import Contact
from longdry.model.words import Certainty, CountOn, FillHabit, Grade, IfDry, Travel

ROUTE = straight_route(600.0, points=7)


def sure(km, **more):
    """A source that the user's own word makes certain."""
    known = {key: more.pop(key) for key in ("flow_l_per_min", "access") if key in more}
    return dataclasses.replace(source_at(km, **more), certainty=Certainty.CERTAIN, **known)


def grave(plan):
    return [one.text for one in plan.warnings if one.grave]


def others(plan):
    return [one.text for one in plan.warnings if not one.grave]


def test_no_reserve():
    """A reserve of 0 is told, one of half a day is not."""
    none, half = (
        plan_without_mends(ROUTE, [], trip(policy=policy(reserve_days=d))) for d in (0.0, 0.5)
    )

    assert any("The reserve is 0" in one for one in grave(none))
    assert not any("The reserve is 0" in one for one in grave(half))


def test_salt_that_was_not_read():
    """Of two wells with an unread column the one whose salt is known otherwise is left out."""
    unread = dataclasses.replace(sure(200.0), name="Salt Well", unread_salt="ec_us_cm")
    known = dataclasses.replace(sure(400.0), unread_salt="salinity", tds_mg_per_l=300.0)
    told = [
        one for one in grave(plan_without_mends(ROUTE, [unread, known], trip())) if "salt" in one
    ]

    assert len(told) == 1
    assert told[0].startswith("1 source that counts has a number for salt that was not read")
    assert "Salt Well" in told[0]
    assert '"ec_us_cm" as tds_mg_per_l' in told[0]


@pytest.mark.parametrize(
    ("help_days", "contact", "is_told"),
    [
        (0.0, Contact(call="radio"), True),
        (0.0, Contact(call="radio", check_in_days=1.0), False),
        (0.5, Contact(call="radio"), False),
        (None, Contact(due_back=dt.date(2027, 5, 20), search_days=0.0), True),
        (None, Contact(due_back=dt.date(2027, 5, 20), search_days=1.0), False),
    ],
)
def test_help_that_takes_no_time(help_days, contact, is_told):
    """Help at once, or found at once when missed, is told; a check-in or half a day is time."""
    its_trip = dataclasses.replace(trip(policy=policy(help_days=help_days)), contact=contact)
    plan = plan_without_mends(ROUTE, [], its_trip)

    assert any("Help that takes no time" in one for one in grave(plan)) is is_told


def test_no_heat():
    """A trip without [heat] is told that heat can double what people need."""
    assert any("No heat is given" in one for one in grave(plan_without_mends(ROUTE, [], trip())))


@pytest.mark.parametrize(("day", "is_told"), [(3, True), (4, False)])
def test_due_back_before_the_plan_ends(day, is_told):
    """600 km from 3 May on at 300 km a day end on 4 May: due on 3 May is too soon."""
    contact = Contact(call="radio", due_back=dt.date(2027, 5, day))
    its_trip = dataclasses.replace(trip(), contact=contact, **DATED)
    plan = plan_without_mends(ROUTE, [], its_trip)

    assert plan.days[-1].date == dt.date(2027, 5, 4)
    assert any("You are due back on" in one for one in grave(plan)) is is_told


@pytest.mark.parametrize(("boxes", "is_told"), [((100.0, 1), True), ((50.0, 2), False)])
def test_one_container_with_more_than_half(boxes, is_told):
    """One can of 100 L holds all; of two of 50 L each holds half."""
    its_trip = trip(containers=[container(*boxes)], policy=policy(fill=FillHabit.TOP_UP))

    told = grave(plan_without_mends(ROUTE, [], its_trip))
    assert any("no container should hold more than half" in one for one in told) is is_told


@pytest.mark.parametrize(
    ("open_h", "take_l", "words"),
    [
        ((0.0, 15.0), 3.0, None),
        ((13.0, 20.0), 2.2, "is open for 360 min of the stay there, and gives no more than 2.2 L"),
        ((13.0, 15.0), 0.0, "and the water there gives 1.2 L of it"),
    ],
)
def test_a_night_at_a_tap_that_is_open_for_a_part_of_it(open_h, take_l, words):
    """From 14:00 to 8:00 at km 300: 5 L are drunk in 10 waking hours, and 3 L were on the way.

    At 0.02 L/min open from midnight on it gives 10.8 L in 9 h: all of it, and nothing is told. In
    6 h it gives 7.2 L, so 2.2 L to take along; in 1 h 1.2 L, and nothing to take along.
    """
    tap = sure(300.0, flow_l_per_min=0.02)
    tap = dataclasses.replace(tap, open_from_hour=open_h[0], open_to_hour=open_h[1])
    plan = plan_without_mends(ROUTE, [tap], trip(policy=calling_at(tap, fill=FillHabit.TOP_UP)))
    told = [one for one in grave(plan) + others(plan) if "there" in one and "s300" in one]

    assert plan.fills.fills[1].take_l == pytest.approx(take_l)
    assert any(words in one for one in told) if words else not any("open" in one for one in told)
    assert not any("closes" in one or "leave with less" in one for one in told)


def test_a_tap_that_closes_before_the_cans_are_full():
    """At 12:00 at km 200; nobody knows the flow, and a fill takes 15 minutes: 6 are left."""
    tap = dataclasses.replace(sure(200.0), open_from_hour=0.0, open_to_hour=12.1)
    its_trip = trip(policy=calling_at(tap, fill=FillHabit.TOP_UP), pace=pace(fill_minutes=15.0))
    told = [one for one in grave(plan_without_mends(ROUTE, [tap], its_trip)) if "closes" in one]

    assert len(told) == 1
    assert "leave with less than the plan says" in told[0]


@pytest.mark.parametrize(("closes", "most_l"), [(13.0, 1.2), (20.0, None), (24.0, None)])
def test_no_more_is_counted_on_than_flows_until_the_tap_closes(closes, most_l):
    """By hand: at 12:00 at km 200, 2 L of 8 are drunk; 0.02 L/min give 1.2 L of them in an hour."""
    tap = sure(200.0, flow_l_per_min=0.02)
    tap = dataclasses.replace(tap, open_from_hour=0.0, open_to_hour=closes)
    plan = plan_without_mends(ROUTE, [tap], trip(policy=calling_at(tap, fill=FillHabit.TOP_UP)))

    is_cut = any("gives no more than 1.2 L by then" in one for one in grave(plan))
    assert is_cut is (most_l is not None)
    assert plan.fills.fills[1].take_l == pytest.approx(2.0 if most_l is None else most_l)


@pytest.mark.parametrize(
    ("grade", "method", "is_one", "is_unnamed"),
    [
        (Grade.TREAT, TreatMethod.FILTER, True, False),
        (Grade.TREAT, None, False, True),
        (Grade.POTABLE, TreatMethod.FILTER, False, False),
        (Grade.POTABLE, None, False, False),
    ],
)
def test_one_method_alone_to_treat_or_none_named(grade, method, is_one, is_unnamed):
    """Water of a bore that must be treated is taken at km 300; of a tap, nothing is."""
    bore = sure(300.0, grade=grade)
    its_trip = dataclasses.replace(
        trip(can_treat=True, containers=[container(20.0, 1)], policy=calling_at(bore)),
        treatment=Treatment(method),
    )

    told = grave(plan_without_mends(ROUTE, [bore], its_trip))
    assert any("one way alone to do it" in one for one in told) is is_one
    assert any("does not name how" in one for one in told) is is_unnamed


@pytest.mark.parametrize(("own_l", "is_told"), [(1.0, True), (8.0, False)])
def test_a_small_rate_of_one_in_heat(own_l, is_told):
    """At 40 °C nobody grown-up needs less than 4 L: 1 L for a child is less than half of it."""
    effort = Effort.usual(Travel.VEHICLE)
    child = PersonInHeat(effort, count=1, name="child", litres_per_day=own_l)
    outlook = HeatOutlook(HeatExpectation(40.0, 20.0))
    heat = TripHeat(outlook, PersonInHeat(effort), (child,))
    plan = plan_without_mends(ROUTE, [], dataclasses.replace(trip(), heat=heat))

    assert any("less than half" in one and "children" in one for one in grave(plan)) is is_told


def test_doubtful_water_is_told_with_the_longest_way_without_it():
    """Counted at km 300 of 600; without it the way is all of the 600 km."""
    soak = dataclasses.replace(source_at(300.0, id="soak"), certainty=Certainty.DOUBTFUL)
    called = plan_without_mends(
        ROUTE, [soak], trip(policy=calling_at(soak, reserve_days=1.0)), count_on=CountOn.ANY
    )
    passed = plan_without_mends(
        ROUTE,
        [soak],
        trip(policy=policy(pass_by=("soak",), reserve_days=1.0)),
        count_on=CountOn.ANY,
    )

    for plan in (called, passed):
        assert any("1 of the sources that count is doubtful" in one for one in grave(plan))
        assert any("longest way without water is 600.0 km" in one for one in grave(plan))
        assert plan.headline.level is HeadlineLevel.ONLY_IF
    assert "The plan counts on doubtful water: soak." in called.headline.because
    assert any("passes it by: soak" in one for one in passed.headline.because)


def test_doubtful_water_that_does_not_count_is_no_point_of_the_headline():
    """As usual only likely water counts."""
    soak = dataclasses.replace(source_at(300.0, id="soak"), certainty=Certainty.DOUBTFUL)
    plan = plan_without_mends(ROUTE, [soak], trip())

    assert not any("oubtful water" in one for one in (*plan.headline.because, *grave(plan)))


SLOW = {"offset_km": 4.0, "id": "far"}
"""4 km off, 5.2 km of way at a detour factor of 1.3: 10.4 km at 10 km/h are 1.04 h."""


def test_a_call_that_costs_more_hours_than_it_saves():
    """16 L of 100 last for two days: 1.04 h of way save nothing, and less than an hour is no fault.

    4 km off are 5.2 km of way, 3.5 km are 4.55 km and 0.91 h.
    """
    far, nearer = sure(400.0, **SLOW), sure(400.0, offset_km=3.5, id="nearer")

    told = grave(plan_trip(ROUTE, [far], trip(policy=calling_at(far))))
    assert any("Calling at far (km 400.0) takes 1.1 hours" in one for one in told)
    silent = grave(plan_trip(ROUTE, [nearer], trip(policy=calling_at(nearer))))
    assert not any("Calling at" in one for one in silent)


def test_filling_from_a_trickle_is_counted():
    """On the way, but more than 3 L at 0.04 L a minute are more than 75 minutes."""
    trickle = sure(400.0, id="trickle", flow_l_per_min=0.04)
    its_policy = calling_at(trickle, fill=FillHabit.TOP_UP)

    told = grave(plan_trip(ROUTE, [trickle], trip(policy=its_policy)))
    assert any("Calling at trickle (km 400.0) takes" in one for one in told)


@pytest.mark.parametrize(
    "needed", [{"containers": [container(10.0, 1)]}, {"policy": calling_at(sure(300.0, **SLOW))}]
)
def test_a_call_that_the_water_asks_for_never_costs_too_much(needed):
    """10 L do not last for two days; and four days beyond make it the last sure water."""
    length_km = 600.0 if "containers" in needed else 1800.0
    plan = plan_without_mends(straight_route(length_km), [sure(300.0, **SLOW)], trip(**needed))

    assert [stop.water.source.id for stop in plan.stops] == ["far"]
    assert not any("Calling at" in one for one in grave(plan))


def test_carrying_saved_is_held_against_the_hours():
    """A walker's call on the way saves litres over km, and costs next to nothing."""
    walker = trip(
        pace=pace(travel=Travel.FOOT, speed_kmh=4.0, off_route_kmh=4.0),
        containers=[container(20.0, 4)],
        policy=policy(reserve_days=1.0),
    )
    plan = plan_without_mends(straight_route(72.0), [sure(36.0, flow_l_per_min=0.2)], walker)

    assert len(plan.stops) == 1
    assert not any("Calling at" in one for one in grave(plan))


def test_a_call_at_which_nothing_is_drawn_is_told_with_its_reason():
    """Who must be able to go on where the tap at km 20 is dry carries all from the start on."""
    tap = dataclasses.replace(source_at(20.0, id="tap"), certainty=Certainty.LIKELY)
    safe = {"fill": FillHabit.SAFE, "if_dry": IfDry.ON}
    policies = calling_at(tap, **safe), policy(**safe)
    told, free = (plan_without_mends(ROUTE, [tap], trip(policy=one)) for one in policies)

    assert "At tap (km 20.0) nothing is drawn: the plan goes there because the trip says so." in (
        others(told)
    )
    assert not any("nothing is drawn" in one for one in others(free))


def test_tools_are_told_for_calls_and_for_water_that_a_dry_source_makes_one_go_back_to():
    """Called at: bring it. Passed by, and on the way back from a dry well: shortly."""
    behind = dataclasses.replace(sure(100.0, id="behind", access="rope of 9 m"), **SURE)
    ahead = sure(580.0, id="unused", access="tap key")
    well = dataclasses.replace(source_at(300.0, id="well"), certainty=Certainty.LIKELY)
    policies = calling_at(well, pass_by=("behind", "unused"))
    dated = dataclasses.replace(trip(policy=policies), **DATED)
    plan = plan_without_mends(ROUTE, [behind, well, ahead], dated)
    carried = dataclasses.replace(dated, kit=Kit(rope_m=10.0, tap_key=True))

    (told,) = [one for one in others(plan) if "Tools that [kit]" in one]
    assert "behind (rope of 9 m)" in told
    assert not any("Bring it" in one for one in others(plan))
    with_tools = plan_without_mends(ROUTE, [behind, well, ahead], carried)
    assert not any("Tools" in one for one in others(with_tools))
    called = plan_without_mends(ROUTE, [behind], trip(policy=calling_at(behind)))
    assert any("behind: its access names rope of 9 m" in one for one in others(called))


def test_water_named_for_those_in_need_is_told_with_its_tools():
    """A tap 6.5 km off does not count; it needs a key."""
    tap = sure(300.0, offset_km=6.5, id="tap", access="tap key from the shire")
    plan = plan_without_mends(ROUTE, [tap], trip())

    assert any("tap (tap key)" in one for one in others(plan))
