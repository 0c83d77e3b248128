"""A source found dry: worked by hand, and held against planning afresh without it.

The party: 2 people at 4 L a day, 50 km/h from 8 to 14 o'clock. So 8 L a day, a third of a litre
an hour, and 300 km a day.
"""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from how_many import drawn_proof
from hypothesis import given
from hypothesis import strategies as st
from loaded import LENGTH_KM, afresh, loaded
from make import container, policy, source_at, straight_route, use

from longdry.computing.setbacks.dry import dry_runs, dry_sources, dry_together
from longdry.computing.stretches.verdicts import worst_of
from longdry.model.plan.setbacks import WhatIfKind
from longdry.model.trip.trip import PinnedCamp
from longdry.model.words import VERDICTS_WORST_FIRST, Accrual, Ration, Verdict

L_PER_H = 2 * 4.0 / 24.0


def rank(verdict):
    return VERDICTS_WORST_FIRST.index(verdict)


def only(plan):
    (found,) = dry_sources(plan)
    return found


def test_the_only_well_dry_worked_by_hand():
    """Well at km 250 of 600, 20 L on board at the start.

    To km 250: 5 h. The whole 600 km: 12 h of moving and one night of 18 h: 30 h, 10 L.
    At the well 20 - 5/3 = 18.33 L are left. On: 350 km from 13:00: 1 h, 18 h, 6 h: 25 h, 8.33 L.
    Back: 250 km, 5 h of moving from 13:00: 1 h, 18 h, 4 h: 23 h, 7.67 L.
    """
    found = only(loaded(source_at(250.0), on_board_l=[20.0, 100.0]))

    assert found.worst.need.total_l == pytest.approx(30.0 * L_PER_H)
    assert found.go_on.left_l == pytest.approx(20.0 - 5.0 * L_PER_H)
    assert found.go_on.bare_l == pytest.approx(25.0 * L_PER_H)
    assert found.go_back.bare_l == pytest.approx(23.0 * L_PER_H)
    assert (found.go_on.ration, found.go_back.ration) == (Ration.FULL, Ration.FULL)
    assert (found.verdict, found.can_go_on, found.can_go_back) == (Verdict.CLEAR, True, True)


@pytest.mark.parametrize(
    ("on_board_l", "on", "back", "neither"),
    [
        (28.0 * L_PER_H - 0.01, False, False, True),
        (28.0 * L_PER_H + 0.01, False, True, False),
        (30.0 * L_PER_H - 0.01, False, True, False),
        (30.0 * L_PER_H + 0.01, True, True, False),
    ],
)
def test_which_ways_are_left_turns_at_the_litre(on_board_l, on, back, neither):
    """5 h to the well; 23 h back ask for 28 h of water, 25 h on for 30 h of it."""
    found = only(loaded(source_at(250.0), on_board_l=[on_board_l, 100.0]))

    assert (found.can_go_on, found.can_go_back, found.leaves_neither) == (on, back, neither)


def test_the_verdict_is_of_what_the_plan_has_on_board_not_of_full_containers():
    """100 L fit, 9 L are on board, the new stretch takes 10 L."""
    plan = loaded(source_at(250.0), on_board_l=[9.0, 100.0])

    assert only(plan).verdict is Verdict.TOO_LONG
    assert only(plan).worst.available_l == 9.0
    assert only(plan).before is Verdict.CLEAR


def test_the_ration_changes_where_the_well_is_dry():
    """Full 8 L a day and 24 L for each night, bare 8 L a day.

    The plan needs no night before the well: full ration, 5/3 L. On: 25 h with a night: 8.33 L on
    the bare ration, 32.33 L on the full one.
    """
    uses = [use(), use("shower", 24.0, per=Accrual.PARTY_NIGHT, kept=Ration.FULL)]
    found = only(loaded(source_at(250.0), uses=uses, on_board_l=[20.0, 100.0]))

    assert found.go_on.ration is Ration.LEAN
    assert found.verdict is Verdict.SHORT_RATION
    assert found.go_on.bare_l == pytest.approx(25.0 * L_PER_H)


def test_a_well_off_the_route_is_called_at_in_vain():
    """2 km off at factor 1.3: 5.2 km and 0.52 h more than for a party that knows.

    Its 12 h of moving end with the second day; the 0.52 h cost another night of 18 h.
    """
    found = only(loaded(source_at(250.0, offset_km=2.0)))

    assert found.worst.length_km == pytest.approx(found.known_dry.length_km + 5.2, abs=1e-4)
    assert found.worst.days * 24 == pytest.approx(30.0 + 0.52 + 18.0, abs=1e-4)
    assert found.known_dry.days * 24 == pytest.approx(30.0)
    assert found.go_on.length_km == pytest.approx(350.0 + 2.6, abs=0.02)
    assert found.go_back.length_km == pytest.approx(250.0 + 2.6, abs=0.02)


