"""Km along a route, against geographiclib (Karney 2013, J. Geodesy 87:43-55)."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from dense_search import place_off, route_of, track_from
from geographiclib.geodesic import Geodesic
from how_many import drawn_proof
from hypothesis import given
from hypothesis import strategies as st

from longdry.computing.route.chainage import measure_route, place_at_km, places_at_km
from longdry.errors import RouteFileError
from longdry.model.route import Route

INVERSE = Geodesic.WGS84.Inverse


def reference_km(route):
    points = list(zip(route.lat_deg, route.lon_deg, strict=True))
    legs = pairwise(points)
    return np.cumsum([INVERSE(*begin, *end)["s12"] / 1000.0 for begin, end in legs])


def broken_route(*gaps_m):
    """Make parts of 5 km going north with gaps between them."""
    steps = [5000.0]
    for gap in gaps_m:
        steps += [gap, 5000.0]
    whole = track_from(-25.0, 133.0, [0.0] * len(steps), steps)
    return route_of(whole.lat_deg, whole.lon_deg, [0, *range(2, whole.points, 2)])


@st.composite
def tracks(draw):
    at = draw(st.sampled_from([(0.0, 179.9), (-25.0, 133.0), (80.0, 10.0), (89.9, 0.0)]))
    lengths_m = draw(st.lists(st.floats(0.0, 6e4), min_size=1, max_size=12))
    turns_deg = draw(
        st.lists(st.floats(-180, 180), min_size=len(lengths_m), max_size=len(lengths_m))
    )
    return track_from(*at, np.cumsum(turns_deg), lengths_m)


@drawn_proof(400)
@given(tracks())
def test_chainage_is_that_of_the_reference(route):
    """Every point's km is the sum of geodesic lengths, within 1 mm or 1e-9."""
    measured = measure_route(route)

    assert measured.chainage_km[0] == 0.0
    assert measured.chainage_km[1:] == pytest.approx(reference_km(route), rel=1e-9, abs=1e-6)
    assert measured.length_km == measured.chainage_km[-1]


def test_many_short_legs_add_up():
    """20,000 legs of about a metre add up to the reference's length within 1e-9."""
    dice = np.random.default_rng(7)
    lat = -25.0 + np.cumsum(dice.normal(0.0, 1e-5, 20_001))
    lon = 133.0 + np.cumsum(dice.normal(0.0, 1e-5, 20_001))
    route = route_of(lat, lon)

    assert measure_route(route).length_km == pytest.approx(reference_km(route)[-1], rel=1e-9)


@drawn_proof(320)
@given(tracks())
def test_reversing_keeps_the_length(route):
    """There and back are equally long, with the same share of straight legs."""
    there, back = measure_route(route), measure_route(route.reversed())

    assert back.length_km == pytest.approx(there.length_km, abs=1e-9)
    assert back.straight_km == pytest.approx(there.straight_km, abs=1e-9)


def test_legs_over_two_km_are_straight_and_wind():
    """Only legs longer than 2 km count as straight, and only they are lengthened."""
    route = track_from(-25.0, 133.0, [0, 0, 0], [1999.0, 2001.0, 10_000.0])

    measured = measure_route(route, winding_factor=1.25)

    assert measured.straight_km == pytest.approx(12.001, abs=1e-6)
    assert measured.leg_km == pytest.approx([1.999, 2.001, 10.0], abs=1e-6)
    assert measured.chainage_km == pytest.approx([0.0, 1.999, 4.50025, 17.00025], abs=1e-6)
    assert measured.winding_factor == 1.25


@pytest.mark.parametrize("winding_factor", [0.99, float("nan"), float("inf"), -2.0])
def test_a_winding_factor_below_one_is_refused(winding_factor):
    """A way on the ground is never shorter than the straight line: such a factor is refused."""
    with pytest.raises(ValueError, match="winding_factor"):
        measure_route(route_of([0.0, 0.0], [0.0, 0.1]), winding_factor=winding_factor)


def test_breaks_are_bridged_and_listed():
    """Each break is a bridge with its km and length, and counts in the chainage."""
    measured = measure_route(broken_route(700.0, 19_900.0))

    assert [one.km for one in measured.bridges] == pytest.approx([5.0, 10.7], abs=1e-6)
    assert [one.length_km for one in measured.bridges] == pytest.approx([0.7, 19.9], abs=1e-6)
    assert measured.length_km == pytest.approx(15.0 + 20.6, abs=1e-6)


