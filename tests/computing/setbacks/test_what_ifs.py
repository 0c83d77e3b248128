"""What may go wrong beside dry sources: by hand, and against planning afresh.

The party: 2 people at 4 L a day, 50 km/h from 8 to 14 o'clock: half a litre in a waking hour (6 to
22 o'clock), and 300 km a day.
"""

from __future__ import annotations

import dataclasses
import datetime as dt

import pytest
from how_many import drawn_proof
from hypothesis import given
from hypothesis import strategies as st
from loaded import LENGTH_KM, bore_at, carrying, journey_past, loaded, prepared_trip, under
from make import container, pace, policy, use

from longdry.computing.setbacks.changes import changed
from longdry.computing.setbacks.giving import refilled
from longdry.computing.setbacks.supplied import Carried
from longdry.computing.setbacks.what_ifs import standard_changes, what_if, what_ifs, worst_place_km
from longdry.errors import TripFileError
from longdry.model.plan.setbacks import WhatIfKind
from longdry.model.trip.heat import (
    Effort,
    HeatExpectation,
    HeatOutlook,
    PersonInHeat,
    TripHeat,
)
from longdry.model.trip.party import Animal, Vehicle
from longdry.model.trip.trip import PaceSection, PinnedCamp
from longdry.model.trip.what_if import (
    Delay,
    Drought,
    DrySource,
    Hotter,
    LostContainer,
    LostVehicle,
    MorePeople,
    SlowerPace,
    TreatingFails,
)
from longdry.model.words import VERDICTS_WORST_FIRST, Grade, Travel, Verdict

WELL = bore_at(250.0)


def rank(verdict):
    return VERDICTS_WORST_FIRST.index(verdict)


def asked(plan, change):
    return what_if(under(plan), change)


def after(plan, change):
    return changed(under(plan), change)


def needs(plan):
    return [stretch.need.total_l for stretch in plan.stretches()]


def test_two_days_lost_cost_48_hours_of_water():
    """From the well 17 waking hours; with two days lost 49: 24.5 L, and two nights more."""
    found = asked(loaded(WELL), Delay(2, 400.0))

    assert found.worst.need.total_l == pytest.approx(24.5)
    assert found.worst.nights == 1 + 2
    assert found.worst.begin.km == pytest.approx(250.0)
    assert (found.kind, found.words) == (WhatIfKind.DELAY, "delay 2 days at km 400")


@pytest.mark.parametrize(("carried_l", "verdict"), [
    (8.5 + 8.0 + 24.01, Verdict.CLEAR),
    (8.5 + 8.0 + 23.9, Verdict.INTO_RESERVE),
    (8.5 + 8.0 + 0.1, Verdict.INTO_RESERVE),
    (8.5 + 7.9, Verdict.TOO_LONG),
])  # fmt: skip
def test_verdicts_with_a_day_lost(carried_l, verdict):
    """Need 8.5 L and 8 L more; reserve of 3 days: 24 L.

    A reserve of a day lets a party go on for an hour more to reach its end: not needed here.
    """
    plan = loaded(WELL, carried_l=[100.0, carried_l], policy=policy(reserve_days=3.0))

    assert asked(plan, Delay(1, 400.0)).verdict is verdict


def test_a_delay_is_a_pinned_rest_day_where_the_day_ends():
    """At km 300 the day's moving ends: a day lost there is a camp pinned with one rest day."""
    lost = after(loaded(WELL), Delay(1, 300.0)).stretch(1)
    pinned = loaded(WELL, camps=[PinnedCamp(km=300.0, rest_days=1)]).stretch(1)
    plain = loaded(WELL).stretch(1)

    assert lost.days == pytest.approx(plain.days + 1.0)
    assert (lost.days, lost.nights) == (pytest.approx(pinned.days), pinned.nights)
    assert lost.need.total_l == pytest.approx(pinned.need.total_l)


def test_a_delay_at_the_well_counts_as_one_behind_it():
    """The well's km begins the stretch behind: the stretch before is not touched."""
    plan = loaded(WELL)
    lost = after(plan, Delay(1, plan.ends[1].km))

    assert lost.stretch(0).days == pytest.approx(plan.stretch(0).days)
    assert lost.stretch(1).days == pytest.approx(plan.stretch(1).days + 1.0)


