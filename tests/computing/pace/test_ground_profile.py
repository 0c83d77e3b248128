"""Check the moving hours on the ground against sums done by hand and W. Tobler (1993)."""

from __future__ import annotations

import dataclasses
import itertools
import math

import numpy as np
import pytest
import shapely
from how_many import drawn_proof
from hypothesis import given
from hypothesis import strategies as st
from make import calling_at, pace, source_at, straight_route, trip
from without_mends import plan_without_mends

from longdry.computing.pace.on_ground import route_pace, with_ground
from longdry.computing.route.chainage import measure_route, places_at_km
from longdry.computing.route.mirrored import mirrored_route
from longdry.computing.setbacks.supplied import profile_back
from longdry.model.trip.ground import GroundFeature
from longdry.model.trip.trip import PaceSection
from longdry.model.words import Travel

ON_FOOT = pace(travel=Travel.FOOT, speed_kmh=4.0)


def sloping(slope, length_km=20.0, points=201):
    route = straight_route(length_km, points)
    heights = np.linspace(0.0, slope * length_km * 1000.0, points)
    return dataclasses.replace(route, height_m=heights)


def hours(route, its_pace):
    return float(route_pace(measure_route(route), its_pace).profile.moving_h[-1])


@pytest.mark.parametrize("travel", Travel)
def test_without_heights_the_hours_are_length_over_speed(travel):
    """20 km at 4 km/h take 5 h, whatever the way of travel, where no height is known."""
    assert hours(straight_route(20.0), pace(travel=travel, speed_kmh=4.0)) == pytest.approx(5.0)


def test_margin_for_unknown_heights_is_what_the_trip_sets():
    """5 h on the flat and 20 % on top are 6 h; a vehicle takes no margin."""
    margin = {"speed_kmh": 4.0, "unknown_ground_percent": 20.0}

    assert hours(straight_route(20.0), pace(travel=Travel.FOOT, **margin)) == pytest.approx(6.0)
    assert hours(straight_route(20.0), pace(travel=Travel.VEHICLE, **margin)) == pytest.approx(5.0)


@pytest.mark.parametrize("slope", [-0.2, -0.05, 0.0, 0.1])
def test_walking_follows_tobler_relative_to_the_flat(slope):
    """Tobler (1993): W = 6 exp(-3.5 |s + 0.05|); hours are those on the flat times W(0) / W(s)."""
    longer = math.exp(3.5 * (abs(slope + 0.05) - 0.05))

    assert hours(sloping(slope), ON_FOOT) == pytest.approx(5.0 * longer, rel=1e-6)


def test_riding_takes_an_hour_more_for_the_metres_of_the_trip():
    """20 km at 10 km/h and 600 m of climb at 300 m an hour: 2 h + 2 h; nothing back downhill."""
    riding = pace(travel=Travel.BICYCLE, speed_kmh=10.0, climb_m_per_h=300.0)

    assert hours(sloping(0.03), riding) == pytest.approx(4.0)
    assert hours(sloping(-0.03), riding) == pytest.approx(2.0)


def test_heights_do_not_slow_a_vehicle():
    """A vehicle goes by its speeds alone."""
    assert hours(sloping(0.2), pace()) == pytest.approx(hours(straight_route(20.0), pace()))


def test_winding_makes_a_straight_leg_longer_and_its_slope_gentler():
    """One straight leg of 20 km, winding 1.5, climbing 3000 m: 30 km of 10 %."""
    measured = measure_route(sloping(0.15, points=2), winding_factor=1.5)

    taken = route_pace(measured, ON_FOOT).profile.moving_h[-1]

    assert taken == pytest.approx(30.0 / 4.0 * math.exp(0.35), rel=1e-3)


@drawn_proof(160)
@given(st.floats(0.5, 19.5), st.sampled_from([Travel.FOOT, Travel.VEHICLE, Travel.BICYCLE]))
def test_splitting_a_section_in_two_changes_nothing(cut_km, travel):
    """A section of 2 km/h, or the same in two parts: the same hours at every km."""
    measured = measure_route(sloping(0.05))

    def at_every_km(*ends):
        parts = tuple(PaceSection(a, b, 2.0) for a, b in itertools.pairwise(ends))
        profile = route_pace(measured, pace(travel=travel, sections=parts)).profile
        return [profile.moving_h_at(km) for km in np.linspace(0.0, 20.0, 41)]

    assert at_every_km(0.25, cut_km, 19.75) == pytest.approx(at_every_km(0.25, 19.75))


@drawn_proof(160)
@given(st.lists(st.floats(-60.0, 60.0), min_size=3, max_size=12), st.sampled_from(Travel))
def test_the_profile_never_stands_still_or_runs_back(steps, travel):
    """Hours grow with every km, and those of two parts add up to those of the whole."""
    route = dataclasses.replace(
        straight_route(10.0, len(steps) + 1), height_m=np.cumsum([500.0, *steps])
    )
    profile = route_pace(measure_route(route), pace(travel=travel, speed_kmh=4.0)).profile
    at = [profile.moving_h_at(km) for km in np.linspace(0.0, 10.0, 57)]

    assert all(later > earlier for earlier, later in itertools.pairwise(at))
    assert profile.between(0.0, 3.3) + profile.between(3.3, 10.0) == pytest.approx(at[-1])