def test_long_bridges_are_straight_legs():
    """A bridge over 2 km is lengthened by the winding factor like any straight leg."""
    measured = measure_route(broken_route(4000.0), winding_factor=1.5)

    assert measured.straight_km == pytest.approx(14.0, abs=1e-6)
    assert measured.length_km == pytest.approx(21.0, abs=1e-6)


def test_ends_that_touch_are_no_break():
    """Two parts with 5 m between them: a device knows its place no better."""
    assert measure_route(broken_route(5.0)).bridges == ()
    assert len(measure_route(broken_route(15.0)).bridges) == 1


def test_an_unbroken_route_has_no_bridges():
    """One part has no break."""
    assert measure_route(broken_route()).bridges == ()


def test_wide_breaks_are_refused_all_at_once():
    """Bridges over 20 km are refused with file, km, length and how to take one side."""
    with pytest.raises(RouteFileError) as refusal:
        measure_route(broken_route(20_100.0, 500.0, 300_000.0))

    assert refusal.value.origin == "track.gpx"
    assert len(refusal.value.faults) == 2
    for part in (
        "track.gpx",
        "km 5.0",
        "20.1 km",
        "km 35.6",
        "300.0 km",
        "--track 'NAME#1'",
        "plan what lies on one side alone",
    ):
        assert part in str(refusal.value)


def test_points_that_are_all_equal_have_no_length():
    """Legs of no length are no trouble."""
    measured = measure_route(route_of([1.0, 1.0, 1.0], [2.0, 2.0, 2.0]))

    assert measured.length_km == 0.0
    assert place_at_km(measured, 0.0)[:2] == (1.0, 2.0)


@drawn_proof(320)
@given(tracks(), st.floats(0.0, 1.0))
def test_a_place_lies_on_the_geodesic_of_its_leg(route, share):
    """From the leg's beginning, the place lies at the right length and on the leg, to 1 mm."""
    measured = measure_route(route)
    km = share * measured.length_km
    lat, lon, _ = place_at_km(measured, km)

    gaps_m = []
    for leg in range(route.points - 1):
        begin = (route.lat_deg[leg], route.lon_deg[leg])
        end = (route.lat_deg[leg + 1], route.lon_deg[leg + 1])
        into_m = INVERSE(*begin, lat, lon)["s12"]
        detour_m = into_m + INVERSE(lat, lon, *end)["s12"] - measured.leg_km[leg] * 1000.0
        gaps_m.append(abs(measured.chainage_km[leg] * 1000.0 + into_m - km * 1000.0) + detour_m)
    assert min(gaps_m) < 1e-3


def test_ends_and_points_come_back_as_they_are():
    """At the km of a point stand its own coordinates and height, at the ends to the last bit."""
    route = Route("a", "a.gpx", [10.0, 10.1, 10.2], [180.0, -179.9, -179.8], [5.0, 7.0, 6.0], [0])
    measured = measure_route(route)

    assert place_at_km(measured, 0.0) == (10.0, 180.0, 5.0)
    assert place_at_km(measured, measured.length_km) == (10.2, -179.8, 6.0)
    middle = place_at_km(measured, float(measured.chainage_km[1]))
    assert middle == pytest.approx((10.1, -179.9, 7.0))


def test_heights_run_evenly_and_unknown_stays_unknown():
    """Half-way up a leg is half its climb; beside a point without height nothing is known."""
    route = Route("a", "a.gpx", [0.0, 0.0, 0.0], [0.0, 0.1, 0.2], [100.0, 200.0, np.nan], [0])
    measured = measure_route(route)
    half_legs = [measured.leg_km[0] / 2, measured.leg_km[0] * 1.5]

    _, _, height_m = places_at_km(measured, np.array(half_legs))

    assert height_m[0] == pytest.approx(150.0)
    assert np.isnan(height_m[1])


def test_winding_km_lead_to_the_same_places():
    """Half the km of a lengthened leg is still half the leg."""
    route = track_from(-25.0, 133.0, [30.0], [40_000.0])
    measured = measure_route(route, winding_factor=1.4)

    lat, lon, _ = place_at_km(measured, 28.0)

    assert (lat, lon) == pytest.approx(place_off(-25.0, 133.0, 30.0, 20_000.0), abs=1e-9)


@pytest.mark.parametrize("km", [-0.001, 1e9, float("nan")])
def test_a_km_beyond_the_ends_is_refused(km):
    """There is no place before the start, after the end, or at no number."""
    with pytest.raises(ValueError, match="not on the route"):
        place_at_km(measure_route(route_of([0.0, 0.0], [0.0, 0.1])), km)
