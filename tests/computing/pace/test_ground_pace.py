"""Pace by ground: Tobler's function, heights without their noise, splitting changes nothing."""

from itertools import pairwise

import numpy as np
import pytest
from how_many import drawn_proof
from hypothesis import given
from hypothesis import strategies as st
from project_places import DOCS

from longdry.computing.pace.slopes import (
    DEAD_BAND_M,
    GroundRules,
    chainage_of,
    cut_at,
    hours_by_leg,
    smoothed_ground,
    tobler_kmh,
    without_small_reversals,
)
from longdry.model.trip.ground import SURFACE_FACTORS, surface_factor
from longdry.model.words import Travel

FOOT, BICYCLE, VEHICLE = Travel.FOOT, Travel.BICYCLE, Travel.VEHICLE
TOBLER_FLAT_KMH = 5.04


def pace(leg_km, height_m, *, travel=FOOT, speed_kmh=TOBLER_FLAT_KMH, **rules):
    return hours_by_leg(
        leg_km=np.asarray(leg_km, dtype=float),
        height_m=np.asarray(height_m, dtype=float),
        speed_kmh=speed_kmh,
        travel=travel,
        rules=GroundRules(**{"climb_h_per_m": 1.0 / 400.0, "unknown_ground_margin": 0.1} | rules),
    )


def steady(length_km, slope, step_km=0.01):
    legs = np.full(round(length_km / step_km), step_km)
    return legs, 500.0 + slope * 1000.0 * chainage_of(legs)


def noisy(height_m, seed, metres=5.0, correlation=0.0):
    """Add a receiver's noise: each error keeps a part of the last one."""
    rng = np.random.default_rng(seed)
    fresh = rng.normal(0.0, metres * np.sqrt(1.0 - correlation**2), height_m.size)
    errors = np.empty_like(fresh)
    errors[0] = rng.normal(0.0, metres)
    for index in range(1, errors.size):
        errors[index] = correlation * errors[index - 1] + fresh[index]
    return height_m + errors


def test_tobler_fastest():
    """Tobler (1993): 6 km/h at -2.86 degrees, and nowhere faster."""
    slopes = np.linspace(-1, 1, 2001)

    assert tobler_kmh(np.tan(np.radians(-2.86))) == pytest.approx(6.0, abs=0.01)
    assert tobler_kmh(slopes).max() == pytest.approx(6.0)


def test_tobler_flat():
    """Tobler (1993): about 5 km/h on the flat (5.036787, given so in the literature on it)."""
    assert tobler_kmh(0.0) == pytest.approx(5.036742, abs=1e-4)


def test_tobler_steep():
    """Tobler (1993), by hand: 10 % up 6 exp(-0.525) = 3.55 km/h, 10 % down 5.04 km/h."""
    assert tobler_kmh([0.10, -0.10]) == pytest.approx([3.549, 5.037], abs=1e-3)


@pytest.mark.parametrize("slope", [-0.2, -0.05, 0.0, 0.03, 0.15])
def test_a_steady_grade_walks_as_tobler_says(slope):
    """Ten km on a steady grade take 10 km over Tobler's speed, for a party of his flat speed."""
    legs, heights = steady(10.0, slope)

    found = pace(legs, heights, speed_kmh=float(tobler_kmh(0.0)))

    assert found.hours.sum() == pytest.approx(10.0 / float(tobler_kmh(slope)), rel=1e-6)


def test_own_speed_scales():
    """A party half as fast on the flat takes twice as long everywhere."""
    legs, heights = steady(5.0, 0.08)

    slow, fast = pace(legs, heights, speed_kmh=2.0), pace(legs, heights, speed_kmh=4.0)

    assert slow.hours == pytest.approx(2 * fast.hours)


@pytest.mark.parametrize("correlation", [0.0, 0.9, 0.98])
@pytest.mark.parametrize("slope", [0.0, 0.02, -0.06])
@pytest.mark.parametrize("seed", range(3))
def test_noise_does_not_make_mountains(slope, correlation, seed):
    """Noise of 5 m, drifting or not, adds under 2 m of climb a km, where raw heights add 40."""
    legs, heights = steady(50.0, slope)
    recorded = noisy(heights, seed, correlation=correlation)

    found = pace(legs, recorded)

    true_climb_m = max(slope, 0.0) * 50_000
    raw_climb_m = np.diff(recorded).clip(min=0).sum()
    assert correlation == 0.98 or slope < 0 or raw_climb_m > true_climb_m + 40 * 50
    assert true_climb_m - 2 * DEAD_BAND_M <= found.climb_m <= true_climb_m + 2 * 50


