"""A source found dry: worked by hand, and held against planning afresh without it.

The party: 2 people at 4 L a day, 50 km/h from 8 to 14 o'clock; half a litre in a waking hour, which
are those from 6 to 22 o'clock. A way off the plan keeps 2 L (a litre a head) or a tenth over.
"""

from __future__ import annotations

import dataclasses
import random

import numpy as np
import pytest
from how_many import drawn_proof, proof
from hypothesis import example, given
from hypothesis import strategies as st
from loaded import (
    L_PER_H,
    LENGTH_KM,
    MARGIN_L,
    ON_FOOT,
    bore_at,
    carrying,
    journey_past,
    loaded,
    prepared_trip,
)
from make import container, pace, policy, straight_route, use

from longdry.computing.setbacks.dry import drought, dry_sources, dry_together
from longdry.computing.setbacks.found_dry import dry_groups
from longdry.computing.setbacks.supplied import loaded_full
from longdry.computing.stretches.verdicts import worst_of
from longdry.model.plan.setbacks import WhatIfKind
from longdry.model.trip.trip import PinnedCamp
from longdry.model.words import VERDICTS_WORST_FIRST, Accrual, Ration, Travel, Verdict


def rank(verdict):
    return VERDICTS_WORST_FIRST.index(verdict)


def only(plan):
    (found,) = dry_sources(plan)
    return found


def test_the_only_well_dry_worked_by_hand():
    """Well at km 250 of 600, 20 L carried from the start.

    To km 250: 5 h, 2.5 L. The whole 600 km: from 8:00 to 14:00 of the next day, 14 + 8 waking
    hours: 11 L. On from 13:00: 1 h, 8 + 2 h of the night, 6 h: 17 h, 8.5 L. Back: 15 h, 7.5 L.
    """
    found = only(loaded(bore_at(250.0), carried_l=[20.0, 100.0]))

    assert found.worst.need.total_l == pytest.approx(22.0 * L_PER_H)
    assert found.go_on.left_l == pytest.approx(20.0 - 5.0 * L_PER_H)
    assert found.go_on.bare_l == pytest.approx(17.0 * L_PER_H)
    assert found.go_on.asked_l == pytest.approx(17.0 * L_PER_H + MARGIN_L)
    assert found.go_back.bare_l == pytest.approx(15.0 * L_PER_H)
    assert (found.go_on.ration, found.go_back.ration) == (Ration.FULL, Ration.FULL)
    assert (found.verdict, found.can_go_on, found.can_go_back) == (Verdict.CLEAR, True, True)


def test_on_foot_each_way_from_a_dry_well_counts_its_own_hours_on_the_move():
    """Well at km 100 at 10:00, 2 h of the plan's 6 h on the move, in which 8 L are drunk: 8/3 L.

    Back 2 h at a litre a head and hour: 4 L. On 4 h that day, 2 L each: its 8 L; 6 h the next: 8 L.
    By the plan's hours it would be 2 x 8/6 = 2.67 L back, and 6 L (12 of 16 waking hours) and 8 on.
    The whole way of 6 h and 6 h is the plan's own: 16 L.
    """
    found = only(loaded(bore_at(100.0), carried_l=[50.0, 50.0], pace=ON_FOOT))

    assert found.go_back.bare_l == pytest.approx(4.0)
    assert found.go_on.bare_l == pytest.approx(16.0)
    assert found.go_on.left_l == pytest.approx(50.0 - 8.0 / 3.0)
    assert found.worst.need.total_l == pytest.approx(16.0)


def test_on_foot_the_way_past_a_dry_well_on_a_day_cut_short_counts_its_own_hours():
    """Wells at km 100 and 200, the first dry: 4 h to the second ask for 2 L each, 8 L, not 4 x 8/6.

    From there to the end it is as planned.
    """
    found = dry_sources(loaded(bore_at(100.0), bore_at(200.0), carried_l=[50.0] * 3, pace=ON_FOOT))

    assert found[0].worst.need.total_l == pytest.approx(8.0)
    assert found[0].go_on.bare_l == pytest.approx(4.0)


