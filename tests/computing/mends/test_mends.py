"""What would turn a verdict, each kind by hand; all cases are invented."""

from __future__ import annotations

import dataclasses
import datetime as dt

import pytest
from make import container, pace, policy, source_at, straight_route, trip, use
from mending import Case, carried_out, mended, mended_case, planned, worst

from longdry.computing.mends import trials
from longdry.model.plan.mends import MendKind
from longdry.model.trip.heat import Effort, HeatExpectation, HeatOutlook, PersonInHeat, TripHeat
from longdry.model.trip.party import Party, Vehicle
from longdry.model.trip.trip import PinnedCamp
from longdry.model.words import Accrual, Certainty, CountOn, Grade, Ration, Travel, Verdict

ROUTE = straight_route(600.0, points=7)
SHORTER = straight_route(550.0, points=7)
BY_KM_60_L = 10.0
"""Litres per 100 km that make 60 L of 600 km."""
AT_START_40_L = policy(start_on_board_l=40.0)


def by_km(litres=BY_KM_60_L, kept=Ration.BARE, name="drinking"):
    return use(name, litres, per=Accrual.PARTY_100KM, kept=kept)


def tight(litres, **changes):
    """60 L over 600 km, and one container."""
    return trip(uses=[by_km()], containers=[container(litres, 1)], **changes)


def full_up(litres, **changes):
    """One container, and a vehicle that carries no other."""
    can = dataclasses.replace(container(litres, 1), vehicle="car")
    made = trip(containers=[can], **changes)
    return dataclasses.replace(made, vehicles=(Vehicle("car", litres),))


def test_a_clear_trip_has_no_mends():
    """Where nothing is wrong, nothing is proposed and nothing planned again."""
    made = mended(source_at(300.0), route=ROUTE, trip=trip())

    assert (made.found, made.not_searched, made.trials) == ((), (), 0)


def test_a_trip_without_containers_has_no_mends():
    """Without containers no change could be checked, so none is told."""
    assert mended(route=ROUTE, trip=trip(containers=[])).found == ()


def test_a_night_at_the_water_instead_of_a_dry_one():
    """A well at km 250 of 550, 300 km a day from 8 o'clock; 8 L a day are drunk in 16 waking hours.

    Going on at 13 o'clock, the end is reached at 13 o'clock of the next day: 9 and 7 waking hours,
    8 L. After a night at the well it is reached at 14 o'clock: 6 waking hours, 3 L of the 5 L.
    """
    small = trip(containers=[container(5.0, 1)])
    made = mended(source_at(250.0), route=SHORTER, trip=small)
    (mend,) = made.of(MendKind.CAMP)

    assert (mend.stretch, mend.verdict_after) == (2, Verdict.CLEAR)
    assert mend.figures.at_km == pytest.approx(250.0, abs=0.01)
    assert mend.figures.extra_l == pytest.approx(-5.0, abs=0.01)
    assert mend.figures.extra_days == pytest.approx(1.0 / 24.0, abs=0.001)
    assert "It costs 1.0 hours more." in mend.change
    assert "land manager" in mend.caution


def test_the_day_of_rest_moves_to_the_water():
    """A dry camp at km 300 with a day of rest asks for two days, 16 L; rest at the well for 3 L."""
    small = trip(containers=[container(5.0, 1)], camps=[PinnedCamp(km=300.0, rest_days=1)])
    made = mended(source_at(250.0), route=SHORTER, trip=small)
    (mend,) = made.of(MendKind.CAMP)

    assert made.settled.stretches[1].need.total_l == pytest.approx(16.0, abs=0.01)
    assert mend.verdict_after is Verdict.CLEAR
    assert "s250 (km 250.0), the day of rest too, instead of at km 300.0." in mend.change
    again, _ = planned(carried_out(mend, made.case, made.settled))
    assert again.stretches[1].need.total_l == pytest.approx(3.0, abs=0.01)


