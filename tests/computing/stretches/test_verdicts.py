"""The four verdicts, and the one that is given where no containers are."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from make import container, policy, trip

from longdry.computing.stretches.verdicts import capacity_l, ration_that_does, verdict_of
from longdry.model.plan.stretch import Need, RationNeed, UseNeed
from longdry.model.words import VERDICTS_WORST_FIRST, FillTo, Grade, Ration, Verdict


def needs(full_l, lean_l, bare_l):
    return [
        RationNeed(ration, Need((UseNeed("drinking", litres, Grade.POTABLE),), 0.0))
        for ration, litres in zip(
            (Ration.FULL, Ration.LEAN, Ration.BARE), (full_l, lean_l, bare_l), strict=True
        )
    ]


@pytest.mark.parametrize(
    ("available_l", "verdict", "does"),
    [
        (120.0, Verdict.CLEAR, Ration.FULL),
        (119.9, Verdict.INTO_RESERVE, Ration.FULL),
        (100.0, Verdict.INTO_RESERVE, Ration.FULL),
        (99.9, Verdict.SHORT_RATION, Ration.LEAN),
        (60.0, Verdict.SHORT_RATION, Ration.BARE),
        (49.9, Verdict.TOO_LONG, None),
    ],
)
def test_verdicts(available_l, verdict, does):
    """Need 100 L on full, 70 on lean, 50 on bare, 20 L reserve."""
    on_rations = needs(100.0, 70.0, 50.0)

    assert verdict_of(on_rations, 20.0, available_l, containers=True) is verdict
    assert ration_that_does(on_rations, available_l) is does


def test_without_containers_nothing_is_clear():
    """No containers, no need: still not clear."""
    assert verdict_of(needs(0, 0, 0), 0.0, 0.0, containers=False) is Verdict.NO_CONTAINERS


def test_capacity_follows_the_mark():
    """Five 20 L cans take about 23 L each to the brim (common practice, no source)."""
    boxes = [container(20.0, 5, brimful_l=23.0)]

    assert capacity_l(trip(containers=boxes)) == 100.0
    assert capacity_l(trip(containers=boxes, policy=policy(fill_to=FillTo.BRIMFUL))) == 115.0


litres = st.floats(0.0, 1000.0)


@given(litres, litres, litres, litres, litres)
def test_a_bigger_container_never_worsens_a_verdict(bare_l, more_l, most_l, reserve_l, holds_l):
    """Ten litres more of room give the same verdict or a better one."""
    on_rations = needs(bare_l + more_l + most_l, bare_l + more_l, bare_l)
    before = verdict_of(on_rations, reserve_l, holds_l, containers=True)
    after = verdict_of(on_rations, reserve_l, holds_l + 10.0, containers=True)

    assert VERDICTS_WORST_FIRST.index(after) >= VERDICTS_WORST_FIRST.index(before)