def test_on_foot_from_one_dry_well_to_the_next_counts_its_own_hours():
    """Wells at km 100 and 200 dry: 8/3 L to the first, 2 x 2 L to the second."""
    plan = loaded(bore_at(100.0), bore_at(200.0), carried_l=[50.0] * 3, pace=ON_FOOT)
    both = dry_together(plan, plan.sources())

    assert both.go_back.left_l == pytest.approx(50.0 - 8.0 / 3.0 - 4.0)


@pytest.mark.parametrize(
    ("litres", "on", "back", "neither"),
    [
        (20.0 * L_PER_H + MARGIN_L - 0.01, False, False, True),
        (20.0 * L_PER_H + MARGIN_L + 0.01, False, True, False),
        (22.0 * L_PER_H + MARGIN_L - 0.01, False, True, False),
        (22.0 * L_PER_H + MARGIN_L + 0.01, True, True, False),
    ],
)
def test_which_ways_are_left_turns_at_the_litre(litres, on, back, neither):
    """5 h to the well and 15 h back ask for 20 h of water, 17 h on for 22; and the margin."""
    found = only(loaded(bore_at(250.0), carried_l=[litres, 100.0]))

    assert (found.can_go_on, found.can_go_back, found.leaves_neither) == (on, back, neither)


def test_the_margin_is_a_tenth_where_that_is_more_than_a_litre_a_head():
    """Ten times as much drunk: 85 L on, so 8.5 L over."""
    found = only(loaded(bore_at(250.0), uses=[use(litres=40.0)]))

    assert found.go_on.asked_l == pytest.approx(1.1 * 85.0)


def test_the_verdict_is_of_what_the_plan_carries_not_of_full_containers():
    """100 L fit, 9 L are carried, the new stretch takes 11 L."""
    plan = loaded(bore_at(250.0), carried_l=[9.0, 100.0])

    assert only(plan).verdict is Verdict.TOO_LONG
    assert only(plan).worst.available_l == 9.0
    assert only(plan).before is Verdict.CLEAR


def test_water_that_is_never_spent_leaves_no_way():
    """4 L for the engine: of 15 L 11 L may be drunk, and 10 + 2 L are asked for back."""
    engine = use("engine", 4.0, per=Accrual.ALWAYS)
    found = only(loaded(bore_at(250.0), uses=[use(), engine], carried_l=[15.0, 100.0]))

    assert found.go_back.left_l == pytest.approx(15.0 - 4.0 - 2.5)
    assert found.leaves_neither


def test_the_ration_changes_where_the_well_is_dry():
    """Full 8 L a day and 24 L for each night, bare 8 L a day.

    The plan needs no night before the well: full ration, 2.5 L of 20 L. On: 8.5 L on the bare
    ration and its 2 L, 32.5 L on the full one.
    """
    uses = [use(), use("shower", 24.0, per=Accrual.PARTY_NIGHT, kept=Ration.FULL)]
    found = only(loaded(bore_at(250.0), uses=uses, carried_l=[20.0, 100.0]))

    assert found.go_on.ration is Ration.LEAN
    assert found.verdict is Verdict.SHORT_RATION
    assert found.go_on.bare_l == pytest.approx(17.0 * L_PER_H)


def test_a_well_off_the_route_is_called_at_in_vain():
    """2 km off at factor 1.3: 5.2 km and 0.52 h more than for a party that knows.

    Its 12 h of moving end with the second day; the 0.52 h cost another night.
    """
    found = only(loaded(bore_at(250.0, offset_km=2.0)))

    assert found.worst.length_km == pytest.approx(found.known_dry.length_km + 5.2, abs=1e-4)
    assert found.worst.days * 24 == pytest.approx(30.0 + 0.52 + 18.0, abs=1e-4)
    assert found.known_dry.days * 24 == pytest.approx(30.0)
    assert found.go_on.length_km == pytest.approx(350.0 + 2.6, abs=0.02)
    assert found.go_back.length_km == pytest.approx(250.0 + 2.6, abs=0.02)


