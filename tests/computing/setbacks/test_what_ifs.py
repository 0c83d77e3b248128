"""Delay, pace, heat, a lost container, more people: by hand, and against planning afresh.

The party: 2 people at 4 L a day, 50 km/h from 8 to 14 o'clock: 8 L and 300 km a day.
"""

from __future__ import annotations

import dataclasses

import pytest
from how_many import drawn_proof
from hypothesis import given
from hypothesis import strategies as st
from loaded import LENGTH_KM, afresh, flat_heat, loaded
from make import container, pace, policy, source_at, use

from longdry.computing.heat.by_day import drinking_by_day
from longdry.computing.setbacks.changes import changed, without_container
from longdry.computing.setbacks.what_ifs import standard_changes, what_if, what_ifs, worst_place_km
from longdry.errors import TripFileError
from longdry.model.arrays import frozen_floats
from longdry.model.plan.setbacks import WhatIfKind
from longdry.model.trip.heat import Effort, HeatExpectation, HeatOutlook, PersonInHeat, TripHeat
from longdry.model.trip.trip import PaceSection, PinnedCamp
from longdry.model.trip.what_if import (
    Delay,
    DrySource,
    Hotter,
    LostContainer,
    MorePeople,
    SlowerPace,
)
from longdry.model.words import VERDICTS_WORST_FIRST, Travel, Verdict

WELL = source_at(250.0)


def rank(verdict):
    return VERDICTS_WORST_FIRST.index(verdict)


def heat_of(base_l):
    """Ask for ``base_l`` a head on every day, a litre more for each 5 degrees."""

    def made(trip, clock, hotter_c):
        litres = (base_l + hotter_c / 5.0) * trip.party.people
        return flat_heat(litres, litres / 2.0, midnight_h=-clock.depart.hour)

    return made


def test_two_days_lost_cost_48_hours_of_water():
    """From the well 25 h; with two days lost 73 h: 24.33 L, and two nights more."""
    found = what_if(loaded(WELL), Delay(2, 400.0))

    assert found.worst.need.total_l == pytest.approx(73.0 / 3.0)
    assert found.worst.nights == 1 + 2
    assert found.worst.begin.km == pytest.approx(250.0)
    assert (found.kind, found.words) == (WhatIfKind.DELAY, "delay 2 days at km 400")


@pytest.mark.parametrize(("on_board_l", "verdict"), [
    (16.33 + 16.0 + 8.01, Verdict.CLEAR),
    (16.33 + 16.0 + 7.9, Verdict.INTO_RESERVE),
    (16.34 + 0.1, Verdict.INTO_RESERVE),
    (16.3, Verdict.TOO_LONG),
])  # fmt: skip
def test_verdicts_with_a_day_lost(on_board_l, verdict):
    """Need 25 h and 24 h more: 16.33 L; reserve of 3 days: 24 L."""
    plan = loaded(WELL, on_board_l=[100.0, on_board_l], policy=policy(reserve_days=3.0))

    assert what_if(plan, Delay(1, 400.0)).verdict is verdict


def test_a_delay_is_a_pinned_rest_day_where_the_day_ends():
    """At km 300 the day's moving ends: a day lost there is a camp pinned with one rest day."""
    lost = changed(loaded(WELL), Delay(1, 300.0), None).stretch(1)
    pinned = afresh(WELL, camps=[PinnedCamp(km=300.0, rest_days=1)]).stretches[1]
    plain = afresh(WELL).stretches[1]

    assert lost.days == pytest.approx(plain.days + 1.0)
    assert (lost.days, lost.nights) == (pytest.approx(pinned.days), pinned.nights)
    assert lost.need.total_l == pytest.approx(pinned.need.total_l)


def test_a_delay_at_the_well_counts_as_one_behind_it():
    """The well's km begins the stretch behind: the stretch before is not touched."""
    plan = loaded(WELL)
    at_km = plan.ends[1].km
    lost = changed(plan, Delay(1, at_km), None)

    assert lost.stretch(0).days == pytest.approx(plan.stretch(0).days)
    assert lost.stretch(1).days == pytest.approx(plan.stretch(1).days + 1.0)


def test_a_delay_at_the_very_end_counts():
    """At the last km the last stretch is longer by a day."""
    plan = loaded(WELL)
    lost = changed(plan, Delay(1, plan.going.length_km), None)

    assert lost.stretch(1).days == pytest.approx(plan.stretch(1).days + 1.0)


