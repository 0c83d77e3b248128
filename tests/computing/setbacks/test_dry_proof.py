"""What must be carried so that any one uncertain source may be dry.

The party: 2 people at 4 L a day, 50 km/h from 8 to 14 o'clock: half a litre in a waking hour (6 to
22 o'clock). On and back keep 2 L or a tenth over.
"""

from __future__ import annotations

import dataclasses
import datetime as dt

import pytest
from fill_replay import plan_fills
from how_many import drawn_proof
from hypothesis import given
from hypothesis import strategies as st
from loaded import (
    DATED,
    L_PER_H,
    MARGIN_L,
    ON_FOOT,
    SURE,
    awake_h,
    bore_at,
    carrying,
    loaded,
    ticked,
)
from make import container, policy, use

from longdry.computing.fills.filling import filling_of
from longdry.computing.fills.problem import fill_problem
from longdry.computing.fills.safe import raised_problem
from longdry.computing.setbacks.dry import dry_sources
from longdry.computing.setbacks.dry_proof import (
    proof_against_one_dry,
    safe_floor,
    uncertain_ids,
)
from longdry.computing.setbacks.supplied import carried_of
from longdry.computing.setbacks.turn_back import turn_backs
from longdry.model.plan.fills import FillWay
from longdry.model.trip.party import Vehicle
from longdry.model.water.source import Found, Visit
from longdry.model.words import Accrual, FillHabit, IfDry, Ration

OLD_VISIT = (Visit(dt.date(2024, 5, 1), Found.FLOWING),)
"""Three years before: longer than the half-life of a bore, two years."""


def test_the_shorter_way_is_asked_for():
    """To km 250 5 h; on 17 waking hours, back 15: 20 h of water and 2 L; of 4 L 8 L are missing."""
    plan = loaded(bore_at(250.0), carried_l=[4.0, 20.0])
    proof = proof_against_one_dry(plan, {"s250"}, can_hold_l=100.0)

    assert proof.least_l == (pytest.approx(20.0 * L_PER_H + MARGIN_L), 0.0)
    assert proof.extra_l == (pytest.approx(8.0), 0.0)
    assert proof.holds


@pytest.mark.parametrize(
    ("if_dry", "litres"),
    [
        (IfDry.ON_OR_BACK, 20.0 * L_PER_H + MARGIN_L),
        (IfDry.ON, 22.0 * L_PER_H + MARGIN_L),
        (IfDry.NONE, 0.0),
    ],
)
def test_the_trip_says_whether_back_will_do(if_dry, litres):
    """On, or back, or nothing at all."""
    plan = loaded(bore_at(250.0), policy=policy(if_dry=if_dry))

    assert safe_floor(plan.journey) == (pytest.approx(litres), 0.0)


def test_on_foot_the_way_back_is_asked_for_by_its_own_hours():
    """Well at km 100: 8/3 L there by the plan's hours, 2 h back at a litre a head, and 2 L."""
    plan = loaded(bore_at(100.0), pace=ON_FOOT)

    assert safe_floor(plan.journey)[0] == pytest.approx(8.0 / 3.0 + 4.0 + MARGIN_L)


def test_sure_sources_ask_for_nothing():
    """Nothing uncertain: nothing asked, the plan survives; a word that a fresh visit bears out."""
    plan = loaded(bore_at(250.0, **SURE), more=DATED)
    proof = proof_against_one_dry(plan, uncertain_ids(plan), can_hold_l=0.0)

    assert (proof.least_l, proof.breaks) == ((0.0, 0.0), ())
    assert safe_floor(plan.journey) == (0.0, 0.0)


@pytest.mark.parametrize("known", [{"visits": ()}, {"visits": OLD_VISIT}])
def test_a_word_that_no_fresh_visit_bears_out_may_be_dry_too(known):
    """Chance and warnings take it so: safe fills ask for the shorter way, as for a likely bore."""
    plan = loaded(bore_at(250.0, **SURE | known), more=DATED)

    assert uncertain_ids(plan) == {"s250"}
    assert safe_floor(plan.journey)[0] == pytest.approx(20.0 * L_PER_H + MARGIN_L)


