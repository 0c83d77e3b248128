"""Nobody counts on water that is closed or gone: on, back, in the dry proof, turning, by chance.

The party: 2 people at 4 L a day, 50 km/h from 8 to 14 o'clock: half a litre in a waking hour.
"""

from __future__ import annotations

import dataclasses
import datetime as dt

import pytest
from how_many import drawn_proof
from hypothesis import given
from hypothesis import strategies as st
from loaded import (
    DATED,
    L_PER_H,
    MARGIN_L,
    SURE,
    bore_at,
    journey_past,
    loaded,
    passes_at,
    prepared_trip,
)
from make import pace

from longdry.computing.setbacks.chance import chance_of_short
from longdry.computing.setbacks.chance_tables import Spread
from longdry.computing.setbacks.dry import dry_sources, dry_together
from longdry.computing.setbacks.dry_proof import proof_against_one_dry
from longdry.computing.setbacks.supplied import loaded_full
from longdry.computing.setbacks.turn_back import turn_backs
from longdry.model.trip.trip import PinnedCamp
from longdry.model.water.source import Found, Visit
from longdry.model.words import VERDICTS_WORST_FIRST, Certainty

NO_SPREAD = Spread(use=0.0, pace=0.0, delays_per_day=0.0)
DEPART = dt.datetime(2027, 5, 3, 8, 0)


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
    """Dry at km 100; km 250 is reached at 13 o'clock; two people need 2 L, filling takes 10 min.

    The plan draws a litre there.
    """
    slow = pace(fill_minutes=10.0) if "flow_l_per_min" in limits else pace()
    sources = [bore_at(100.0), bore_at(250.0, **limits), bore_at(400.0)]
    plan = loaded(*sources, pace=slow, carried_l=[9.0, 9.0, 8.5, 9.0])

    assert dry_at(plan).go_on.to_km == pytest.approx(to_km)


def test_a_slow_source_gives_what_the_plan_draws_there():
    """0.05 L/min in 10 minutes are half a litre; the plan stops for the 3 L that it draws."""
    sources = [bore_at(100.0), bore_at(250.0, flow_l_per_min=0.05), bore_at(400.0)]
    plan = loaded(*sources, pace=pace(fill_minutes=10.0), carried_l=[9.0, 9.0, 10.5, 9.0])

    assert dry_at(plan).go_on.to_km == pytest.approx(250.0)


def test_the_hour_of_the_run_counts_where_the_plan_comes_at_another():
    """A camp pinned at km 150 brings the plan to km 250 at 10 o'clock, not at 13 as in need."""
    camp = [PinnedCamp(km=150.0)]
    tap = bore_at(250.0, open_from_hour=8.0, open_to_hour=11.0)
    plan = loaded(bore_at(100.0), tap, bore_at(400.0), camps=camp)

    assert plan.arrives(2).hour % 24.0 == pytest.approx(10.0)
    assert dry_at(plan).go_on.to_km == pytest.approx(400.0)


def test_a_closed_source_off_the_route_is_called_at_in_vain():
    """By hand: 300 km from km 100 to km 400, and 2 x 2.6 km to the closed tap at km 250."""
    tap = bore_at(250.0, offset_km=2.0, open_to_hour=9.0)
    plan = loaded(bore_at(100.0), tap, bore_at(400.0))

    assert dry_at(plan).go_on.length_km == pytest.approx(300.0 + 5.2, abs=0.02)


def test_where_all_ahead_is_closed_the_end_of_the_route_counts():
    """From km 100 to the end at km 600."""
    plan = loaded(bore_at(100.0), bore_at(250.0, open_to_hour=9.0))

    assert dry_at(plan).go_on.to_km == pytest.approx(600.0)


def test_two_dry_in_a_row_go_on_past_a_closed_one():
    """Km 100 and 200 dry, km 250 closed: on to km 400."""
    wells = (bore_at(100.0), bore_at(200.0))
    plan = loaded(*wells, bore_at(250.0, open_to_hour=9.0), bore_at(400.0))

    assert dry_together(plan, wells).go_on.to_km == pytest.approx(400.0)