def test_days_after_the_end_are_asked_of_who_goes_on_to_it():
    """Two days at 8 L beyond the end."""
    plain = only(loaded(bore_at(250.0)))
    longer = only(loaded(bore_at(250.0), policy=policy(days_after_end=2.0)))

    assert longer.go_on.bare_l == pytest.approx(plain.go_on.bare_l + 16.0)
    assert longer.go_back.bare_l == pytest.approx(plain.go_back.bare_l)


def test_neighbours_are_dry_together():
    """Three wells: three singles and two pairs; the pair leaves one stretch of two runs."""
    found = dry_sources(loaded(bore_at(100.0), bore_at(300.0), bore_at(450.0)))

    assert [len(one.sources) for one in found] == [1, 1, 1, 2, 2]
    first_pair = found[3]
    assert (first_pair.worst.begin.km, first_pair.worst.end.km) == pytest.approx((0.0, 450.0))
    assert first_pair.words == "dry s100 and dry s300"
    assert {one.kind for one in found} == {WhatIfKind.DRY_SOURCE}


def test_two_dry_wells_in_a_row_worked_by_hand():
    """Wells at km 100 and 300, both dry; 13 L from the start.

    To km 100 2 h, on to km 300 4 h: 10 L left at 14:00. On to the end 300 km: 10 waking hours of
    the night and 6: 8 L, 10 L with the margin. Back 300 km: the same.
    """
    wells = (bore_at(100.0), bore_at(300.0))
    dry = loaded(*wells, carried_l=[12.9, 50.0, 50.0])
    wet = loaded(*wells, carried_l=[13.01, 50.0, 50.0])

    assert dry_together(dry, wells).go_on.left_l == pytest.approx(9.9)
    assert dry_together(dry, wells).leaves_neither
    assert dry_together(wet, wells).go_on.bare_l == pytest.approx(8.0, abs=1e-6)
    assert not dry_together(wet, wells).leaves_neither


def out_and_back():
    """Make a route of 200 km out and 200 km back on the same line."""
    out = straight_route(200.0, points=3)
    return dataclasses.replace(
        out,
        lat_deg=np.concatenate([out.lat_deg, out.lat_deg[-2::-1]]),
        lon_deg=np.concatenate([out.lon_deg, out.lon_deg[-2::-1]]),
        height_m=np.full(5, np.nan),
    )


def test_both_passes_of_one_source_go_dry_together():
    """Out and back past a well at km 150 and 250: dry, the whole 400 km are one stretch."""
    found = only(loaded(bore_at(150.0), route=out_and_back()))

    assert (found.worst.begin.km, found.worst.end.km) == pytest.approx((0.0, 400.0))
    assert found.worst.length_km == pytest.approx(400.0)


def test_a_source_known_to_be_dry_is_not_called_at_again():
    """The well 2 km off at km 150 and 250: one vain call of 5.2 km, not two."""
    found = only(loaded(bore_at(150.0, offset_km=2.0), route=out_and_back()))

    assert found.worst.length_km == pytest.approx(400.0 + 5.2, abs=0.05)


def test_on_and_back_are_told_for_every_pass():
    """Passed at km 150 and 250, with a well at the turn between: back at first is to the start.

    From km 250 it is to the well at km 200, one hour away at noon: 0.5 L.
    """
    plan = loaded(bore_at(150.0), bore_at(200.0), route=out_and_back())
    found = dry_together(plan, [bore_at(150.0)])
    first, second = found.passes

    assert (first.km, second.km) == pytest.approx((150.0, 250.0))
    assert (first.go_on.to_km, first.go_back.to_km) == pytest.approx((200.0, 0.0))
    assert (second.go_on.to_km, second.go_back.to_km) == pytest.approx((400.0, 200.0))
    assert second.go_back.bare_l == pytest.approx(1.0 * L_PER_H)


def test_on_and_back_are_told_for_two_passes_without_other_water_between():
    """From km 250, when the first pass was dry too: back is to the start, over 250 km."""
    found = only(loaded(bore_at(150.0), route=out_and_back()))

    assert [one.km for one in found.passes] == pytest.approx([150.0, 250.0])
    assert found.passes[1].go_back.length_km == pytest.approx(250.0)
    assert found.passes[1].go_on.length_km == pytest.approx(150.0)


