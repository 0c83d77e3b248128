"""The simulation against exact probabilities, and against what must hold of every chance.

The party: 2 people at 4 L a day, 50 km/h from 8 to 14 o'clock: half a litre in a waking hour (6 to
22 o'clock). A way off the plan keeps 2 L or a tenth over. Where nothing else is said, the party
goes on from a dry source and never back.
"""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import pytest
from how_many import drawn_proof
from hypothesis import given
from hypothesis import strategies as st
from loaded import ON_FOOT, bore_at, carrying, journey_past, loaded, passes_at, prepared_trip
from make import policy, straight_route, use
from scipy.stats import norm

from longdry.computing.setbacks.chance import chance_of_short
from longdry.computing.setbacks.chance_passed import passed_on
from longdry.computing.setbacks.chance_tables import Spread
from longdry.computing.setbacks.supplied import SuppliedPlan, passed_by
from longdry.model.trip.trip import PinnedCamp
from longdry.model.words import Accrual, IfDry, Ration

NONE = Spread(use=0.0, pace=0.0, delays_per_day=0.0)
TRIALS = 20_000
ON = policy(if_dry=IfDry.ON)


def wells(*kms):
    return [bore_at(km) for km in kms]


def exact_error(chance):
    """Return the standard error of a share (binomial distribution)."""
    return math.sqrt(chance * (1.0 - chance) / TRIALS)


def near(found, exact):
    return abs(found - exact) <= 4.0 * exact_error(exact) + 1e-12


def drawn(plan, chances, *, seed=1, spread=NONE, trials=TRIALS):
    return chance_of_short(plan, chances, trials=trials, seed=seed, spread=spread)


def test_one_doubtful_well_runs_short_as_often_as_it_is_dry():
    """With water for one stretch only, the chance is that of a dry well: 0.3."""
    found = drawn(loaded(*wells(200.0), carried_l=[2.1, 50.0], policy=ON), {"s200": 0.7})

    assert near(found.short, 0.3)
    assert near(found.by_stretch[1].short, 0.3)
    assert (found.by_stretch[0].short, found.turn_back) == (0.0, 0.0)


def test_the_trip_is_the_exact_product_over_the_wells():
    """Three wells that all must have water: 1 - 0.9 x 0.8 x 0.7 = 0.496.

    Each stretch has what it needs and a hundredth more.
    """
    plan = loaded(*wells(100.0, 300.0, 400.0), policy=ON)
    tight = carrying(plan, [stretch.need.total_l + 0.01 for stretch in plan.stretches()])
    found = drawn(tight, {"s100": 0.9, "s300": 0.8, "s400": 0.7}, seed=2)

    assert near(found.short, 1.0 - 0.9 * 0.8 * 0.7)
    for stretch, exact in ((1, 0.1), (2, 0.2), (3, 0.3)):
        assert near(found.by_stretch[stretch].short, exact)


def test_water_for_two_stretches_bridges_one_dry_well_not_two():
    """Four stretches; each stop leaves water for two. Short only with two dry wells in a row.

    Wells p, q, r dry with 0.3, 0.4, 0.5. In a row: pq or qr:
    0.3 x 0.4 + 0.4 x 0.5 - 0.3 x 0.4 x 0.5 = 0.26.
    """
    plan = loaded(*wells(150.0, 300.0, 450.0), policy=ON)
    needs = [stretch.need.total_l for stretch in plan.stretches()]
    two = [sum(needs[index : index + 2]) + 0.01 for index in range(4)]
    found = drawn(carrying(plan, two), {"s150": 0.7, "s300": 0.6, "s450": 0.5}, seed=3)

    assert near(found.short, 0.26)


def test_who_cannot_go_on_goes_back_where_the_trip_lets_it():
    """Wells at km 100 and 500: from km 100, 10:00, on takes 8 h moving and a night, back 2 h.

    5 L are carried from the start, 4 L left at km 100: back asks for 1 L and 2 L, on for 12 L.
    Both wells are dry in 0.3 and 0.2: turned back in 0.3, at km 500 with 50 L never short.
    """
    carried_l = [5.0, 50.0, 50.0]
    chances = {"s100": 0.7, "s500": 0.8}
    back = drawn(loaded(*wells(100.0, 500.0), carried_l=carried_l), chances, seed=4)
    only_on = drawn(loaded(*wells(100.0, 500.0), carried_l=carried_l, policy=ON), chances, seed=4)

    assert near(back.turn_back, 0.3)
    assert back.short == 0.0
    assert (only_on.turn_back, near(only_on.short, 0.3)) == (0.0, True)


