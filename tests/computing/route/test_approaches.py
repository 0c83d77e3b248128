"""Approaches against a dense geodesic search (``dense_search``) on invented tracks.

Offsets are also checked with geographiclib, the reference implementation of Karney (2013),
"Algorithms for geodesics", J. Geodesy 87:43-55.
"""

from __future__ import annotations

import numpy as np
import pytest
from dense_search import EQUAL_KM, DenseSearch, place_off, route_of, track_from
from geographiclib.geodesic import Geodesic
from how_many import drawn_proof
from hypothesis import given
from hypothesis import strategies as st

from longdry.computing.route.approaches import find_approaches
from longdry.computing.route.chainage import measure_route

ANYWHERE = st.sampled_from(
    [(0.0, 10.0), (-25.0, 133.0), (80.0, 10.0), (-80.0, 179.9), (45.0, -179.95), (88.5, 20.0)]
)
"""Equator, mid latitudes, 80 degrees, both sides of the antimeridian, near the pole."""


def found_by(route, places, max_detour_km=10.0, winding_factor=1.0):
    places = np.asarray(places, float).reshape(-1, 2)
    measured = measure_route(route, winding_factor=winding_factor)
    return find_approaches(measured, places[:, 0], places[:, 1], max_detour_km=max_detour_km)


def back_and_forth(route):
    return route_of(
        np.append(route.lat_deg, route.lat_deg[-2::-1]),
        np.append(route.lon_deg, route.lon_deg[-2::-1]),
    )


def same(one, other):
    """Whether both are one point within 1 m, or equal to the cm so that either may stand."""
    km, offset_km = other
    apart_km = abs(one.offset_km - offset_km)
    return apart_km < 1e-3 and (abs(one.km - km) < 1e-3 or apart_km <= EQUAL_KM)


def assert_as_searched(route, places, max_detour_km=10.0):
    found = found_by(route, places, max_detour_km)
    search = DenseSearch(route)
    for number, place in enumerate(places):
        own = [one for one in found if one.place == number]
        sure, unsure = search.approaches(place, max_detour_km)
        for one in own:
            assert any(same(one, other) for other in sure + unsure), (one, sure, unsure)
        for other in sure:
            assert any(same(one, other) for one in own), (other, place, own)
        assert len(sure) <= len(own) <= len(sure) + len(unsure)


def offsets_by_reference(found, places):
    inverse = Geodesic.WGS84.Inverse
    return [inverse(one.lat_deg, one.lon_deg, *places[one.place])["s12"] / 1000.0 for one in found]


@st.composite
def coarse_tracks(draw):
    """Up to 12 legs of 0 to 50 km with sharp turns; some go out and back."""
    lengths_m = draw(
        st.lists(st.sampled_from([0.0, 400.0, 3e3, 2e4, 5e4]), min_size=1, max_size=12)
    )
    turns = st.sampled_from([0.0, 10.0, -30.0, 90.0, 120.0, 180.0])
    turns_deg = draw(st.lists(turns, min_size=len(lengths_m), max_size=len(lengths_m)))
    heading_deg = draw(st.integers(0, 359))
    route = track_from(*draw(ANYWHERE), heading_deg + np.cumsum(turns_deg), lengths_m)
    return back_and_forth(route) if draw(st.booleans()) else route


@st.composite
def tracks_and_places(draw):
    """A coarse track and places from on it to beyond the detour."""
    route = draw(coarse_tracks())
    point = st.integers(0, route.points - 1)
    off_m = st.sampled_from([0.0, 5.0, 300.0, 1e3, 4e3, 9.9e3, 1.1e4])
    drawn = draw(st.lists(st.tuples(point, st.integers(0, 359), off_m), min_size=1, max_size=4))
    return route, [place_off(route.lat_deg[at], route.lon_deg[at], *off) for at, *off in drawn]