def test_a_delay_at_the_very_end_counts():
    """At the last km the last stretch is longer by a day."""
    plan = loaded(WELL)
    lost = after(plan, Delay(1, plan.ends[-1].km))

    assert lost.stretch(1).days == pytest.approx(plan.stretch(1).days + 1.0)


def test_the_worst_place_for_a_day_lost_is_found():
    """Of three stretches the last has least: 4 h and a day take 10 L of 9.9 L."""
    plan = loaded(bore_at(200.0), bore_at(400.0), carried_l=[100.0, 100.0, 9.9])
    found = asked(plan, Delay(1))

    assert 400.0 <= worst_place_km(plan, 1) < LENGTH_KM
    assert found.verdict is Verdict.TOO_LONG
    assert all(
        rank(found.verdict) <= rank(asked(plan, Delay(1, float(km))).verdict)
        for km in range(0, 600, 50)
    )


def test_a_slower_pace_equals_planning_afresh_with_lower_speeds():
    """25 % slower is 37.5 km/h, 7.5 km/h off the route and 15 km/h on the slow section."""
    section = PaceSection(300.0, 350.0, 20.0)
    off = bore_at(250.0, offset_km=3.0)
    slow = after(loaded(off, pace=pace(sections=(section,))), SlowerPace(25.0))
    own = pace(
        speed_kmh=37.5, off_route_kmh=7.5, sections=(dataclasses.replace(section, speed_kmh=15.0),)
    )
    fresh = loaded(off, pace=own)

    for one, other in zip(slow.stretches(), fresh.stretches(), strict=True):
        assert one.days == pytest.approx(other.days)
        assert one.need.total_l == pytest.approx(other.need.total_l)


def test_the_minutes_of_the_stops_are_kept():
    """An hour at the well: a slower party stops as long, no longer and no shorter."""
    prepared = prepared_trip()
    journey = journey_past(prepared, [WELL], stop_minutes=[0.0, 60.0])
    plan = dataclasses.replace(loaded(WELL), journey=journey)
    slow = after(plan, SlowerPace(25.0))
    stay = slow.journey.itinerary.stays[0]

    assert slow.journey.stop_minutes == (0.0, 60.0)
    assert stay.nights == 1 or stay.leaves.hour - stay.arrives.hour == pytest.approx(1.0)


def test_more_people_equal_planning_afresh_with_them():
    """Two and three are five; the water stays that of two."""
    plan = loaded(WELL, carried_l=[30.0, 20.0])
    crowd = after(plan, MorePeople(3))

    assert needs(crowd) == pytest.approx(needs(loaded(WELL, people=5)))
    assert crowd.carried_l == plan.carried_l


HOT = HeatOutlook(HeatExpectation(34.0))


def in_heat(outlook=HOT, **changes):
    heat = TripHeat(outlook, PersonInHeat(Effort.usual(Travel.VEHICLE)))
    more = {"heat": heat, **changes.pop("more", {})}
    prepared = prepared_trip(more=more, **changes)
    journey = journey_past(prepared, [WELL])
    return dataclasses.replace(loaded(WELL, **changes), journey=journey)


def test_hotter_equals_an_outlook_that_is_hotter():
    """34 degrees and 5 more are 39 degrees: needs worked out from either are the same."""
    engine = after(in_heat(), Hotter(5.0))

    assert needs(engine) == pytest.approx(needs(in_heat(HeatOutlook(HeatExpectation(39.0)))))
    assert needs(engine)[1] > needs(in_heat())[1]


def test_more_people_in_heat_equal_planning_afresh_with_them():
    """Three instead of two at 34 degrees."""
    assert needs(after(in_heat(), MorePeople(1))) == pytest.approx(needs(in_heat(people=3)))


def test_days_lost_move_later_days_into_other_heat():
    """30 degrees in May, 40 in June: who leaves on 30 May and loses two days is out in June."""
    months = ((5, HeatExpectation(30.0)), (6, HeatExpectation(40.0)))
    outlook = HeatOutlook(months=months)
    leaves = {"depart": dt.datetime(2027, 5, 30, 8, 0)}
    plan = in_heat(outlook, more=leaves)
    lost = after(plan, Delay(2, 300.0))
    without_june = in_heat(HeatOutlook(HeatExpectation(30.0)), more=leaves)

    assert needs(plan) == pytest.approx(needs(without_june))
    assert needs(lost)[1] > needs(after(without_june, Delay(2, 300.0)))[1] + 1.0