def test_the_source_that_breaks_it_is_named():
    """Well at km 250 dry: 6 h to km 300, 3 L and 2 L. Well at km 300: back 11 waking hours."""
    plan = loaded(bore_at(250.0), bore_at(300.0))
    tight = proof_against_one_dry(plan, {"s250", "s300"}, can_hold_l=5.1)
    roomy = proof_against_one_dry(plan, {"s250", "s300"}, can_hold_l=8.1)

    assert tight.least_l == pytest.approx((5.0, 12.0 * L_PER_H + MARGIN_L, 0.0))
    assert [source.id for source in tight.breaks] == ["s300"]
    assert roomy.holds


def test_a_start_that_is_not_full_breaks_it():
    """The trip says 5 L at the start: no container mends that."""
    plan = loaded(bore_at(250.0), policy=policy(start_on_board_l=5.0))

    assert not proof_against_one_dry(plan, {"s250"}, can_hold_l=100.0).holds


def test_full_ration_up_to_the_dry_source_bare_after_it():
    """24 L a night on the full ration only: asked up to the dry source, not after it.

    From km 250, 13:00, to km 350, 9:00: 9 + 3 waking hours and a night. Back 2 h: 1 L.
    """
    uses = [use(), use("shower", 24.0, per=Accrual.PARTY_NIGHT, kept=Ration.FULL)]
    plan = loaded(bore_at(250.0), bore_at(350.0), uses=uses)
    proof = proof_against_one_dry(plan, {"s350"}, can_hold_l=1000.0)

    assert proof.least_l[1] == pytest.approx(24.0 + 14.0 * L_PER_H + MARGIN_L)


def test_water_that_is_never_spent_is_carried_on_top():
    """4 L for the engine more."""
    plan = loaded(bore_at(250.0), uses=[use(), use("engine", 4.0, per=Accrual.ALWAYS)])

    assert safe_floor(plan.journey)[0] == pytest.approx(20.0 * L_PER_H + MARGIN_L + 4.0)


def test_a_dry_creek_asks_for_the_way_to_a_tap_or_back():
    """A creek at km 250 with a pool at km 300 and a tap at km 350: back is 15 waking hours.

    On to the pool would be 1 h; to the tap, 9 o'clock, 12; so 17 h of water and 2 L.
    """
    ahead = (bore_at(300.0, kind="pool"), bore_at(350.0, kind="tap"))
    creek = loaded(bore_at(250.0, kind="creek"), *ahead)
    bore = loaded(bore_at(250.0), *ahead)

    assert safe_floor(creek.journey)[0] == pytest.approx(17.0 * L_PER_H + MARGIN_L)
    assert safe_floor(bore.journey)[0] == pytest.approx(6.0 * L_PER_H + MARGIN_L)


@pytest.mark.parametrize(
    ("other", "litres"),
    [
        ({"kind": "tank"}, 0.0),
        ({"kind": "tank", "limit_l": 5.0}, 20.0 * L_PER_H + MARGIN_L - 5.0),
        ({"kind": "tank", "limit_l": 30.0}, 5.0 * L_PER_H),
        ({"kind": "tank", "limit_l": 50.0}, 0.0),
    ],
)
def test_other_water_of_a_stop_is_asked_for_no_more_than_it_gives(other, litres):
    """5 h to the bore and 15 h back are 10 L, and 2 L: less what the tank beside it gives.

    With 30 L in the tank the way to it is all that is asked for. 12 L less 5 h come there, and 50 L
    leave: with 40.5 L or more in the tank the plan goes on as it is.
    """
    plan = loaded(bore_at(250.0), bore_at(250.1, **other), carried_l=[12.0, 50.0])
    proof = proof_against_one_dry(plan, {"s250"}, can_hold_l=100.0)

    assert proof.least_l[0] == pytest.approx(litres)