def test_going_back_asks_that_the_source_is_open_on_return():
    """Open to 11: passed at 10. Dry at km 200 at 12 o'clock; back at km 100 at 14: to the start."""
    plan = loaded(bore_at(100.0, open_to_hour=11.0), bore_at(200.0))

    assert dry_at(plan, 1).go_back.to_km == pytest.approx(0.0)


WET = (Visit(dt.date(2026, 9, 1), Found.FLOWING),)
LONG_AGO = (Visit(dt.date(2026, 4, 1), Found.FLOWING),)
DRY_SINCE = (*WET, Visit(dt.date(2027, 2, 1), Found.DRY))


@pytest.mark.parametrize(
    ("next_water", "to_km"),
    [
        ({"kind": "tap"}, 250.0),
        ({"kind": "bore"}, 250.0),
        ({"kind": "tank", "visits": WET}, 250.0),
        ({"kind": "tank", "visits": LONG_AGO}, 400.0),
        ({"kind": "tank", "visits": DRY_SINCE}, 400.0),
        ({"kind": "tank"}, 400.0),
        ({"kind": "well"}, 400.0),
        ({"kind": "spring"}, 400.0),
        ({"kind": "pool"}, 400.0),
        ({"kind": "cache", "laid_by_us": True, "laid_on": dt.date(2027, 4, 1)}, 400.0),
        ({"kind": None}, 400.0),
    ],
)
def test_past_a_dry_creek_only_sure_water_is_gone_on_to(next_water, to_km):
    """A creek dry at km 100 in May 2027: what may be dry too is passed over, to the tap at 400."""
    sources = [bore_at(100.0, kind="creek"), bore_at(250.0, **next_water)]
    plan = loaded(*sources, bore_at(400.0, kind="tap"), more={"depart": DEPART})

    assert dry_at(plan).go_on.to_km == pytest.approx(to_km)


@pytest.mark.parametrize(("limit_l", "to_km"), [(1.9, 400.0), (2.1, 250.0)])
def test_a_sure_tap_beside_a_pool_counts_with_its_own_water_alone(limit_l, to_km):
    """A creek dry: less than a litre a head in the tap is passed over, whatever the pool holds."""
    tap, pool = bore_at(250.0, kind="tap", limit_l=limit_l), bore_at(250.1, kind="pool")
    plan = loaded(bore_at(100.0, kind="creek"), tap, pool, bore_at(400.0, kind="tap"))

    assert dry_at(plan).go_on.to_km == pytest.approx(to_km)


def test_a_tank_is_not_sure_where_nobody_knows_the_date():
    """The same visit without a date of departure: unknown is worse."""
    tank = bore_at(250.0, kind="tank", visits=WET)
    plan = loaded(bore_at(100.0, kind="creek"), tank, bore_at(400.0))

    assert dry_at(plan).go_on.to_km == pytest.approx(400.0)


def test_past_a_dry_bore_any_water_of_the_plan_is_gone_on_to():
    """Rain does not fill a bore: the pool behind it is as sure as the plan took it to be."""
    plan = loaded(bore_at(100.0), bore_at(250.0, kind="pool"), bore_at(400.0))

    assert dry_at(plan).go_on.to_km == pytest.approx(250.0)


@pytest.mark.parametrize(
    ("known", "on_km", "back_km"),
    [(SURE, 220.0, 180.0), ({"certainty": Certainty.CERTAIN}, 220.0, 100.0), ({}, 220.0, 100.0)],
)
def test_water_passed_by_is_made_for_and_back_only_where_it_is_sure(known, on_km, back_km):
    """Calls at km 100, 200 and 400; the plan passes by bores at km 180 and 220."""
    prepared = prepared_trip(more=DATED)
    calls = [bore_at(100.0), bore_at(200.0), bore_at(400.0)]
    others = [bore_at(km, **known) for km in (180.0, 220.0)]
    plan = loaded_full(journey_past(prepared, calls), passes_at(prepared, [*calls, *others]))
    found = dry_at(plan, 1)

    assert found.worst.end.km == pytest.approx(400.0)
    assert found.go_on.to_km == pytest.approx(on_km)
    assert found.go_back.to_km == pytest.approx(back_km)


