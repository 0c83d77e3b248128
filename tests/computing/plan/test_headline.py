"""Every point of the headline, each by an odd trip of its own. Invented: not for navigation.

The trip that lasts: 600 km, a tap at km 300 that the user calls certain, two people at 4 L a day
each, 100 L of cans, mild days, and a telephone.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import random

import pytest
from how_many import is_whole, proof, seeds
from loaded import SURE
from make import container, pace, policy, source_at, straight_route, trip, use
from random_plans import Case

from longdry.computing.plan.headline import headline_of
from longdry.computing.plan.planning import plan_trip
from longdry.computing.setbacks.setbacks import Inquiry, KnownWater, setbacks_of_plan
from longdry.model.assumption import Assumption
from longdry.model.plan.headline import HeadlineLevel
from longdry.model.plan.mends import MendKind
from longdry.model.trip.heat import Effort, HeatExpectation, HeatOutlook, PersonInHeat, TripHeat
from longdry.model.trip.trip import Contact, PinnedCamp
from longdry.model.words import Accrual, Certainty, CountOn, FillHabit, Ration, Travel, Verdict
from longdry.showing.terminal.plan import plan_text
from longdry.showing.words.mends import mend_lines

NOT_SAFE, ONLY_IF = HeadlineLevel.NOT_SAFE, HeadlineLevel.ONLY_IF
PHONE = Contact(call="satellite telephone")


def sure(km, certainty=Certainty.CERTAIN, **more):
    """A source, certain by the user's own word where nothing else is said."""
    return dataclasses.replace(source_at(km, **more), certainty=certainty)


def in_shade_of(shade_max_c, travel=Travel.VEHICLE):
    person = PersonInHeat(Effort.usual(travel), acclimatised=True)
    return TripHeat(HeatOutlook(HeatExpectation(shade_max_c)), person)


def lasting(**changes):
    """The trip that lasts, with some of it changed."""
    more = {
        "depart": dt.datetime(2027, 5, 3, 8),
        "heat": in_shade_of(20.0),
        "contact": PHONE,
    }
    parts = {"policy": careful()}
    for name, value in changes.items():
        (parts if name in {"policy", "pace", "uses", "containers"} else more)[name] = value
    return dataclasses.replace(trip(**parts), **more)


def careful(**changes):
    return policy(**{"fill": FillHabit.TOP_UP, "reserve_days": 1.0, "help_days": 1.0} | changes)


def planned(*sources, km=600.0, count_on=CountOn.LIKELY, trials=1000, **changes):
    wells = sources or (sure(300.0),)
    inquiry = Inquiry(trials=trials)
    return plan_trip(
        straight_route(km), wells, lasting(**changes), count_on=count_on, inquiry=inquiry
    )


def guessed(key):
    return {"defaults": (Assumption("a", "b", "c", key),)}


WALKING = {
    "pace": pace(travel=Travel.FOOT, speed_kmh=4.0, off_route_kmh=4.0),
    "heat": in_shade_of(18.0, Travel.FOOT),
}
POINTS = {
    "no containers": (NOT_SAFE, "No containers are given", {"containers": []}),
    "people of nobody": (NOT_SAFE, "how many people go", guessed("party.people")),
    "uses of nobody": (NOT_SAFE, "what water goes on", guessed("use")),
    "too long": (NOT_SAFE, "Too long without water", {"containers": [container(2.0, 1)]}),
    "short ration": (
        NOT_SAFE,
        "Enough only on a short ration",
        {"uses": [use(), use("wash", 400.0, per=Accrual.PARTY_DAY, kept=Ration.FULL)]},
    ),
    "arriving with less than a bare day": (
        NOT_SAFE,
        "less than one day for all",
        {"policy": careful(fill=FillHabit.LEAST, reserve_days=0.5)},
    ),
    "no call and help too far": (
        NOT_SAFE,
        "no means of calling",
        {"contact": Contact(), "policy": careful(help_days=30.0)},
    ),
    "heat beyond limits": (NOT_SAFE, "Do not move by day", {"heat": in_shade_of(49.0)}),
    "reserve touched": (
        ONLY_IF,
        "The reserve is touched",
        {"containers": [container(15.0, 1)], "policy": careful(reserve_days=2.0)},
    ),
    "help too far": (ONLY_IF, "help may take 30 days", {"policy": careful(help_days=30.0)}),
    "help of nobody": (ONLY_IF, "Nobody knows when help", {"policy": careful(help_days=None)}),
    "no heat": (ONLY_IF, "No heat is given", {"heat": None}),
    "no date": (ONLY_IF, "No date is given", {"depart": None}),
    "too few trials": (ONLY_IF, "short is not known", {"trials": 299}),
}


