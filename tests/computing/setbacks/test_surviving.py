"""From the least litres to a fill plan that holds when any one uncertain source is dry.

The party: 2 people at 4 L a day, 50 km/h from 8 to 14 o'clock: 8 L and 300 km a day.
"""

from __future__ import annotations

import dataclasses

import pytest
from how_many import drawn_proof
from hypothesis import given
from hypothesis import strategies as st
from loaded import loaded
from make import container, policy, source_at

from longdry.computing.fills.plan import plan_fills
from longdry.computing.fills.problem import fill_problem
from longdry.computing.setbacks.dry_proof import not_survived, proof_against_one_dry, raised_problem


def filled(plan, least_l=None):
    """Load a plan with what the fill plan takes, with the least or without."""
    problem = fill_problem(plan.stretches(), plan.going)
    fills = plan_fills(problem if least_l is None else raised_problem(problem, least_l))
    on_board_l = tuple(fill.leaving.total_l for fill in fills.fills)
    return dataclasses.replace(plan, on_board_l=on_board_l)


def test_the_plan_of_least_litres_does_not_survive_and_the_raised_one_does():
    """To the well 1.67 L are the least; 23 h back after 5 h out ask for 9.33 L."""
    plan = loaded(source_at(250.0))
    least = filled(plan)
    proof = proof_against_one_dry(least, {"s250"}, can_hold_l=100.0)
    raised = filled(plan, proof.least_l)

    assert least.on_board_l[0] == pytest.approx(5.0 / 3.0, abs=0.002)
    assert [source.id for source in not_survived(least, {"s250"})] == ["s250"]
    assert raised.on_board_l[0] == pytest.approx(28.0 / 3.0, abs=0.002)
    assert proof.extra_l[0] == pytest.approx(23.0 / 3.0, abs=0.002)
    assert not_survived(raised, {"s250"}) == ()


def test_a_reserve_that_is_already_larger_is_not_raised():
    """Three days of reserve are 24 L: more than the dry well asks for."""
    plan = loaded(source_at(250.0), policy=policy(reserve_days=3.0))
    problem = fill_problem(plan.stretches(), plan.going)

    assert raised_problem(problem, (9.4, 0.0)) == problem


def test_the_least_must_be_one_for_each_leg():
    """Two legs and one amount is a mistake of the caller."""
    plan = loaded(source_at(250.0))

    with pytest.raises(ValueError, match="argument"):
        raised_problem(fill_problem(plan.stretches(), plan.going), (1.0,))


places = st.lists(
    st.tuples(st.floats(1.0, 599.0), st.floats(0.0, 4.5)), min_size=1, max_size=5,
    unique_by=lambda place: round(place[0], 3),
)  # fmt: skip


@drawn_proof(160)
@given(places, st.floats(0.0, 2.0), st.integers(1, 12))
def test_the_raised_fill_plan_survives_whenever_the_containers_hold_it(wells, days, cans):
    """No single loss leaves neither way then; else the proof names a source that does it."""
    sources = [source_at(km, offset_km=off) for km, off in wells]
    plan = loaded(*sources, policy=policy(reserve_days=days), containers=[container(5.0, cans)])
    ids = {source.id for source in sources}
    proof = proof_against_one_dry(filled(plan), ids, can_hold_l=5.0 * cans)
    raised = filled(plan, proof.least_l)

    if proof.holds:
        assert not_survived(raised, ids) == ()
        for has_l, least_l in zip(raised.on_board_l, proof.least_l, strict=True):
            assert has_l >= least_l - 1e-6
    else:
        assert {s.id for s in not_survived(raised, ids)} >= {s.id for s in proof.breaks}