@pytest.mark.parametrize("correlation", [0.0, 0.9, 0.98])
@pytest.mark.parametrize("slope", [0.0, 0.02, -0.06])
def test_noise_does_not_slow_walkers(slope, correlation):
    """The same noise makes a walk no more than 5 % longer and no more than 1 % shorter."""
    legs, heights = steady(50.0, slope)

    clean, recorded = pace(legs, heights), pace(legs, noisy(heights, 7, correlation=correlation))

    assert 0.99 <= recorded.hours.sum() / clean.hours.sum() <= 1.05


def test_real_hills_stay():
    """Hills of 80 m every 4 km keep their climb within 5 %."""
    legs, _ = steady(40.0, 0.0)
    heights = 40.0 - 40.0 * np.cos(2 * np.pi * chainage_of(legs) / 4.0)

    found = pace(legs, noisy(heights, 3))

    assert 0.95 * 800 <= found.climb_m <= 1.05 * 800


def test_dunes_stay():
    """Of dunes 20 m high every km more than four fifths of the climb is kept."""
    legs, _ = steady(40.0, 0.0)
    heights = 10.0 - 10.0 * np.cos(2 * np.pi * chainage_of(legs))

    assert 0.8 * 800 <= pace(legs, heights).climb_m <= 800


def test_small_reversals_are_levelled():
    """By hand: a dip of 3 m on a rise goes, one of 15 m stays."""
    level = without_small_reversals(np.array([0.0, 30, 27, 50, 35, 60]))

    assert level.tolist() == [0.0, 28.5, 28.5, 50.0, 35.0, 60.0]


@drawn_proof(320)
@given(st.lists(st.floats(-50, 50), min_size=2, max_size=40))
def test_levelling_adds_no_climb(heights):
    """Levelled ground never climbs more than the heights that it came from, and keeps its ends."""
    heights = np.asarray(heights)
    level = without_small_reversals(heights)

    climbs = [np.diff(line).clip(min=0).sum() for line in (level, heights)]
    assert climbs[0] <= climbs[1] + 1e-9
    assert (level[0], level[-1]) == (heights[0], heights[-1])


LEGS = st.lists(
    st.tuples(st.floats(0.005, 6.0), st.floats(-300, 300), st.floats(1.0, 30.0)),
    min_size=1,
    max_size=12,
)


@drawn_proof(320)
@given(LEGS, st.floats(0.05, 0.95), st.data(), st.sampled_from(list(Travel)))
def test_splitting_a_leg_changes_nothing(legs, share, data, travel):
    """A point more on a leg leaves the hours of every other leg and their sum as they were."""
    leg_km, height_m, speeds = (np.array(column) for column in zip(*legs, strict=True))
    height_m = np.concatenate([[0.0], height_m])
    cut = data.draw(st.integers(0, leg_km.size - 1))
    between = height_m[cut] + share * (height_m[cut + 1] - height_m[cut])
    parts = [leg_km[cut] * share, leg_km[cut] * (1 - share)]
    cut_km = np.concatenate([leg_km[:cut], parts, leg_km[cut + 1 :]])

    whole = pace(leg_km, height_m, travel=travel, speed_kmh=speeds)
    split = pace(
        cut_km,
        np.insert(height_m, cut + 1, between),
        travel=travel,
        speed_kmh=np.insert(speeds, cut, speeds[cut]),
    )

    joined = np.delete(split.hours, cut + 1)
    joined[cut] += split.hours[cut + 1]
    assert joined == pytest.approx(whole.hours, rel=1e-6, abs=1e-9)


@pytest.mark.parametrize("slope", [0.01, 0.05, 0.12])
def test_climbing_costs_a_bicycle_hours(slope):
    """By hand: 20 km at 12 km/h and an hour for each 400 m climbed."""
    legs, heights = steady(20.0, slope)

    found = pace(legs, heights, travel=BICYCLE, speed_kmh=12.0)

    assert found.hours.sum() == pytest.approx(20 / 12 + slope * 20_000 / 400, rel=1e-6)