def test_days_after_the_end_are_asked_of_who_goes_on_to_it():
    """Two days at 8 L beyond the end."""
    plain = only(loaded(source_at(250.0)))
    longer = only(loaded(source_at(250.0), policy=policy(days_after_end=2.0)))

    assert longer.go_on.bare_l == pytest.approx(plain.go_on.bare_l + 16.0)
    assert longer.go_back.bare_l == pytest.approx(plain.go_back.bare_l)


def test_neighbours_are_dry_together():
    """Three wells: three singles and two pairs; the pair leaves one stretch of two runs."""
    found = dry_sources(loaded(source_at(100.0), source_at(300.0), source_at(450.0)))

    assert [len(one.sources) for one in found] == [1, 1, 1, 2, 2]
    first_pair = found[3]
    assert (first_pair.worst.begin.km, first_pair.worst.end.km) == pytest.approx((0.0, 450.0))
    assert first_pair.words == "dry s100 and dry s300"
    assert {one.kind for one in found} == {WhatIfKind.DRY_SOURCE}


def test_two_dry_wells_in_a_row_worked_by_hand():
    """Wells at km 100 and 300, both dry; 7 L from the start.

    To km 100 2 h, on to km 300 4 h: 5 L left at 14:00. On to the end 300 km: 18 + 6 h: 8 L.
    Back 300 km: the same. Neither; with 10 L both.
    """
    wells = (source_at(100.0), source_at(300.0))
    dry = loaded(*wells, on_board_l=[7.0, 50.0, 50.0])
    wet = loaded(*wells, on_board_l=[10.01, 50.0, 50.0])
    pair = [source_at(100.0), source_at(300.0)]

    assert dry_together(dry, pair).go_on.left_l == pytest.approx(5.0)
    assert dry_together(dry, pair).leaves_neither
    assert dry_together(wet, pair).go_on.bare_l == pytest.approx(8.0, abs=1e-6)
    assert not dry_together(wet, pair).leaves_neither


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
    found = only(loaded(source_at(150.0), route=out_and_back()))

    assert (found.worst.begin.km, found.worst.end.km) == pytest.approx((0.0, 400.0))
    assert found.worst.length_km == pytest.approx(400.0)


def test_a_source_known_to_be_dry_is_not_called_at_again():
    """The well 2 km off at km 150 and 250: one vain call of 5.2 km, not two."""
    found = only(loaded(source_at(150.0, offset_km=2.0), route=out_and_back()))

    assert found.worst.length_km == pytest.approx(400.0 + 5.2, abs=0.05)


def test_each_run_of_a_source_is_judged_and_the_worst_told():
    """A second well at the turn keeps the passes apart; the leg with less water is the worse."""
    plan = loaded(
        source_at(150.0), source_at(200.0), route=out_and_back(), on_board_l=[50.0, 50.0, 0.5, 50.0]
    )
    found = dry_together(plan, [source_at(150.0)])

    assert [(run.behind, run.ahead) for run in dry_runs(plan, {"s150"})] == [(0, 2), (2, 4)]
    assert found.worst.begin.km == pytest.approx(200.0)
    assert found.leaves_neither


def test_a_camp_pinned_at_the_dry_well_needs_water_then():
    """Two rest days at the well ask for nothing; with the well dry they fall into the stretch."""
    camp = PinnedCamp(km=250.0, rest_days=2, at_water=True)
    plan = loaded(source_at(250.0), camps=[camp])

    assert only(plan).worst.nights == 1 + 2 + 1
    assert plan.stretch(1).nights == 1


def test_no_source_no_what_if():
    """A route without sources has none to run dry."""
    assert dry_sources(loaded()) == ()
    assert worst_of(()) is None


def test_a_source_that_does_not_count_cannot_run_dry():
    """Asking for a source that the plan never drinks from is a mistake of the caller."""
    with pytest.raises(ValueError, match="none of the sources is counted"):
        dry_together(loaded(source_at(250.0)), [source_at(300.0)])