def test_waiting_for_a_door_longer_than_the_trip_would():
    """A tap at km 200 is reached at 12 o'clock and opens at 16: four hours, two are the usual."""
    tap = dataclasses.replace(source_at(200.0), open_from_hour=16.0, open_to_hour=18.0)
    made = mended(tap, route=ROUTE, trip=tight(45.0))
    (mend,) = made.of(MendKind.DOOR)

    assert "Wait at s200 (km 200.0) until it opens at 16:00: longest_wait_h = 5." in mend.change
    assert mend.verdict_after is Verdict.CLEAR
    again, _ = planned(carried_out(mend, made.case, made.settled))
    assert again.journey.itinerary.stays[0].wait_h == pytest.approx(4.0, abs=0.01)
    assert "Locked means dry" in mend.caution


def test_the_ration_and_what_each_use_saves():
    """600 km at 10 L and 5 L per 100 km: 90 L; 60 L do for the 60 L without showers."""
    uses = [by_km(), by_km(5.0, Ration.FULL, "shower")]
    made = mended(route=ROUTE, trip=trip(uses=uses, containers=[container(60.0, 1)]))
    (mend,) = made.of(MendKind.RATION)

    assert (mend.verdict_before, mend.verdict_after) == (Verdict.SHORT_RATION, Verdict.CLEAR)
    assert [(s.use, pytest.approx(s.litres)) for s in mend.figures.saved] == [("shower", 30.0)]
    assert "medical advice" in mend.caution


def test_no_ration_gives_up_drinking_or_what_is_always_carried():
    """Drinking that a trip keeps on the full ration only is no way to save water."""
    uses = [
        by_km(10.0, Ration.FULL),
        by_km(1.0, Ration.BARE, "cooking"),
        use("engine", 5.0, per=Accrual.ALWAYS, kept=Ration.FULL),
    ]
    made = mended(route=ROUTE, trip=trip(uses=uses, containers=[container(20.0, 1)]))

    assert made.settled.stretches[0].verdict is not Verdict.CLEAR
    assert made.of(MendKind.RATION) == []


def test_one_container_more_and_what_it_weighs():
    """60 L against 40 L: one more can of 20 L; 20 kg of water and a tare of 1.5 kg."""
    can = dataclasses.replace(container(20.0, 2), tare_kg=1.5)
    made = mended(route=ROUTE, trip=trip(uses=[by_km()], containers=[can]))
    (mend,) = made.of(MendKind.CONTAINERS)

    assert (mend.figures.count, mend.figures.litres) == (1, 20.0)
    assert mend.figures.kg == pytest.approx(21.5)
    assert "No payload is given" in mend.change


def test_one_container_of_two_lessens_what_is_missing_and_is_not_enough():
    """60 L against 20 L: one can more leaves 20 of 40 L missing, the way too long; do not go."""
    made = mended(route=ROUTE, trip=trip(uses=[by_km()], containers=[container(20.0, 1)]))
    (mend,) = made.of(MendKind.CONTAINERS)

    assert mend.verdict_before is mend.verdict_after is mend.trip_after is Verdict.TOO_LONG
    assert (mend.missing_before_l, mend.missing_after_l) == pytest.approx((40.0, 20.0), abs=0.01)
    assert made.found[-1].what is MendKind.DO_NOT_GO


def test_what_takes_off_less_than_a_tenth_is_no_mend():
    """One can of 2 L more for 40 L missing is told to nobody."""
    made = mended(route=ROUTE, trip=trip(uses=[by_km()], containers=[container(2.0, 10)]))

    assert [mend.what for mend in made.found] == [MendKind.DO_NOT_GO]


@pytest.mark.parametrize(
    ("travel", "payload_kg", "helps"),
    [
        (Travel.VEHICLE, None, True),
        (Travel.VEHICLE, 66.0, True),
        (Travel.VEHICLE, 64.0, False),
        (Travel.FOOT, None, False),
        (Travel.FOOT, 66.0, True),
        (Travel.FOOT, 64.0, False),
        (Travel.BICYCLE, None, False),
        (Travel.BICYCLE, 66.0, True),
    ],
)
def test_nobody_is_asked_to_carry_more_than_the_trip_allows(travel, payload_kg, helps):
    """Three cans of 20 L and 1.5 kg weigh 64.5 kg: who walks or rides must have said so much.

    55.2 L are asked for: no can is proposed that could be filled in part only.
    """
    can = dataclasses.replace(container(20.0, 2), tare_kg=1.5, vehicle="load")
    loaded = dataclasses.replace(
        trip(uses=[by_km(9.2)], containers=[can], pace=pace(travel=travel)),
        vehicles=(Vehicle("load", payload_kg),) if payload_kg else (),
    )
    made = mended(route=ROUTE, trip=loaded)

    assert bool(made.of(MendKind.CONTAINERS)) is helps