def test_the_worst_place_for_a_day_lost_is_found():
    """Of three stretches the last has least: 4 h and a day take 9.33 L of 9; elsewhere no worse."""
    plan = loaded(source_at(200.0), source_at(400.0), on_board_l=[100.0, 100.0, 9.0])
    found = what_if(plan, Delay(1))

    assert 400.0 <= worst_place_km(plan, 1) < LENGTH_KM
    assert found.verdict is Verdict.TOO_LONG
    assert all(
        rank(found.verdict) <= rank(what_if(plan, Delay(1, float(km))).verdict)
        for km in range(0, 600, 50)
    )


def test_a_slower_pace_equals_planning_afresh_with_lower_speeds():
    """25 % slower is 37.5 km/h, 7.5 km/h off the route and 15 km/h on the slow section."""
    section = PaceSection(300.0, 350.0, 20.0)
    off = source_at(250.0, offset_km=3.0)
    slow = changed(loaded(off, pace=pace(sections=(section,))), SlowerPace(25.0), None)
    own = pace(
        speed_kmh=37.5, off_route_kmh=7.5, sections=(dataclasses.replace(section, speed_kmh=15.0),)
    )
    fresh = afresh(off, pace=own)

    for one, other in zip(slow.stretches(), fresh.stretches, strict=True):
        assert one.days == pytest.approx(other.days)
        assert one.need.total_l == pytest.approx(other.need.total_l)


def test_more_people_equal_planning_afresh_with_them():
    """Two and three are five."""
    crowd = changed(loaded(WELL), MorePeople(3), None)
    fresh = afresh(WELL, people=5)

    assert [s.need.total_l for s in crowd.stretches()] == pytest.approx(
        [s.need.total_l for s in fresh.stretches]
    )


def test_heat_grows_with_the_people_where_it_cannot_be_made_again():
    """The heat asks two people for 40 L a day: four for 80 L."""
    plan = loaded(WELL, heat=flat_heat(40.0, 20.0))

    assert changed(plan, MorePeople(2), None).stretch(0).need.total_l == pytest.approx(
        2.0 * plan.stretch(0).need.total_l
    )


def test_hotter_days_ask_for_more():
    """6 L a head at first, 7 L when 5 degrees hotter: 25 h take 14.58 L for two."""
    plan = loaded(WELL, heat=flat_heat(12.0, 6.0))
    found = what_if(plan, Hotter(5.0), heat_of(6.0))

    assert found.worst.need.total_l == pytest.approx(14.0 * 25.0 / 24.0)


def test_hotter_without_heat_is_one_sentence():
    """Nothing is made up where the trip gives no heat."""
    with pytest.raises(TripFileError, match="the trip gives no heat that could be higher"):
        what_if(loaded(WELL), Hotter(5.0))


def test_a_lost_container_equals_planning_afresh_without_it():
    """Four cans of 20 L instead of five."""
    lost = without_container(loaded(WELL), "CAN")
    fresh = afresh(WELL, containers=[container(20.0, 4)])

    assert [s.available_l for s in lost.stretches()] == [s.available_l for s in fresh.stretches]
    assert [s.capacity_l for s in lost.stretches()] == [80.0, 80.0]


def test_who_loses_the_only_container_has_no_water():
    """The verdict is too long, not that the trip has no containers; nothing is on board."""
    lost = what_if(loaded(WELL, containers=[container(20.0, 1)]), LostContainer("can"))

    assert lost.verdict is Verdict.TOO_LONG
    assert lost.worst.available_l == 0.0
    assert lost.can_go_on is False


def test_a_lost_container_takes_what_was_in_it():
    """Of 25 L on board a can of 20 L may have held 20: 5 L are left, and 8.33 L are needed."""
    plan = loaded(WELL, on_board_l=[25.0, 25.0])
    found = what_if(plan, LostContainer("can"))

    assert found.worst.available_l == pytest.approx(5.0)
    assert (found.before, found.verdict) == (Verdict.CLEAR, Verdict.TOO_LONG)