def test_the_trip_that_lasts():
    """None of the points holds, so that each of the trips below shows its own."""
    plan = planned()

    assert plan.headline.level is HeadlineLevel.LASTS
    assert plan.headline.because == ("On every stretch the water lasts, with the reserve.",)


@pytest.mark.parametrize(("level", "words", "changes"), POINTS.values(), ids=POINTS)
def test_each_point_turns_the_headline(level, words, changes):
    """The trip that lasts, with one thing otherwise: the level of the point, and its sentence."""
    plan = planned(**changes)

    assert plan.headline.level is level
    assert any(words in sentence for sentence in plan.headline.because)


@pytest.mark.parametrize("gives", [{"limit_l": 20.0}, {"flow_l_per_min": 0.002}], ids=str)
def test_nobody_drinks_the_same_litre_twice(gives):
    """From 14:00 to 8:00 five days later: 8 + 4 x 16 + 2 of 16 waking hours, 8 L a day: 37 L.

    By hand: the tap gives 20 L in all, or 0.12 L an hour: 13.7 L in 114 hours. With 400 L in cans
    the rest comes out of them, and less is carried on leaving; with 15 L it is not there.
    """
    rests = (PinnedCamp(km=300.0, rest_days=4, at_water=True),)
    tap = dataclasses.replace(sure(300.0), **gives)
    short, covered = (
        planned(tap, camps=rests, containers=[container(litres, 1)], heat=None)
        for litres in (15.0, 400.0)
    )
    endless = planned(sure(300.0), camps=rests, containers=[container(30.0, 1)], heat=None)

    stay = short.stops[0]
    assert stay.nights >= 5
    assert any("The stay at s300" in one and "are missing" in one for one in short.headline.because)
    assert not any("The stay at" in one for one in covered.headline.because)
    gives_l = gives.get("limit_l", 114.0 * 0.12)
    leaves_l = (covered.stretches[0].left_l or 0.0) + gives_l - 37.0
    assert covered.fills.fills[1].leaving.total_l == pytest.approx(leaves_l, abs=0.02)
    assert covered.stretches[1].on_board_l == covered.fills.fills[1].leaving.total_l
    assert any("out of what is carried there" in one.text for one in covered.warnings)
    assert not any("The stay at" in one.text for one in endless.warnings)


def test_doubtful_water_is_counted_on_only_if():
    """Who counts on any water calls at a doubtful well; its loss leaves a way back."""
    plan = planned(sure(300.0, Certainty.DOUBTFUL), count_on=CountOn.ANY)

    assert plan.headline.level is ONLY_IF
    assert "The plan counts on doubtful water: s300." in plan.headline.because


def test_doubtful_water_beside_a_sure_tap_is_counted_on_too():
    """Two waters 0.1 km apart are one stop that is named by the tap; both are drawn on."""
    soak = sure(300.1, Certainty.DOUBTFUL)
    plan = planned(sure(300.0), soak, count_on=CountOn.ANY)

    assert [one.source.id for one in plan.passes if one.call] == ["s300"]
    assert "The plan counts on doubtful water: s300.1." in plan.headline.because


def test_a_likely_source_whose_loss_leaves_no_way():
    """20 L for 600 km to a well that may be dry, 16 L gone: 4 L are neither on nor back."""
    plan = planned(
        sure(600.0, Certainty.LIKELY),
        km=1200.0,
        containers=[container(22.0, 1)],
        policy=careful(reserve_days=0.1),
    )

    assert "If s600 is dry, there is no way to water, on or back." in plan.headline.because
    assert any("may run short" in sentence for sentence in plan.headline.because)