@pytest.mark.parametrize(
    ("source", "fact", "known", "treats"),
    [
        (source_at(300.0, grade=None), "no grade is given", {"grade": Grade.POTABLE}, False),
        (
            dataclasses.replace(source_at(300.0), certainty=Certainty.DOUBTFUL),
            "that there is water in it",
            {"certainty": Certainty.CERTAIN},
            False,
        ),
        (source_at(300.0, grade=Grade.TREAT), "a way of treating", {}, True),
    ],
)
def test_which_fact_would_make_a_source_count(source, fact, known, treats):
    """Grade, certainty or a way of treating: the mend names it, and a fresh plan with it agrees."""
    small = tight(35.0)
    cleanable = dataclasses.replace(small.containers[0], cleanable=True)
    small = dataclasses.replace(small, containers=(cleanable,))
    (mend,) = mended(source, route=ROUTE, trip=small).of(MendKind.CONFIRMED)
    confirmed = dataclasses.replace(source, **known)
    party = dataclasses.replace(small, party=Party(people=2, can_treat=treats))

    assert fact in mend.change
    assert worst(planned(Case(ROUTE, (confirmed,), party))[0]) is mend.verdict_after
    assert "does not count" in mend.caution
    assert "Ask the land manager" in mend.caution


@pytest.mark.parametrize(
    "hopeless",
    [
        source_at(300.0, grade=Grade.NOT_FOR_DRINKING),
        dataclasses.replace(source_at(300.0, grade=None), retired="filled in"),
        dataclasses.replace(source_at(300.0, grade=None), limit_l=0.0),
    ],
)
def test_what_no_fact_can_mend_is_not_asked_about(hopeless):
    """Water not for drinking, a retired source and one that gives nothing are never a mend."""
    assert mended(hopeless, route=ROUTE, trip=tight(35.0)).of(MendKind.CONFIRMED) == []


def test_a_source_beyond_the_detour():
    """A bore 10 km off at km 300: 13 km each way. Parts of 313 km ask for 31.3 L; 35 L do."""
    bore = source_at(300.0, offset_km=10.0)
    made = mended(bore, route=ROUTE, trip=tight(35.0))
    (mend,) = made.of(MendKind.DETOUR)

    assert mend.verdict_after is Verdict.CLEAR
    assert mend.figures.at_km == pytest.approx(300.0, abs=0.1)
    assert mend.figures.extra_km == pytest.approx(26.0, abs=0.01)
    assert mend.figures.extra_l == pytest.approx(2.6, abs=0.01)
    assert "26.0 km and 2.6 moving hours there and back" in mend.change
    assert "have you the fuel?" in mend.change
    assert "land manager" in mend.caution


def test_who_walks_is_not_asked_for_fuel():
    """On foot a detour costs km and hours, no fuel."""
    walked = dataclasses.replace(tight(35.0), pace=pace(travel=Travel.FOOT))
    bore = source_at(300.0, offset_km=10.0)
    (mend,) = mended(bore, route=ROUTE, trip=walked).of(MendKind.DETOUR)

    assert "fuel" not in mend.change + mend.caution


def test_a_detour_that_costs_more_than_it_saves_is_not_told():
    """A bore 24 km off at km 40 takes 31.2 km each way: 560 km and these ask for 59.1 L, not 60 L.

    At km 300 it adds 31.2 km to each half: 331.2 km ask for 33.1 L, and of 32 L 1.1 L are missing.
    """
    (mend,) = mended(source_at(300.0, offset_km=24.0), route=ROUTE, trip=tight(32.0)).of(
        MendKind.DETOUR
    )

    assert (mend.verdict_after, mend.missing_after_l) == (
        Verdict.TOO_LONG, pytest.approx(1.12, abs=0.01),
    )  # fmt: skip
    near = source_at(40.0, offset_km=24.0)
    assert mended(near, route=ROUTE, trip=tight(32.0)).of(MendKind.DETOUR) == []


