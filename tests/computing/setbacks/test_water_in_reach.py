"""Nobody counts on water that is closed or gone: on, back, in the dry proof, turning, by chance.

The party: 2 people at 4 L a day, 50 km/h from 8 to 14 o'clock: a third of a litre an hour.
"""

from __future__ import annotations

import dataclasses

import pytest
from how_many import drawn_proof
from hypothesis import given
from hypothesis import strategies as st
from loaded import loaded
from make import pace, source_at

from longdry.computing.setbacks.chance import Spread, chance_of_short
from longdry.computing.setbacks.dry import dry_sources, dry_together
from longdry.computing.setbacks.dry_proof import proof_against_one_dry
from longdry.computing.setbacks.turn_back import turns_by_water_km
from longdry.model.trip.trip import PinnedCamp
from longdry.model.words import VERDICTS_WORST_FIRST

L_PER_H = 1.0 / 3.0
NO_SPREAD = Spread(use=0.0, pace=0.0, delays_per_day=0.0)


def limited(km, **limits):
    return dataclasses.replace(source_at(km), **limits)


def dry_at(plan, number=0):
    return dry_sources(plan)[number]


@pytest.mark.parametrize(
    ("limits", "to_km"),
    [
        ({}, 250.0),
        ({"open_from_hour": 12.0, "open_to_hour": 13.5}, 250.0),
        ({"open_from_hour": 8.0, "open_to_hour": 12.5}, 400.0),
        ({"limit_l": 2.0}, 250.0),
        ({"limit_l": 1.9}, 400.0),
        ({"flow_l_per_min": 0.19}, 400.0),
    ],
)
def test_going_on_passes_over_water_that_is_closed_or_gone(limits, to_km):
    """Dry at km 100; km 250 is reached at 13 o'clock; two people need 2 L, filling takes 10 min."""
    slow = pace(fill_minutes=10.0) if "flow_l_per_min" in limits else pace()
    plan = loaded(source_at(100.0), limited(250.0, **limits), source_at(400.0), pace=slow)

    assert dry_at(plan).go_on.to_km == pytest.approx(to_km)


def test_the_hour_of_the_run_counts_where_the_plan_comes_at_another():
    """A camp pinned at km 150 brings the plan to km 250 at 10 o'clock, not at 13 as in need."""
    camp = [PinnedCamp(km=150.0)]
    tap = limited(250.0, open_from_hour=8.0, open_to_hour=11.0)
    plan = loaded(source_at(100.0), tap, source_at(400.0), camps=camp)

    assert plan.stretch(1).span.end_h % 24.0 == pytest.approx(2.0)
    assert dry_at(plan).go_on.to_km == pytest.approx(400.0)


def test_a_closed_source_off_the_route_is_called_at_in_vain():
    """By hand: 300 km from km 100 to km 400, and 2 x 2.6 km to the closed tap at km 250."""
    tap = dataclasses.replace(source_at(250.0, offset_km=2.0), open_to_hour=9.0)
    plan = loaded(source_at(100.0), tap, source_at(400.0))

    assert dry_at(plan).go_on.length_km == pytest.approx(300.0 + 5.2, abs=0.02)


def test_where_all_ahead_is_closed_the_end_of_the_route_counts():
    """From km 100 to the end at km 600."""
    plan = loaded(source_at(100.0), limited(250.0, open_to_hour=9.0))

    assert dry_at(plan).go_on.to_km == pytest.approx(600.0)


def test_two_dry_in_a_row_go_on_past_a_closed_one():
    """Km 100 and 200 dry, km 250 closed: on to km 400."""
    wells = (source_at(100.0), source_at(200.0))
    plan = loaded(*wells, limited(250.0, open_to_hour=9.0), source_at(400.0))

    assert dry_together(plan, wells).go_on.to_km == pytest.approx(400.0)


def test_going_back_asks_that_the_source_is_open_on_return():
    """Open to 11: passed at 10. Dry at km 200 at 12 o'clock; back at km 100 at 14: to the start."""
    plan = loaded(limited(100.0, open_to_hour=11.0), source_at(200.0))

    assert dry_at(plan, 1).go_back.to_km == pytest.approx(0.0)


