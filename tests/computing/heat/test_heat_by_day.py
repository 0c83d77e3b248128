"""Check that the days of a trip set what its people drink."""

from __future__ import annotations

import dataclasses
import datetime as dt
import itertools

import pytest
from clocks import clock, days_along
from how_many import drawn_proof
from hypothesis import given
from hypothesis import strategies as st
from make import calling_at, pace, source_at, straight_route, trip, use
from without_mends import plan_without_mends

from longdry.computing.heat.by_day import as_drinking, days_of_heat
from longdry.model.assumption import Assumption
from longdry.model.plan.travel import Doing, Piece, TravelTime
from longdry.model.trip.heat import (
    Effort,
    HeatExpectation,
    HeatOutlook,
    HeatSection,
    PersonInHeat,
    TripHeat,
)
from longdry.model.trip.trip import PinnedCamp
from longdry.model.words import Ration, Travel

EFFORT = Effort.usual(Travel.VEHICLE)
FOOT = Effort.usual(Travel.FOOT)


def heat(shade_max_c=40.0, *, effort=EFFORT, **changes):
    outlook = HeatOutlook(HeatExpectation(shade_max_c))
    return TripHeat(outlook, PersonInHeat(effort), **changes)


def hot_trip(its_heat, **how):
    return dataclasses.replace(trip(**how), heat=its_heat)


def planned(its_heat, *, length_km=700.0, **how):
    """Plan a way that calls at its one source."""
    water = source_at(400.0)
    its_trip = hot_trip(its_heat, policy=calling_at(water), **how)
    return plan_without_mends(straight_route(length_km), [water], its_trip)


def test_plan_counts_the_larger_of_own_rate_and_heat():
    """Two people with 4 L each: at 42 degrees the heat asks for more, at 15 degrees for less."""
    hot, cool = planned(heat(42.0)), planned(heat(15.0))

    for day in hot.days:
        assert day.measured_l == 8.0
        assert day.drinking_l == day.heat_asks_l > 8.0
    assert all(day.drinking_l == 8.0 > day.heat_asks_l for day in cool.days)
    assert cool.stretches[0].need.total_l == planned(None).stretches[0].need.total_l
    assert hot.stretches[0].need.total_l > cool.stretches[0].need.total_l


def test_own_rate_below_the_heat_is_told():
    """The plan says that the party's own rate is lower, and names both figures."""
    texts = [warning.text for warning in planned(heat(42.0)).warnings]

    assert any("own rate for drinking is lower" in text and "8.0 L" in text for text in texts)


@pytest.mark.parametrize("given_heat", [None, heat()])
def test_heat_stands_among_the_assumptions(given_heat):
    """Whether heat was given or not, the plan says so."""
    (told,) = [a for a in planned(given_heat).assumptions if a.key == "heat"]

    assert told.what == "heat"
    assert ("not given" in told.value) == (given_heat is None)


@drawn_proof(80)
@given(st.floats(10.0, 55.0), st.floats(0.0, 10.0), st.integers(0, 12), st.integers(0, 6))
def test_hotter_or_more_work_never_needs_less(shade_max_c, hotter_c, working_h, more_h):
    """A hotter day, or an hour more of work in place of rest, never lowers a need."""
    before = planned(heat(shade_max_c, working_h=float(working_h)))
    after = planned(heat(min(shade_max_c + hotter_c, 60.0), working_h=float(working_h + more_h)))

    for less, more in zip(before.stretches, after.stretches, strict=True):
        for low, high in zip(less.needs, more.needs, strict=True):
            assert high.need.total_l >= low.need.total_l - 1e-9
        assert more.reserve_l >= less.reserve_l - 1e-9


@pytest.mark.parametrize("cut_km", [10.0, 300.0, 655.5])
def test_splitting_a_section_of_heat_in_two_changes_nothing(cut_km):
    """One section of 45 degrees, or the same in two parts: the same days."""

    def with_ends(*ends):
        hot = HeatExpectation(45.0)
        sections = tuple(HeatSection(a, b, hot) for a, b in itertools.pairwise(ends))
        return TripHeat(HeatOutlook(HeatExpectation(30.0), (), sections), PersonInHeat(EFFORT))

    assert planned(with_ends(5.0, 680.0)).days == planned(with_ends(5.0, cut_km, 680.0)).days


@pytest.mark.parametrize("dry_c", [38.9, 39.1, 41.0])
def test_a_damper_section_counts_where_it_asks_for_more(dry_c):
    """39 degrees at 70 % ask for more than 41 at 5 %: a dry section takes no water off a day."""
    damp, dry = HeatExpectation(39.0, 70.0), HeatExpectation(dry_c, 5.0)
    both = HeatOutlook(damp, sections=(HeatSection(100.0, 150.0, dry),))
    days = [
        planned(TripHeat(outlook, PersonInHeat(FOOT))).days[0]
        for outlook in (HeatOutlook(damp), both, HeatOutlook(dry))
    ]

    assert days[1].heat_asks_l == days[0].heat_asks_l > days[2].heat_asks_l
    assert days[1].shade_max_c == 39.0