def test_turning_back_at_each_of_two_wells_is_the_exact_product():
    """Wells every 100 km; on is never enough, back always: 1 - 0.7 x 0.6 turn back.

    The plan leaves each with its need to the next, 1 L, and 3 L for the way back.
    """
    plan = loaded(*wells(100.0, 200.0), route=straight_route(600.0), policy=policy())
    found = drawn(carrying(plan, [4.0, 4.0, 20.0]), {"s100": 0.7, "s200": 0.6}, seed=5)

    on_l = plan.demand.need_l(Ration.BARE, plan.journey.itinerary.travels[1]) + 2.0
    assert on_l <= 4.0 - 1.0 + 1e-9
    assert near(found.turn_back, 0.4)
    assert found.short == 0.0


def test_who_goes_on_from_one_dry_well_goes_back_from_the_next_to_the_last_that_was_wet():
    """Wells at km 50, 100, 150, and 600 km: 5 L leave the start; each hour takes half a litre.

    Dry at km 50: 4.5 L, on to km 100 asks for 2.5 L. Dry there: 4 L, on to km 150 for 2.5 L. Dry
    there: 3.5 L; on to the end 15 L; back to the start 1.5 + 2 = 3.5 L: all three dry turn back.
    """
    plan = loaded(*wells(50.0, 100.0, 150.0), carried_l=[5.0, 5.0, 5.0, 20.0])
    found = drawn(plan, {"s50": 0.5, "s100": 0.4, "s150": 0.3}, seed=6)

    assert near(found.turn_back, 0.7)
    assert found.short == 0.0
    less = carrying(plan, [4.9, 5.0, 5.0, 20.0])
    assert near(drawn(less, {"s50": 0.5, "s100": 0.4, "s150": 0.3}, seed=6).turn_back, 0.7)


def test_who_can_do_neither_takes_the_shorter_way_and_runs_short():
    """3 L from the start, 2 L left at km 100: neither 3 L back nor 12 L on are there.

    Back takes 1 L: who tries gets through, but had to turn back. With 1.5 L, 0.5 left: short.
    """
    chances = {"s100": 0.7, "s500": 1.0}
    lucky = drawn(loaded(*wells(100.0, 500.0), carried_l=[3.0, 50.0, 50.0]), chances, seed=7)
    short = drawn(loaded(*wells(100.0, 500.0), carried_l=[1.5, 50.0, 50.0]), chances, seed=7)

    assert (near(lucky.turn_back, 0.3), lucky.short) == (True, 0.0)
    assert (near(short.turn_back, 0.3), near(short.short, 0.3)) == (True, True)


def test_a_source_passed_twice_is_drawn_once():
    """Out and back past one well of 0.5: short with 0.5, not with 0.75."""
    out = straight_route(200.0, points=3)
    route = _there_and_back(out)
    plan = loaded(bore_at(100.0), bore_at(200.0), route=route, policy=ON)
    held = carrying(plan, [stretch.need.total_l + 0.01 for stretch in plan.stretches()])

    assert near(drawn(held, {"s100": 0.5, "s200": 1.0}, seed=8).short, 0.5)


def _there_and_back(out):
    return dataclasses.replace(
        out,
        lat_deg=np.concatenate([out.lat_deg, out.lat_deg[-2::-1]]),
        lon_deg=np.concatenate([out.lon_deg, out.lon_deg[-2::-1]]),
        height_m=np.full(5, np.nan),
    )


def test_a_stop_with_two_waters_is_dry_only_when_both_are():
    """0.3 x 0.4 = 0.12; but where one alone gives too little, its other's 0.4 counts."""
    tap = bore_at(200.0, id="tap")
    well = bore_at(200.1, id="well")
    slow = bore_at(200.1, id="well", limit_l=3.0)
    chances = {"tap": 0.6, "well": 0.7}
    both = loaded(tap, well, carried_l=[2.1, 50.0], policy=ON)
    one = loaded(tap, slow, carried_l=[2.1, 50.0], policy=ON)

    assert near(drawn(both, chances, seed=9).short, 0.12)
    assert near(drawn(one, chances, seed=9).short, 0.4)


def test_a_limited_source_gives_no_more_than_it_has_to_who_comes_with_less():
    """A cache of 8 L behind a dry well: 3 L left and 8 L are less than the 12 L that it takes on.

    As planned 9.5 L come there, so that its 8 L are enough.
    """
    plan = loaded(
        bore_at(50.0),
        bore_at(100.0, id="cache", limit_l=8.0),
        carried_l=[4.0, 10.0, 13.0],
        policy=ON,
    )
    chances = {"s50": 0.7, "cache": 1.0}
    needs = [stretch.need.total_l for stretch in plan.stretches()]

    assert needs == pytest.approx([0.5, 0.5, 10.0])
    assert near(drawn(carrying(plan, [1.9, 10.0, 13.0]), chances, seed=10).short, 0.3)
    assert drawn(plan, {"s50": 1.0, "cache": 1.0}, seed=10).short == 0.0