def test_hotter_without_heat_is_one_sentence():
    """Nothing is made up where the trip gives no heat."""
    with pytest.raises(TripFileError, match="the trip gives no heat that could be higher"):
        asked(loaded(WELL), Hotter(5.0))


def test_a_lost_container_equals_planning_afresh_without_it():
    """Four cans of 20 L instead of five, full."""
    lost = after(loaded(WELL), LostContainer("CAN"))
    fresh = loaded(WELL, containers=[container(20.0, 4)])

    assert [s.available_l for s in lost.stretches()] == [s.available_l for s in fresh.stretches()]
    assert [s.capacity_l for s in lost.stretches()] == [80.0, 80.0]


def test_who_loses_the_only_container_has_no_water():
    """The verdict is too long, not that the trip has no containers; nothing is carried."""
    lost = asked(loaded(WELL, containers=[container(20.0, 1)]), LostContainer("can"))

    assert lost.verdict is Verdict.TOO_LONG
    assert lost.worst.available_l == 0.0
    assert lost.can_go_on is False


def test_a_lost_container_takes_what_was_in_it():
    """Of 25 L carried a can of 20 L may have held 20: 5 L are left, and 8.5 L are needed."""
    plan = loaded(WELL, carried_l=[25.0, 25.0])
    found = asked(plan, LostContainer("can"))

    assert found.worst.available_l == pytest.approx(5.0)
    assert (found.before, found.verdict) == (Verdict.CLEAR, Verdict.TOO_LONG)


def test_of_two_sorts_with_one_name_the_larger_is_lost():
    """Cans of 20 L and of 5 L: 20 L less."""
    boxes = [container(5.0, 2), container(20.0, 2)]
    lost = after(loaded(WELL, containers=boxes), LostContainer("can"))

    assert lost.stretch(0).capacity_l == 30.0


def two_wagons():
    """Three cans in one wagon, two in the other."""
    boxes = [
        dataclasses.replace(container(20.0, 3), name="drum", vehicle="big"),
        dataclasses.replace(container(20.0, 2), vehicle="small"),
    ]
    wagons = (Vehicle("big", 500.0), Vehicle("small", 300.0))
    return loaded(WELL, containers=boxes, more={"vehicles": wagons}, carried_l=[30.0, 30.0])


def test_a_lost_vehicle_takes_what_it_carried():
    """Of 30 L 25 are in the big wagon: 5 L are left, and two cans of 20 L."""
    carried = Carried((30.0, 30.0), (30.0, 30.0), {"big": (25.0, 25.0), "small": (5.0, 5.0)})
    plan = two_wagons()
    lost = changed(under(plan, carried), LostVehicle("BIG"))

    assert lost.carried_l == (5.0, 5.0)
    assert lost.stretch(0).capacity_l == 40.0
    assert [one.name for one in lost.trip.vehicles] == ["small"]
    assert needs(lost) == needs(plan)
    assert what_if(under(plan, carried), LostVehicle("big")).verdict is Verdict.TOO_LONG


def test_where_nobody_knows_what_is_in_it_a_lost_vehicle_was_full():
    """60 L fit into the big wagon: all of the 30 L may have been in it."""
    assert after(two_wagons(), LostVehicle("big")).carried_l == (0.0, 0.0)


def treating(carried_l, potable_l, *, uses=None):
    """A creek at km 250 and a bore at km 400."""
    creek = bore_at(250.0, kind="creek", grade=Grade.TREAT)
    uses = uses or [use()]
    plan = loaded(creek, bore_at(400.0), uses=uses, can_treat=True, carried_l=carried_l)
    return under(plan, Carried(tuple(carried_l), tuple(potable_l)))


def test_where_treating_fails_the_creek_gives_nothing_to_drink():
    """From the start 20 L; at the creek 17.5 L are left; to km 400 1 h, the night, 2 h: 6.5 L."""
    asked_of = treating([20.0, 30.0, 30.0], [20.0, 30.0, 30.0])
    lost = refilled(changed(asked_of, TreatingFails()))

    assert lost.carried_l == pytest.approx((20.0, 17.5, 30.0))