def test_the_proof_asks_for_the_way_past_a_closed_source():
    """Km 250 dry at 13 o'clock: on to km 300 1 h, 0.5 L, if open, else to km 400 13 waking hours.

    Back 15 waking hours. And 5 h to km 250, and the margin.
    """
    ahead = (bore_at(250.0), bore_at(300.0, open_to_hour=9.0), bore_at(400.0))
    closed = loaded(*ahead)
    opened = loaded(ahead[0], bore_at(300.0), ahead[2])
    asked = [
        proof_against_one_dry(plan, {"s250"}, can_hold_l=99.0).least_l[0]
        for plan in (closed, opened)
    ]

    assert asked == pytest.approx([18.0 * L_PER_H + MARGIN_L, 6.0 * L_PER_H + MARGIN_L])


def test_who_turns_round_does_not_count_on_a_door_that_is_shut_by_then():
    """8 L and a margin of 2 L are 16 waking hours. On leaving km 100 at 10: t h on, t h back.

    12 waking hours are left of the first day, so 4 in the second: 2 t = 6, and km 250 is reached.
    Open at 10 o'clock alone: shut on return, so to the start, two hours further: t = 2, km 200.
    """
    sources = (bore_at(100.0), bore_at(100.0, open_from_hour=9.75, open_to_hour=10.25))
    plans = [loaded(source, carried_l=[20.0, 10.0]) for source in sources]

    assert [turn_backs(plan)[1].km for plan in plans] == pytest.approx([250.0, 200.0], abs=0.02)


def test_chance_takes_nothing_from_a_source_that_the_plan_finds_closed():
    """The whole way takes 11 L: with 9 L never enough, on or back, and a closed tap adds none."""
    sources = (bore_at(250.0), bore_at(250.0, open_to_hour=9.0))
    shorts = [
        chance_of_short(
            loaded(source, carried_l=[9.0, 20.0]), {"s250": 1.0}, trials=50, seed=1,
            spread=NO_SPREAD,
        )
        for source in sources
    ]  # fmt: skip

    assert [(one.short, one.turn_back) for one in shorts] == [(0.0, 0.0), (1.0, 1.0)]


hours = st.one_of(st.none(), st.floats(0.0, 24.0))
wells = st.lists(
    st.tuples(
        st.integers(2, 599), hours, hours,
        st.one_of(st.none(), st.floats(0.1, 40.0)), st.one_of(st.none(), st.floats(0.05, 3.0)),
    ),
    min_size=1, max_size=6, unique_by=lambda well: well[0],
)  # fmt: skip


@drawn_proof(360)
@given(wells, st.data())
def test_hours_and_limits_never_help(places, data):
    """The same plan without them: no way is shorter, no verdict worse.

    Nobody waits for a door in either, so that the clock is the same; none lies off the route, where
    the start may be nearer than the water before it.
    """
    without = [bore_at(float(km)) for km, *_ in places]
    with_limits = [
        dataclasses.replace(
            source, open_from_hour=begin, open_to_hour=end, limit_l=limit_l, flow_l_per_min=flow
        )
        for source, (_, begin, end, limit_l, flow) in zip(without, places, strict=True)
    ]
    litres = st.lists(st.floats(0.0, 40.0), min_size=len(places) + 1, max_size=len(places) + 1)
    carried_l = data.draw(litres)
    uncertain = {source.id for source in without}
    easy = loaded(*without, carried_l=carried_l, pace=pace(fill_minutes=10.0))
    hard = dataclasses.replace(easy, journey=_with_waters_of(easy.journey, with_limits))

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


def _with_waters_of(journey, sources):
    """Return the same journey, clock and all, past other sources at the same places."""
    by_id = {source.id: source for source in sources}

    def other(end):
        if end.water is None:
            return end
        return dataclasses.replace(
            end,
            water=dataclasses.replace(end.water, source=by_id[end.water.source.id]),
            also=tuple(dataclasses.replace(one, source=by_id[one.source.id]) for one in end.also),
        )

    return dataclasses.replace(journey, ends=tuple(map(other, journey.ends)))