def test_spread_of_use_has_the_lognormal_chance():
    """No well: 13.2 L for a need of 11 L, spread 0.2: P(exp(0.2 z) > 1.2) = P(z > 0.9116) = 0.181.

    Normal distribution from scipy.
    """
    spread = Spread(use=0.2, pace=0.0, delays_per_day=0.0)
    found = drawn(loaded(carried_l=[13.2]), {}, seed=5, spread=spread)

    assert near(found.short, float(norm.sf(math.log(1.2) / 0.2)))


def test_delays_have_the_poisson_chance():
    """30 h on the way, 0.4 delays a day of 8 L each, 11 L needed, 26 L carried: short from two on.

    Mean 0.5: 1 - e^-0.5 (1 + 0.5) = 0.0902.
    """
    spread = Spread(use=0.0, pace=0.0, delays_per_day=0.4, delay_days=1.0)
    found = drawn(loaded(carried_l=[26.0]), {}, seed=6, spread=spread)

    assert near(found.short, 1.0 - math.exp(-0.5) * 1.5)


def test_a_slower_party_runs_short_where_the_plans_pace_does_not():
    """Need 11 L of 11.5 L: half of all paces are slower and meet a third day."""
    spread = Spread(use=0.0, pace=0.2, delays_per_day=0.0)

    assert near(drawn(loaded(carried_l=[11.5]), {}, seed=7, spread=spread).short, 0.5)


def test_paces_are_taken_at_their_slower_ends():
    """200 km are 4 h; water for 1.1 times that: P(z > ln 1.1 / 0.2) = P(z > 0.4766) = 0.317.

    Of 16 steps those whose slower end is past it: from the 11th on, 6/16 = 0.375, not less.
    """
    spread = Spread(use=0.0, pace=0.2, delays_per_day=0.0)
    plan = loaded(route=straight_route(200.0), carried_l=[1.1 * 2.0])

    assert near(drawn(plan, {}, seed=10, spread=spread).short, 6.0 / 16.0)


def test_a_door_that_a_slower_party_finds_shut_gives_nothing():
    """Km 200 at 12 o'clock, open to 12:06: half of the paces come later, and wait for nothing."""
    tap = bore_at(200.0, open_from_hour=8.0, open_to_hour=12.1)
    spread = Spread(use=0.0, pace=0.2, delays_per_day=0.0)
    plan = loaded(tap, carried_l=[4.0, 50.0], policy=ON)

    assert near(drawn(plan, {"s200": 1.0}, seed=11, spread=spread).short, 0.5)


def test_the_party_saves_after_a_dry_well():
    """30 L each day on the full ration only: with the well dry, 8 L a day do for the rest.

    To km 200 4 h: 2 L and 5 L; the bare 18 waking hours on ask for 9 L. 17 L do, 15 L do not.
    """
    uses = [use(), use("shower", 15.0, kept=Ration.FULL)]
    plan = loaded(*wells(200.0), uses=uses, carried_l=[17.0, 50.0], policy=ON)

    assert drawn(plan, {"s200": 0.0}, trials=10).short == 0.0
    assert drawn(carrying(plan, [15.0, 50.0]), {"s200": 0.0}, trials=10).short == 1.0


def test_nobody_pours_away_what_is_left():
    """The plan leaves the well with 1 L, but 18 L arrive there: they stay."""
    plan = loaded(*wells(200.0), carried_l=[20.0, 1.0])

    assert drawn(plan, {"s200": 1.0}, trials=10).short == 0.0


def test_water_that_is_never_spent_is_none():
    """11 L are needed; of 14 L 4 L are for the engine."""
    plan = loaded(uses=[use(), use("engine", 4.0, per=Accrual.ALWAYS)], carried_l=[14.0])

    assert drawn(plan, {}, trials=10).short == 1.0


def test_the_same_seed_gives_the_same_figures():
    """And another seed gives others, within their errors."""
    plan = loaded(*wells(200.0), carried_l=[2.1, 50.0], policy=ON)
    one, same, other = (
        chance_of_short(plan, {"s200": 0.7}, trials=1000, seed=seed) for seed in (8, 8, 9)
    )

    assert one == same
    assert one != other
    assert abs(one.short - other.short) < 4.0 * math.hypot(one.standard_error, other.standard_error)


def test_the_standard_error_is_never_none():
    """No trial of a hundred went short: the error is about 1 %, not 0."""
    found = drawn(loaded(carried_l=[99.0]), {}, trials=100)

    assert found.short == 0.0
    assert found.standard_error == pytest.approx(0.0099, abs=2e-4)