def test_a_month_is_taken_by_its_date():
    """A trip over the new year: 44 degrees in December, 30 in January."""
    months = ((12, HeatExpectation(44.0)), (1, HeatExpectation(30.0)))
    its_trip = dataclasses.replace(
        hot_trip(TripHeat(HeatOutlook(None, months), PersonInHeat(EFFORT))),
        depart=dt.datetime(2026, 12, 31, 8),
    )
    plan = plan_without_mends(straight_route(700.0), [], its_trip)

    assert [day.shade_max_c for day in plan.days] == [44.0, 30.0, 30.0]


def test_a_month_that_is_not_listed_is_told():
    """Heat for March alone says nothing of December: the plan takes it and warns."""
    march = ((3, HeatExpectation(22.0)),)
    texts = {}
    for name, outlook in {
        "march": HeatOutlook(months=march),
        "whole": HeatOutlook(HeatExpectation(41.0), months=march),
        "covered": HeatOutlook(
            months=march, sections=(HeatSection(0.0, 700.0, HeatExpectation(41.0)),)
        ),
    }.items():
        going = dataclasses.replace(
            hot_trip(TripHeat(outlook, PersonInHeat(EFFORT))),
            depart=dt.datetime(2027, 12, 3, 8),
        )
        plan = plan_without_mends(straight_route(700.0), [], going)
        texts[name] = [w.text for w in plan.warnings if "no heat is listed" in w.text]

    assert texts["march"][0].startswith("Days 1 to 3: no heat is listed for December")
    assert texts["whole"] == texts["covered"] == []


def told_keys(its_heat, *keys, people=2):
    defaults = tuple(Assumption(key, "0", "not stated", key=f"heat.{key}") for key in keys)
    plan = plan_without_mends(
        straight_route(100.0),
        [],
        dataclasses.replace(hot_trip(its_heat, people=people), defaults=defaults),
    )
    return {a.key for a in plan.assumptions if a.key.startswith("heat.")}


def test_defaults_of_the_heat_are_told_where_they_took_part():
    """No work, no effort of work; no hour in the sun, no sun; all with rates of their own, none."""
    child = PersonInHeat(EFFORT, count=2, name="child", litres_per_day=4.0)
    in_shade = heat(working_h=0.0, moving_in_sun=False)

    assert told_keys(heat(working_h=2.0), "working_met", "sun_excess_c") == {
        "heat.working_met",
        "heat.sun_excess_c",
    }
    assert told_keys(in_shade, "working_met", "sun_excess_c", "wind_m_s") == {"heat.wind_m_s"}
    assert told_keys(heat(persons=(child,)), "working_met", "wind_m_s") == set()


def test_sections_of_heat_turn_with_the_route():
    """The hot first 100 km are the last ones of the way back."""
    hot_start = HeatOutlook(
        HeatExpectation(30.0), (), (HeatSection(0.0, 100.0, HeatExpectation(45.0)),)
    )
    its_trip = hot_trip(TripHeat(hot_start, PersonInHeat(EFFORT)))
    there = plan_without_mends(straight_route(700.0), [], its_trip)
    back = plan_without_mends(straight_route(700.0), [], its_trip, reverse=True)

    assert [day.shade_max_c for day in there.days] == [45.0, 30.0, 30.0]
    assert [day.shade_max_c for day in back.days] == [30.0, 30.0, 45.0]


def test_people_with_a_rate_of_their_own_drink_that():
    """Two adults and a child of 3 L are asked for 3 L more than the two adults."""
    child = PersonInHeat(EFFORT, count=1, name="child", litres_per_day=3.0)
    adults = days_of_heat(hot_trip(heat(), people=2), days_along())
    family = days_of_heat(hot_trip(heat(persons=(child,)), people=3), days_along())

    assert family[0].asks_l == pytest.approx(adults[0].asks_l + 3.0)
    assert family[0].resting_l == pytest.approx(adults[0].resting_l + 3.0)


def test_who_is_acclimatised_changes_how_soon_a_body_overheats_and_no_litres():
    """Of two people one is acclimatised: the same litres, and a remark for each state."""
    used = PersonInHeat(FOOT, name="ranger", acclimatised=True)
    one, both = (
        days_of_heat(hot_trip(heat(45.0, effort=FOOT, persons=persons)), days_along())[0]
        for persons in ((used,), (used, used))
    )

    assert one.asks_l == pytest.approx(both.asks_l)
    assert any("(acclimatised)" in remark.text for remark in one.remarks)
    assert any("(not acclimatised)" in remark.text for remark in one.remarks)


def test_rest_days_ask_for_less_than_moving_days_and_for_no_less_than_rest():
    """On foot at 40 degrees: walking asks for more than a day in camp, that for the rest's."""
    plan = planned(heat(effort=FOOT), camps=[PinnedCamp(km=200.0, rest_days=1)])
    moving, rest = plan.days[0], plan.days[1]

    assert rest.rest
    assert moving.heat_asks_l > rest.heat_asks_l > 0.0
    days = days_of_heat(plan.trip, days_along(700.0))
    assert all(day.full_l >= day.asks_l >= day.resting_l for day in days)