def wandering_track(seed, points=1500):
    """Walk steps of 0 to 120 m with bends, loops and jitter, as a recorded track does."""
    dice = np.random.default_rng(seed)
    bends = np.cumsum(dice.normal(0.0, 6.0, points)) + dice.normal(0.0, 25.0, points)
    at = [(-25.0, 133.0), (80.0, 10.0), (0.0, 179.99), (-89.7, 0.0)][seed % 4]
    return track_from(*at, bends, dice.uniform(0.0, 120.0, points))


def places_along(route, seed, count=5):
    dice = np.random.default_rng(seed)
    at = dice.integers(0, route.points, count)
    offs = zip(dice.uniform(0, 360, count), dice.choice([0, 30, 800, 5e3], count), strict=True)
    return [
        place_off(route.lat_deg[i], route.lon_deg[i], *off) for i, off in zip(at, offs, strict=True)
    ]


@drawn_proof(320)
@given(tracks_and_places(), st.sampled_from([0.3, 1.0, 5.0, 10.0]))
def test_coarse_tracks_agree_with_the_search(track_and_places, max_detour_km):
    """On legs of up to 50 km all approaches are found, within 1 m, and none besides."""
    route, places = track_and_places

    assert_as_searched(route, places, max_detour_km)


@pytest.mark.parametrize("seed", range(12))
def test_recorded_tracks_agree_with_the_search(seed):
    """On tracks with bends and jitter all approaches are found, within 1 m, and none besides."""
    route = wandering_track(seed)

    assert_as_searched(route, places_along(route, seed), [10.0, 2.0, 0.6][seed % 3])


@drawn_proof(200)
@given(tracks_and_places())
def test_offsets_are_those_of_the_reference(track_and_places):
    """The offset is the geodesic distance from the point told, by geographiclib, to 1 mm."""
    route, places = track_and_places
    found = found_by(route, places)

    offsets_km = [one.offset_km for one in found]
    assert offsets_km == pytest.approx(offsets_by_reference(found, places), abs=1e-6)


@drawn_proof(320)
@given(tracks_and_places())
def test_reversing_the_route_mirrors_the_approaches(track_and_places):
    """Backwards, the same number of approaches to each place, at mirrored km and same offsets.

    Of equal approaches that are one, the first stays: then only the offset is the same.
    """
    route, places = track_and_places
    length_km = measure_route(route).length_km
    there, back = found_by(route, places), found_by(route.reversed(), places)

    assert sorted(one.place for one in there) == sorted(one.place for one in back)
    for number in range(len(places)):
        own = [one for one in there if one.place == number]
        mirrored = [(length_km - one.km, one.offset_km) for one in back if one.place == number]
        assert all(any(same(one, other) for other in mirrored) for one in own), (own, mirrored)


@pytest.mark.parametrize("seed", range(4))
def test_many_places_at_once_are_as_one_by_one(seed):
    """Searching all places together finds what searching each of them alone finds."""
    route = wandering_track(seed)
    places = places_along(route, seed, count=40)

    together = found_by(route, places)

    alone = [(one.km, at) for at, place in enumerate(places) for one in found_by(route, [place])]
    assert [(one.km, one.place) for one in together] == sorted(alone)


def test_no_places_have_no_approaches():
    """An empty layer gives an empty answer."""
    assert found_by(route_of([0.0, 0.0], [0.0, 1.0]), []) == ()


def test_far_places_have_no_approaches():
    """A place beyond the detour, and one on the other side of the globe, are left out."""
    route = route_of([0.0, 0.0], [0.0, 0.1])

    assert found_by(route, [(0.2, 0.05), (0.0, -179.9)]) == ()


def test_nearest_point_lies_inside_a_long_leg():
    """Abeam the middle of a leg of 50 km along a meridian, the nearest point is its middle.

    By symmetry: a meridian is a geodesic, and so is the equator, which crosses it squarely.
    """
    route = route_of([-0.226, 0.226], [10.0, 10.0])

    (one,) = found_by(route, [(0.0, 10.05)])

    assert (one.leg, one.lat_deg) == (0, pytest.approx(0.0, abs=1e-8))
    assert one.offset_km == pytest.approx(6378.137 * np.radians(0.05), abs=1e-6)
    assert one.fraction == pytest.approx(0.5, abs=1e-7)