@pytest.mark.parametrize(("litres", "is_told"), [(21.0, False), (19.0, True)])
def test_on_foot_half_a_bare_day_must_be_left(litres, is_told):
    """Two walkers use 16 L on 40 km: 5 L left are more than half of 8 L, and 3 L are less."""
    plan = planned(
        km=40.0,
        containers=[container(litres, 1)],
        policy=careful(reserve_days=0.0, help_days=0.1),
        **WALKING,
    )
    (stretch,) = plan.stretches

    assert stretch.verdict is Verdict.CLEAR
    assert (stretch.left_l < 4.0) is is_told
    assert any("less than half a day for all" in one for one in plan.headline.because) is is_told


def test_the_worst_stretch_is_named_first():
    """250 km, then 650 km, in one can of 1 L: the second lacks more."""
    plan = planned(
        sure(250.0), km=900.0, containers=[container(1.0, 1)], policy=careful(reserve_days=1.0)
    )

    assert plan.longest.worst == 2
    assert plan.headline.because[0].startswith("Too long without water: s250 (km 250.0) to end")
    assert plan.headline.because[1].startswith("Too long without water: start")


@pytest.mark.parametrize(("at_most", "level"), [(0.0099, HeadlineLevel.LASTS), (0.01, ONLY_IF)])
def test_the_chance_is_taken_at_its_upper_end(at_most, level):
    """0.8 % that may be 1 %: unknown means worse."""
    settled, setbacks = settled_with_setbacks(planned_case(lasting(), (sure(300.0),), 600.0))
    chance = dataclasses.replace(setbacks.chance, short=0.008, short_at_most=at_most)
    headline = headline_of(settled, dataclasses.replace(setbacks, chance=chance))

    assert headline.level is level


def mends_of(plan):
    return {mend.what: mend for mend in plan.mends}


def test_who_fills_too_little_is_told_to_fill_all():
    """Half a day of reserve and the least of fills: 4 L on arriving; filling all settles that.

    Planned again with what the mend says, the headline is the one that it promises.
    """
    low = careful(fill=FillHabit.LEAST, reserve_days=0.5)
    plan = planned(policy=low)
    mend = mends_of(plan)[MendKind.FILL]
    again = planned(policy=dataclasses.replace(low, fill=FillHabit.TOP_UP))

    assert 'fill = "top-up"' in mend.change
    assert any("less than one day for all" in one for one in mend.settles)
    assert mend.headline_after is again.headline.level is HeadlineLevel.LASTS
    assert not set(mend.settles) & set(again.headline.because)


def test_who_stakes_life_on_one_source_is_told_to_find_out():
    """A well that may be dry and leaves no way: that it holds water settles it."""
    its_trip = {
        "km": 1200.0,
        "containers": [container(22.0, 1)],
        "policy": careful(reserve_days=0.1, help_days=0.1),
    }
    plan = planned(sure(600.0, Certainty.LIKELY), **its_trip)
    mend = mends_of(plan)[MendKind.CONFIRMED]
    again = planned(dataclasses.replace(sure(600.0), **SURE), **its_trip)

    assert "Find out about s600 (km 600.0" in mend.change
    assert "If s600 is dry, there is no way to water, on or back." in mend.settles
    assert mend.headline_after is again.headline.level
    assert "land manager" in mend.caution


def test_where_nothing_settles_what_is_not_safe_nobody_goes():
    """No can and no word about water makes a day of 49 °C safe."""
    plan = planned(**POINTS["heat beyond limits"][2])

    assert plan.mends[-1].what is MendKind.DO_NOT_GO
    assert {mend.headline_after for mend in plan.mends} == {NOT_SAFE}
    assert "Headline: do not go. Do not go on this plan" in " ".join(mend_lines(plan))


