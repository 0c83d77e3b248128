"""Check litres against sums done by hand in the docstrings."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from make import policy, trip, use

from longdry.computing.needs.needs import HeatDemand, WaterDemand, no_heat
from longdry.model.arrays import frozen_floats
from longdry.model.plan.stretch import Span
from longdry.model.trip.party import Animal
from longdry.model.words import Accrual, Grade, Ration

DAY_AND_A_QUARTER = Span(0.0, 30.0, 1)
CAMEL = Animal("camels", count=3, litres_per_day=20.0, grade=Grade.NOT_FOR_DRINKING)


def needs_on_rations(its_trip, span, length_km, heat, **how):
    return WaterDemand(its_trip, heat).needs(span, length_km, **how)


def full_need(its_trip, span=DAY_AND_A_QUARTER, length_km=600.0, **how):
    return needs_on_rations(its_trip, span, length_km, no_heat(), **how)[0].need


@pytest.mark.parametrize(
    ("per", "litres"),
    [
        (Accrual.PERSON_DAY, 10.0),
        (Accrual.PARTY_DAY, 5.0),
        (Accrual.PERSON_NIGHT, 8.0),
        (Accrual.PARTY_NIGHT, 4.0),
        (Accrual.PARTY_100KM, 24.0),
    ],
)
def test_uses_accrue(per, litres):
    """4 L for two people, 1.25 days, 1 night, 600 km: 4x2x1.25, 4x1.25, 4x2x1, 4x1, 4x6."""
    assert full_need(trip(uses=[use(per=per)])).total_l == pytest.approx(litres)


def test_animals_drink_at_their_own_rate():
    """Three animals at 20 L a day over 1.25 days: 75 L, none of it potable."""
    import dataclasses  # noqa: PLC0415 - one test only

    need = full_need(dataclasses.replace(trip(uses=[]), animals=(CAMEL,)))

    assert (need.total_l, need.potable_l, need.any_l) == (75.0, 0.0, 75.0)


def test_losses_come_on_top():
    """10 % of losses on 10 L: 11 L."""
    need = full_need(trip(policy=policy(loss_percent=10.0)))

    assert need.total_l == pytest.approx(11.0)
    assert need.potable_l == pytest.approx(11.0)


def test_rations_give_up_uses():
    """Shower on full, cooking down to lean, drinking down to bare: 14.0, 12.5 and 10 L."""
    uses = [
        use("drinking", 4.0),
        use("cooking", 1.0, kept=Ration.LEAN),
        use("shower", 1.5, per=Accrual.PARTY_NIGHT, kept=Ration.FULL),
    ]
    needs = needs_on_rations(trip(uses=uses), DAY_AND_A_QUARTER, 600.0, no_heat())

    assert [n.need.total_l for n in needs] == pytest.approx([14.0, 12.5, 10.0])


def test_days_after_the_end_are_days_and_nights():
    """One more day: 4 L x 2 x 2.25 days."""
    assert full_need(trip(), extra_days=1.0).total_l == pytest.approx(18.0)


def test_reserve_is_whole_days_with_nights_on_its_ration():
    """Two days on the bare ration: drinking alone, 2 x 8 L; on the full one 2 x (8 + 5)."""
    uses = [use(), use("shower", 5.0, per=Accrual.PARTY_NIGHT, kept=Ration.FULL)]
    bare = trip(uses=uses, policy=policy(reserve_days=2.0, reserve_ration=Ration.BARE))
    full = trip(uses=uses, policy=policy(reserve_days=2.0))

    assert WaterDemand(bare, no_heat()).reserve(DAY_AND_A_QUARTER).total_l == pytest.approx(16.0)
    assert WaterDemand(full, no_heat()).reserve(DAY_AND_A_QUARTER).total_l == pytest.approx(26.0)


def heat_of(*litres_a_day, midnight_h=-8.0):
    days = frozen_floats(litres_a_day)
    return HeatDemand(midnight_h=midnight_h, moving_l=days, resting_l=days)


def test_drinking_is_never_lower_than_the_heat_asks():
    """Departure at 8:00; 16 h of a 24 L day and 14 h of a 36 L day: 16 + 21 = 37 L."""
    need = needs_on_rations(trip(), DAY_AND_A_QUARTER, 600.0, heat_of(24.0, 36.0))[0].need

    assert need.total_l == pytest.approx(37.0)


def test_own_rate_holds_where_it_is_higher():
    """The party drinks 8 L a day, the heat asks for 2: 10 L over 1.25 days."""
    need = needs_on_rations(trip(), DAY_AND_A_QUARTER, 600.0, heat_of(2.0))[0].need

    assert need.total_l == pytest.approx(10.0)


def test_on_each_day_the_larger_counts():
    """16 h of a day of 24 L and 14 h of a day of 2 L, own rate 8 L: 16 + 8 x 14 / 24 L."""
    need = needs_on_rations(trip(), DAY_AND_A_QUARTER, 600.0, heat_of(24.0, 2.0))[0].need

    assert need.total_l == pytest.approx(16.0 + 8.0 * 14.0 / 24.0)


def test_heat_asks_for_water_where_no_drinking_was_named():
    """A party that names no drinking use still drinks what the heat asks for."""
    need = needs_on_rations(trip(uses=[]), DAY_AND_A_QUARTER, 600.0, heat_of(24.0))[2].need

    assert need.total_l == pytest.approx(30.0)
    assert need.potable_l == pytest.approx(30.0)


@given(st.integers(1, 20), st.floats(0.0, 500.0), st.integers(0, 20), st.floats(0.0, 2000.0))
def test_more_people_never_need_less(people, hours, nights, length_km):
    """One person more never lowers the need on any ration."""
    uses = [use(f"u{per}", 3.0, per=per) for per in Accrual]
    span = Span(0.0, hours, nights)
    fewer = needs_on_rations(trip(people=people, uses=uses), span, length_km, no_heat())
    more = needs_on_rations(trip(people=people + 1, uses=uses), span, length_km, no_heat())

    assert all(a.need.total_l <= b.need.total_l for a, b in zip(fewer, more, strict=True))