def test_of_two_sorts_with_one_name_the_larger_is_lost():
    """Cans of 20 L and of 5 L: 20 L less."""
    boxes = [container(5.0, 2), container(20.0, 2)]
    lost = without_container(loaded(WELL, containers=boxes), "can")

    assert lost.stretch(0).capacity_l == 30.0


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (LostContainer("bottle"), 'no container is called "bottle"; the containers are: "can"'),
        (DrySource("Elsewhere"), 'no counted source is called "Elsewhere"; those that count are'),
        (Delay(1, 900.0), "km 900 is not on the route, which is 600.0 km long"),
    ],
)
def test_what_the_trip_does_not_have_is_one_sentence(change, says):
    """With the names or the length that it has."""
    with pytest.raises(TripFileError, match=r"trip\.toml") as caught:
        what_if(loaded(WELL), change)

    assert says in str(caught.value)


def test_a_dry_source_can_be_asked_for_by_name():
    """Name or id, whatever the case."""
    found = what_if(loaded(WELL), DrySource("S250"))

    assert found.kind is WhatIfKind.DRY_SOURCE
    assert [source.id for source in found.sources] == ["s250"]


def test_a_limited_source_does_not_make_good_what_a_day_cost():
    """10 L at the start, a well at km 250 that gives 2 L and leaves 9 L as planned.

    A day lost before it: 10 - 29 h (9.67 L) = 0.33 L arrive, 2.33 L leave; 8.33 L are needed.
    """
    well = dataclasses.replace(WELL, limit_l=2.0)
    plan = loaded(well, on_board_l=[10.0, 9.0])
    found = what_if(plan, Delay(1, 100.0))

    assert found.worst.available_l == pytest.approx(10.0 - 29.0 / 3.0 + 2.0)
    assert (found.before, found.verdict) == (Verdict.CLEAR, Verdict.TOO_LONG)


def test_the_standard_set():
    """A day, a slower pace, heat where it is given, the largest container where there is one."""
    boxes = [container(20.0, 2), dataclasses.replace(container(60.0, 1), name="tank")]
    plan = loaded(WELL, containers=boxes, heat=flat_heat(12.0, 6.0))
    full = what_ifs(plan, standard_changes(plan, heat_of(6.0)), heat_of(6.0))
    bare = standard_changes(loaded(WELL, containers=[]), None)

    assert [one.kind.value for one in full] == ["delay", "pace", "heat", "container"]
    assert full[3].words == "lose container tank"
    assert [one.can_go_back for one in full] == [None] * 4
    assert bare == (Delay(1), SlowerPace(25.0))
    assert what_ifs(plan, ()) == ()


def test_a_change_never_counts_as_a_help():
    """A slower party waits less at the pinned camp; the plan's own figure stands then.

    From the well at km 90 (9:48) a camp at km 100 until the next morning is 22.2 h away; a party
    at half the speed leaves the well at 11:36 and waits 2 h less.
    """
    plan = loaded(source_at(90.0), source_at(101.0), camps=[PinnedCamp(km=100.0)])
    slow = changed(plan, SlowerPace(50.0), None)
    found = what_if(
        loaded(
            source_at(90.0), source_at(101.0), camps=[PinnedCamp(km=100.0)],
            on_board_l=[100.0, 1.0, 100.0],
        ),
        SlowerPace(50.0),
    )  # fmt: skip

    assert slow.stretch(1).days < plan.stretch(1).days
    assert found.worst.need.total_l == pytest.approx(plan.stretch(1).need.total_l)


places = st.lists(st.floats(1.0, 599.0), max_size=5, unique_by=lambda km: round(km, 3))


@drawn_proof(200)
@given(
    places,
    st.floats(1.0, 60.0),
    st.sampled_from(
        [Delay(1), Delay(3, 17.0), SlowerPace(25.0), LostContainer("can"), MorePeople(2)]
    ),
)
def test_nothing_that_goes_wrong_betters_a_verdict(kms, on_board_l, change):
    """Afterwards the verdict is the same or worse."""
    plan = loaded(*(source_at(km) for km in kms), on_board_l=[on_board_l] * (len(kms) + 1))
    found = what_if(plan, change)

    assert rank(found.verdict) <= rank(found.before)


@drawn_proof(160)
@given(places, st.floats(0.5, 60.0), st.floats(0.0, 15.0), st.floats(0.0, 15.0))
def test_hotter_is_never_better(kms, on_board_l, one_c, more_c):
    """More heat on top of heat gives the same verdict or a worse one, and no smaller need."""
    plan = loaded(
        *(source_at(km) for km in kms),
        on_board_l=[on_board_l] * (len(kms) + 1),
        heat=flat_heat(12.0, 6.0),
    )
    warm, hot = (what_if(plan, Hotter(c), heat_of(6.0)) for c in (one_c, one_c + more_c))

    assert rank(hot.verdict) <= rank(warm.verdict) <= rank(warm.before)