def test_who_arrives_with_nothing_is_told_not_to_go_though_nobody_goes_short():
    """3 L in the only can for a way that takes nearly all of it: into reserve, and not safe."""
    tight = {"containers": [container(3.5, 1)], "policy": careful(help_days=0.1)}
    plan = planned(**tight, uses=[use()])

    assert {one.verdict for one in plan.stretches} == {Verdict.INTO_RESERVE}
    assert plan.headline.level is NOT_SAFE
    assert plan.mends[-1].what is MendKind.DO_NOT_GO
    assert "no single change that was tried makes it safe" in plan.mends[-1].change
    assert "easiest mend" not in plan_text(plan)


@pytest.mark.parametrize("point", ["no heat", "no date", "help of nobody", "too few trials"])
def test_what_is_only_to_be_written_is_no_change_of_plan(point):
    """The sentence says what to write; no plan is made again for it."""
    assert planned(**POINTS[point][2]).mends == ()


SEEDS = seeds(1000) if is_whole() else range(0, 1000, 25)


def planned_case(its_trip, sources, km):
    return Case(straight_route(km), tuple(sources), its_trip)


def settled_with_setbacks(case, trials=400):
    """Settle a case and look at what goes wrong; no mends."""
    settled = case.settled()
    known = KnownWater(case.sources, settled.passes)
    setbacks = setbacks_of_plan(
        settled.journey,
        settled.stretches,
        Inquiry(trials=trials),
        filling=settled.filling,
        known=known,
    )
    return settled, setbacks


def random_case(seed):
    """A trip of which a third lasts."""
    dice = random.Random(seed)
    km = dice.choice([150.0, 300.0, 600.0, 900.0])
    certain = [Certainty.CERTAIN] * 4 + [Certainty.LIKELY, None]
    wells = [
        sure(km * dice.uniform(0.1, 0.9), dice.choice(certain), id=f"w{number}")
        for number in range(dice.randint(1, 3))
    ]
    rules = careful(
        fill=dice.choice(list(FillHabit)),
        reserve_days=dice.choice([0.0, 1.0, 2.0, 2.0]),
        help_days=dice.choice([None, 1.0, 1.0, 2.0]),
    )
    its_trip = lasting(
        policy=rules,
        containers=[container(dice.choice([10.0, 20.0, 20.0]), dice.randint(1, 6))],
        contact=dice.choice([PHONE, PHONE, Contact(call="none")]),
    )
    if dice.random() < 0.1:
        its_trip = dataclasses.replace(its_trip, **dice.choice([{"heat": None}, {"depart": None}]))
    return planned_case(its_trip, wells, km)


@proof(1000)
@pytest.mark.parametrize("seed", SEEDS)
def test_no_trip_lasts_against_any_point(seed):
    """Each point is worked out again here from litres, dates and names, and held against the level.

    Two people at 4 L a day each ask for at least 8 L of a bare day, whatever the heat.
    """
    case = random_case(seed)
    settled, setbacks = settled_with_setbacks(case)
    if headline_of(settled, setbacks).level is not HeadlineLevel.LASTS:
        return
    its_trip, day_l = case.trip, 8.0
    assert its_trip.heat is not None
    assert its_trip.depart is not None
    assert its_trip.contact.call != "none"
    assert its_trip.policy.help_days is not None
    for one in settled.stretches:
        assert one.on_board_l >= one.need.total_l + one.reserve_l - 0.05
        assert one.on_board_l - one.need.total_l >= day_l - 0.05
        assert one.on_board_l - one.need.total_l >= its_trip.policy.help_days * day_l - 0.05
    assert not any(
        one.judgement.certainty is Certainty.DOUBTFUL for one in settled.passes if one.call
    )
    error = ((setbacks.chance.short + 0.0025) / 400.0) ** 0.5
    assert setbacks.chance.short + error < 0.01
    alone = [one for one in setbacks.dry if len(one.sources) == 1]
    uncertain = [one for one in alone if one.sources[0].certainty is not Certainty.CERTAIN]
    assert all(one.can_go_on or one.can_go_back for one in uncertain)


@proof(1000)
def test_the_trips_know_every_level():
    """The proof above would say nothing of trips that never last."""
    levels = [headline_of(*settled_with_setbacks(random_case(seed))).level for seed in SEEDS[:40]]

    assert set(levels) == set(HeadlineLevel)
    assert levels.count(HeadlineLevel.LASTS) >= 4