def test_each_run_of_a_source_is_judged_and_the_worst_told():
    """A second well at the turn keeps the passes apart; the leg with less water is the worse."""
    plan = loaded(
        bore_at(150.0), bore_at(200.0), route=out_and_back(), carried_l=[50.0, 50.0, 0.6, 50.0]
    )
    found = dry_together(plan, [bore_at(150.0)])

    assert [(run.behind, run.ahead) for run in dry_groups(plan, {"s150"})] == [(0, 2), (2, 4)]
    assert found.worst.begin.km == pytest.approx(200.0)
    assert found.leaves_neither


def test_a_camp_pinned_at_the_dry_well_needs_water_then():
    """Two rest days at the well ask for nothing; with the well dry they fall into the stretch."""
    camp = PinnedCamp(km=250.0, rest_days=2, at_water=True)
    plan = loaded(bore_at(250.0), camps=[camp])

    assert only(plan).worst.nights == 2 + 1 + 1
    assert plan.stretch(1).nights == 1
    assert only(plan).known_dry.nights == only(plan).worst.nights


def test_other_water_of_the_stop_serves_where_one_source_is_dry():
    """A tap and a well 100 m apart: with the tap dry nothing changes, with both all does."""
    tap, well = bore_at(250.0, id="tap", kind="tap"), bore_at(250.1, id="well", kind="well")
    plan = loaded(tap, well, bore_at(400.0), carried_l=[9.0, 50.0, 50.0])
    alone, together = dry_together(plan, [tap]), dry_together(plan, [tap, well])

    assert (alone.verdict, alone.go_on, alone.leaves_neither) == (Verdict.CLEAR, None, False)
    assert together.worst.end.km == pytest.approx(400.0)
    assert together.go_on is not None


@pytest.mark.parametrize("limit_l", [None, 3.0])
def test_where_other_water_serves_the_stretches_at_that_stop_are_judged_alone(limit_l):
    """Tap and well at km 100; 1 L from km 400 on is too long, with the tap dry or not.

    That is no news of the tap: 8 L less 1 L of way and 3 L more do for the 6 h (3 L) to km 400.
    """
    tap = bore_at(100.0, id="tap", kind="tap")
    well = bore_at(100.1, id="well", kind="well", limit_l=limit_l)
    plan = loaded(tap, well, bore_at(400.0), carried_l=[8.0, 12.0, 1.0])
    alone, behind = dry_together(plan, [tap]), plan.stretch(2)

    assert behind.verdict is Verdict.TOO_LONG
    assert (alone.before, alone.verdict) == (Verdict.CLEAR, Verdict.CLEAR)
    assert alone.worst.end.km <= 400.1


def test_other_water_of_the_stop_may_give_too_little():
    """The well beside the tap gives 3 L: 9 L less 2.5 L of way and 3 L leave the stop, not 50."""
    tap = bore_at(250.0, id="tap", kind="tap")
    well = bore_at(250.1, id="well", kind="well", limit_l=3.0)
    found = dry_together(loaded(tap, well, carried_l=[9.0, 50.0]), [tap])

    assert found.worst.available_l == pytest.approx(9.0 - 2.5 + 3.0)


@pytest.mark.parametrize(("carried_l", "neither"), [(8.9, True), (9.1, False)])
def test_other_water_that_gives_too_little_may_leave_no_way(carried_l, neither):
    """Less 2.5 L of way and 3 L more: 9.5 L do back, 15 h with its 2 L; on asks for 10.5 L."""
    tap = bore_at(250.0, id="tap", kind="tap")
    well = bore_at(250.1, id="well", kind="well", limit_l=3.0)
    found = dry_together(loaded(tap, well, carried_l=[carried_l, 50.0]), [tap])

    assert found.go_back.left_l == pytest.approx(carried_l - 2.5 + 3.0)
    assert found.go_back.asked_l == pytest.approx(9.5)
    assert (found.leaves_neither, found.can_go_on) == (neither, False)
    assert [one.km for one in found.passes] == pytest.approx([250.0])


def test_no_source_no_what_if():
    """A route without sources has none to run dry; the start's own tap is seen before leaving."""
    assert dry_sources(loaded()) == ()
    assert dry_sources(loaded(bore_at(0.5, id="tap"))) == ()
    assert worst_of(()) is None


