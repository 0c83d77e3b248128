"""The simulation against exact probabilities, and against what must hold of every chance.

The party: 2 people at 4 L a day, 50 km/h from 8 to 14 o'clock. 200 km are 4 h or 1.33 L on one
day; wells every 200 km.
"""

from __future__ import annotations

import dataclasses
import math

import pytest
from how_many import drawn_proof
from hypothesis import given
from hypothesis import strategies as st
from loaded import loaded
from make import source_at, straight_route, use

from longdry.computing.setbacks.chance import Spread, chance_of_short
from longdry.model.words import Ration

NONE = Spread(use=0.0, pace=0.0, delays_per_day=0.0)
TRIALS = 20_000


def wells(*kms):
    return [source_at(km) for km in kms]


def exact_error(chance):
    """Return the standard error of a share (binomial distribution)."""
    return math.sqrt(chance * (1.0 - chance) / TRIALS)


def near(found, exact):
    return abs(found.short - exact) <= 4.0 * exact_error(exact) + 1e-12


def test_one_doubtful_well_runs_short_as_often_as_it_is_dry():
    """With water for one stretch only, the chance is that of a dry well: 0.3."""
    plan = loaded(*wells(200.0), on_board_l=[2.0, 50.0])
    found = chance_of_short(plan, {"s200": 0.7}, trials=TRIALS, seed=1, spread=NONE)

    assert near(found, 0.3)
    assert near(found.by_stretch[1], 0.3)
    assert found.by_stretch[0].short == 0.0


def test_the_trip_is_the_exact_product_over_the_wells():
    """Three wells that all must have water: 1 - 0.9 x 0.8 x 0.7 = 0.496.

    Each stretch has what it needs and an hour more.
    """
    plan = loaded(*wells(100.0, 300.0, 400.0), on_board_l=[2.0, 2.0, 9.0, 9.0])
    chances = {"s100": 0.9, "s300": 0.8, "s400": 0.7}
    enough = [stretch.need.total_l + 0.01 for stretch in plan.stretches()]
    tight = dataclasses.replace(plan, on_board_l=tuple(enough))
    found = chance_of_short(tight, chances, trials=TRIALS, seed=2, spread=NONE)

    assert near(found, 1.0 - 0.9 * 0.8 * 0.7)
    assert near(found.by_stretch[1], 0.1)
    assert near(found.by_stretch[2], 0.2)
    assert near(found.by_stretch[3], 0.3)


def test_water_for_two_stretches_bridges_one_dry_well_not_two():
    """Four stretches; each stop leaves water for two. Short only with two dry wells in a row.

    Wells p, q, r dry with 0.3, 0.4, 0.5. In a row: pq or qr:
    0.3 x 0.4 + 0.4 x 0.5 - 0.3 x 0.4 x 0.5 = 0.26.
    """
    plan = loaded(*wells(150.0, 300.0, 450.0))
    needs = [stretch.need.total_l for stretch in plan.stretches()]
    two = [sum(needs[index : index + 2]) + 0.01 for index in range(4)]
    held = dataclasses.replace(plan, on_board_l=tuple(two))
    chances = {"s150": 0.7, "s300": 0.6, "s450": 0.5}
    found = chance_of_short(held, chances, trials=TRIALS, seed=3, spread=NONE)

    assert near(found, 0.26)


def test_a_source_passed_twice_is_drawn_once():
    """Out and back past one well of 0.5: short with 0.5, not with 0.75."""
    out = straight_route(200.0, points=3)
    route = dataclasses.replace(
        out,
        lat_deg=[*out.lat_deg, *out.lat_deg[-2::-1]],
        lon_deg=[*out.lon_deg, *out.lon_deg[-2::-1]],
        height_m=[math.nan] * 5,
    )
    plan = loaded(source_at(100.0), source_at(200.0), route=route)
    needs = [stretch.need.total_l + 0.01 for stretch in plan.stretches()]
    held = dataclasses.replace(plan, on_board_l=tuple(needs))
    chances = {"s100": 0.5, "s200": 1.0}
    found = chance_of_short(held, chances, trials=TRIALS, seed=4, spread=NONE)

    assert near(found, 0.5)


def test_spread_of_use_has_the_lognormal_chance():
    """No well: 12 L for a need of 10 L, spread 0.2: P(exp(0.2 z) > 1.2) = P(z > 0.9116) = 0.181.

    Normal distribution from scipy.
    """
    from scipy.stats import norm  # noqa: PLC0415 - heavy

    spread = Spread(use=0.2, pace=0.0, delays_per_day=0.0)
    found = chance_of_short(loaded(on_board_l=[12.0]), {}, trials=TRIALS, seed=5, spread=spread)

    assert near(found, float(norm.sf(math.log(1.2) / 0.2)))


def test_delays_have_the_poisson_chance():
    """30 h on the way, 0.4 delays a day of 8 L each, 10 L needed, 25 L on board: short from two on.

    Mean 0.5: 1 - e^-0.5 (1 + 0.5) = 0.0902.
    """
    spread = Spread(use=0.0, pace=0.0, delays_per_day=0.4, delay_days=1.0)
    found = chance_of_short(loaded(on_board_l=[25.0]), {}, trials=TRIALS, seed=6, spread=spread)

    assert near(found, 1.0 - math.exp(-0.5) * 1.5)