def test_a_detour_tells_how_certain_its_source_is():
    """The caution of a detour names the certainty of the source that it goes to."""
    bore = dataclasses.replace(source_at(300.0, offset_km=10.0), certainty=Certainty.LIKELY)

    assert "likely" in mended(bore, route=ROUTE, trip=tight(35.0)).of(MendKind.DETOUR)[0].caution


def test_where_a_cache_goes_and_what_laying_it_costs():
    """600 km ask for 60 L; 45 L leave 15 L to lay, at km 150 at the earliest.

    From there 450 km ask for 45 L. Out and back are 300 km in 6 hours: 30 L are used up, and the
    other 15 L of the 45 L are laid in one journey.
    """
    made = mended(route=ROUTE, trip=tight(45.0))
    (mend,) = made.of(MendKind.CACHE)

    assert mend.verdict_after is Verdict.CLEAR
    assert mend.figures.litres == pytest.approx(15.0, abs=1.0)
    assert mend.figures.at_km == pytest.approx(150.0, abs=0.11)
    assert mend.figures.extra_km == pytest.approx(300.0, abs=0.3)
    assert mend.figures.extra_l == pytest.approx(30.0, abs=0.1)
    assert "one journey, together 300.0 km and 6.0 hours" in mend.change
    assert "Not seen again means not there" in mend.caution
    assert "Ask the land manager first" in mend.caution


@pytest.mark.parametrize(("litres", "is_told"), [(44.0, True), (41.0, False)])
def test_a_cache_takes_at_most_three_journeys(litres, is_told):
    """With 44 L it lies at km 160: 32 L out and back, 12 L laid each time, 16 L in two journeys.

    With 41 L it lies at km 190: 38 L out and back, 3 L laid each time, 19 L in seven.
    """
    made = mended(route=ROUTE, trip=tight(litres, pace=pace(speed_kmh=150.0, hours_per_day=10.0)))

    assert bool(made.of(MendKind.CACHE)) is is_told
    assert all("2 journeys" in mend.change for mend in made.of(MendKind.CACHE))


@pytest.mark.parametrize(("speed_kmh", "is_told"), [(25.0, True), (20.0, False)])
def test_a_cache_takes_at_most_two_days(speed_kmh, is_told):
    """300 km out and back at 6 hours a day: 12 hours end within 30, 15 hours only after 48."""
    made = mended(route=ROUTE, trip=tight(45.0, pace=pace(speed_kmh=speed_kmh)))

    assert bool(made.of(MendKind.CACHE)) is is_told


def test_a_vehicle_lays_a_cache_from_the_water_ahead():
    """40 L at the start, and 42 L asked for to the well at km 420: a cache 25 km back from it."""
    made = mended(source_at(420.0), route=ROUTE, trip=tight(40.0, policy=AT_START_40_L))
    (mend,) = made.of(MendKind.CACHE, stretch=1)

    assert "at km 395.0, from s420 (km 420.0) out and back" in mend.change
    assert mend.figures.extra_l == pytest.approx(5.0, abs=0.1)


def test_who_walks_lays_no_cache_from_the_water_ahead():
    """On foot the well at km 420 is reached over the stretch alone."""
    walked = tight(40.0, pace=pace(travel=Travel.FOOT), policy=AT_START_40_L)

    assert mended(source_at(420.0), route=ROUTE, trip=walked).of(MendKind.CACHE, stretch=1) == []


def test_no_cache_where_only_certain_water_counts():
    """A cache is never better than likely."""
    made = mended(route=ROUTE, trip=tight(45.0), count_on=CountOn.CERTAIN)

    assert made.of(MendKind.CACHE) == []


def test_another_month_in_which_a_source_holds():
    """A bore that holds in July only: a trip of May is told to leave in July, two months later."""
    bore = dataclasses.replace(source_at(300.0), kind="bore", months=frozenset({7}))
    dated = dataclasses.replace(tight(35.0), depart=dt.datetime(2027, 5, 3, 8))
    made = mended(bore, route=ROUTE, trip=dated)
    (mend,) = made.of(MendKind.MONTH)

    assert "Leave on 2027-07-03, in July, and not in May." in mend.change
    assert mend.verdict_after is Verdict.CLEAR
    assert "closures" in mend.caution