def test_other_water_gives_nothing_that_the_containers_do_not_hold():
    """Back are 7.5 L and 2 L, and the can holds 9 L: 2 L in the tank beside do not help."""
    tank = bore_at(250.1, kind="tank", limit_l=2.0)
    plan = loaded(bore_at(250.0), tank, containers=[container(9.0, 1)])
    proof = proof_against_one_dry(plan, {"s250"}, can_hold_l=9.0)

    assert [source.id for source in proof.breaks] == ["s250"]
    assert not_survived(plan) == ["s250"]


@pytest.mark.parametrize(("beside", "litres"), [("pool", 20.0 * L_PER_H + MARGIN_L), ("tap", 0.0)])
def test_beside_a_dry_creek_a_pool_is_no_water_and_a_tap_is(beside, litres):
    """Where rain fails, a pool of the same stop fails too: asked for is the way back, 20 h."""
    plan = loaded(bore_at(250.0, kind="creek"), bore_at(250.1, kind=beside))
    proof = proof_against_one_dry(plan, {"s250"}, can_hold_l=100.0)

    assert proof.least_l[0] == pytest.approx(litres)


def test_a_limited_source_counts_as_empty_where_nobody_knows_the_fills():
    """A cache of 30 L at km 200: back from km 250 leads to it, 1 h, or past it to the start.

    On to the end, 17 waking hours, is then less than back to the start, 15: so 15, and 1 to km 250.
    """
    cache = bore_at(200.0, limit_l=30.0)
    plan = loaded(cache, bore_at(250.0), carried_l=[10.0, 10.0, 10.0])

    known = safe_floor(plan.journey, carried_l=plan.carried_l)
    unknown = safe_floor(plan.journey)

    assert known[1] == pytest.approx(2.0 * L_PER_H + MARGIN_L)
    assert unknown[1] == pytest.approx(16.0 * L_PER_H + MARGIN_L)


places = st.lists(
    st.tuples(st.integers(2, 599), st.floats(0.0, 4.5)), min_size=1, max_size=6,
    unique_by=lambda place: place[0],
)  # fmt: skip


def wells(some):
    return [bore_at(float(km), offset_km=off) for km, off in some]


@drawn_proof(240)
@given(places, st.data())
def test_with_the_floor_carried_no_single_loss_leaves_neither_way(some, data):
    """And with a hundredth of a litre less somewhere, one does: two routes to one figure.

    Nor is the party then to turn back before a source whose way back is held.
    """
    full = loaded(*wells(some))
    floor = safe_floor(full.journey)
    held = carrying(full, [least + 1e-6 for least in floor])
    asked = [index for index, least in enumerate(floor) if least > 0.01]
    short = data.draw(st.sampled_from(asked))
    less = carrying(
        held, [one - 0.01 if index == short else one for index, one in enumerate(held.carried_l)]
    )
    singles = len(full.sources())

    assert not any(found.leaves_neither for found in dry_sources(held)[:singles])
    assert any(found.leaves_neither for found in dry_sources(less)[:singles])
    dry = dry_sources(held)[:singles]
    back = {n: one.go_back.possible for n, one in enumerate(dry, 1) if len(one.passes) == 1}
    for turn in turn_backs(held, goes_back_from=back):
        if back.get(turn.stretch):
            assert turn.km == full.ends[turn.stretch].km


@drawn_proof(360)
@given(places)
def test_with_the_floor_carried_the_walk_is_replayed_to_water(some):
    """Every source made dry in turn; the party ticked on or back by a clock written here again.

    It lives on its litres in waking hours and comes to water with its margin left.
    """
    plan = loaded(*wells(some))
    floor = safe_floor(plan.journey)
    for stop in range(1, plan.last):
        begin, dry = plan.ends[stop - 1], plan.ends[stop]
        leaves = plan.leaves(stop - 1).hour
        there = plan.arrives(stop).hour
        left_l = floor[stop - 1] - L_PER_H * awake_h(leaves, there)
        outcomes = []
        for goal in (plan.ends[stop + 1], begin):
            hours = (dry.way_km + goal.way_km) / 10.0 + abs(goal.km - dry.km) / 50.0
            way_l = L_PER_H * awake_h(there, ticked(there, hours, least_h=0.5 / 3600.0))
            outcomes.append(left_l - max(1.1 * way_l, way_l + 2.0))
        assert max(outcomes) >= -1e-3