def test_a_source_that_is_no_call_cannot_run_dry():
    """Asking for a source that the plan never drinks from is a mistake of the caller."""
    with pytest.raises(ValueError, match="calls at none of the sources"):
        dry_together(loaded(bore_at(250.0)), [bore_at(300.0)])


def test_a_limited_source_does_not_make_good_what_the_dry_one_cost():
    """Wells at km 100 and 200, the second gives 6 L; the plan leaves each with 12 L.

    With the first dry 7 L less 4 h of way (2 L) arrive at the second: 5 + 6 = 11 L leave it, less
    than planned and enough for the 18 waking hours (9 L) to the end. With a limit of 2 L 7 L leave
    it: too long.
    """

    def later(limit_l):
        second = bore_at(200.0, limit_l=limit_l)
        plan = loaded(bore_at(100.0), second, carried_l=[7.0, 7.0, 12.0])
        return dry_together(plan, [bore_at(100.0)])

    assert later(None).later is None
    assert later(6.0).later.available_l == pytest.approx(7.0 - 2.0 + 6.0)
    assert (later(6.0).verdict, later(2.5).verdict) == (Verdict.CLEAR, Verdict.TOO_LONG)
    assert later(2.5).can_go_on


def test_without_containers_nothing_is_said_of_ways():
    """No containers: the verdict says so, and no source is called a stake on a life."""
    found = only(loaded(bore_at(250.0), containers=[]))

    assert found.verdict is Verdict.NO_CONTAINERS
    assert not found.leaves_neither


def test_the_worst_single_failure_comes_first():
    """The well whose loss leaves neither way is worse than one whose loss is only short."""
    plan = loaded(bore_at(200.0), bore_at(400.0), carried_l=[100.0, 3.0, 100.0])

    assert worst_of(dry_sources(plan)).sources[0].name == "s400"


def test_in_a_drought_all_that_rain_fills_is_dry_and_the_rest_is_not():
    """A creek and a pool dry, the bore between and the spring behind wet."""
    water = [
        bore_at(100.0, kind="creek"), bore_at(200.0), bore_at(300.0, kind="pool"),
        bore_at(400.0, kind="spring"), bore_at(500.0, kind="dam"),
    ]  # fmt: skip
    found = drought(loaded(*water))

    assert found.kind is WhatIfKind.DROUGHT
    assert [source.kind for source in found.sources] == ["creek", "pool", "dam"]
    assert [one.km for one in found.passes] == pytest.approx([100.0, 300.0, 500.0])
    assert found.passes[1].go_on.to_km == pytest.approx(400.0)


places = st.lists(
    st.tuples(st.floats(1.5, 599.0), st.floats(0.0, 4.5)), min_size=1, max_size=6,
    unique_by=lambda place: round(place[0], 3),
)  # fmt: skip


@proof(600)
def test_a_dry_source_equals_the_plan_made_without_it_the_other_calls_kept(cases):
    """What-if and plan have the same stretch: random trips by vehicle, on foot, by bicycle.

    With waits, camps pinned at the water and away from it, long stops, ways and rest days.
    """
    for seed in cases:
        rng = random.Random(seed)
        prepared, sources, minutes = _random_trip(rng)
        plan = loaded_full(journey_past(prepared, sources, stop_minutes=minutes(sources)))
        gone = rng.choice(plan.sources())
        runs = dry_groups(plan, {gone.id})
        left = [source for source in sources if source.id != gone.id]
        fresh = journey_past(prepared, left, stop_minutes=minutes(left)).stretches()
        known = dry_together(plan, [gone]).known_dry

        same = [one for one in fresh if one.begin.km == known.begin.km]
        assert len(runs) == 1
        assert (known.begin.km, known.end.km) == (same[0].begin.km, same[0].end.km)
        assert known.travel.begin_h == pytest.approx(same[0].travel.begin_h)
        assert (known.days, known.nights) == (pytest.approx(same[0].days), same[0].nights)
        assert known.length_km == pytest.approx(same[0].length_km)
        assert known.need.total_l == pytest.approx(same[0].need.total_l)
        assert known.verdict is same[0].verdict


