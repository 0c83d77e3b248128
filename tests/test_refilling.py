"""What a limited source gives to a party that comes with less than planned."""

from __future__ import annotations

import dataclasses

import pytest

from loaded import loaded
from longdry.computing.refilling import refilled
from make import source_at


def _cache(km, limit_l):
    return dataclasses.replace(source_at(km, id="cache"), limit_l=limit_l)


def test_two_passes_of_one_source_give_its_limit_once():
    """Worked by hand: what the first pass takes of 12 L is gone at the second."""
    plan = loaded(_cache(200.0, 12.0), _cache(400.0, 12.0), on_board_l=[4.0, 12.0, 12.0])
    apart = loaded(
        _cache(200.0, 12.0),
        dataclasses.replace(_cache(400.0, 12.0), id="other"),
        on_board_l=[4.0, 12.0, 12.0],
    )

    once, twice = refilled(plan), refilled(apart)

    assert twice.on_board_l[2] == pytest.approx(12.0)
    assert once.on_board_l[1] == twice.on_board_l[1]
    assert once.on_board_l[2] < twice.on_board_l[2]