def test_a_limited_source_does_not_make_good_what_the_dry_one_cost():
    """Wells at km 100 and 200, the second gives 6 L; the plan leaves each with 12 L.

    With the first dry: 12 L less 4 h of way (1.33 L) arrive at the second, which fills up to 12.
    With 7 L at the start 5.67 + 6 = 11.67 L leave it: less than planned, still enough for the
    22 h + 4 h (8.67 L) to the end. With a limit of 2 L 7.67 L leave it: too long.
    """

    def later(limit_l):
        second = dataclasses.replace(source_at(200.0), limit_l=limit_l)
        plan = loaded(source_at(100.0), second, on_board_l=[7.0, 12.0, 12.0])
        return dry_together(plan, [source_at(100.0)])

    assert later(None).later is None
    assert later(6.0).later.available_l == pytest.approx(7.0 - 4.0 / 3.0 + 6.0)
    assert (later(6.0).verdict, later(2.0).verdict) == (Verdict.CLEAR, Verdict.TOO_LONG)
    assert later(2.0).can_go_on


def test_without_containers_nothing_is_said_of_ways():
    """No containers: the verdict says so, and no source is called a stake on a life."""
    found = only(loaded(source_at(250.0), containers=[]))

    assert found.verdict is Verdict.NO_CONTAINERS
    assert not found.leaves_neither


def test_the_worst_single_failure_comes_first():
    """The well whose loss leaves neither way is worse than one whose loss is only short."""
    plan = loaded(source_at(200.0), source_at(400.0), on_board_l=[100.0, 3.0, 100.0])

    assert worst_of(dry_sources(plan)).sources[0].name == "s400"


places = st.lists(
    st.tuples(st.floats(1.0, 599.0), st.floats(0.0, 4.5)), min_size=1, max_size=6,
    unique_by=lambda place: round(place[0], 3),
)  # fmt: skip


@drawn_proof(200)
@given(places, st.data())
def test_the_engine_and_planning_afresh_agree(wells, data):
    """Deleting a source and planning afresh gives the stretch that the engine has for it.

    Both routes to one figure: need, length, days and nights of the party that knows.
    """
    sources = [source_at(km, offset_km=off) for km, off in wells]
    gone = data.draw(st.integers(0, len(sources) - 1))
    found = dry_together(loaded(*sources), [sources[gone]])
    fresh = afresh(*(one for index, one in enumerate(sources) if index != gone))
    (same,) = [
        stretch for stretch in fresh.stretches
        if stretch.begin.km == found.known_dry.begin.km and stretch.end.km == found.known_dry.end.km
    ]  # fmt: skip

    assert found.known_dry.need.total_l == pytest.approx(same.need.total_l)
    assert found.known_dry.length_km == pytest.approx(same.length_km)
    assert (found.known_dry.days, found.known_dry.nights) == (pytest.approx(same.days), same.nights)
    assert found.known_dry.verdict is same.verdict


@drawn_proof(200)
@given(places, st.integers(1, 30), st.floats(1.0, 20.0))
def test_a_drier_world_is_never_better(wells, people, rated_l):
    """A dry source never betters a verdict, nor two dry ones that of one; calling never helps."""
    sources = [source_at(km, offset_km=off) for km, off in wells]
    plan = loaded(*sources, people=people, containers=[container(rated_l, 1)])
    found = dry_sources(plan)
    alone = {one.sources[0].id: one for one in found if len(one.sources) == 1}

    for one in found:
        assert rank(one.verdict) <= rank(one.before)
        assert one.worst.need.total_l >= one.known_dry.need.total_l - 1e-9
        for source in one.sources:
            assert rank(one.verdict) <= rank(alone[source.id].verdict)


@drawn_proof(160)
@given(places, st.floats(0.1, 20.0), st.floats(0.0, 5.0))
def test_more_on_board_never_closes_a_way(wells, litres, more_l):
    """With more water on board every way that was open stays open."""
    sources = [source_at(km, offset_km=off) for km, off in wells]
    less = dry_sources(loaded(*sources, on_board_l=[litres] * (len(wells) + 1)))
    more = dry_sources(loaded(*sources, on_board_l=[litres + more_l] * (len(wells) + 1)))

    for one, other in zip(less, more, strict=True):
        assert one.can_go_on <= other.can_go_on
        assert one.can_go_back <= other.can_go_back


def test_the_amounts_must_be_one_for_each_stretch():
    """Two stretches and one amount is a mistake of the caller."""
    with pytest.raises(ValueError, match="1 amounts on board for 2 stretches"):
        loaded(source_at(LENGTH_KM / 2.0), on_board_l=[1.0])