def _random_trip(rng):
    """Give a trip, sources apart from each other, and the minutes at the stops of some of them."""
    travel = rng.choice(list(Travel))
    kmh = {Travel.VEHICLE: 50.0, Travel.FOOT: 4.0, Travel.BICYCLE: 14.0}[travel]
    length_km = kmh * rng.uniform(8.0, 40.0)
    kms = [length_km * (place + rng.uniform(0.2, 0.8)) / 6 for place in range(6)]
    camps = [
        PinnedCamp(km=rng.choice([rng.choice(kms), rng.uniform(1.0, length_km - 1.0)]),
                   rest_days=rng.choice([0, 0, 1]), at_water=rng.choice([None, True, False]))
        for _ in range(rng.choice([0, 0, 1, 2]))
    ]  # fmt: skip
    prepared = prepared_trip(
        route=straight_route(length_km, points=5),
        camps=camps,
        policy=policy(reserve_days=rng.choice([0.0, 1.0]), longest_wait_h=24.0),
        pace=pace(
            travel=travel, speed_kmh=kmh, off_route_kmh=kmh / 3.0, hours_per_day=rng.choice([5, 7]),
            break_h=rng.choice([None, (11.0, 12.5)]),
        ),
    )  # fmt: skip
    hours = [None, None, (rng.uniform(6.0, 12.0), rng.uniform(13.0, 20.0))]
    sources = []
    for number, km in enumerate(kms):
        source = bore_at(km, offset_km=rng.choice([0.0, kmh / 30.0]), id=f"w{number}")
        times = rng.choice(hours)
        if times:
            source = dataclasses.replace(source, open_from_hour=times[0], open_to_hour=times[1])
        sources.append(source)
    at = {source.id: rng.choice([0.0, 20.0, 300.0]) for source in sources}

    def minutes(some):
        return [0.0, *(at[source.id] for source in some)]

    return prepared, sources, minutes


@drawn_proof(240)
@example([(22.5, 0.0), (78.4, 0.9), (276.1, 0.0), (504.9, 1.8)], 8, 16.6, (1, 0.144), None)
@given(
    places, st.integers(1, 30), st.floats(1.0, 20.0),
    st.tuples(st.integers(0, 5), st.floats(0.01, 0.29)), st.none() | st.floats(1.0, 30.0),
)  # fmt: skip
def test_a_drier_world_is_never_better(wells, people, rated_l, second, limit_l):
    """A dry source never betters a verdict, nor two dry ones that of one.

    A second source stands at one of the stops, and may give little.
    """
    sources = [bore_at(km, offset_km=off, id=f"w{n}") for n, (km, off) in enumerate(wells)]
    at, on_km = second
    km, off = wells[at % len(wells)]
    sources.append(bore_at(km + on_km, offset_km=off, id="second", limit_l=limit_l))
    plan = loaded(*sources, people=people, containers=[container(rated_l, 1)])
    found = dry_sources(plan)
    alone = {one.sources[0].id: one for one in found if len(one.sources) == 1}

    for one in found:
        assert rank(one.verdict) <= rank(one.before)
        for source in one.sources:
            assert rank(one.verdict) <= rank(alone[source.id].verdict)


@drawn_proof(180)
@given(places, st.floats(0.1, 20.0), st.floats(0.0, 5.0))
def test_more_carried_never_closes_a_way(wells, litres, more_l):
    """With more water every way that was open stays open."""
    plan = loaded(*(bore_at(km, offset_km=off, id=f"w{n}") for n, (km, off) in enumerate(wells)))
    less = dry_sources(carrying(plan, [litres] * plan.last))
    more = dry_sources(carrying(plan, [litres + more_l] * plan.last))

    for one, other in zip(less, more, strict=True):
        assert one.can_go_on <= other.can_go_on
        assert (one.can_go_back or False) <= (other.can_go_back or False) or one.go_back is None


def test_the_amounts_must_be_one_for_each_stretch():
    """Two stretches and one amount is a mistake of the caller."""
    with pytest.raises(ValueError, match="1 amounts carried for 2 stretches"):
        loaded(bore_at(LENGTH_KM / 2.0), carried_l=[1.0])