def test_a_trip_without_a_date_has_no_other_month():
    """Nobody can go later than on no day."""
    bore = dataclasses.replace(source_at(300.0), kind="bore", months=frozenset({7}))

    assert mended(bore, route=ROUTE, trip=tight(35.0)).of(MendKind.MONTH) == []


def test_the_other_way_round_helps_a_start_that_is_not_full():
    """10 L at the start do for 100 km, not for 500 km: begin at the end near the well."""
    dry_start = tight(55.0, policy=policy(start_on_board_l=10.0))
    made = mended(source_at(500.0), route=ROUTE, trip=dry_start)
    (mend,) = made.of(MendKind.OTHER_WAY)
    turned, _ = planned(carried_out(mend, made.case, made.settled))

    assert mend.verdict_after is turned.stretches[-1].verdict is Verdict.CLEAR
    assert mend.trip_after is worst(turned)


def test_nobody_is_sent_round_in_circles():
    """9 L at the start: 41 L missing to the well at km 500, the other way round 1 L to km 100.

    The first plan offers the second, which says with what it leaves; the second offers no first.
    """
    dry_start = tight(55.0, policy=policy(start_on_board_l=9.0))
    there = mended(source_at(500.0), route=ROUTE, trip=dry_start)
    (mend,) = there.of(MendKind.OTHER_WAY)
    back = mended_case(carried_out(mend, there.case, there.settled))

    assert (mend.missing_before_l, mend.trip_after) == (pytest.approx(41.0), Verdict.TOO_LONG)
    assert "from the other end with the 9 L that the trip has at its start" in mend.caution
    assert worst(back.settled) is mend.trip_after
    assert back.of(MendKind.OTHER_WAY) == []


def test_the_hours_that_do_it():
    """8 L a day over 16 waking hours; the first day wakes at 6 and moves from 8.

    9 hours a day: 14 hours awake on the first day and 5 on the second, 19/16 of 8 L are 9.5 L.
    8.5 hours a day end half an hour later: 9.75 L. 9.6 L do for the one and not for the other.
    """
    made = mended(route=ROUTE, trip=trip(containers=[container(9.6, 1)]))
    (mend,) = made.of(MendKind.HOURS)

    assert "Move 9 hours a day instead of 6" in mend.change
    assert mend.figures.km_per_day == pytest.approx(450.0)
    assert mend.verdict_after is Verdict.CLEAR


def test_nobody_moves_more_than_ten_hours():
    """10 hours a day ask for 18/16 of 8 L, 9 L: with 8.9 L no hours of a day are enough."""
    by_night = pace(after_dark=True)

    (short,) = mended(route=ROUTE, trip=full_up(8.9, pace=by_night)).of(MendKind.HOURS)
    (enough,) = mended(route=ROUTE, trip=full_up(9.1, pace=by_night)).of(MendKind.HOURS)

    assert (short.verdict_after, enough.verdict_after) == (Verdict.TOO_LONG, Verdict.CLEAR)
    assert "Move 10 hours a day" in enough.change


def test_the_pace_that_does_it_and_none_above_fifteen_percent():
    """At 55 km/h 330 km lie behind on the first day and 4.9 hours ahead: 20.9/16 of 8 L, 10.45 L.

    At 57.5 km/h it is 10.2 L: with 10.5 L 10 % are told, with 10 L nothing.
    """
    (mend,) = mended(route=ROUTE, trip=full_up(10.5)).of(MendKind.PACE)

    assert "Travel 10 % faster" in mend.change
    assert "Faster is not safer" in mend.caution
    assert mended(route=ROUTE, trip=full_up(10.0)).of(MendKind.PACE) == []


def test_in_the_heat_longer_hours_are_paid_for_in_sweat():
    """The hours that are told are confirmed by a plan that works the heat out anew."""
    heat = TripHeat(HeatOutlook(HeatExpectation(40.0)), PersonInHeat(Effort(1.5)))
    needed, _ = planned(Case(ROUTE, (), dataclasses.replace(full_up(99.0), heat=heat)))
    short_l = needed.stretches[0].need.total_l - 0.5
    made = mended(route=ROUTE, trip=dataclasses.replace(full_up(short_l), heat=heat))
    told = made.of(MendKind.HOURS) + made.of(MendKind.PACE)

    assert made.settled.stretches[0].verdict is not Verdict.CLEAR
    assert told
    for mend in told:
        again, _ = planned(carried_out(mend, made.case, made.settled))
        assert worst(again) is mend.verdict_after


