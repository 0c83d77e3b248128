"""The rest of a trip, planned again from a place on the way.

All trips are invented. What is held against the rest is the whole plan, made by another way: from
the start, with all its calls.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import random

import pytest
from how_many import proof
from make import container, pace, policy, source_at, straight_route, trip
from random_plans import DEPARTS, Case, random_plan, settled_plan

from longdry.computing.calls.lists import list_of
from longdry.computing.needs.drinking import WAKING_H
from longdry.computing.needs.needs import day_l
from longdry.computing.plan.grave_warnings import grave_warnings_of
from longdry.computing.plan.planning import plan_trip
from longdry.computing.plan.rounds import settled_trip
from longdry.computing.road.litres_left import containers_with
from longdry.computing.road.rest import as_the_tally_found, rest_of_trip
from longdry.computing.setbacks.ways import moment_after
from longdry.errors import TripFileError, UsageError
from longdry.model.plan.fills import USUAL_FILL_WAY, FillWay
from longdry.model.trip.here import OnTheWay
from longdry.model.trip.named_pass import NamedPass
from longdry.model.trip.tally import LitresLeft, TallyEntry
from longdry.model.water.source import WaterLayer
from longdry.model.words import (
    VERDICTS_WORST_FIRST,
    Certainty,
    ContainerGrade,
    FillHabit,
    Grade,
    Ration,
    Travel,
)

ALMOST = 0.05
"""Litres and hours: where a day begun before is dark, and where a sum of fills is rounded."""
HABITS = list(FillHabit)


def again(case, said, fill=USUAL_FILL_WAY):
    """Settle the rest of a case's trip."""
    rest = rest_of_trip(case.prepared(), case.sources, said)
    return settled_trip(rest, case.water_near(rest), fill)


def drawn_at(whole, number):
    """Return a tally that names the calls before one."""
    return tuple(
        TallyEntry(at=DEPARTS, source=end.water.source.id, took_l=1.0)
        for end in whole.journey.ends[1:number]
    )


def holding(case, whole, number):
    """Return the case with the plan's own calls behind one; which are best is not asked again."""
    ahead = [
        (one.source.id, one.km) for end in whole.journey.ends[number + 1 : -1] for one in end.waters
    ]
    begin = whole.journey.ends[number]
    named = [
        (f"{one.source.id}@{one.km}", (one.source.id, one.km) in ahead)
        for one in whole.passes
        if one.counted and one.km > begin.km and one.source not in [w.source for w in begin.waters]
    ]
    return case.with_policy(
        call_at=tuple(name for name, is_call in named if is_call),
        pass_by=tuple(name for name, is_call in named if not is_call),
    )


def left_at(whole, number):
    """Return what each container holds on arriving at a call."""
    fill = whole.filling.chosen.fills[whole.filling.last_of_stop[number - 1] + 1]
    return tuple(LitresLeft(one.litres, one.vessel, one.grade) for one in fill.levels_arriving)


def differences(ours, rest):
    """Yield what two stretches differ in."""
    for what in ("reserve_l", "on_board_l"):
        pair = getattr(ours, what), getattr(rest, what)
        if abs(pair[0] - pair[1]) > ALMOST:
            yield what, *pair
    for what, one, other in (
        ("begin", ours.travel.begin_h, rest.travel.begin_h),
        ("end", ours.travel.end_h, rest.travel.end_h),
        ("from km", ours.begin.km, rest.begin.km),
        ("to km", ours.end.km, rest.end.km),
        ("need", ours.need.total_l, rest.need.total_l),
        ("bare need", ours.needs[-1].need.total_l, rest.needs[-1].need.total_l),
    ):
        if abs(one - other) > ALMOST:
            yield what, one, other
    if ours.verdict is not rest.verdict:
        yield "verdict", ours.verdict, rest.verdict