def test_a_place_on_a_point_of_the_route_is_met_there():
    """A place on a point of the track has offset 0 at the km of that point."""
    route = track_from(-25.0, 133.0, [0, 40, 80], [7000.0, 9000.0, 4000.0])

    (one,) = found_by(route, [(route.lat_deg[1], route.lon_deg[1])])

    assert (one.km, one.offset_km) == (pytest.approx(7.0, abs=1e-6), pytest.approx(0.0, abs=1e-9))


@pytest.mark.parametrize("end", [0, -1])
def test_a_place_at_an_end_is_met_at_the_end(end):
    """Ends of the route count as minima: a place at the start or the end is an approach there."""
    route = track_from(-25.0, 133.0, [0, 40, 80], [7000.0, 9000.0, 4000.0])

    (one,) = found_by(route, [(route.lat_deg[end], route.lon_deg[end])])

    assert one.km == pytest.approx(measure_route(route).chainage_km[end], abs=1e-6)
    assert one.offset_km == pytest.approx(0.0, abs=1e-9)


def test_a_place_beyond_the_end_is_nearest_the_end():
    """Past the end of the line the nearest point is the end itself."""
    route = route_of([0.0, 0.0], [0.0, 0.1])

    (one,) = found_by(route, [(0.0, 0.12)])

    assert (one.leg, one.fraction) == (0, 1.0)
    assert one.offset_km == pytest.approx(6378.137 * np.radians(0.02), abs=1e-6)


def test_a_loop_is_two_approaches():
    """A loop that leaves a well and comes back to it is two approaches."""
    route = track_from(-25.0, 133.0, [90, 0, 270, 180], [5000.0] * 4)

    found = found_by(route, [(-25.0, 133.0)])

    assert [one.km for one in found] == pytest.approx([0.0, 20.0], abs=0.01)


def test_an_out_and_back_by_a_well_is_two_approaches():
    """Out and back on one road, by a well at its middle, is two approaches."""
    route = back_and_forth(track_from(-25.0, 133.0, [0, 0], [6000.0, 6000.0]))

    found = found_by(route, [place_off(route.lat_deg[1], route.lon_deg[1], 90, 1000.0)])

    assert [one.km for one in found] == pytest.approx([6.0, 18.0], abs=1e-3)


def test_a_well_at_the_turning_point_is_one_approach():
    """Out and back to a well is one approach, however long the party stands there."""
    out = track_from(-25.0, 133.0, [0, 0, 0, 0], [6000.0, 6000.0, 0.0, 0.0])

    (one,) = found_by(back_and_forth(out), [(out.lat_deg[-1], out.lon_deg[-1])])

    assert (one.km, one.offset_km) == (pytest.approx(12.0, abs=1e-6), pytest.approx(0.0, abs=1e-9))


def test_of_equal_approaches_without_a_rise_the_first_stays():
    """Past a well and back by it after a turn 300 m on is one approach, the first."""
    route = back_and_forth(track_from(-25.0, 133.0, [0, 0], [6000.0, 300.0]))

    found = found_by(route, [place_off(route.lat_deg[1], route.lon_deg[1], 90, 200.0)])

    assert [one.km for one in found] == pytest.approx([6.0], abs=1e-3)


@pytest.mark.parametrize(("beyond_m", "approaches"), [(480.0, 1), (520.0, 2)])
def test_half_a_km_of_rise_tells_a_wiggle_from_a_loop(beyond_m, approaches):
    """On the line itself the rise that parts two approaches is 0.5 km."""
    route = back_and_forth(track_from(-25.0, 133.0, [0, 0], [6000.0, beyond_m]))

    found = found_by(route, [(route.lat_deg[1], route.lon_deg[1])])

    assert len(found) == approaches


