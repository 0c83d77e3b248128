"""What carrying water counts as, in hours: worked by hand for one day's walk."""

from __future__ import annotations

import pytest
from make import pace, policy, straight_route, trip, use

import longdry
from longdry.computing.calls.trouble import carrying_h
from longdry.model.words import Travel
from longdry.reading.trip.trip_file import trip_from_text

TWO_WITH_EIGHT_LITRES = [use(litres=8.0)]


def carried(travel, **changes):
    """Go 24 km in 6 hours without water, and return the trouble of carrying it."""
    going = trip(
        uses=TWO_WITH_EIGHT_LITRES,
        pace=pace(travel=travel, speed_kmh=4.0),
        policy=policy(**changes),
    )
    plan = longdry.plan_trip(straight_route(24.0, 49), [], going)
    return carrying_h(plan.trip, plan.stretches[0])


@pytest.mark.parametrize(
    ("travel", "hours"), [(Travel.FOOT, 2.88), (Travel.BICYCLE, 0.72), (Travel.VEHICLE, 0.0)]
)
def test_half_the_need_goes_all_the_way(travel, hours):
    """Two who drink 1 L in each of 6 hours carry 12 L, 6 on the mean: 6 x 24 = 144 litre-km.

    50 litre-km are an hour on foot, 200 by bicycle (common practice, no source): 2.88 and 0.72 h.
    """
    assert carried(travel) == pytest.approx(hours, abs=0.001)


def test_the_reserve_is_carried_all_the_way():
    """A day of 16 L on top: (6 + 16) x 24 / 50 = 10.56 h."""
    assert carried(Travel.FOOT, reserve_days=1.0) == pytest.approx(10.56, abs=0.001)


def test_the_party_says_how_hard_carrying_is():
    """At 100 litre-km an hour it is half as much as at 50; a vehicle that says so is troubled too.

    By vehicle 16 L are drunk evenly over 16 waking hours: 6 L in 6 hours, 3 x 24 / 100 = 0.72 h.
    """
    assert carried(Travel.FOOT, litre_km_per_hour=100.0) == pytest.approx(1.44, abs=0.001)
    assert carried(Travel.VEHICLE, litre_km_per_hour=100.0) == pytest.approx(0.72, abs=0.001)


@pytest.mark.parametrize(
    ("travel", "told"),
    [("foot", "50 L times km"), ("bicycle", "200 L times km"), ("vehicle", None)],
)
def test_the_default_is_told_with_its_reason_where_it_has_a_part(travel, told):
    """On foot and by bicycle it is listed among the assumptions; by vehicle there is none."""
    made = trip_from_text(f'[pace]\ntravel = "{travel}"', origin="trip.toml")
    found = [one for one in made.defaults if one.key == "policy.litre_km_per_hour"]

    assert [one.value for one in found] == ([told] if told else [])
    assert all("no source" in one.why for one in found)


def test_it_is_written_under_policy():
    """The key is read as it is written, whatever the travel."""
    text = '[pace]\ntravel = "foot"\n[policy]\nlitre_km_per_hour = 80'

    assert trip_from_text(text, origin="trip.toml").policy.litre_km_per_hour == 80.0