def test_a_slower_party_runs_short_where_the_plans_pace_does_not():
    """Need 10 L of 10.5 L: half of all paces are slower and meet a third day."""
    spread = Spread(use=0.0, pace=0.2, delays_per_day=0.0)
    found = chance_of_short(loaded(on_board_l=[10.5]), {}, trials=TRIALS, seed=7, spread=spread)

    assert near(found, 0.5)


def test_paces_are_taken_at_their_slower_ends():
    """200 km are 4 h; water for 1.1 times that: P(z > ln 1.1 / 0.2) = P(z > 0.4766) = 0.317.

    Of 16 steps those whose slower end is past it: from the 11th on, 6/16 = 0.375, not less.
    """
    spread = Spread(use=0.0, pace=0.2, delays_per_day=0.0)
    short_route = straight_route(200.0)
    plan = loaded(route=short_route, on_board_l=[1.1 * 4.0 / 3.0])
    found = chance_of_short(plan, {}, trials=TRIALS, seed=10, spread=spread)

    assert near(found, 6.0 / 16.0)


def test_the_party_saves_after_a_dry_well():
    """30 L each day on the full ration only: with the well dry, 8 L a day do for the rest.

    To km 200 4 h at 38 L a day: 6.33 L; the bare 26 h on ask for 8.67 L. 16 L do, 14 L do not.
    """
    uses = [use(), use("shower", 15.0, kept=Ration.FULL)]
    plan = loaded(*wells(200.0), uses=uses, on_board_l=[16.0, 50.0])
    less = dataclasses.replace(plan, on_board_l=(14.0, 50.0))

    assert chance_of_short(plan, {"s200": 0.0}, trials=10, seed=1, spread=NONE).short == 0.0
    assert chance_of_short(less, {"s200": 0.0}, trials=10, seed=1, spread=NONE).short == 1.0


def test_nobody_pours_away_what_is_left():
    """The plan leaves the well with 1 L, but 18 L arrive there: they stay on board."""
    plan = loaded(*wells(200.0), on_board_l=[20.0, 1.0])

    assert chance_of_short(plan, {"s200": 1.0}, trials=10, seed=1, spread=NONE).short == 0.0


def test_the_same_seed_gives_the_same_figures():
    """And another seed gives others, within their errors."""
    plan = loaded(*wells(200.0), on_board_l=[2.0, 50.0])
    one, same, other = (
        chance_of_short(plan, {"s200": 0.7}, trials=1000, seed=seed) for seed in (8, 8, 9)
    )

    assert one == same
    assert one != other
    assert abs(one.short - other.short) < 4.0 * math.hypot(one.standard_error, other.standard_error)


def test_the_standard_error_is_never_none():
    """No trial of a hundred went short: the error is about 1 %, not 0."""
    found = chance_of_short(loaded(on_board_l=[99.0]), {}, trials=100, seed=1, spread=NONE)

    assert found.short == 0.0
    assert found.standard_error == pytest.approx(0.0099, abs=2e-4)


def test_a_source_without_a_chance_counts_as_dry():
    """Unknown is worse, and is told."""
    plan = loaded(*wells(200.0), on_board_l=[2.0, 50.0])
    found = chance_of_short(plan, {}, trials=100, seed=1, spread=NONE)

    assert found.short == 1.0
    assert "1 of them without any, taken as dry" in found.rests_on


def test_what_it_rests_on_goes_with_the_figure():
    """Sources, spreads, and that nobody turns back or fails together."""
    found = chance_of_short(loaded(*wells(200.0)), {"s200": 0.5}, trials=10, seed=1)

    for words in ("1 source", "15%", "never turns back", "in a drought they fail together"):
        assert words in found.rests_on


@pytest.mark.parametrize(
    ("trials", "chance", "says"), [(0, 0.5, "0 trials"), (10, 1.5, "not 0 to 1")]
)
def test_what_cannot_be_drawn_is_a_mistake_of_the_caller(trials, chance, says):
    """No trials, a chance above one."""
    with pytest.raises(ValueError, match=says):
        chance_of_short(loaded(*wells(200.0)), {"s200": chance}, trials=trials, seed=1)


@pytest.mark.parametrize("name", ["use", "pace", "delays_per_day", "delay_days"])
@pytest.mark.parametrize("value", [-0.1, math.nan, math.inf])
def test_spreads_are_numbers_from_zero_up(name, value):
    """Neither negative nor without end nor no number."""
    with pytest.raises(ValueError, match=name):
        Spread(**{name: value})


@drawn_proof(160)
@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0), st.floats(0.5, 30.0), st.floats(0.0, 10.0))
def test_drier_sources_and_less_water_are_never_safer(one, other, litres, more_l):
    """The same dice: a likelier source or more on board never raises the chance of a shortage."""
    dry, wet = sorted((one, other))
    sources = wells(200.0, 400.0)

    def short(chance, on_board_l):
        plan = loaded(*sources, on_board_l=[on_board_l] * 3)
        chances = {"s200": chance, "s400": chance}
        return chance_of_short(plan, chances, trials=300, seed=11, spread=NONE).short

    assert short(wet, litres) <= short(dry, litres)
    assert short(dry, litres + more_l) <= short(dry, litres)
