"""Check the days of a plan: light, camps, sources, water used and on board."""

from __future__ import annotations

import dataclasses
import datetime as dt

import pytest
from make import container, pace, source_at, straight_route, trip, use
from without_mends import plan_without_mends

from longdry.computing.plan.warnings import named_days
from longdry.model.route import Waypoint
from longdry.model.trip.heat import (
    Effort,
    HeatExpectation,
    HeatOutlook,
    HeatSection,
    PersonInHeat,
    TripHeat,
)
from longdry.model.trip.trip import PinnedCamp
from longdry.model.words import Accrual
from longdry.showing.exports.plan_json import plan_document
from longdry.showing.page.days import day_table
from longdry.showing.words.measures import METRIC, US

DEPARTS = dt.datetime(2027, 6, 21, 8)
KEYS = {
    "date", "from_km", "to_km", "moving_h", "camp", "drinking_l", "heat_asks_l", "measured_l",
    "used_l", "on_board_l", "sources", "camp_name", "sunrise", "sunset", "arrives",
    "arrives_after_dark",
}  # fmt: skip


def planned(length_km=700.0, sources=(), route=None, **how):
    its_trip = dataclasses.replace(trip(**how), depart=DEPARTS, utc_offset_h=9.5)
    return plan_without_mends(route or straight_route(length_km), list(sources), its_trip)


def test_document_has_the_keys_that_others_rely_on():
    """Every day tells its date, its way, its drinking, its water and its light."""
    days = plan_document(planned())["days"]

    assert [day["date"] for day in days] == ["2027-06-21", "2027-06-22", "2027-06-23"]
    assert all(set(day) >= KEYS for day in days)
    assert [day["camp"] for day in days] == [True, True, False]
    assert days[0]["heat_asks_l"] is None
    assert days[0]["drinking_l"] == days[0]["measured_l"] == 8.0


def test_arrival_follows_the_clock():
    """300 km a day from 8:00 to 14:00; the last 100 km are done at 10:00."""
    arrivals = [day.arrives for day in planned().days]

    assert [f"{moment:%d %H:%M}" for moment in arrivals] == ["21 14:00", "22 14:00", "23 10:00"]


def test_the_sun_of_the_place():
    """25 S on 21 June: cos H = (sin -0.833 - sin -25 sin 23.44) / (cos -25 cos 23.44), 10.58 h."""
    day = planned().days[0]
    length = (day.sunset - day.sunrise).total_seconds() / 3600.0

    assert length == pytest.approx(10.58, abs=0.05)
    assert not day.arrives_after_dark


def test_arrival_after_dark_is_told():
    """Moving from 14:00 to 20:00 at midwinter ends in the dark, every day but the last.

    Only a party that moves after dark does so.
    """
    plan = planned(pace=pace(start_hour=14.0, after_dark=True))
    (text,) = [w.text for w in plan.warnings if "until it is dark" in w.text]

    assert [day.arrives_after_dark for day in plan.days] == [True, True, False]
    assert text.startswith("Days 1 to 2: ")


def test_without_a_date_there_is_no_sun():
    """No departure, no sunrise, and no clocks to assume."""
    plan = plan_without_mends(straight_route(700.0), [], trip())

    assert all(day.sunrise is None and day.arrives is None for day in plan.days)
    assert not any(a.key == "utc_offset_h" for a in plan.assumptions)


def test_water_used_and_on_board_add_up():
    """From 40 L, 8 L a day: what is on board at the end is what was there less what was used.

    People drink from 6:00 to 22:00: of the first day, from 8:00, 14 hours, of the last, to 10:00,
    four.
    """
    plan = planned(containers=[container(20.0, 2)])
    used_l = [day.used_l for day in plan.days]

    assert plan.fills.fills[0].leaving.total_l - sum(used_l) == pytest.approx(
        plan.days[-1].on_board_l
    )
    assert used_l == pytest.approx([8.0 * 14 / 16, 8.0, 8.0 * 4 / 16], abs=0.001)
    assert [day.on_board_l for day in plan.days] == sorted(
        (day.on_board_l for day in plan.days), reverse=True
    )