@pytest.mark.parametrize(("beyond_m", "approaches"), [(5100.0, 1), (5300.0, 2)])
def test_a_far_place_needs_a_rise_of_its_own_offset(beyond_m, approaches):
    """At 3 km off, going on by b m rises sqrt(9 + b^2) - 3 km: 3 km at b = 5.196 km."""
    route = back_and_forth(track_from(-25.0, 133.0, [0, 0], [9000.0, beyond_m]))

    found = found_by(route, [place_off(route.lat_deg[1], route.lon_deg[1], 90, 3000.0)])

    assert len(found) == approaches


def test_ground_beyond_the_detour_still_joins_approaches():
    """A bend that leaves the detour but stays below the needed rise parts nothing.

    At 3 km off, 4 km on, the route is 5 km away: beyond the detour of 3.1 km, below the 6 km
    that would part the two. Points 10 m apart keep the ground looked at short.
    """
    route = back_and_forth(track_from(-25.0, 133.0, [0] * 1300, [10.0] * 1300))

    found = found_by(route, [place_off(route.lat_deg[900], 133.0, 90, 3000.0)], 3.1)

    assert [one.km for one in found] == pytest.approx([9.0], abs=0.01)


def test_equal_approaches_are_equal_however_the_legs_are_drawn():
    """A place on the line, met inside a leg going out and at a point coming back, is met first."""
    out = track_from(-25.0, 133.0, [0, 0], [6450.0, 300.0])
    lat, lon = out.lat_deg, out.lon_deg
    route = route_of(lat[[0, 2, 1, 0]], lon[[0, 2, 1, 0]])

    found = found_by(route, [(lat[1], lon[1])])

    assert [one.km for one in found] == pytest.approx([6.45], abs=0.01)


def test_far_off_the_nearest_point_is_exact_too():
    """2,000 km off on the equator, the nearest point of a meridian lies on the equator."""
    route = route_of([-0.2263, 0.1], [10.0, 10.0])

    (one,) = found_by(route, [(0.0, 28.0)], 2500.0)

    assert one.lat_deg == pytest.approx(0.0, abs=1e-6)


def test_winding_lengthens_km_not_offsets():
    """Along a straight leg the km are stretched by the winding factor, the offsets are not."""
    route = route_of([-0.1, 0.1], [10.0, 10.0])
    place = [(0.05, 10.05)]

    (plain,), (winding,) = found_by(route, place), found_by(route, place, winding_factor=1.3)

    assert winding.km == pytest.approx(1.3 * plain.km)
    assert (winding.offset_km, winding.fraction) == (plain.offset_km, plain.fraction)


def test_duplicate_points_change_nothing():
    """Points recorded twice add no approach and move none."""
    route = wandering_track(2, points=300)
    twice = route_of(np.repeat(route.lat_deg, 2), np.repeat(route.lon_deg, 2))
    places = places_along(route, 2)

    found, doubled = found_by(route, places), found_by(twice, places)

    assert [one.place for one in doubled] == [one.place for one in found]
    assert [one.km for one in doubled] == pytest.approx([one.km for one in found], abs=1e-6)


def test_a_great_detour_reaches_far():
    """A detour of 900 km over the pole still finds the nearest point within 1 m."""
    route = track_from(84.0, 0.0, [10, 60], [200e3, 150e3])

    assert_as_searched(route, [(86.0, 170.0), (80.0, 90.0)], 900.0)


@pytest.mark.parametrize("max_detour_km", [-1.0, float("nan"), float("inf")])
def test_an_impossible_detour_is_refused(max_detour_km):
    """A negative or endless detour raises ValueError."""
    with pytest.raises(ValueError, match="max_detour_km"):
        found_by(route_of([0.0, 0.0], [0.0, 0.1]), [(0.0, 0.0)], max_detour_km)
