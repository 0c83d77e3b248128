"""Jumps and stray points of a line, against legs that are made to be or not to be such."""

from __future__ import annotations

import dataclasses
from statistics import median

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from make import START_LAT, source_at, straight_route, trip
from without_mends import plan_without_mends

from longdry.computing.route.chainage import measure_route
from longdry.computing.route.jumps import jumps_of, warnings_of_jumps
from longdry.errors import RouteFileError
from longdry.geodesy import jump_legs
from longdry.model.route import Route

WHOLE = np.array([0])


@given(
    around=st.lists(st.floats(0.01, 0.099), min_size=10, max_size=10),
    far_km=st.floats(0.05, 40.0),
)
def test_a_jump_is_over_2_km_and_20_times_the_median_of_ten(around, far_km):
    """Held against the statistics of the standard library, five legs on each side."""
    legs = np.array([*around[:5], far_km, *around[5:]])
    expected = [5] if far_km > 2.0 and far_km >= 20.0 * median(around) else []

    assert jump_legs(legs, WHOLE).tolist() == expected


def test_a_line_of_few_points_jumps_nowhere():
    """A route planned in long straight legs has no legs that are far longer than the others."""
    assert jump_legs(np.array([30.0, 55.0, 12.0, 80.0, 41.0, 28.0]), WHOLE).size == 0
    assert jump_legs(np.array([0.1, 30.0, 0.1]), WHOLE).size == 0


def test_the_bridge_of_a_break_is_no_jump():
    """A break between segments is told as a break."""
    legs = np.array([0.1] * 5 + [9.0] + [0.1] * 5)

    assert jump_legs(legs, WHOLE).tolist() == [5]
    assert jump_legs(legs, np.array([0, 6])).size == 0


def line_with(*, missing=(), moved=None, timed=False):
    """Make 30 km in legs of 100 m, points left out or one moved aside by degrees of latitude."""
    route = straight_route(30.0, 301)
    lat = route.lat_deg.copy()
    if moved is not None:
        lat[100] = START_LAT + moved
    kept = np.setdiff1d(np.arange(301), np.array(missing, dtype=int))
    return Route("made", "made.gpx", lat[kept], route.lon_deg[kept], np.full(kept.size, np.nan),
                 np.array([0]), timed=timed)  # fmt: skip


def found(route):
    measured = measure_route(route)
    return jumps_of(route, measured.leg_km, measured.chainage_km)


def test_points_left_out_make_a_jump_where_they_lay():
    """Ten km of the line without points: one jump from km 10.0, 10.0 km long."""
    (jump,) = found(line_with(missing=range(101, 200)))

    assert (jump.km, jump.length_km) == (pytest.approx(10.0, abs=1e-6), pytest.approx(10, abs=1e-6))
    assert not jump.stray


def test_a_point_moved_aside_is_one_stray_point():
    """A point 0.05 degrees aside, 5.5 km: both its legs are jumps, told as one stray point."""
    (stray,) = found(line_with(moved=0.05))

    assert stray.stray
    assert stray.length_km == pytest.approx(11.1, abs=0.2)


def test_warnings_are_grave_and_name_the_water_on_the_leg():
    """Whoever reckons with water along a jump reads it."""
    route = line_with(missing=range(101, 200))
    plan = plan_without_mends(route, [source_at(15.0, id="w")], trip())
    (warning,) = [one for one in plan.warnings if "the line jumps" in one.text]

    assert warning.grave
    assert "km 10.0" in warning.text
    assert "10.0 km" in warning.text
    assert "Water reckoned on that leg: w (km 15.0)" in warning.text


def test_a_line_without_jumps_has_no_warning():
    """The even line is left in peace."""
    assert warnings_of_jumps(measure_route(line_with())) == ()


def test_a_recording_that_jumps_over_20_km_is_refused_as_a_break_is():
    """A plan drawn without times may hold such a leg; a recording may not."""
    route = straight_route(60.0, 601)
    keep = [*range(101), *range(351, 601)]
    drawn = Route("made", "made.gpx", route.lat_deg[keep], route.lon_deg[keep],
                  np.full(len(keep), np.nan), np.array([0]))  # fmt: skip

    assert len(found(drawn)) == 1
    with pytest.raises(RouteFileError, match=r"km 10\.0: the recording jumps 25\.1 km"):
        measure_route(dataclasses.replace(drawn, timed=True))


def test_the_other_way_round_has_the_same_jumps():
    """Reversing a line mirrors its jumps."""
    route = line_with(missing=range(101, 200))
    (there,) = found(route)
    (back,) = found(route.reversed())

    assert back.km == pytest.approx(measure_route(route).length_km - there.to_km, abs=1e-6)