def test_the_standard_error_is_the_larger_of_both_figures():
    """Nobody runs short and a third turns back: the error of a third."""
    plan = loaded(*wells(100.0, 500.0), carried_l=[5.0, 50.0, 50.0])
    found = drawn(plan, {"s100": 0.7, "s500": 1.0}, trials=1000)

    assert found.standard_error == pytest.approx(math.sqrt(0.3 * 0.7 / 1000), abs=1e-3)


def test_a_source_without_a_chance_counts_as_dry():
    """Unknown is worse, and is told."""
    found = drawn(loaded(*wells(200.0), carried_l=[2.1, 50.0], policy=ON), {}, trials=100)

    assert found.short == 1.0
    assert "1 of them without any, taken as dry" in found.rests_on


def test_what_it_rests_on_goes_with_the_figures():
    """Sources, spreads, who turns back, and that sources fail together in a drought."""
    back = chance_of_short(loaded(*wells(200.0)), {"s200": 0.5}, trials=10, seed=1)
    on = chance_of_short(loaded(*wells(200.0), policy=ON), {"s200": 0.5}, trials=10, seed=1)

    for words in ("1 source", "15%", "else back", "in a drought they fail together"):
        assert words in back.rests_on
    assert "never back" in on.rests_on


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


@drawn_proof(150)
@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0), st.floats(0.5, 30.0), st.floats(0.0, 10.0))
def test_drier_sources_and_less_water_are_never_safer(one, other, litres, more_l):
    """The same dice: a likelier source or more carried never raises the chance of a shortage."""
    dry, wet = sorted((one, other))
    plan = loaded(*wells(200.0, 400.0), policy=ON)

    def short(chance, carried_l):
        chances = {"s200": chance, "s400": chance}
        return drawn(carrying(plan, [carried_l] * 3), chances, trials=300, seed=11).short

    assert short(wet, litres) <= short(dry, litres)
    assert short(dry, litres + more_l) <= short(dry, litres)


def test_a_pinned_camp_of_the_plan_is_kept_by_who_goes_on():
    """A camp at km 300 with a rest day: who goes on from the dry well at km 200 keeps it.

    8:00 to km 200 4 h; then 2 h, two nights, 6 h: 10 + 16 + 8 waking hours less 2: 34 waking hours.
    """
    camp = PinnedCamp(km=300.0, rest_days=1)
    plan = loaded(*wells(200.0), camps=[camp], policy=ON)
    to_end_l = plan.stretch(1).need.total_l

    assert drawn(carrying(plan, [2.0 + to_end_l + 0.01, 50.0]), {}, trials=10).short == 0.0
    assert drawn(carrying(plan, [2.0 + to_end_l - 0.01, 50.0]), {}, trials=10).short == 1.0


def test_who_is_about_to_run_short_calls_at_water_that_the_plan_passes_by():
    """By hand: 11 L for the whole way, 9.5 L carried, a bore of 0.6 passed by at km 250.

    There 2.5 L are used and 7 L left, less than the 8.5 + 2 L on: all call, and 0.4 find nothing.
    With 13.1 L, 10.6 L are left: nobody calls, nobody runs short.
    """
    prepared = prepared_trip()
    passed = passes_at(prepared, [bore_at(250.0)])
    journey = journey_past(prepared, [])
    plan = SuppliedPlan(journey, (9.5,), passed=passed_by(journey, passed))
    full = SuppliedPlan(journey, (13.1,), passed=plan.passed)

    assert near(drawn(plan, {"s250": 0.6}, seed=12).short, 0.4)
    assert drawn(full, {"s250": 0.0}, seed=12).short == 0.0
    assert drawn(SuppliedPlan(journey, (9.5,)), {}, trials=10).short == 1.0


def test_on_foot_the_way_to_water_passed_by_counts_its_own_hours_on_the_move():
    """2 km off: 0.52 h there and back at a litre a head and hour; by the plan's 6 h 0.69 L."""
    prepared = prepared_trip(pace=ON_FOOT)
    journey = journey_past(prepared, [])
    passed = passed_by(journey, passes_at(prepared, [bore_at(100.0, offset_km=2.0)]))
    ((bore,),) = passed_on(SuppliedPlan(journey, (50.0,), passed=passed))

    assert bore.way_l == pytest.approx(2.0 * 0.52, abs=0.001)


def test_of_much_water_passed_by_some_is_looked_at_and_never_helps_more_than_all_of_it():
    """A bore of 0.3 every 10 km: the chance is no less than with every one of them, 0.7^39."""
    prepared = prepared_trip()
    bores = [bore_at(10.0 * n, id=f"w{n}") for n in range(1, 60)]
    journey = journey_past(prepared, [])
    plan = SuppliedPlan(journey, (9.5,), passed=passed_by(journey, passes_at(prepared, bores)))
    found = drawn(plan, {bore.id: 0.3 for bore in bores}, seed=13)

    assert len(plan.passed) == 59
    assert 0.7**39 < found.short < 0.7**4