@proof(300)
def test_planning_again_from_a_call_with_what_the_plan_has_there_gives_the_plan(cases):
    """From each call: the same stretches, hours, needs, litres and verdicts.

    A stop keeps the length that an earlier round of the whole plan gave it, which may be more
    minutes than its litres take; few plans have such a stop, and they are left out.
    """
    found, asked, other_minutes = [], 0, 0
    for seed in cases:
        case, fill = random_plan(seed), FillWay(HABITS[seed // 8 % 3])
        whole = case.settled(fill)
        for number, stay in enumerate(whole.journey.itinerary.stays, 1):
            water = whole.journey.ends[number].water
            said = OnTheWay(
                at=stay.leaves.hour,
                left=left_at(whole, number),
                source=NamedPass(water.source.id, water.km),
                moved_h=case.trip.pace.hours_per_day - stay.leaves.left_h,
                tally=drawn_at(whole, number),
            )
            ahead = after_the_stay(holding(case, whole, number), whole, number)
            rest = again(ahead, said, fill)
            asked += 1
            if rest.journey.stop_minutes[1:] != whole.journey.stop_minutes[number + 1 :]:
                other_minutes += 1
                continue
            pairs = zip(whole.stretches[number:], rest.stretches, strict=True)
            found += [(seed, number, *one) for pair in pairs for one in differences(*pair)]

    assert not found
    assert other_minutes < 0.05 * asked


def after_the_stay(case, whole, number):
    """Return the case with what the whole plan leaves at a call after the nights there.

    Of water with a limit in all: what gives nothing because it is shut is no less for that.
    """
    first, last = (whole.filling.last_of_stop[one] for one in (number - 1, number))
    left = {stop.name: stop.limit_l for stop in whole.filling.problem.stops[first + 1 : last + 1]}
    sources = (
        one
        if one.limit_l is None
        else dataclasses.replace(one, limit_l=left.get(one.id, one.limit_l))
        for one in case.sources
    )
    return dataclasses.replace(case, sources=tuple(sources))


def all_potable(case):
    """Return the case with potable water alone, so that litres alone say what is carried."""
    sources = tuple(dataclasses.replace(one, grade=Grade.POTABLE) for one in case.sources)
    return dataclasses.replace(case, sources=sources)


def at_some_km(whole, dice):
    """Return the index of a stretch, and what is done of it up to some km inside it."""
    index = dice.randrange(len(whole.stretches))
    stretch = whole.stretches[index]
    km = stretch.begin.km + dice.uniform(0.05, 0.95) * (stretch.end.km - stretch.begin.km)
    return index, km, stretch.travel.until_km(km)


def is_less_carried(what, planned, now):
    """On foot the parts of a day add up to more than the day: less may be left for later."""
    if what == "verdict":
        return VERDICTS_WORST_FIRST.index(now) <= VERDICTS_WORST_FIRST.index(planned)
    return what == "on_board_l" and now <= planned


@proof(300)
def test_planning_again_from_a_km_with_what_the_plan_carries_there_gives_the_plan(cases):
    """The way on is as long as planned and asks for what is not used yet; so are all later ones."""
    found, asked = [], 0
    for seed in cases:
        dice = random.Random(seed)
        case, fill = all_potable(random_plan(seed)), FillWay(FillHabit.TOP_UP)
        whole = case.settled(fill)
        index, km, done = at_some_km(whole, dice)
        ours = whole.stretches[index]
        used_l = whole.journey.demand.need_l(ours.ration_told, done)
        begin = whole.journey.itinerary.leaves
        begin = whole.journey.itinerary.stays[index - 1].leaves if index else begin
        now = moment_after(whole.journey.clock, begin, done)
        said = OnTheWay(
            at=now.hour,
            left=(LitresLeft(max(ours.on_board_l - used_l, 0.0), "", Grade.POTABLE),),
            km=km,
            moved_h=case.trip.pace.hours_per_day - now.left_h,
            tally=drawn_at(whole, index + 1),
        )
        rest = again(holding(case, whole, index), said, fill)
        if rest.journey.stop_minutes[1:] != whole.journey.stop_minutes[index + 1 :]:
            continue
        asked += 1
        first = rest.stretches[0]
        bare_l = ours.needs[-1].need.total_l - whole.journey.demand.need_l(Ration.BARE, done)
        pairs = [
            ("to km", ours.end.km, first.end.km),
            ("end", ours.travel.end_h, first.travel.end_h),
        ]
        if case.trip.pace.travel is Travel.VEHICLE:
            pairs.append(("bare need", bare_l, first.needs[-1].need.total_l))
        found += [(seed, *one) for one in pairs if abs(one[1] - one[2]) > ALMOST]
        if first.needs[-1].need.total_l < bare_l - ALMOST:
            found.append((seed, "bare need too low", bare_l, first.needs[-1].need.total_l))
        later = zip(whole.stretches[index + 1 :], rest.stretches[1:], strict=True)
        others = [one for pair in later for one in differences(*pair)]
        if case.trip.pace.travel is not Travel.VEHICLE:
            others = [one for one in others if not is_less_carried(*one)]
        found += [(seed, *one) for one in others]

    assert not found
    assert asked > 0.9 * len(cases)


@proof(200)
def test_with_less_water_the_rest_of_a_trip_is_never_better(cases):
    """The list of its stretches, the worst first, is no better with half of the litres.

    But for what is drunk at a water that takes longer to fill from: who has less leaves it later.
    """
    found = []
    for seed in cases:
        dice = random.Random(seed)
        case, whole = random_plan(seed), settled_plan(seed)
        _, km, done = at_some_km(whole, dice)
        litres = dice.uniform(0.2, 1.0) * whole.journey.capacity_l
        much, little = (
            again(case, OnTheWay(done.end_h, (LitresLeft(some_l),), km))
            for some_l in (litres, 0.5 * litres)
        )
        later_h = sum(little.journey.stop_minutes) / 60.0
        drunk_l = day_l(whole.journey.demand) * later_h / WAKING_H
        if is_better(list_of(little.stretches), list_of(much.stretches), drunk_l):
            found.append((seed, list_of(much.stretches), list_of(little.stretches)))
    assert not found


def is_better(ours, theirs, more_than_l):
    """Tell whether one list of stretches, worst first, is better than another by so many litres."""
    for (verdict, missing_l), (other, their_l) in zip(ours, theirs, strict=False):
        if verdict != other:
            return verdict < other
        if abs(missing_l - their_l) > more_than_l:
            return missing_l < their_l
    return len(ours) < len(theirs)


def plain():
    """Return a trip of some days with a departure."""
    case = random_plan(1)
    return dataclasses.replace(case, trip=dataclasses.replace(case.trip, depart=DEPARTS))


def test_a_name_that_lies_nowhere_is_refused_and_one_behind_is_not():
    """A source to call at that was passed is no fault of the rest; a typing error is."""
    case, whole = called_at(1)
    first = whole.journey.ends[1]
    said = OnTheWay(200.0, (LitresLeft(1.0),), first.km + 1.0)
    behind = case.with_policy(call_at=(first.water.source.id,))
    nowhere = case.with_policy(call_at=("Nowhere",))

    settled = again(behind, said)

    assert settled.trip.here.names_behind == (first.water.source.id,)
    with pytest.raises(TripFileError, match='"Nowhere" is no pass that counts'):
        again(nowhere, said)


@pytest.mark.parametrize("leaves_h", [30.0, 34.0])
def test_water_to_call_at_that_is_shut_by_then_is_told_and_planned_without(leaves_h):
    """Two hours before a shop that shuts at 10: there at 8 it is called at, at noon it is not.

    Whoever is on the road is given the rest of the trip, and told so gravely; before the trip
    begins it is refused.
    """
    shop = dataclasses.replace(source_at(190.0, id="shop"), open_from_hour=7.5, open_to_hour=10.0)
    its_trip = trip(policy=policy(call_at=("shop",), longest_wait_h=1.0))
    case = Case(straight_route(400.0), (shop, source_at(300.0, id="bore")), its_trip)

    settled = again(case, OnTheWay(leaves_h, (LitresLeft(20.0),), 90.0))
    told = [one.text for one in grave_warnings_of(settled, settled.journey.days, None, None)]
    calls = [end.label for end in settled.journey.ends[1:-1]]

    is_open = leaves_h == 30.0
    assert ("shop" in calls) is is_open
    assert any(one.startswith("The trip names shop to call at") for one in told) is not is_open


@pytest.mark.parametrize(
    ("at_h", "moved_h", "used_h"),
    [(15.0, None, 2.0), (39.0, None, 6.0), (39.0, 3.0, 3.0), (50.0, None, 8.0), (31.0, None, 0.0)],
)
def test_hours_since_the_days_beginning_count_as_moved_but_for_breaks(at_h, moved_h, used_h):
    """Days begin at 7 and have a break from 12 to 14; the first begins at 11, its departure.

    At 15:00 of the first 2 hours are moved, of the second 6; what is said overrules; never more
    than the 8 of a day; at 7:00 none.
    """
    its_trip = trip(pace=pace(start_hour=7.0, hours_per_day=8.0, break_h=(12.0, 14.0)))
    its_trip = dataclasses.replace(its_trip, depart=DEPARTS.replace(hour=11))
    case = Case(straight_route(900.0), (), its_trip)
    said = OnTheWay(at_h, (LitresLeft(1.0),), 60.0, moved_h=moved_h)

    start = rest_of_trip(case.prepared(), case.sources, said).clock.start()

    assert 8.0 - start.left_h == pytest.approx(used_h)


def called_at(calls):
    """Return the first random trip that calls somewhere at least so often."""
    for seed in range(100):
        case, whole = random_plan(seed), settled_plan(seed)
        if len(whole.journey.ends) - 2 >= calls:
            return case, whole
    raise AssertionError("no such trip")


def test_from_water_that_gives_no_more_the_way_to_the_route_is_gone_too():
    """2 km beside the route, 1.3 times as long on the ground; the water there is used up."""
    soak = dataclasses.replace(source_at(50.0, offset_km=2.0, id="soak"), limit_l=0.0)
    case = Case(straight_route(200.0), (soak,), trip())

    begin = again(case, OnTheWay(30.0, (LitresLeft(1.0),), source=NamedPass("soak"))).journey.ends[
        0
    ]

    assert begin.water is None
    assert begin.way_km == pytest.approx(2.6, abs=0.01)


def test_litres_drawn_behind_are_no_longer_there_ahead():
    """Of a source that gives 40 L in all and gave 30, 10 are left; never less than none."""
    limited = dataclasses.replace(source_at(5.0, id="soak"), limit_l=40.0)
    endless = source_at(9.0, id="bore")
    tally = tuple(
        TallyEntry(DEPARTS, took_l=litres, source=name)
        for name, litres in ((" Soak", 30.0), ("bore", 5.0))
    )

    layer = WaterLayer((limited, endless))

    once = as_the_tally_found(layer, tally).sources
    twice = as_the_tally_found(layer, tally * 2).sources

    assert [one.limit_l for one in once] == [10.0, None]
    assert twice[0].limit_l == 0.0


@pytest.mark.parametrize(
    ("found", "counts"),
    [
        (["flowing", "dry"], False),
        (["unreachable"], False),
        (["dry", "low"], True),
        (["flowing"], True),
    ],
)
def test_water_that_was_found_dry_on_the_way_counts_no_more(found, counts):
    """What the party itself saw last holds, also against a word set by hand."""
    bore = dataclasses.replace(source_at(50.0, id="bore"), certainty=Certainty.CERTAIN)
    tally = tuple(
        TallyEntry(DEPARTS + dt.timedelta(hours=hour), source="BORE ", found=word)
        for hour, word in enumerate(found)
    )
    said = OnTheWay(30.0, (LitresLeft(1.0),), 20.0, tally=tally)

    plan = plan_trip(straight_route(200.0), [bore], trip(), on_the_way=said)

    assert [one.counted for one in plan.passes] == [counts]


def test_a_dry_source_that_no_layer_has_by_its_name_is_told():
    """A slip in the name would leave the plan to count on what is dry."""
    tally = (TallyEntry(DEPARTS, source="Bor", found="dry"),)

    (remark,) = as_the_tally_found(WaterLayer((source_at(5.0, id="bore"),)), tally).remarks

    assert remark.endswith('may still count on them: "Bor".')


@pytest.mark.parametrize("words", [("", None), ("can 1", None), ("can 1", Grade.POTABLE)])
def test_an_empty_container_may_have_held_water_to_be_treated(words):
    """Unknown is worse, whichever way the litres are said, until somebody says that it is clean."""
    cans = dataclasses.replace(container(5.0, 2), grade=ContainerGrade.ANY)
    party = trip(can_treat=True, containers=[cans])
    clean = LitresLeft(0.0, "can 2", Grade.POTABLE)

    assert containers_with(party, (LitresLeft(3.0, *words),))[1].holds_grade is Grade.TREAT
    if words[0]:
        assert (
            containers_with(party, (LitresLeft(3.0, *words), clean))[1].holds_grade is Grade.POTABLE
        )


@pytest.mark.parametrize("litres", [0.0, 12.0])
def test_water_to_be_treated_is_in_containers_that_take_any(litres):
    """An empty clean can is no contradiction; more than the drum of 12 L holds would be."""
    drum = dataclasses.replace(container(12.0, 1), name="drum", grade=ContainerGrade.ANY)
    party = trip(can_treat=True, containers=[container(5.0, 1), drum])

    can, raw = containers_with(party, (LitresLeft(litres, "", Grade.TREAT),))

    assert (can.holds_l, can.holds_grade) == (0.0, Grade.POTABLE)
    assert (raw.holds_l, raw.holds_grade) == (litres, Grade.TREAT)
    with pytest.raises(UsageError, match='"can", which is kept for potable water; write potable'):
        containers_with(party, (LitresLeft(12.1, "", Grade.TREAT),))
    with pytest.raises(UsageError, match='"can", which is kept for potable water; write potable'):
        containers_with(party, (LitresLeft(1.0, "can", Grade.TREAT),))


@pytest.mark.parametrize(
    ("said", "words"),
    [
        (OnTheWay(30.0, (LitresLeft(1.0),), km=1e5), "is not on the route"),
        (OnTheWay(30.0, (LitresLeft(1e5),), km=3.0), "hold no more than"),
        (OnTheWay(30.0, (LitresLeft(1.0, "tub"),), km=3.0), 'no container is called "tub"'),
        (OnTheWay(30.0, (LitresLeft(1.0),), source=NamedPass("Nowhere")), "is no pass"),
        (OnTheWay(DEPARTS - dt.timedelta(1), (LitresLeft(1.0),), km=3.0), "before the departure"),
        (
            OnTheWay(DEPARTS.replace(year=3027), (LitresLeft(1.0),), km=3.0),
            "more than 1000 days after",
        ),
    ],
)
def test_what_cannot_be_is_one_sentence(said, words):
    """A wrong km, more than the containers hold, an unknown one, and a time before departure."""
    with pytest.raises(UsageError, match=words) as refused:
        again(plain(), said)

    assert len(str(refused.value).splitlines()) == 1