def test_more_climb_is_never_faster_by_bicycle():
    """Taller hills on the same km never take less time, and downhill gives nothing back."""
    legs, _ = steady(10.0, 0.0)
    waves = np.sin(2 * np.pi * chainage_of(legs) / 2.5)

    hours = [
        pace(legs, size * waves, travel=BICYCLE, speed_kmh=12.0).hours.sum()
        for size in range(0, 200, 4)
    ]

    assert hours[0] == pytest.approx(10 / 12)
    assert all(lower <= higher + 1e-9 for lower, higher in pairwise(hours))


def test_a_vehicle_has_hours_by_speed_alone():
    """A vehicle takes length over speed, heights or none."""
    found = pace([10.0, 20.0], [0.0, 900.0, np.nan], travel=VEHICLE, speed_kmh=[20.0, 40.0])

    assert found.hours.tolist() == [0.5, 0.5]
    assert found.assumed_flat_km == 0.0


@pytest.mark.parametrize("travel", [FOOT, BICYCLE])
def test_no_heights_are_flat_with_a_margin(travel):
    """Without heights the flat hours grow by the margin, and the km are told."""
    found = pace([4.0, 8.0], [np.nan] * 3, travel=travel, speed_kmh=4.0, unknown_ground_margin=0.2)

    assert found.hours == pytest.approx([1.2, 2.4])
    assert found.assumed_flat_km == 12.0


def test_a_gap_in_the_heights():
    """Only the legs beside the missing height are taken as flat."""
    found = pace([1.0] * 4, [100.0, 100.0, np.nan, 100.0, 100.0], speed_kmh=4.0)

    assert found.hours == pytest.approx([0.25, 0.275, 0.275, 0.25])
    assert found.assumed_flat_km == 2.0


def test_cutting_where_the_speed_changes():
    """A cut point lies on the straight grade of its leg; a leg without heights stays without."""
    chainage_km, heights = np.array([0.0, 10, 20]), np.array([0.0, 100, np.nan])

    cut_km, cut_heights = cut_at(chainage_km, heights, [-1, 0, 5, 10, 15, 30])

    assert cut_km.tolist() == [0, 5, 10, 15, 20]
    assert cut_heights[:3].tolist() == [0, 50, 100]
    assert np.isnan(cut_heights[3:]).all()


def test_no_length():
    """Two points in one place take no time and break nothing."""
    found = pace([0.0], [3.0, 3.0])

    assert found.hours.tolist() == [0.0]
    assert smoothed_ground(np.array([0.0, 0.0]), np.array([3.0, 3.0])) is None


def test_long_route_is_quick():
    """A hundred thousand points cost well under a second."""
    legs, heights = steady(1000.0, 0.0)

    assert legs.size == 100_000
    assert pace(legs, noisy(heights, 1)).hours.sum() > 0


@pytest.mark.parametrize(
    ("legs", "heights", "speed"), [([1.0], [0.0], 4.0), ([1.0], [0.0, 1.0], 0.0)]
)
def test_what_does_not_fit_is_refused(legs, heights, speed):
    """Heights that do not fit the legs and a speed of 0 are refused."""
    with pytest.raises(ValueError, match=r"heights|speed"):
        pace(legs, heights, speed_kmh=speed)


def test_surfaces_only_slow():
    """Every mode knows the same surfaces, and none is faster than a paved road."""
    words = [set(factors) for factors in SURFACE_FACTORS.values()]

    assert words[0] == words[1] == words[2]
    assert all(0 < f <= 1 for factors in SURFACE_FACTORS.values() for f in factors.values())
    assert surface_factor("sand", BICYCLE) < surface_factor("gravel", BICYCLE) < 1
    with pytest.raises(KeyError):
        surface_factor("cheese", BICYCLE)


def test_docs_tell_the_surfaces():
    """The table in docs/why/pace.md is the one that is computed with."""
    page = (DOCS / "why" / "pace.md").read_text(encoding="utf-8")

    for word in SURFACE_FACTORS[FOOT]:
        factors = [SURFACE_FACTORS[travel][word] for travel in (VEHICLE, FOOT, BICYCLE)]
        assert f"| {word} | " + " | ".join(f"{factor:g}" for factor in factors) + " |" in page


def test_ground_rules_have_no_margin_of_their_own():
    """What the trip says holds, and nothing else: both figures must be given."""
    with pytest.raises(TypeError):
        GroundRules(climb_h_per_m=1.0 / 400.0)