def filled(plan, least_l=None):
    """Load a plan with what the fill plan takes, with the least or without."""
    problem = fill_problem(plan.stretches(), plan.demand)
    fills = plan_fills(problem if least_l is None else raised_problem(problem, least_l))
    return carrying(plan, [fill.leaving.total_l for fill in fills.fills])


def not_survived(plan):
    singles = dry_sources(plan)[: len(plan.sources())]
    return [one.sources[0].id for one in singles if one.leaves_neither]


def test_the_plan_of_least_litres_does_not_survive_and_the_raised_one_does():
    """To the well 2.5 L are the least; 15 h back after 5 h out ask for 10 L and 2 L."""
    plan = loaded(bore_at(250.0))
    least = filled(plan)
    floor = safe_floor(plan.journey)
    raised = filled(plan, floor)

    assert least.carried_l[0] == pytest.approx(2.5, abs=0.002)
    assert not_survived(least) == ["s250"]
    assert raised.carried_l[0] == pytest.approx(12.0, abs=0.002)
    assert not_survived(raised) == []


def test_a_reserve_that_is_already_larger_is_not_raised():
    """Three days of reserve are 24 L: more than the dry well asks for."""
    plan = loaded(bore_at(250.0), policy=policy(reserve_days=3.0))
    problem = fill_problem(plan.stretches(), plan.demand)

    assert raised_problem(problem, (12.0, 0.0)) == problem


def test_the_least_must_be_one_for_each_leg():
    """Two legs and one amount is a mistake of the caller."""
    plan = loaded(bore_at(250.0))

    with pytest.raises(ValueError, match="argument"):
        raised_problem(fill_problem(plan.stretches(), plan.demand), (1.0,))


@drawn_proof(180)
@given(places, st.floats(0.0, 2.0), st.integers(1, 12))
def test_the_raised_fill_plan_survives_whenever_the_containers_hold_it(some, days, cans):
    """No single loss leaves neither way then; else the proof names a source that does it."""
    rules = policy(reserve_days=days)
    plan = loaded(*wells(some), policy=rules, containers=[container(5.0, cans)])
    ids = {source.id for source in plan.sources()}
    proof = proof_against_one_dry(filled(plan), ids, can_hold_l=5.0 * cans)
    raised = filled(plan, proof.least_l)

    if proof.holds:
        assert not_survived(raised) == []
        for has_l, least_l in zip(raised.carried_l, proof.least_l, strict=True):
            assert has_l >= least_l - 1e-6
    else:
        assert set(not_survived(raised)) >= {source.id for source in proof.breaks}


def test_what_a_filling_carries_is_told_by_grade_and_vehicle():
    """Two sorts of cans in two wagons: the litres of each sum up to all that is carried."""
    boxes = [
        dataclasses.replace(container(20.0, 2), vehicle="big"),
        dataclasses.replace(container(20.0, 1), name="drum", vehicle="small"),
    ]
    wagons = {"vehicles": (Vehicle("big", 500.0), Vehicle("small", 300.0))}
    plan = loaded(bore_at(250.0), bore_at(400.0), containers=boxes, more=wagons,
                  policy=policy(reserve_days=5.0))  # fmt: skip
    filling = filling_of(plan.journey.stretches(), plan.demand, FillWay(FillHabit.LEAST))
    carried = carried_of(filling)

    assert set(carried.by_vehicle) == {"big", "small"}
    sums = [sum(parts) for parts in zip(*carried.by_vehicle.values(), strict=True)]
    assert sums == pytest.approx(carried.litres)
    assert carried.potable_l == pytest.approx(carried.litres)