def test_where_nothing_helps_nobody_goes():
    """One litre for 600 km at 1,000 L per 100 km: no single change betters that."""
    small = trip(uses=[by_km(1000.0)], containers=[container(1.0, 1)])
    (mend,) = mended(route=ROUTE, trip=small).found

    assert mend.what is MendKind.DO_NOT_GO
    assert mend.verdict_after is mend.verdict_before is mend.trip_after is Verdict.TOO_LONG
    assert "Do not go" in mend.change


def test_a_broken_reserve_that_nothing_mends_stops_nobody():
    """Into reserve is no reason not to go: where nothing betters it, nothing is told."""
    keeps = policy(reserve_days=8.0, reserve_ration=Ration.FULL)
    made = mended(route=ROUTE, trip=dataclasses.replace(full_up(12.0), policy=keeps))

    assert made.settled.stretches[0].verdict is Verdict.INTO_RESERVE
    assert (made.found, made.not_searched) == ((), ())


def test_the_worst_stretch_comes_first_with_three_mends_at_most():
    """Mends stand by stretch, the worst first, and those of one stretch from the easiest on."""
    uses = [by_km(), by_km(2.0, Ration.FULL, "shower")]
    small = trip(uses=uses, containers=[container(5.0, 6)])
    made = mended(source_at(210.0), source_at(480.0), route=ROUTE, trip=small)
    stretches = [mend.stretch for mend in made.found]
    kinds = list(MendKind)

    assert stretches == sorted(stretches, key=stretches.index)
    assert stretches[0] == 2
    for number in set(stretches):
        mine = [mend for mend in made.found if mend.stretch == number]
        assert len(mine) <= 3
        assert [mend.what for mend in mine] == sorted((mend.what for mend in mine), key=kinds.index)


def test_only_the_worst_five_are_searched_and_the_others_are_named():
    """Seven stretches of 80 km to 105 km with 2 L each: five are searched, two are told."""
    wells = [source_at(km) for km in (80.0, 161.0, 243.0, 326.0, 410.0, 495.0)]
    made = mended(*wells, route=ROUTE, trip=trip(uses=[by_km()], containers=[container(2.0, 1)]))

    assert made.not_searched == (1, 2)
    assert {mend.stretch for mend in made.found} <= {3, 4, 5, 6, 7}


def test_what_the_trial_plans_did_not_reach_is_named(monkeypatch):
    """A stretch that is not tried in full is named, and it is said that nobody goes for now."""
    monkeypatch.setattr(trials, "MOST_PLANS_AGAIN", 0)
    made = mended(route=ROUTE, trip=tight(45.0))
    (mend,) = made.found

    assert (mend.what, made.not_searched, made.trials) == (MendKind.DO_NOT_GO, (1,), 0)
    assert "Not every change was tried." in mend.change


def test_no_more_than_three_mends_are_told_though_more_would_do():
    """12.25 L are asked for: ration, can, cache and hours would all do for what lacks."""
    uses = [use(), use("shower", 1.0, per=Accrual.PARTY_DAY, kept=Ration.FULL)]
    made = mended(route=ROUTE, trip=trip(uses=uses, containers=[container(11.8, 1)]))

    assert [mend.what for mend in made.found] == [
        MendKind.RATION,
        MendKind.CONTAINERS,
        MendKind.CACHE,
    ]


def test_no_mend_makes_another_stretch_the_worst():
    """10 L at the start break the reserve on the 90 km to the well; all else is clear.

    From the other end those 90 km would be clear, and 10 L all there is for the first 510 km.
    """
    keeps = policy(start_on_board_l=10.0, reserve_days=0.5)
    tanks = trip(uses=[by_km(), use("cooking", 1.0)], containers=[container(60.0, 1)], policy=keeps)
    made = mended(source_at(90.0), route=ROUTE, trip=tanks)

    assert [one.verdict for one in made.settled.stretches] == [Verdict.INTO_RESERVE, Verdict.CLEAR]
    assert made.of(MendKind.OTHER_WAY) == []
