"""What carrying water and a dry call count as: worked by hand."""

from __future__ import annotations

import dataclasses
import itertools

import pytest
from make import pace, policy, source_at, straight_route, trip, use
from random_plans import Case
from sample_plans import SAMPLES, read_from

import longdry
from longdry.computing.calls.dry_lists import dry_lists
from longdry.computing.calls.neighbours import Worth, best_of
from longdry.computing.calls.trouble import carrying_h
from longdry.computing.needs.needs import day_l
from longdry.model.trip.party import Container
from longdry.model.words import Certainty, ContainerGrade, Travel
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


def test_which_plan_is_best_does_not_hang_on_their_order():
    """With a call dry 0.3, 0.9 and 1.4 L are missing: the least, 0.3 L, is the measure of them.

    A litre more than that is worse, and of the two others that of 0.9 L is less trouble.
    """
    missing_l, trouble_h = (0.3, 0.9, 1.4), (3.5, 3.4, 3.0)
    worths = [
        Worth((), (((-1, litres),),), 0, hours)
        for litres, hours in zip(missing_l, trouble_h, strict=True)
    ]

    for order in itertools.permutations(worths):
        assert order[best_of(order)] is worths[1]


def test_a_stop_that_took_longer_in_another_plan_hides_no_better_one():
    """Where Saltbush Loop passes by Galah Spring, no call is for less than a tenth of a day.

    With other calls the depot takes longer, which costs a day behind it: what a choice can be is
    looked at with the minutes of the plan that it is near, not with those.
    """
    route, water, its_trip = read_from(SAMPLES / "saltbush_loop")
    case = Case(route, water.sources, its_trip).with_policy(pass_by=("Galah Spring",))
    settled = case.settled()
    takes_l = [fill.take_l for fill in settled.filling.chosen.fills]

    assert min(takes_l) >= day_l(settled.journey.demand) / 10.0


def test_a_dry_call_is_made_good_by_water_passed_by():
    """Two who drink 12 L in 16 waking hours, with cans of 26 L, go 120 km a day from 8 to 14.

    They are at km 100 at 13, and leave it at 13:15. With that water dry, km 340 (day 3, 13:15) is
    14 + 16 + 7.25 waking hours from the start, less the stop: 27.75 L, too many by 1.75. Km 220,
    passed by, is 21 on (day 2, 13:15): 15.75 L, and from there it is 16 more: 12 L. With the water
    at km 340 dry, the end 10 km on is 32 and a half from km 100: 24.4 L.
    """
    settled = _three_waters().settled()
    lists = dry_lists(settled.journey, settled.stretches, settled.passes)
    ((without,),) = dry_lists(settled.journey, settled.stretches, ())

    assert [end.km for end in settled.journey.ends] == pytest.approx([0, 100, 340, 350], abs=0.1)
    assert lists == ()
    assert without[1] == pytest.approx(1.75, abs=0.1)


def _three_waters():
    going = trip(
        people=2,
        uses=[use("drinking", 6.0)],
        containers=[Container("can", 1, 26.0, 0.0, ContainerGrade.POTABLE)],
        pace=pace(travel=Travel.VEHICLE, speed_kmh=20.0, hours_per_day=6.0, start_hour=8.0),
        policy=policy(reserve_days=0.0, call_at=("w100", "w340"), pass_by=("w220",)),
    )
    waters = [
        dataclasses.replace(source_at(km, id=f"w{km:g}"), certainty=Certainty.LIKELY)
        for km in (100.0, 220.0, 340.0)
    ]
    return Case(straight_route(350.0, 36), tuple(waters), going)