def test_where_treating_fails_raw_water_is_no_water():
    """Of 20 L from the start 6 L are potable: too little for the 2.5 and 6.5 L to km 400."""
    asked_of = treating([20.0, 30.0, 30.0], [6.0, 0.0, 30.0])
    found = what_if(asked_of, TreatingFails())

    assert found.kind is WhatIfKind.TREATING
    assert found.verdict is Verdict.TOO_LONG
    assert found.worst.begin.km == pytest.approx(250.0)


def test_where_treating_fails_lower_uses_go_on_with_other_water():
    """Washing takes any water: it asks for none of the potable; animals that drink raw neither."""
    washing = [use(), use("washing", 10.0, grade=Grade.NOT_FOR_DRINKING)]
    asked_of = treating([20.0, 30.0, 30.0], [20.0, 30.0, 30.0], uses=washing)
    plan = asked_of.plan
    camel = Animal("camel", 1, 30.0, Grade.TREAT)
    trip = dataclasses.replace(plan.trip, animals=(camel,))
    prepared = dataclasses.replace(plan.journey.prepared, trip=trip)
    with_camel = dataclasses.replace(
        plan, journey=dataclasses.replace(plan.journey, prepared=prepared)
    )
    lost = changed(dataclasses.replace(asked_of, plan=with_camel), TreatingFails())

    assert needs(lost) == pytest.approx(needs(treating([9.0] * 3, [9.0] * 3).plan))


def test_where_treating_fails_a_raw_start_has_only_what_the_containers_held():
    """The start's own creek gives nothing; 5 L of potable water were in the cans."""
    own = bore_at(0.4, kind="creek", grade=Grade.TREAT)
    plan = loaded(own, WELL, can_treat=True, carried_l=[20.0, 20.0])
    none_held = changed(under(plan), TreatingFails())

    assert [water.source.id for water in plan.ends[0].waters] == [own.id]
    assert none_held.carried_l == (0.0, 20.0)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (LostContainer("bottle"), 'no container is called "bottle"; the containers are: "can"'),
        (LostVehicle("wagon"), 'no vehicle is called "wagon"; the vehicles are: none'),
        (DrySource("Elsewhere"), 'at no source that is called "Elsewhere"; it calls at: "s250"'),
        (Delay(1, 900.0), "km 900 is not on the route, which is 600.0 km long"),
    ],
)
def test_what_the_trip_does_not_have_is_one_sentence(change, says):
    """With the names or the length that it has."""
    with pytest.raises(TripFileError, match=r"trip\.toml") as caught:
        asked(loaded(WELL), change)

    assert says in str(caught.value)


def test_a_dry_source_can_be_asked_for_by_name():
    """Name or id, whatever the case; a drought too."""
    found = asked(loaded(WELL), DrySource("S250"))

    assert found.kind is WhatIfKind.DRY_SOURCE
    assert [source.id for source in found.sources] == ["s250"]
    assert asked(loaded(WELL), Drought()).sources == ()
    assert asked(loaded(WELL), Drought()).verdict is Verdict.CLEAR


def test_a_limited_source_does_not_make_good_what_a_day_cost():
    """11 L at the start, a well at km 250 that gives 2 L and leaves 9 L as planned.

    A day lost before it: 11 - 10.5 L = 0.5 L arrive, 2.5 L leave; 8.5 L are needed.
    """
    well = dataclasses.replace(WELL, limit_l=2.0)
    plan = loaded(well, carried_l=[11.0, 9.0])
    found = asked(plan, Delay(1, 100.0))

    assert found.worst.available_l == pytest.approx(11.0 - 10.5 + 2.0)
    assert (found.before, found.verdict) == (Verdict.CLEAR, Verdict.TOO_LONG)


def test_a_call_that_the_slower_party_finds_closed_gives_nothing():
    """Open until 13:30, reached at 13:00; 20 % slower at 14:00 of a day that then is over.

    At 62.5 km the hour is 14:15: shut, and the wait until the next day too long.
    """
    well = dataclasses.replace(WELL, open_from_hour=8.0, open_to_hour=13.5)
    plan = loaded(well, pace=pace(hours_per_day=8.0), carried_l=[12.0, 12.0])
    slow = after(plan, SlowerPace(20.0))

    assert slow.journey.itinerary.stays[0].is_closed
    assert refilled(slow).carried_l[1] == pytest.approx(12.0 - 0.5 * 6.25)