def test_the_way_back_downhill_is_faster():
    """5 % up takes longer than 5 % down; the hours back count from km 0 too."""
    measured = measure_route(sloping(0.05))
    onward = route_pace(measured, ON_FOOT).profile
    back = profile_back(route_pace(mirrored_route(measured), ON_FOOT).profile)

    assert back.moving_h_at(20.0) == pytest.approx(hours(sloping(-0.05), ON_FOOT))
    assert back.moving_h_at(20.0) < onward.moving_h_at(20.0)
    assert back.moving_h_at(0.0) == pytest.approx(0.0, abs=1e-9)


def test_minutes_of_a_fill_belong_to_neither_stretch():
    """Water at km 100 of 250, 50 km/h, 30 minutes to fill: 2 h, half an hour at it, 3 h on."""
    water = source_at(100.0)
    its_trip = trip(pace=pace(fill_minutes=30.0), policy=calling_at(water))
    plan = plan_without_mends(straight_route(250.0), [water], its_trip)
    first, second = plan.stretches

    assert first.days == pytest.approx(2.0 / 24.0)
    assert second.days == pytest.approx(3.0 / 24.0)
    assert second.leave_h - first.arrive_h == pytest.approx(0.5)


def test_a_break_in_the_heat_puts_the_rest_of_the_day_off():
    """From 8:00, 6 h a day, no moving from 11 to 15: km 200 (4 h of moving) is reached at 16:00."""
    water = source_at(200.0)
    its_trip = trip(pace=pace(break_h=(11.0, 15.0)), policy=calling_at(water))
    plan = plan_without_mends(straight_route(400.0), [water], its_trip)

    assert plan.stretches[0].days == pytest.approx(8.0 / 24.0)
    assert plan.days[0].moving_h == pytest.approx(6.0)


def area_over(from_km, to_km, **what):
    lat_deg, lon_deg, _ = places_at_km(
        measure_route(straight_route(100.0)), np.array([from_km, to_km])
    )
    box = shapely.box(lon_deg[0], lat_deg.min() - 0.5, lon_deg[1], lat_deg.max() + 0.5)
    return GroundFeature(shapely.to_wkb(box), **what)


def test_an_area_sets_the_speed_of_the_route_inside_it():
    """40 of 100 km at 10 km/h, the rest at 50: 4 h + 1.2 h, right within 0.1 km at each end."""
    on_sand = pace(ground=(area_over(30.0, 70.0, speed_kmh=10.0),))

    assert hours(straight_route(100.0, 11), on_sand) == pytest.approx(5.2, abs=0.02)


def test_a_surface_slows_the_speed_of_the_trip():
    """Sand takes a vehicle to 0.3 of 50 km/h; where a section says its own speed, that holds."""
    measured = measure_route(straight_route(100.0, 11))
    own = PaceSection(50.0, 60.0, 25.0)
    found = with_ground(
        measured, pace(ground=(area_over(30.0, 70.0, surface="sand"),), sections=(own,))
    )

    assert [round(s.speed_kmh, 6) for s in found] == [15.0, 25.0, 15.0]
    ends = [end for s in found for end in (s.from_km, s.to_km)]
    assert ends == pytest.approx([30.0, 50.0, 50.0, 60.0, 60.0, 70.0], abs=0.1)


def test_the_slowest_of_several_areas_counts_and_a_line_holds_close_by():
    """An area of 20 km/h under one of 5 km/h; a line along the route, and one 200 m beside it."""
    route = straight_route(100.0, 11)
    measured = measure_route(route)
    both = (area_over(0.0, 100.0, speed_kmh=20.0), area_over(40.0, 60.0, speed_kmh=5.0))
    lat_deg, lon_deg, _ = places_at_km(measured, np.linspace(20.0, 30.0, 200))
    near = shapely.linestrings(lon_deg, lat_deg)
    beside = shapely.linestrings(lon_deg, lat_deg + 0.2 / 111.0)

    def speeds(*ground):
        return [round(s.speed_kmh, 6) for s in with_ground(measured, pace(ground=ground))]

    assert speeds(*both) == [20.0, 5.0, 20.0]
    assert speeds(GroundFeature(shapely.to_wkb(near), speed_kmh=7.0)) == [7.0]
    assert speeds(GroundFeature(shapely.to_wkb(beside), speed_kmh=7.0)) == []


def test_flat_ground_is_told_on_foot_and_not_in_a_vehicle():
    """Without heights the plan of walkers says that flat ground was assumed."""

    def told(its_pace):
        plan = plan_without_mends(straight_route(20.0), [], trip(pace=its_pace))
        return [a.value for a in plan.assumptions if a.what == "flat ground assumed"]

    assert told(ON_FOOT) == ["20.0 km without heights, 0 % on top"]
    assert told(pace()) == []
