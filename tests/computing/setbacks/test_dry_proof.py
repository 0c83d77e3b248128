"""What must be on board so that any one uncertain source may be dry.

The party: 2 people at 4 L a day, 50 km/h from 8 to 14 o'clock: a third of a litre an hour.
"""

from __future__ import annotations

import dataclasses

import pytest
from how_many import drawn_proof
from hypothesis import given
from hypothesis import strategies as st
from loaded import loaded
from make import policy, source_at, use

from longdry.computing.setbacks.dry import dry_sources
from longdry.computing.setbacks.dry_proof import proof_against_one_dry
from longdry.model.words import Accrual, Ration

L_PER_H = 1.0 / 3.0


def test_the_shorter_way_is_asked_for():
    """To km 250 5 h; on 25 h, back 23 h: 28 h of water, 9.33 L; of 4 L there are 5.33 L missing."""
    plan = loaded(source_at(250.0), on_board_l=[4.0, 20.0])
    proof = proof_against_one_dry(plan, {"s250"}, can_hold_l=100.0)

    assert proof.least_l == (pytest.approx(28.0 * L_PER_H), 0.0)
    assert proof.extra_l == (pytest.approx(28.0 * L_PER_H - 4.0), 0.0)
    assert proof.holds


def test_certain_sources_ask_for_nothing():
    """Nothing uncertain: nothing asked, the plan survives."""
    proof = proof_against_one_dry(loaded(source_at(250.0)), set(), can_hold_l=0.0)

    assert (proof.least_l, proof.breaks) == ((0.0, 0.0), ())


def test_the_source_that_breaks_it_is_named():
    """Well at km 250 dry: 6 h to km 300, 2 L. Well at km 300: 1 h, then 19 h back: 6.67 L."""
    plan = loaded(source_at(250.0), source_at(300.0))
    tight = proof_against_one_dry(plan, {"s250", "s300"}, can_hold_l=2.1)
    roomy = proof_against_one_dry(plan, {"s250", "s300"}, can_hold_l=6.7)

    assert tight.least_l == pytest.approx((2.0, 20.0 * L_PER_H, 0.0))
    assert [source.id for source in tight.breaks] == ["s300"]
    assert roomy.holds


def test_a_start_that_is_not_full_breaks_it():
    """The trip says 5 L at the start: no container mends that."""
    plan = loaded(source_at(250.0), policy=policy(start_on_board_l=5.0))

    assert not proof_against_one_dry(plan, {"s250"}, can_hold_l=100.0).holds


def test_full_ration_up_to_the_dry_source_bare_after_it():
    """8 L a night on the full ration only; the night falls after the dry well: not asked for."""
    uses = [use(), use("shower", 24.0, per=Accrual.PARTY_NIGHT, kept=Ration.FULL)]
    plan = loaded(source_at(250.0), source_at(350.0), uses=uses)
    proof = proof_against_one_dry(plan, {"s350"}, can_hold_l=1000.0)

    assert proof.least_l[1] == pytest.approx(24.0 + 20.0 * L_PER_H + 2.0 * L_PER_H)


places = st.lists(
    st.tuples(st.floats(1.0, 599.0), st.floats(0.0, 4.5)), min_size=1, max_size=6,
    unique_by=lambda place: round(place[0], 3),
)  # fmt: skip


@drawn_proof(200)
@given(places, st.data())
def test_with_the_least_on_board_no_single_loss_leaves_neither_way(wells, data):
    """And with a hundredth of a litre less somewhere, one does: two routes to one figure.

    The stops are loaded with no less than the full ration to the next water, as a plan has it.
    """
    sources = [source_at(km, offset_km=off) for km, off in wells]
    full = loaded(*sources)
    ids = {source.id for source in sources}
    proof = proof_against_one_dry(full, ids, can_hold_l=1e6)
    held = dataclasses.replace(full, on_board_l=tuple(least + 1e-6 for least in proof.least_l))
    asked = [index for index, least in enumerate(proof.least_l) if least > 0.01]
    short = data.draw(st.sampled_from(asked))
    less = dataclasses.replace(
        held,
        on_board_l=tuple(
            litres - 0.01 if index == short else litres
            for index, litres in enumerate(held.on_board_l)
        ),
    )
    singles = len(sources)

    assert not any(found.leaves_neither for found in dry_sources(held)[:singles])
    assert any(found.leaves_neither for found in dry_sources(less)[:singles])