@pytest.mark.parametrize("ration", Ration)
def test_no_ration_is_below_what_rest_in_shade_asks_for(ration):
    """A party that names a tiny drinking use still gets the heat's litres, on every ration."""
    plan = planned(heat(45.0), uses=[use(litres=0.1)])
    resting_l = days_of_heat(plan.trip, days_along(700.0))[0].resting_l

    for stretch in plan.stretches:
        (need,) = [r.need for r in stretch.needs if r.ration is ration]
        assert need.total_l >= resting_l * stretch.days


def demand_on(its_trip, days):
    return as_drinking(days_of_heat(its_trip, days), its_trip.pace.hours_per_day)


def test_a_morning_on_the_move_takes_more_than_its_share_of_the_day():
    """Six hours of walking in heat take more than a quarter of the day's litres; a day takes it."""
    on_foot = hot_trip(heat(effort=FOOT), pace=pace(travel=Travel.FOOT))
    asked = demand_on(on_foot, days_along(900.0))
    walk = Piece(Doing.MOVING, 8.0, 14.0, 0, 0.0, 300.0)
    profile = clock(900.0).profile
    morning, day = (
        TravelTime(begin_h, end_h, (walk,), profile)
        for begin_h, end_h in ((8.0, 14.0), (0.0, 24.0))
    )

    assert asked.within(morning, 8.0) > asked.within(day, 8.0) / 4.0
    assert asked.within(day, 8.0) == pytest.approx(float(asked.moving_l[0]))


def from_hour(travelled, hour):
    """Return what is left of a way from a time on."""
    pieces = (
        piece._replace(begin_h=max(piece.begin_h, hour))
        for piece in travelled.pieces
        if piece.end_h > hour
    )
    return TravelTime(hour, travelled.end_h, tuple(pieces), travelled.profile)


@drawn_proof(240)
@given(st.floats(0.0, 1.0), st.floats(0.0, 900.0))
def test_litres_of_two_parts_of_a_way_add_up(share, length_km):
    """Cutting a way in two at any time changes no litres, and no part is negative."""
    asked = demand_on(hot_trip(heat()), days_along(900.0))
    (whole,) = clock(length_km).follow([]).travels
    middle_h = whole.begin_h + share * (whole.end_h - whole.begin_h)
    parts = [asked.within(one, 8.0) for one in (whole.until(middle_h), from_hour(whole, middle_h))]

    assert min(parts) >= 0.0
    assert sum(parts) == pytest.approx(asked.within(whole, 8.0), abs=1e-9)


def test_ceilings_are_grave_warnings():
    """TB MED 507 (2003): 12 US qt a day; walking at 45 degrees asks for more than that."""
    warnings = planned(heat(45.0, effort=FOOT)).warnings
    (ceiling,) = [w for w in warnings if "12 US qt" in w.text]

    assert ceiling.grave
    assert "will not make that day safe" in ceiling.text


@pytest.mark.parametrize(
    ("shade_max_c", "effort", "passes"),
    [
        (30.0, FOOT, (False, False)),
        (40.0, Effort(2.5), (False, True)),
        (45.0, FOOT, (True, True)),
    ],
)
def test_days_tell_which_limits_of_tb_med_507_they_pass(shade_max_c, effort, passes):
    """Six hours on foot: none at 30 degrees; 20 minutes an hour at 40; 12 US qt too at 45.

    US Army TB MED 507 (2003); a child that drinks at its own rate is held against neither.
    """
    child = PersonInHeat(effort, count=1, name="child", litres_per_day=20.0)
    days = days_of_heat(hot_trip(heat(shade_max_c, effort=effort, persons=(child,))), days_along())
    family = days_of_heat(hot_trip(heat(shade_max_c, persons=(child,)), people=1), days_along())

    assert (days[0].passes_daily_ceiling, days[0].passes_work_rest) == passes
    assert not family[0].passes_daily_ceiling
    assert not family[0].passes_work_rest


def test_outside_the_standard_there_is_a_sentence_and_never_nothing():
    """At 54 degrees ISO 7933 has no figure: the plan says so and asks for no less than at 50."""
    inside, outside = planned(heat(50.0)), planned(heat(54.0))

    assert any("ISO 7933" in w.text and "TB MED 507" in w.text for w in outside.warnings)
    assert outside.days[0].heat_asks_l >= inside.days[0].heat_asks_l > 0.0


def test_water_a_millimetre_off_the_route_moves_nobody_on_a_rest_day():
    """Decimals of a file put water beside the route: a rest day still asks for rest alone."""
    rest = [PinnedCamp(km=100.0, rest_days=3)]
    calls = calling_at(source_at(50.0))
    its_trip = hot_trip(heat(42.0, effort=FOOT), camps=rest, policy=calls)
    waters = [source_at(50.0, offset_km=off_km) for off_km in (0.0, 1e-6, 1.0)]
    need_l = [
        plan_without_mends(straight_route(200.0), [water], its_trip).stretches[1].need.total_l
        for water in waters
    ]

    assert need_l[1] == pytest.approx(need_l[0], rel=1e-4)
    assert need_l[2] > need_l[0] * (1.0 + 1e-4)