def test_of_water_that_runs_out_the_days_use_no_more_and_none_of_what_is_always_carried():
    """By hand: 700 km take 14 h on 3 days. 9 L, 4 of them for the engine: 5 L last 10 h to drink.

    So they are gone at 18 o'clock of the first day, and the bare ration lacks the rest of 40 h in
    waking hours: 14 + 16 + 4 h at half a litre are 17 L, 12 L more than can be drunk.
    """
    engine = use("engine", 4.0, per=Accrual.ALWAYS)
    plan = planned(uses=[use(), engine], containers=[container(9.0, 1)])
    told = " ".join(warning.text for warning in plan.warnings)

    assert plan.stretches[0].runs_dry.hour == pytest.approx(18.0, abs=0.01)
    assert [day.used_l for day in plan.days] == pytest.approx([5.0, 0.0, 0.0], abs=0.01)
    assert [day.on_board_l for day in plan.days] == [0.0, 0.0, 0.0]
    assert "Even the bare ration lacks 12 L." in told


def test_without_containers_nothing_is_on_board():
    """Nothing is said of what is on board where the trip names no containers."""
    assert all(day.on_board_l is None for day in planned(containers=[]).days)


def test_sources_passed_and_the_camp_at_one():
    """Water at km 100 and km 300.5: both on day 1's way or camp, each told once."""
    days = planned(sources=[source_at(100.0), source_at(299.5)]).days

    assert [day.sources for day in days] == [("s100", "s299.5"), (), ()]
    assert [day.camp_name for day in days] == ["s299.5", "", ""]


def test_a_camp_pinned_at_a_waypoint_bears_its_name():
    """A camp by waypoint name is told by it, with its rest day."""
    route = straight_route(700.0)
    where = source_at(200.0)
    named = dataclasses.replace(route, waypoints=(Waypoint("Gum", where.lat_deg, where.lon_deg),))
    days = planned(route=named, camps=[PinnedCamp(waypoint="gum", rest_days=1)]).days

    assert [day.camp_name for day in days[:2]] == ["Gum", "Gum"]
    assert [day.rest for day in days[:3]] == [False, True, False]
    assert days[0].to_km == pytest.approx(200.0, abs=0.01)


def test_days_are_named_by_their_runs():
    """Runs of days are named by their ends."""
    assert named_days([1, 2, 3, 7, 9, 10]) == "Days 1 to 3, 7, 9 to 10"


def test_the_page_shows_heat_and_light_where_the_plan_knows_them():
    """Columns of heat stand only with heat; of light only with dates; figures in either unit."""
    plain = day_table(
        plan_without_mends(straight_route(700.0), [], trip(containers=[])).days, METRIC
    )
    hot = dataclasses.replace(
        trip(), heat=TripHeat(HeatOutlook(HeatExpectation(40.0)), PersonInHeat(Effort(1.5)))
    )
    told = day_table(plan_without_mends(straight_route(700.0), [source_at(100.0)], hot).days, US)

    assert "The heat asks" not in plain
    assert "Sunrise" not in plain
    assert "Carried" not in plain
    assert "Sunrise" in day_table(planned().days, METRIC)
    assert all(words in told for words in ("The heat asks", "104 °F", "US gal", "mile", "s100"))


def test_a_hot_day_uses_its_own_water():
    """45 degrees on day 1 of a stretch, 20 after: day 1 uses more, by its own drinking."""
    hot_first = HeatOutlook(
        HeatExpectation(20.0), sections=(HeatSection(0.0, 299.0, HeatExpectation(45.0)),)
    )
    hot = dataclasses.replace(
        trip(containers=[container(20.0, 10)]),
        depart=DEPARTS,
        heat=TripHeat(hot_first, PersonInHeat(Effort(1.5))),
    )
    days = plan_without_mends(straight_route(700.0), [], hot).days

    assert days[0].drinking_l > 2.0 * days[1].drinking_l
    assert days[0].used_l > days[0].drinking_l * 16 / 24
    assert days[1].used_l == pytest.approx(days[1].drinking_l, abs=0.002)
    assert days[0].on_board_l - days[1].on_board_l == pytest.approx(days[1].used_l)


def test_a_use_of_the_night_counts_when_its_day_is_over():
    """5 L a night beside 8 L in 16 waking hours: 7 + 5 on day 1, 13 on day 2, 2 on the last."""
    shower = use("shower", 5.0, per=Accrual.PARTY_NIGHT)
    days = planned(uses=[use(), shower], containers=[container(20.0, 5)]).days

    assert [day.used_l for day in days] == pytest.approx(
        [8.0 * 14 / 16 + 5.0, 13.0, 8.0 * 4 / 16], abs=0.002
    )