def test_the_standard_set():
    """A day, a slower pace, heat where it is given, the largest container where there is one.

    Each of several vehicles; treating where there is raw water; a drought where rain fills several.
    """
    boxes = [container(20.0, 2), dataclasses.replace(container(60.0, 1), name="tank")]
    raw = [bore_at(km, kind="creek", grade=Grade.TREAT) for km in (100.0, 300.0)]
    more = {"vehicles": (Vehicle("big", 500.0), Vehicle("small", 300.0))}
    plan = loaded(*raw, containers=boxes, more=more, can_treat=True)
    full = what_ifs(under(plan), standard_changes(plan))

    assert [one.kind.value for one in full] == [
        "drought", "delay", "pace", "container", "vehicle", "vehicle", "treating",
    ]  # fmt: skip
    assert full[3].words == "lose container tank"
    assert [one.can_go_back for one in full[1:]] == [None] * 6
    assert standard_changes(loaded(WELL, containers=[])) == (Delay(1), SlowerPace(25.0))
    assert Hotter(5.0) in standard_changes(in_heat())
    assert what_ifs(under(plan), ()) == ()


def test_a_change_never_counts_as_a_help():
    """A slower party waits less at the pinned camp; the plan's own figure stands then.

    From the well at km 90 (9:48) a camp at km 100 until the next morning; a party at half the speed
    leaves the well at 11:36 and waits 2 h less.
    """
    plan = loaded(bore_at(90.0), bore_at(101.0), camps=[PinnedCamp(km=100.0)])
    slow = after(plan, SlowerPace(50.0))
    found = asked(carrying(plan, [100.0, 1.0, 100.0]), SlowerPace(50.0))

    assert slow.stretch(1).days < plan.stretch(1).days
    assert found.worst.need.total_l == pytest.approx(plan.stretch(1).need.total_l)


places = st.lists(st.integers(2, 599).map(float), max_size=5, unique=True)
MOST = [Delay(1), Delay(3, 17.0), SlowerPace(25.0), LostContainer("can"), MorePeople(2), Drought()]


@drawn_proof(240)
@given(places, st.floats(1.0, 60.0), st.sampled_from(MOST))
def test_nothing_that_goes_wrong_betters_a_verdict(kms, carried_l, change):
    """Afterwards the verdict is the same or worse, and no stretch carries more."""
    plan = loaded(*(bore_at(km) for km in kms), carried_l=[carried_l] * (len(kms) + 1))
    found = asked(plan, change)

    assert rank(found.verdict) <= rank(found.before)
    assert found.worst.available_l <= carried_l


@drawn_proof(180)
@given(places, st.floats(0.5, 60.0), st.integers(1, 5), st.integers(0, 5))
def test_longer_delays_are_never_better(kms, carried_l, days, more):
    """A day more lost at the worst place gives the same verdict or a worse one."""
    plan = loaded(*(bore_at(km) for km in kms), carried_l=[carried_l] * (len(kms) + 1))
    short, long = asked(plan, Delay(days)), asked(plan, Delay(days + more))

    assert rank(long.verdict) <= rank(short.verdict)


@drawn_proof(180)
@given(st.floats(0.5, 60.0), st.floats(0.0, 90.0))
def test_slower_on_one_stretch_is_never_better(carried_l, percent):
    """Without water on the way a slower party has the same verdict or a worse one."""
    plan = loaded(carried_l=[carried_l], uses=[use(), use("shower", 5.0)])
    some = asked(plan, SlowerPace(percent))
    more = asked(plan, SlowerPace(percent + 5.0))

    assert rank(more.verdict) <= rank(some.verdict) <= rank(some.before)


def test_a_delay_without_a_km_is_no_change_yet():
    """The worst place must be found first; a dry source is no change of the trip."""
    with pytest.raises(ValueError, match="no km"):
        after(loaded(WELL), Delay(1))
    with pytest.raises(ValueError, match="no change of the trip"):
        after(loaded(WELL), DrySource("s250"))