def test_the_proof_asks_for_the_way_past_a_closed_source():
    """Km 250 dry at 13 o'clock: back 23 h; on to km 300 1 h if open, else to km 400 20 + 1 h."""
    ahead = (source_at(250.0), limited(300.0, open_to_hour=9.0), source_at(400.0))
    closed = loaded(*ahead)
    opened = loaded(ahead[0], source_at(300.0), ahead[2])
    asked = [
        proof_against_one_dry(plan, {"s250"}, can_hold_l=99.0).least_l[0]
        for plan in (closed, opened)
    ]

    assert asked == pytest.approx([(5.0 + 1.0 + 18.0 + 2.0) * L_PER_H, 6.0 * L_PER_H])


def test_who_turns_round_does_not_count_on_a_door_that_is_shut_by_then():
    """8 L are 24 h. On leaving km 100 at 10: t h on, t h back, a night of 18 h: t = 3, km 250.

    Open at 10 o'clock alone: shut on return from beyond km 200 up to km 250, so to the start, two
    hours further: t = 2, km 200.
    """
    sources = (source_at(100.0), limited(100.0, open_from_hour=9.75, open_to_hour=10.25))
    plans = [loaded(source, on_board_l=[20.0, 8.0]) for source in sources]

    assert [turns_by_water_km(plan)[1] for plan in plans] == pytest.approx([250.0, 200.0], abs=0.01)


def test_chance_takes_nothing_from_a_source_that_the_plan_finds_closed():
    """10 L for 30 h of a third of a litre: enough with 9.99 L never, and a closed tap adds none."""
    sources = (source_at(250.0), limited(250.0, open_to_hour=9.0))
    shorts = [
        chance_of_short(
            loaded(source, on_board_l=[9.0, 20.0]), {"s250": 1.0}, trials=50, seed=1,
            spread=NO_SPREAD,
        ).short
        for source in sources
    ]  # fmt: skip

    assert shorts == [0.0, 1.0]


hours = st.one_of(st.none(), st.floats(0.0, 24.0))
wells = st.lists(
    st.tuples(
        st.integers(1, 599), st.floats(0.0, 4.5), hours, hours,
        st.one_of(st.none(), st.floats(0.1, 40.0)), st.one_of(st.none(), st.floats(0.05, 3.0)),
    ),
    min_size=1, max_size=6, unique_by=lambda well: well[0],
)  # fmt: skip


@drawn_proof(320)
@given(wells, st.data())
def test_hours_and_limits_never_help(places, data):
    """The same plan without them: no way is shorter, no verdict worse, no turn-back km earlier."""
    with_limits = [
        dataclasses.replace(
            source_at(float(km), offset_km=off),
            open_from_hour=begin, open_to_hour=end, limit_l=limit_l, flow_l_per_min=flow,
        )
        for km, off, begin, end, limit_l, flow in places
    ]  # fmt: skip
    without = [source_at(float(km), offset_km=off) for km, off, *_ in places]
    litres = st.lists(st.floats(0.0, 40.0), min_size=len(places) + 1, max_size=len(places) + 1)
    on_board_l = data.draw(litres)
    uncertain = {source.id for source in without}
    hard, easy = (
        loaded(*some, on_board_l=on_board_l, pace=pace(fill_minutes=10.0))
        for some in (with_limits, without)
    )

    for worse, better in zip(dry_sources(hard), dry_sources(easy), strict=True):
        assert worse.can_go_on <= better.can_go_on
        assert worse.leaves_neither >= better.leaves_neither
        assert worse.go_on.bare_l >= better.go_on.bare_l - 1e-9
        assert worse.go_back.bare_l >= better.go_back.bare_l - 1e-9
        rank = VERDICTS_WORST_FIRST.index
        assert rank(worse.verdict) <= rank(better.verdict)
    asked = [proof_against_one_dry(plan, uncertain, can_hold_l=9.0) for plan in (hard, easy)]
    assert all(
        more >= less - 1e-9 for more, less in zip(asked[0].least_l, asked[1].least_l, strict=True)
    )
    chances = dict.fromkeys(uncertain, 0.7)
    short = [chance_of_short(plan, chances, trials=40, seed=1).short for plan in (hard, easy)]
    assert short[0] >= short[1]
    if any(off > 0.0 for _, off, *_ in places):  # the start can be nearer than water off the route
        return
    turns = [turns_by_water_km(plan) for plan in (hard, easy)]
    assert all((one or -1.0) <= (other or -1.0) + 0.002 for one, other in zip(*turns, strict=True))