@drawn_proof(160)
@given(places, st.floats(0.5, 60.0), st.integers(1, 5), st.integers(0, 5))
def test_longer_delays_are_never_better(kms, on_board_l, days, more):
    """A day more lost at the worst place gives the same verdict or a worse one."""
    plan = loaded(*(source_at(km) for km in kms), on_board_l=[on_board_l] * (len(kms) + 1))
    short, long = what_if(plan, Delay(days)), what_if(plan, Delay(days + more))

    assert rank(long.verdict) <= rank(short.verdict)


@drawn_proof(160)
@given(st.floats(0.5, 60.0), st.floats(0.0, 90.0))
def test_slower_on_one_stretch_is_never_better(on_board_l, percent):
    """Without water on the way a slower party has the same verdict or a worse one."""
    plan = loaded(on_board_l=[on_board_l], uses=[use(), use("shower", 5.0)])
    some = what_if(plan, SlowerPace(percent))
    more = what_if(plan, SlowerPace(percent + 5.0))

    assert rank(more.verdict) <= rank(some.verdict) <= rank(some.before)


def test_a_delay_without_a_km_is_no_change_yet():
    """The worst place must be found first; a dry source is no change of the trip."""
    with pytest.raises(ValueError, match="no km"):
        changed(loaded(WELL), Delay(1), None)
    with pytest.raises(ValueError, match="no change of the trip"):
        changed(loaded(WELL), DrySource("s250"), None)


def test_heat_by_day_moves_with_a_delay():
    """The heat is made again on the delayed clock: two days more, and the hot ones are met.

    From day 1, 13:00, to day 4, 14:00: 73 h; the party breaks down on the first day and works
    through to the third, which is hot: all of it at 30 L a day.
    """

    def by_day(trip, clock, hotter_c):
        litres = frozen_floats([0.0, 0.0, 30.0, 30.0, 30.0])
        assert hotter_c == 0.0
        made = flat_heat(0.0, 0.0, midnight_h=-clock.depart.hour)
        return dataclasses.replace(made, moving_l=litres * trip.party.people / 2.0)

    plan = loaded(WELL, heat=by_day(loaded(WELL).going.trip, loaded(WELL).going.clock, 0.0))
    lost = changed(plan, Delay(2, 300.0), by_day)

    assert lost.stretch(1).need.total_l == pytest.approx(30.0 * 73.0 / 24.0)


def test_days_lost_are_no_days_of_rest():
    """The heat asks 20 L under way and 10 L at rest; the lost day between is one of 20 L.

    From km 250, day 1, 13:00, to day 3, 14:00: 49 h, all at 20 L a day.
    """

    def resting_when_lost(_trip, clock, _hotter_c):
        made = flat_heat(0.0, 0.0, midnight_h=-clock.depart.hour)
        return dataclasses.replace(made, moving_l=frozen_floats([20.0, 10.0, 20.0, 20.0]))

    plan = loaded(WELL, heat=flat_heat(20.0, 10.0))
    lost = changed(plan, Delay(1, 300.0), resting_when_lost)

    assert lost.stretch(1).need.total_l == pytest.approx(20.0 * 49.0 / 24.0)


def test_hotter_equals_an_outlook_that_is_hotter():
    """38 degrees and 5 more are 43 degrees: needs worked out from either are the same."""
    plan = loaded(WELL)

    def in_heat(shade_max_c):
        outlook = HeatOutlook(HeatExpectation(shade_max_c))
        heat = TripHeat(outlook, PersonInHeat(Effort.usual(Travel.VEHICLE)))
        hot = dataclasses.replace(plan.going.trip, heat=heat)
        going = dataclasses.replace(
            plan.going, trip=hot, heat=drinking_by_day(hot, plan.going.clock)
        )
        return dataclasses.replace(plan, going=going)

    engine = changed(in_heat(38.0), Hotter(5.0), drinking_by_day)

    assert [s.need.total_l for s in engine.stretches()] == pytest.approx(
        [s.need.total_l for s in in_heat(43.0).stretches()]
    )
    assert engine.stretch(1).need.total_l > in_heat(38.0).stretch(1).need.total_l
